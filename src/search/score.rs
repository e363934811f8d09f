//! How good a window is, and why.
//!
//! A score is a weighted geometric mean of factors between 0 and 1, times 100:
//! a factor near 0 pulls the score down, as one fault spoils a frame. The forms
//! and weights are this project's choice, after common practice;
//! `docs/model.md` gives the reasons.

use super::frame_plan::FramedAs;
use crate::{
    light::{Assessment, ScoredLight, moon_disc, moonlight},
    rule::{LIGHT_ANGLE, MOON_ALTITUDE, Rules, TARGET_ALTITUDE, TARGET_OFFSET},
    scene::{Band, LightKind, Weights},
};

/// What a score is made of, each 0 to 1; `None` where it has no meaning for
/// the kind of light asked for.
#[derive(Debug, Clone, Copy, PartialEq, Default, serde::Serialize)]
#[non_exhaustive]
pub struct Factors {
    /// The Milky Way's contrast against the sky, 1 from a natural sky's on;
    /// `None` also where the Milky Way's brightness is not known.
    pub contrast: Option<f64>,
    /// How nearly one exposure holds land and sky: 1 where the land is a stop
    /// darker, 0.61 at two stops to either side of that. With the Moon as target
    /// how nearly one exposure holds its disc and the land, see
    /// [`moon_disc::one_exposure`].
    pub balance: Option<f64>,
    /// How well the light rakes: from its angle, the Moon's altitude and the
    /// depth of the shadows.
    pub raking: Option<f64>,
    /// Whether one frame holds land and target: 1 in one frame, 0.5 in a
    /// panorama, 0.05 in neither; `None` where the site's camera is not known.
    pub framing: Option<f64>,
    /// How far inside the altitudes and offsets asked for the target stands.
    pub position: Option<f64>,
    /// How much time there is, in the window or, where the best instant is in it,
    /// in the part in which one frame does: 0.63 at one hour, with the Moon as
    /// target at ten minutes.
    pub length: Option<f64>,
}

impl Factors {
    /// The score, 0 to 100.
    pub fn score(&self, weights: &Weights) -> f64 {
        let parts = [
            (self.contrast, weights.contrast),
            (self.balance, weights.balance),
            (self.raking, weights.raking),
            (self.framing, weights.framing),
            (self.position, weights.position),
            (self.length, weights.length),
        ];
        let (mut logarithms, mut sum) = (0.0, 0.0);
        for (factor, weight) in parts {
            if let Some(factor) = factor.filter(|_| weight > 0.0) {
                logarithms += weight * factor.max(f64::MIN_POSITIVE).ln();
                sum += weight;
            }
        }
        if sum > 0.0 {
            100.0 * (logarithms / sum).exp()
        } else {
            100.0
        }
    }
}

impl Factors {
    /// The score of a window under some rules, 0 to 100: that of its factors,
    /// times what its kind of light is worth beside the others asked for.
    pub fn score_under(&self, rules: &Rules) -> f64 {
        rules.preference * self.score(&rules.weights)
    }
}

/// Land against sky that looks best, stops: brighter land looks like day.
const BEST_BALANCE_STOPS: f64 = -1.0;
/// Stops from the best balance at which its factor has fallen to 0.61.
const BALANCE_STOPS: f64 = 2.0;
/// A shadow of this depth shows to 0.63, stops; one of three times that to
/// 0.95.
const SHADOW_STOPS: f64 = 1.0 / 3.0;
/// Altitude at which a Moon rakes best, degrees.
const RAKING_ALTITUDE_DEG: f64 = 10.0;
/// A target at least this far inside the altitudes asked for gets full marks.
const ROOM_DEG: f64 = 20.0;
/// Position on the very edge of what was asked for: allowed, half as good.
const EDGE: f64 = 0.5;
/// Minutes after which more time gains little.
const LENGTH_MINUTES: f64 = 60.0;
/// The same for a Moon beside a subject, which it passes in minutes.
const MOON_LENGTH_MINUTES: f64 = 10.0;

/// How well light from `angle_deg` off the camera direction and `altitude_deg`
/// up rakes the land, 0 to 1.
///
/// The part of the light that comes from the side, sin(angle), times a bell
/// over the logarithm of the altitude: 1 at 10 degrees, 0.79 at 5 and 20, 0.55
/// at 30, 0.48 at 3. Low light shows texture; even lower it is dim and ridges
/// block it. Common practice, no source.
pub fn raking_quality(angle_deg: f64, altitude_deg: f64) -> f64 {
    if altitude_deg <= 0.0 {
        return 0.0;
    }
    let bell = (-0.5 * (altitude_deg / RAKING_ALTITUDE_DEG).ln().powi(2)).exp();
    angle_deg.to_radians().sin().max(0.0) * bell
}

