//! Settings a camera can be set to, and what they do to sky and land.

use super::{
    error::{LightError, in_range},
    optics::Optics,
    photometry::{ev100_of_luminance, ev100_of_settings},
};

/// ISO speeds in third stops, as cameras print them.
pub const ISO_SCALE: [u32; 34] = [
    50, 64, 80, 100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600, 2000, 2500,
    3200, 4000, 5000, 6400, 8000, 10_000, 12_800, 16_000, 20_000, 25_600, 32_000, 40_000, 51_200,
    64_000, 80_000, 102_400,
];

/// Timed shutter speeds in third stops, seconds, as cameras print them, longest
/// first.
pub const SHUTTER_SCALE_S: [f64; 52] = [
    30.0,
    25.0,
    20.0,
    15.0,
    13.0,
    10.0,
    8.0,
    6.0,
    5.0,
    4.0,
    3.2,
    2.5,
    2.0,
    1.6,
    1.3,
    1.0,
    0.8,
    0.6,
    0.5,
    0.4,
    0.3,
    1.0 / 4.0,
    1.0 / 5.0,
    1.0 / 6.0,
    1.0 / 8.0,
    1.0 / 10.0,
    1.0 / 13.0,
    1.0 / 15.0,
    1.0 / 20.0,
    1.0 / 25.0,
    1.0 / 30.0,
    1.0 / 40.0,
    1.0 / 50.0,
    1.0 / 60.0,
    1.0 / 80.0,
    1.0 / 100.0,
    1.0 / 125.0,
    1.0 / 160.0,
    1.0 / 200.0,
    1.0 / 250.0,
    1.0 / 320.0,
    1.0 / 400.0,
    1.0 / 500.0,
    1.0 / 640.0,
    1.0 / 800.0,
    1.0 / 1000.0,
    1.0 / 1250.0,
    1.0 / 1600.0,
    1.0 / 2000.0,
    1.0 / 2500.0,
    1.0 / 3200.0,
    1.0 / 4000.0,
];

/// Where the sky behind the target is placed, stops from mid-tone.
///
/// -2 puts an 18 % mid-tone's sky at 4.5 %, which the sRGB curve shows at 24 %
/// of the histogram: a quarter from the left, as night photographers like it.
/// Common practice, no source; f/2.8, 15 s, ISO 6400 does it at 21.6
/// mag/arcsec2.
pub const DEFAULT_SKY_PLACEMENT_STOPS: f64 = -2.0;

/// Half a third of a stop: nearer than this to the scale's end is on the scale.
pub(super) const HALF_STEP: f64 = 1.0 / 6.0;

/// The ISO speeds that the photographer will use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct IsoRange {
    lowest: u32,
    highest: u32,
}

impl IsoRange {
    /// From the lowest to the highest speed, both on [`ISO_SCALE`].
    ///
    /// # Errors
    /// [`LightError::OutOfRange`] where a speed is not on the scale or the
    /// highest is below the lowest.
    pub fn new(lowest: u32, highest: u32) -> Result<Self, LightError> {
        for speed in [lowest, highest] {
            if !ISO_SCALE.contains(&speed) {
                return Err(LightError::OutOfRange {
                    what: "ISO",
                    found: f64::from(speed),
                    expected: "a third-stop speed from 50 to 102400 (100, 125, 160, 200...)",
                });
            }
        }
        in_range(
            "highest ISO",
            f64::from(highest),
            f64::from(lowest),
            f64::INFINITY,
            "at least the lowest",
        )?;
        Ok(Self { lowest, highest })
    }

    /// Lowest speed.
    pub fn lowest(&self) -> u32 {
        self.lowest
    }

    /// Highest speed.
    pub fn highest(&self) -> u32 {
        self.highest
    }

    /// The speeds of the scale in the range, lowest first.
    pub fn speeds(&self) -> impl Iterator<Item = u32> + use<> {
        let range = self.lowest..=self.highest;
        ISO_SCALE
            .into_iter()
            .filter(move |speed| range.contains(speed))
    }

    /// Whether the range reaches an ISO, to half a step of the scale.
    pub(super) fn reach(&self, iso: f64) -> Reach {
        Reach::between(iso, f64::from(self.lowest), f64::from(self.highest))
    }

