//! Eclipses of the Moon.

use super::{Ephemeris, Moment, Quarter, bright_limb::limb_angle_deg, separation_deg, sky::Sky};

/// How deep the Moon goes into the Earth's shadow.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum EclipseKind {
    /// Only the outer shadow; hardly seen.
    Penumbral,
    /// Part of the disc in the umbra.
    Partial,
    /// The whole disc in the umbra.
    Total,
}

/// An eclipse of the Moon.
///
/// Shadow by Danjon's rule as in Espenak & Meeus, *Five Millennium Canon of
/// Lunar Eclipses*, NASA/TP-2009-214172 (2009): the Moon's parallax enlarged by
/// 1.01. Catalogues that enlarge the shadow by 1/50 give umbral magnitudes
/// greater by 0.003 to 0.008.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct Eclipse {
    /// How deep.
    pub kind: EclipseKind,
    /// When the Moon's centre is nearest to the axis of the shadow.
    pub greatest: Moment,
    /// Share of the Moon's diameter in the umbra at greatest eclipse; negative
    /// where the umbra is missed.
    pub umbral_magnitude: f64,
    /// Share of the Moon's diameter in the penumbra at greatest eclipse.
    pub penumbral_magnitude: f64,
    /// When the Moon touches the penumbra first and last.
    pub penumbral: [Moment; 2],
    /// When the Moon touches the umbra first and last.
    pub partial: Option<[Moment; 2]>,
    /// When the whole disc goes into the umbra and when it leaves.
    pub total: Option<[Moment; 2]>,
}

// Equatorial radius of the Earth (WGS84); Sun and Moon as in the IAU's
// nominal values (IAU 2015 resolution B3) and its 2009 report.
const EARTH_RADIUS_KM: f64 = 6378.137;
const SUN_RADIUS_KM: f64 = 695_700.0;
use super::events::MOON_RADIUS_KM;
const DANJON: f64 = 1.01;
/// No eclipse is farther than this from the full Moon or lasts longer to either
/// side of its middle, seconds.
const HALF_SEARCH: f64 = 4.0 * 3600.0;

/// Angles that determine an eclipse, degrees.
struct Shadow {
    axis: f64,
    umbra: f64,
    penumbra: f64,
    moon: f64,
}

impl Shadow {
    /// Share of the Moon's diameter within a shadow of this radius, degrees.
    fn magnitude(&self, radius: f64) -> f64 {
        (radius + self.moon - self.axis) / (2.0 * self.moon)
    }
}

/// How deep the Moon stands in the Earth's shadow at an instant.
///
/// Shares of its diameter as in [`Eclipse`]: negative outside, over 1 for a
/// disc that is wholly inside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShadowMagnitudes {
    /// In the umbra.
    pub umbral: f64,
    /// In the penumbra.
    pub penumbral: f64,
}

/// Where the edge of the umbra lies over the Moon's disc as seen from a place.
///
/// Lengths are in radii of the disc, so that they hold whatever its size on the
/// paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UmbraOnDisc {
    /// Radius of the umbra.
    pub radius: f64,
    /// From the middle of the disc to the middle of the umbra.
    pub distance: f64,
    /// Which way the umbra's middle lies, degrees clockwise from straight up.
    pub from_zenith_deg: f64,
}

impl UmbraOnDisc {
    /// Share of the Moon's diameter in the umbra, as in [`ShadowMagnitudes`].
    pub fn magnitude(&self) -> f64 {
        0.5 * (self.radius + 1.0 - self.distance)
    }
}

impl Sky<'_> {
    /// The umbra over the Moon's disc, by the shadow of [`Eclipse`]; `None`
    /// while it does not touch the disc.
    ///
    /// The shadow's axis is taken where the Moon is, so the parallax of the place
    /// moves both alike.
    pub fn umbra_on_disc(&self, moment: Moment) -> Option<UmbraOnDisc> {
        let shadow = self.ephemeris().shadow(moment.seconds());
        let (sun, moon) = (
            self.ephemeris().sun_km(moment),
            self.ephemeris().moon_km(moment),
        );
        let frame = self.observer().frame_at(moment);
        let axis = frame.body(-sun * (moon.length() / sun.length()));
        let clockwise = 360.0 - limb_angle_deg(frame.body(moon), axis, glam::DVec3::Z);
        let umbra = UmbraOnDisc {
            radius: shadow.umbra / shadow.moon,
            distance: shadow.axis / shadow.moon,
            from_zenith_deg: clockwise.rem_euclid(360.0),
        };
        (umbra.magnitude() > 0.0).then_some(umbra)
    }
}

