//! How the settings change through a series of frames.

use crate::{
    ephemeris::Moment,
    light::{Exposure, ExposureAims, Optics, exposure_within},
    search::{PlanError, Planner},
};

/// Instants looked at, both ends among them. The project's choice: of an hour
/// every minute, of a night every ten.
const INSTANTS: u32 = 61;

/// The settings at the beginning and the end of a series, and between them.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LightChange {
    /// The first frame's instant.
    pub from: Moment,
    /// Its settings.
    pub first: Exposure,
    /// The last frame's instant.
    pub to: Moment,
    /// Its settings.
    pub last: Exposure,
    /// The lowest and the highest ISO of the whole series.
    pub iso: [u32; 2],
}

impl LightChange {
    /// The settings that place the sky behind the target through `seconds` from
    /// an instant, with a camera that stays as it is.
    ///
    /// # Errors
    ///
    /// An instant outside the planner's season.
    pub fn through(
        planner: &Planner,
        from: Moment,
        seconds: f64,
        optics: &Optics,
        longest_shutter_s: f64,
        aims: &ExposureAims,
    ) -> Result<Self, PlanError> {
        let settings = |moment| -> Result<Exposure, PlanError> {
            let light = planner.at(moment)?.light;
            let (sky, land) = (light.sky_cd_m2, light.land_cd_m2);
            Ok(exposure_within(optics, longest_shutter_s, sky, land, aims))
        };
        let to = from.plus_seconds(seconds);
        let (first, last) = (settings(from)?, settings(to)?);
        let mut iso = [first.iso.min(last.iso), first.iso.max(last.iso)];
        for step in 1..INSTANTS - 1 {
            let part = f64::from(step) / f64::from(INSTANTS - 1);
            let between = settings(from.plus_seconds(part * seconds))?;
            iso = [iso[0].min(between.iso), iso[1].max(between.iso)];
        }
        Ok(Self {
            from,
            first,
            to,
            last,
            iso,
        })
    }
}