    /// The speed on the scale and in the range nearest in stops to `iso`.
    fn nearest(&self, iso: f64) -> u32 {
        self.speeds()
            .min_by(|a, b| {
                let away = |speed: u32| (f64::from(speed) / iso).log2().abs();
                away(*a).total_cmp(&away(*b))
            })
            .unwrap_or(self.lowest)
    }
}

impl Default for IsoRange {
    /// 100 to 25 600. Common practice, no source.
    fn default() -> Self {
        Self {
            lowest: 100,
            highest: 25_600,
        }
    }
}

/// What the exposure aims at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExposureAims {
    /// Where the sky behind the target goes, stops from mid-tone.
    pub sky_placement_stops: f64,
    /// Speeds to choose from.
    pub iso: IsoRange,
}

impl Default for ExposureAims {
    fn default() -> Self {
        Self {
            sky_placement_stops: DEFAULT_SKY_PLACEMENT_STOPS,
            iso: IsoRange::default(),
        }
    }
}

/// Whether the settings reach the placement asked for.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reach {
    /// Within the range, or nearer to its end than half a third of a stop.
    Reached,
    /// The end of the range leaves the frame this many stops too dark.
    TooDark {
        /// Positive.
        stops_short: f64,
    },
    /// The end of the range leaves the frame this many stops too bright.
    TooBright {
        /// Positive.
        stops_over: f64,
    },
}

impl Reach {
    /// Whether a setting from `least` to `most` reaches the one wanted, all in
    /// one unit: more of it is a brighter frame.
    pub(super) fn between(wanted: f64, least: f64, most: f64) -> Self {
        let stops_short = (wanted / most).log2();
        let stops_over = (least / wanted).log2();
        if stops_short > HALF_STEP {
            Self::TooDark { stops_short }
        } else if stops_over > HALF_STEP {
            Self::TooBright { stops_over }
        } else {
            Self::Reached
        }
    }

    /// How far from the placement the settings stay, stops: negative is too
    /// dark, 0 is reached.
    pub fn error_stops(self) -> f64 {
        match self {
            Self::Reached => 0.0,
            Self::TooDark { stops_short } => -stops_short,
            Self::TooBright { stops_over } => stops_over,
        }
    }
}

/// Settings, and where they place sky and land.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Exposure {
    /// f-number.
    pub f_number: f64,
    /// Shutter, seconds, from [`SHUTTER_SCALE_S`] unless it was given.
    pub shutter_s: f64,
    /// ISO speed, from [`ISO_SCALE`].
    pub iso: u32,
    /// The ISO that would hit the placement exactly at that shutter.
    pub exact_iso: f64,
    /// Whether the placement is reached.
    pub reach: Reach,
    /// Exposure value at ISO 100 of these settings.
    pub settings_ev100: f64,
    /// What a meter would read off the sky, EV100.
    pub sky_ev100: f64,
    /// What a meter would read off the foreground, EV100.
    pub land_ev100: f64,
    /// Where the sky falls, stops from mid-tone.
    pub sky_placement_stops: f64,
    /// Where the foreground falls, stops from mid-tone.
    pub land_placement_stops: f64,
}

impl Exposure {
    /// Where other settings put the same sky and the same land, stops from
    /// mid-tone; f-number, shutter in seconds and ISO are positive.
    pub fn placements_of(&self, f_number: f64, shutter_s: f64, iso: f64) -> (f64, f64) {
        let settings_ev100 = ev100_of_settings(f_number, shutter_s, iso);
        (
            self.sky_ev100 - settings_ev100,
            self.land_ev100 - settings_ev100,
        )
    }
}

/// The longest printed shutter within a limit.
///
/// From seconds to a value of [`SHUTTER_SCALE_S`]; `None` where the limit is
/// below its shortest.
pub fn printed_shutter_s(longest_s: f64) -> Option<f64> {
    // A limit worked out as 20 s must allow 20 s.
    let longest_s = longest_s * (1.0 + 1e-9);
    SHUTTER_SCALE_S
        .into_iter()
        .find(|shutter_s| *shutter_s <= longest_s)
}

