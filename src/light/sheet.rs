//! Everything about settings and frames for one lens under one light.

use super::{
    error::LightError,
    exposure::{
        Exposure, ExposureAims, exposure_at, exposure_within, plan_exposure, printed_shutter_s,
    },
    framing::{Orientation, Pointing, View},
    land_frame::{LandAims, LandFrame, plan_land_frame},
    optics::Optics,
    panorama::{DEFAULT_OVERLAP, Panorama, PanoramaSpan},
    star_trails::{DEFAULT_TRAIL_SHUTTER_S, StarTrails, TrailLength, plan_star_trails},
    time_lapse::{TimeLapse, TimeLapseAims, plan_time_lapse},
    tracked::{Tracked, plan_tracked},
    trail::{TrailLimit, fastest_in_frame_deg, shutter_500_s, trail_px},
};

/// Pause between frames where none is named, seconds: to write a frame, or to
/// turn the camera to the next. The project's choice.
pub const DEFAULT_PAUSE_S: f64 = 2.0;

/// What an exposure sheet is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExposureQuestion {
    /// Lens and sensor.
    pub optics: Optics,
    /// Declination at the frame's centre, degrees.
    pub centre_declination_deg: f64,
    /// How the longest shutter is found.
    pub trail_limit: TrailLimit,
    /// Luminance of the sky behind the target, cd/m2.
    pub sky_cd_m2: f64,
    /// Luminance of the foreground, cd/m2.
    pub land_cd_m2: f64,
    /// Where the sky should fall, and the ISO speeds to choose from.
    pub aims: ExposureAims,
    /// The same for the land's own frame.
    pub land: LandAims,
    /// Pause between frames, seconds.
    pub pause_s: f64,
    /// Shutter time on a mount that follows the sky, seconds.
    pub tracked_s: Option<f64>,
    /// Length of star trails.
    pub star_trails: Option<TrailLength>,
    /// A time-lapse.
    pub time_lapse: Option<TimeLapseAims>,
    /// Shutter time of each frame of star trails and time-lapse, seconds.
    pub frame_shutter_s: Option<f64>,
    /// What a panorama must cover.
    pub panorama: PanoramaSpan,
    /// True bearing of its centre, degrees, where it is known.
    pub panorama_centre_deg: Option<f64>,
    /// Overlap of neighbouring frames, 0 to 0.9.
    pub overlap: f64,
}

impl ExposureQuestion {
    /// The question about one light, with everything else as where nothing is
    /// named: the strict NPF rule, one frame of the land, no mount, trails or
    /// time-lapse, a row of half the horizon.
    ///
    /// From the declination at the frame's centre (degrees) and the luminances
    /// of sky and land (cd/m2).
    pub fn new(
        optics: Optics,
        centre_declination_deg: f64,
        sky_cd_m2: f64,
        land_cd_m2: f64,
    ) -> Self {
        Self {
            optics,
            centre_declination_deg,
            trail_limit: TrailLimit::Npf(1.0),
            sky_cd_m2,
            land_cd_m2,
            aims: ExposureAims::default(),
            land: LandAims::default(),
            pause_s: DEFAULT_PAUSE_S,
            tracked_s: None,
            star_trails: None,
            time_lapse: None,
            frame_shutter_s: None,
            panorama: PanoramaSpan::HALF_THE_HORIZON,
            panorama_centre_deg: None,
            overlap: DEFAULT_OVERLAP,
        }
    }
}