impl Ephemeris {
    /// How deep the Moon stands in the Earth's shadow, by the shadow of
    /// [`Eclipse`].
    ///
    /// For any moment within the span; far from a full Moon both are merely
    /// negative.
    pub fn shadow_magnitudes(&self, moment: Moment) -> ShadowMagnitudes {
        let shadow = self.shadow(moment.seconds());
        ShadowMagnitudes {
            umbral: shadow.magnitude(shadow.umbra),
            penumbral: shadow.magnitude(shadow.penumbra),
        }
    }

    fn shadow(&self, time: f64) -> Shadow {
        let moment = Moment::from_seconds(time);
        let (sun, moon) = (self.sun_km(moment), self.moon_km(moment));
        let angle = |radius: f64, distance: f64| (radius / distance).asin().to_degrees();
        let moon_parallax = angle(EARTH_RADIUS_KM, moon.length());
        let sun_parallax = angle(EARTH_RADIUS_KM, sun.length());
        let sun_radius = angle(SUN_RADIUS_KM, sun.length());
        Shadow {
            axis: separation_deg(-sun, moon),
            umbra: DANJON * moon_parallax + sun_parallax - sun_radius,
            penumbra: DANJON * moon_parallax + sun_parallax + sun_radius,
            moon: angle(MOON_RADIUS_KM, moon.length()),
        }
    }

    /// Every lunar eclipse whose greatest phase falls from `from` to `to`,
    /// within the span.
    pub fn lunar_eclipses(&self, from: Moment, to: Moment) -> Vec<Eclipse> {
        // The full Moon may fall on the other side of an end.
        let widened = [-HALF_SEARCH, HALF_SEARCH];
        self.quarters(from.plus_seconds(widened[0]), to.plus_seconds(widened[1]))
            .into_iter()
            .filter(|(quarter, _)| *quarter == Quarter::Full)
            .filter_map(|(_, full)| self.eclipse_near(full.seconds()))
            .filter(|eclipse| from <= eclipse.greatest && eclipse.greatest <= to)
            .collect()
    }

    fn eclipse_near(&self, full: f64) -> Option<Eclipse> {
        let greatest = self.least_axis(full - HALF_SEARCH, full + HALF_SEARCH);
        let shadow = self.shadow(greatest);
        let (umbral, penumbral) = (
            shadow.magnitude(shadow.umbra),
            shadow.magnitude(shadow.penumbra),
        );
        if penumbral <= 0.0 {
            return None;
        }
        let contacts = |depth: fn(&Shadow) -> f64| {
            [-HALF_SEARCH, HALF_SEARCH].map(|side| {
                let (mut inside, mut outside) = (greatest, greatest + side);
                for _ in 0..40 {
                    let middle = 0.5 * (inside + outside);
                    if depth(&self.shadow(middle)) >= 0.0 {
                        inside = middle;
                    } else {
                        outside = middle;
                    }
                }
                Moment::from_seconds(inside)
            })
        };
        Some(Eclipse {
            kind: match umbral {
                m if m >= 1.0 => EclipseKind::Total,
                m if m > 0.0 => EclipseKind::Partial,
                _ => EclipseKind::Penumbral,
            },
            greatest: Moment::from_seconds(greatest),
            umbral_magnitude: umbral,
            penumbral_magnitude: penumbral,
            penumbral: contacts(|s| s.penumbra + s.moon - s.axis),
            partial: (umbral > 0.0).then(|| contacts(|s| s.umbra + s.moon - s.axis)),
            total: (umbral >= 1.0).then(|| contacts(|s| s.umbra - s.moon - s.axis)),
        })
    }

    /// The time of least distance from the shadow's axis in `low..=high`, by
    /// golden section: the distance has one minimum there.
    fn least_axis(&self, mut low: f64, mut high: f64) -> f64 {
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        let mut a = high - GOLDEN * (high - low);
        let mut b = low + GOLDEN * (high - low);
        let (mut at_a, mut at_b) = (self.shadow(a).axis, self.shadow(b).axis);
        while high - low > 0.5 {
            if at_a < at_b {
                (high, b, at_b) = (b, a, at_a);
                a = high - GOLDEN * (high - low);
                at_a = self.shadow(a).axis;
            } else {
                (low, a, at_a) = (a, b, at_b);
                b = low + GOLDEN * (high - low);
                at_b = self.shadow(b).axis;
            }
        }
        0.5 * (low + high)
    }
}