/// The settings that place the sky.
///
/// From the longest shutter that trailing allows (seconds), the luminances of
/// sky and foreground (cd/m2, held to 1e-9..1e6) and the aims. The shutter is
/// the longest printed one within the limit; a sky too bright for the lowest
/// ISO shortens it. Below the shortest printed shutter, that one is offered.
///
/// # Source
/// ISO 2720:1974 for the exposure values; the scales are common practice.
pub fn plan_exposure(
    optics: &Optics,
    longest_shutter_s: f64,
    sky_cd_m2: f64,
    land_cd_m2: f64,
    aims: &ExposureAims,
) -> Exposure {
    let wanted_ev100 = metered_ev100(sky_cd_m2) - placement(aims.sky_placement_stops);
    let shortest_s = SHUTTER_SCALE_S[SHUTTER_SCALE_S.len() - 1];
    let longest_s = printed_shutter_s(longest_shutter_s).unwrap_or(shortest_s);
    let lowest = f64::from(aims.iso.lowest);
    let exact_iso = |shutter_s: f64| iso_for(optics.f_number(), shutter_s, wanted_ev100);
    let shutter_s = SHUTTER_SCALE_S
        .into_iter()
        .filter(|shutter_s| *shutter_s <= longest_s)
        .find(|shutter_s| exact_iso(*shutter_s) >= lowest * (-HALF_STEP).exp2())
        .unwrap_or(shortest_s);
    exposure_at(optics, shutter_s, sky_cd_m2, land_cd_m2, aims)
}

/// The settings that place the sky at a shutter time that is given, seconds.
///
/// As [`plan_exposure`], but only the ISO is free.
pub fn exposure_at(
    optics: &Optics,
    shutter_s: f64,
    sky_cd_m2: f64,
    land_cd_m2: f64,
    aims: &ExposureAims,
) -> Exposure {
    let (sky_ev100, land_ev100) = (metered_ev100(sky_cd_m2), metered_ev100(land_cd_m2));
    let wanted_ev100 = sky_ev100 - placement(aims.sky_placement_stops);
    let exact_iso = iso_for(optics.f_number(), shutter_s, wanted_ev100);
    let iso = aims.iso.nearest(exact_iso);
    let settings_ev100 = ev100_of_settings(optics.f_number(), shutter_s, f64::from(iso));
    Exposure {
        f_number: optics.f_number(),
        shutter_s,
        iso,
        exact_iso,
        reach: aims.iso.reach(exact_iso),
        settings_ev100,
        sky_ev100,
        land_ev100,
        sky_placement_stops: sky_ev100 - settings_ev100,
        land_placement_stops: land_ev100 - settings_ev100,
    }
}

/// The settings of one of many frames, whose shutter time is given unless the
/// sky is too bright for it.
///
/// As [`exposure_at`], and as [`plan_exposure`] where the lowest ISO leaves the
/// sky too bright.
pub fn exposure_within(
    optics: &Optics,
    longest_shutter_s: f64,
    sky_cd_m2: f64,
    land_cd_m2: f64,
    aims: &ExposureAims,
) -> Exposure {
    let longest = exposure_at(optics, longest_shutter_s, sky_cd_m2, land_cd_m2, aims);
    match longest.reach {
        Reach::TooBright { .. } => {
            plan_exposure(optics, longest_shutter_s, sky_cd_m2, land_cd_m2, aims)
        }
        _ => longest,
    }
}

/// What a meter reads off a luminance (cd/m2, held to 1e-9..1e6), EV100.
pub(super) fn metered_ev100(cd_m2: f64) -> f64 {
    ev100_of_luminance(cd_m2.clamp(1e-9, 1e6))
}

/// A placement that settings are worked out for, stops from mid-tone.
pub(super) fn placement(stops: f64) -> f64 {
    stops.clamp(-20.0, 20.0)
}

/// The ISO at which settings show an exposure value: ISO 2720:1974.
pub(super) fn iso_for(f_number: f64, shutter_s: f64, ev100: f64) -> f64 {
    // Settings at ISO 100 show their own EV; each stop below wants one of ISO.
    100.0 * (ev100_of_settings(f_number, shutter_s, 100.0) - ev100).exp2()
}