/// How well a shadow shows, 0 to 1, from its depth in stops: below a third of a
/// stop hardly. Common practice, no source.
pub fn shadow_quality(depth_stops: f64) -> f64 {
    -(-depth_stops.max(0.0) / SHADOW_STOPS).exp_m1()
}

/// How well the light of an instant rakes the land, 0 to 1.
pub(crate) fn raking_of(light: &ScoredLight, moon_altitude_deg: f64) -> f64 {
    raking_quality(light.signed_light_angle_deg.abs(), moon_altitude_deg)
        * shadow_quality(light.shadow_depth_stops)
}

/// One exposure for land and sky, 0 to 1, from the stops between them.
pub fn balance_quality(stops: f64) -> f64 {
    (-0.5 * ((stops - BEST_BALANCE_STOPS) / BALANCE_STOPS).powi(2)).exp()
}

/// The Milky Way's contrast as a factor, 0 to 1: more than a natural sky's is
/// no better.
pub fn contrast_quality(contrast: Option<f64>) -> Option<f64> {
    contrast.map(|contrast| contrast.clamp(0.0, 1.0))
}

/// 0.5 at the edge of a band, 1 well inside it.
fn inside(value: f64, band: Band, room: f64) -> f64 {
    let left = (value - band.low).min(band.high - value).max(0.0);
    EDGE + (1.0 - EDGE) * (left / room).min(1.0)
}

/// How a picture is framed as a factor: a panorama takes more time and more
/// work than one frame. The project's choice.
pub(crate) fn framing_quality(framed_as: FramedAs) -> f64 {
    match framed_as {
        FramedAs::One => 1.0,
        FramedAs::Panorama => 0.5,
        FramedAs::Neither => 0.05,
    }
}

/// How much time there is, 0 to 1.
pub(crate) fn length_quality(minutes: f64) -> f64 {
    1.0 - (-minutes / LENGTH_MINUTES).exp()
}

/// The same with the Moon as target.
fn moon_length_quality(minutes: f64) -> f64 {
    1.0 - (-minutes / MOON_LENGTH_MINUTES).exp()
}

/// One exposure for the Moon's disc and the land, 0 to 1; of a disc that rises
/// or sets in proportion to the part above the horizon.
fn moon_quality(light: &Assessment, moon_altitude_deg: f64) -> f64 {
    let radius_deg = moonlight::semi_diameter_deg(moonlight::MEAN_DISTANCE_KM);
    moon_disc::one_exposure(light.disc_over_land_stops(), light.disc_over_sky_stops())
        * moonlight::disc_above_horizon(moon_altitude_deg, radius_deg)
}

/// What the rules ask of one instant, as far as the score uses it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Aim {
    light: LightKind,
    of_moon: bool,
    altitude: Band,
    offset: Option<Band>,
    is_of_low_side_light: bool,
}

/// Up to this altitude a Moon is low, degrees: there its azimuth turns by less than
/// 18 degrees an hour.
const LOW_MOON_DEG: f64 = 30.0;
/// Light angles at which it comes from the side, degrees: the project's choice.
const FROM_THE_SIDE_DEG: [f64; 2] = [20.0, 160.0];

impl Aim {
    /// What some rules ask.
    pub fn of(rules: &Rules) -> Self {
        let whole_circle = |band: &Band| band.high - band.low >= 360.0;
        Self {
            light: rules.light,
            of_moon: rules.target.is_moon(),
            altitude: rules.get(&TARGET_ALTITUDE).unwrap_or(Band::ANY),
            offset: rules.get(&TARGET_OFFSET).filter(|band| !whole_circle(band)),
            is_of_low_side_light: {
                let [least, most] = FROM_THE_SIDE_DEG;
                let is_low = |band: Band| band.high <= LOW_MOON_DEG;
                let is_beside = |band: Band| least <= band.low && band.high <= most;
                rules.get(&MOON_ALTITUDE).is_some_and(is_low)
                    && rules.get(&LIGHT_ANGLE).is_some_and(is_beside)
            },
        }
    }

    /// How well the target stands in the altitudes and offsets asked for, 0.5
    /// (on the edge) to 1.
    pub fn position_quality(&self, altitude_deg: f64, offset_deg: f64) -> f64 {
        let band = self.altitude;
        // A band with an upper end is best in the middle.
        let room = (0.5 * (band.high - band.low)).clamp(1e-6, ROOM_DEG);
        let altitude = inside(altitude_deg, band, room);
        match self.offset {
            Some(band) => {
                let room = (0.5 * (band.high - band.low)).max(1e-6);
                (altitude * inside(offset_deg, band, room)).sqrt()
            }
            None => altitude,
        }
    }

