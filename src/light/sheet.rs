//! Everything about settings and frames for one lens under one light.

use super::{
    error::LightError,
    exposure::{Exposure, ExposureAims, plan_exposure},
    framing::{Orientation, Pointing, View},
    optics::Optics,
    panorama::{Panorama, Span},
    trail::{shutter_500_s, shutter_for_trail_s, shutter_npf_s, trail_px},
};

/// How the longest shutter is found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TrailLimit {
    /// The full NPF rule with its factor, 1 strict to 3 lenient.
    Npf(f64),
    /// A trail of so many pixels on the axis.
    Pixels(f64),
}

/// What an exposure sheet is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SheetQuestion {
    /// Lens and sensor.
    pub optics: Optics,
    /// Declination of the target, degrees.
    pub declination_deg: f64,
    /// How the longest shutter is found.
    pub trail_limit: TrailLimit,
    /// Luminance of the sky behind the target, cd/m2.
    pub sky_cd_m2: f64,
    /// Luminance of the foreground, cd/m2.
    pub land_cd_m2: f64,
    /// Where the sky should fall, and the ISO speeds to choose from.
    pub aims: ExposureAims,
    /// What a panorama must cover.
    pub panorama: Span,
    /// Overlap of neighbouring frames, 0 to 0.9.
    pub overlap: f64,
}

/// Shutter limits, settings, field of view and panorama.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Sheet {
    /// What was asked.
    pub question: SheetQuestion,
    /// The limit in force, seconds.
    pub longest_shutter_s: f64,
    /// By the full NPF rule with factor 1, seconds.
    pub npf_s: f64,
    /// By the 500 rule (common practice), seconds.
    pub rule_500_s: f64,
    /// The settings.
    pub exposure: Exposure,
    /// Trail on the axis at those settings, pixels.
    pub trail_px: f64,
    /// Field of view in landscape position, width and height, degrees.
    pub field_deg: [f64; 2],
    /// Its diagonal, degrees.
    pub diagonal_deg: f64,
    /// The panorama with the camera upright and level.
    pub panoramas: [Panorama; 2],
}

impl Sheet {
    /// Answers a question.
    ///
    /// # Errors
    ///
    /// [`LightError`] for a panorama or overlap that cannot be.
    pub fn new(question: SheetQuestion) -> Result<Self, LightError> {
        let SheetQuestion {
            optics,
            declination_deg,
            ..
        } = question;
        let longest_shutter_s = match question.trail_limit {
            TrailLimit::Npf(factor) => shutter_npf_s(&optics, declination_deg, factor),
            TrailLimit::Pixels(pixels) => shutter_for_trail_s(&optics, declination_deg, pixels),
        };
        let exposure = plan_exposure(
            &optics,
            longest_shutter_s,
            question.sky_cd_m2,
            question.land_cd_m2,
            &question.aims,
        );
        let view = View::new(&optics, Orientation::Landscape, Pointing::new(0.0, 0.0));
        let cover = |orientation| {
            Panorama::cover(&optics, orientation, &question.panorama, question.overlap)
        };
        Ok(Self {
            question,
            longest_shutter_s,
            npf_s: shutter_npf_s(&optics, declination_deg, 1.0),
            rule_500_s: shutter_500_s(&optics),
            exposure,
            trail_px: trail_px(&optics, exposure.shutter_s, declination_deg),
            field_deg: [view.width_deg(), view.height_deg()],
            diagonal_deg: view.diagonal_deg(),
            panoramas: [
                cover(Orientation::Portrait)?,
                cover(Orientation::Landscape)?,
            ],
        })
    }
}