/// Shutter limits, settings, series of frames, field of view and panorama.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ExposureSheet {
    /// What was asked.
    pub question: ExposureQuestion,
    /// Declination of the fastest star in the frame, degrees.
    pub fastest_declination_deg: f64,
    /// The limit that applies, seconds.
    pub longest_shutter_s: f64,
    /// By the full NPF rule with factor 1, seconds.
    pub npf_s: f64,
    /// By the 500 rule (common practice), seconds.
    pub rule_500_s: f64,
    /// The settings.
    pub exposure: Exposure,
    /// Trail of the fastest star at those settings, pixels on the axis.
    pub trail_px: f64,
    /// The land's own frame.
    pub land: LandFrame,
    /// The sky on a mount that follows it.
    pub tracked: Option<Tracked>,
    /// Star trails, and the settings of a frame.
    pub star_trails: Option<(StarTrails, Exposure)>,
    /// A time-lapse, and the settings of a frame.
    pub time_lapse: Option<(TimeLapse, Exposure)>,
    /// Field of view in landscape position, width and height, degrees.
    pub field_deg: [f64; 2],
    /// Its diagonal, degrees.
    pub diagonal_deg: f64,
    /// The panorama with the camera upright and level.
    pub panoramas: [Panorama; 2],
}

impl ExposureSheet {
    /// Answers a question.
    ///
    /// # Errors
    ///
    /// [`LightError`] for a panorama, an overlap or a series of frames that
    /// cannot be.
    pub fn new(question: ExposureQuestion) -> Result<Self, LightError> {
        let ExposureQuestion {
            optics,
            centre_declination_deg,
            sky_cd_m2,
            land_cd_m2,
            aims,
            pause_s,
            ..
        } = question;
        let fastest_deg = fastest_in_frame_deg(&optics, centre_declination_deg);
        let limit_s = |limit: TrailLimit| limit.longest_shutter_s(&optics, centre_declination_deg);
        let longest_shutter_s = limit_s(question.trail_limit);
        let exposure = plan_exposure(&optics, longest_shutter_s, sky_cd_m2, land_cd_m2, &aims);
        let at = |shutter_s| exposure_at(&optics, shutter_s, sky_cd_m2, land_cd_m2, &aims);
        let track = |shutter_s| {
            plan_tracked(
                &optics,
                shutter_s,
                fastest_deg,
                sky_cd_m2,
                land_cd_m2,
                &aims,
            )
        };
        let trail = |length| {
            let shutter_s = question.frame_shutter_s.unwrap_or(DEFAULT_TRAIL_SHUTTER_S);
            let plan = plan_star_trails(&optics, length, shutter_s, pause_s, fastest_deg);
            Ok((plan?, at(shutter_s)))
        };
        let film = |film| {
            // The interval has room for the darkest hour, whatever the light now.
            let untrailed_s = printed_shutter_s(longest_shutter_s).unwrap_or(exposure.shutter_s);
            let shutter_s = question.frame_shutter_s.unwrap_or(untrailed_s);
            let plan = plan_time_lapse(&film, shutter_s, pause_s)?;
            let frame = exposure_within(&optics, shutter_s, sky_cd_m2, land_cd_m2, &aims);
            Ok((plan, frame))
        };
        let view = View::new(&optics, Orientation::Landscape, Pointing::new(0.0, 0.0));
        let cover = |orientation| {
            Panorama::cover(&optics, orientation, &question.panorama, question.overlap)
        };
        Ok(Self {
            question,
            fastest_declination_deg: fastest_deg,
            longest_shutter_s,
            npf_s: limit_s(TrailLimit::Npf(1.0)),
            rule_500_s: shutter_500_s(&optics),
            exposure,
            trail_px: trail_px(&optics, exposure.shutter_s, fastest_deg),
            land: plan_land_frame(&optics, land_cd_m2, &question.land, pause_s)?,
            tracked: question.tracked_s.map(track).transpose()?,
            star_trails: question.star_trails.map(trail).transpose()?,
            time_lapse: question.time_lapse.map(film).transpose()?,
            field_deg: [view.width_deg(), view.height_deg()],
            diagonal_deg: view.diagonal_deg(),
            panoramas: [
                cover(Orientation::Portrait)?,
                cover(Orientation::Landscape)?,
            ],
        })
    }
}
