//! Sky and light at the instants of a planner.

use super::planner::Planner;
use crate::{
    ephemeris::{LightGeometry, Moment},
    light::{
        Assessment, LandRange, LightInput, assess, land_light, land_light::reflectance_from_frame,
    },
    rule::Conditions,
};

impl Planner {
    /// Sky and light at a moment within the season.
    pub(crate) fn instant_at(&self, moment: Moment) -> Conditions {
        self.instant(moment, None, |input| (assess(input), ())).0
    }

    /// The same, and how sure its balance of land and sky is.
    pub(super) fn instant_with_range(&self, moment: Moment) -> (Conditions, LandRange) {
        let lit = |input: &LightInput| self.lighting.assessment_with_range(input);
        self.instant(moment, None, lit)
    }

    /// Sky and light at `moment` for a camera that faces one bearing.
    pub(crate) fn at_facing(&self, moment: Moment, facing_deg: f64) -> Conditions {
        self.instant(moment, Some(facing_deg), |input| (assess(input), ()))
            .0
    }

    /// An instant whose light `lit` makes of what it depends on, and what it
    /// tells beside it.
    fn instant<T>(
        &self,
        moment: Moment,
        facing_deg: Option<f64>,
        lit: impl Fn(&LightInput) -> (Assessment, T),
    ) -> (Conditions, T) {
        let sky = self.sky().at(moment);
        let geometry = LightGeometry::from(&sky);
        let facing_deg = facing_deg.unwrap_or_else(|| self.facing_deg(&geometry));
        let (light, beside) = lit(&self.light_input(&geometry, facing_deg));
        let instant = Conditions {
            sky,
            target: self.rules.target,
            facing_deg,
            light,
        };
        (instant, beside)
    }

    /// How sure the balance of land and sky of an instant is.
    pub fn land_range(&self, instant: &Conditions) -> LandRange {
        let sky = LightGeometry::from(&instant.sky);
        self.lighting
            .land_range(&self.light_input(&sky, instant.facing_deg))
    }

    /// The reflectance of the land by a frame taken at an instant: from the stops
    /// from the sky behind the target up to the land in the frame. `None` where
    /// no reflectance from 0.01 to 1 gives that frame. See
    /// [`reflectance_from_frame`].
    pub fn reflectance_of_frame(&self, instant: &Conditions, stops: f64) -> Option<f64> {
        let sky = LightGeometry::from(&instant.sky);
        let land = land_light(&self.light_input(&sky, instant.facing_deg));
        reflectance_from_frame(
            stops,
            instant.light.sky_cd_m2,
            land.ground_lux,
            land.upright_without_bounce_lux,
        )
    }
}