    /// The factors of one instant of a window `minutes` long.
    pub fn factors(
        &self,
        light: &Assessment,
        moon_altitude_deg: f64,
        target_altitude_deg: f64,
        target_offset_deg: f64,
        minutes: f64,
    ) -> Factors {
        if !self.of_moon {
            return self.factors_by(
                &ScoredLight::from(light),
                moon_altitude_deg,
                target_altitude_deg,
                target_offset_deg,
                minutes,
            );
        }
        let position = self.position_quality(target_altitude_deg, target_offset_deg);
        Factors {
            balance: Some(moon_quality(light, moon_altitude_deg)),
            position: Some(position),
            length: Some(moon_length_quality(minutes)),
            ..Factors::default()
        }
    }

    /// The same where the Moon is not the target, from what they take from the
    /// light.
    pub fn factors_by(
        &self,
        light: &ScoredLight,
        moon_altitude_deg: f64,
        target_altitude_deg: f64,
        target_offset_deg: f64,
        minutes: f64,
    ) -> Factors {
        let moonlit = match self.light {
            LightKind::Raking => true,
            LightKind::Any => light.beam_lux > 0.0,
            LightKind::Dark | LightKind::Blend => false,
        };
        let raking = || raking_of(light, moon_altitude_deg);
        let contrast = light.milky_way_contrast;
        Factors {
            balance: moonlit.then(|| balance_quality(light.land_vs_sky_stops)),
            raking: (moonlit && self.light != LightKind::Any).then(raking),
            ..self.dark_factors(contrast, target_altitude_deg, target_offset_deg, minutes)
        }
    }

    /// Whether the target is the Moon.
    pub fn is_of_moon(&self) -> bool {
        self.of_moon
    }

    /// Whether the Moon may rise or set where the factors are asked for: it is the
    /// target, or any Moon will do.
    pub fn is_for_any_moon(&self) -> bool {
        self.of_moon || self.light == LightKind::Any
    }

    /// Whether the Moon stays low and well to the side of the camera direction
    /// wherever it lights the land.
    pub fn is_of_low_side_light(&self) -> bool {
        self.is_of_low_side_light
    }

    /// Whether the factors take no more from the light than the Milky Way's
    /// contrast.
    pub fn is_of_the_dark(&self) -> bool {
        !self.of_moon && matches!(self.light, LightKind::Dark | LightKind::Blend)
    }

    /// The factors of one instant of a dark window `minutes` long.
    pub fn dark_factors(
        &self,
        contrast: Option<f64>,
        target_altitude_deg: f64,
        target_offset_deg: f64,
        minutes: f64,
    ) -> Factors {
        Factors {
            contrast: contrast_quality(contrast),
            position: Some(self.position_quality(target_altitude_deg, target_offset_deg)),
            length: Some(length_quality(minutes)),
            ..Factors::default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn equal_factors_give_themselves_and_a_zero_pulls_down() {
        let all = |value| Factors {
            contrast: Some(value),
            balance: Some(value),
            raking: Some(value),
            framing: Some(value),
            position: Some(value),
            length: Some(value),
        };
        let weights = Weights::default();
        assert_abs_diff_eq!(all(0.7).score(&weights), 70.0, epsilon = 1e-9);
        assert_abs_diff_eq!(all(1.0).score(&weights), 100.0, epsilon = 1e-9);
        let spoiled = Factors {
            balance: Some(0.0),
            ..all(1.0)
        };
        assert!(spoiled.score(&weights) < 1e-10);
        let unweighted = Weights {
            balance: 0.0,
            ..weights
        };
        assert_abs_diff_eq!(spoiled.score(&unweighted), 100.0, epsilon = 1e-9);
    }

    #[test]
    fn raking_is_best_low_and_square() {
        assert_abs_diff_eq!(raking_quality(90.0, 10.0), 1.0, epsilon = 1e-12);
        assert_abs_diff_eq!(raking_quality(150.0, 10.0), 0.5, epsilon = 1e-12);
        assert_abs_diff_eq!(
            raking_quality(90.0, 5.0),
            raking_quality(90.0, 20.0),
            epsilon = 1e-12
        );
        assert!(raking_quality(90.0, 40.0) < raking_quality(90.0, 30.0));
        assert_eq!(raking_quality(90.0, -1.0), 0.0);
    }
}
