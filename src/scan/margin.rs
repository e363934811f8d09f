//! Rules as margins: continuous functions of time, positive where the rule
//! holds, that know how fast they can change.
//!
//! Everything is written on direction vectors in the local frame. An altitude
//! band compares the vertical component with the sine of a threshold. An
//! azimuth band is a wedge between two vertical planes, and the margin is the
//! component square to the nearer one: no arctangent, no seam at north, no
//! special case near the zenith.

use super::{
    ridge::{Ridge, Terrain},
    rule_name::RuleName,
    rules::{NO_MOON, Rules},
    sweep::Part,
};
use crate::{
    ephemeris::{Bounded, LocalVector, Reading, SKY_RATE, Sky},
    scene::{AzimuthBand, Band, Facing, Side},
};

/// One rule of the sky, made ready for a place.
#[derive(Debug, Clone)]
pub(crate) struct Margin<'a> {
    pub name: RuleName,
    test: Test<'a>,
}

#[derive(Debug, Clone)]
enum Test<'a> {
    Sun(Limits),
    Fraction(Limits),
    TargetUp(Limits),
    MoonUp(Limits),
    TargetAzimuth(Sector),
    TargetOffset(Direction, Sector),
    Light(Direction, Vec<Sector>),
    ArchUp(Limits),
    ArchOffset(Direction, Sector),
    Tilt(Band),
    TargetClear(Ridge<'a>),
    MoonClear(Ridge<'a>),
}

/// Where the camera looks, as a margin needs it.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Direction {
    /// East and north components of a fixed bearing.
    Fixed { east: f64, north: f64 },
    /// The target's own direction.
    Target,
    /// That of the arch's highest point.
    Arch,
}

impl Direction {
    /// A fixed true bearing, degrees.
    pub fn bearing(bearing_deg: f64) -> Self {
        let (east, north) = bearing_deg.to_radians().sin_cos();
        Self::Fixed { east, north }
    }

    /// The direction that a facing means where the subject stands at
    /// `subject_bearing_deg`.
    pub fn of(facing: Facing, subject_bearing_deg: Option<f64>) -> Self {
        match facing {
            Facing::Bearing(bearing) => Self::bearing(bearing),
            Facing::Subject => subject_bearing_deg.map_or(Self::Target, Self::bearing),
            Facing::Target => Self::Target,
            Facing::Arch => Self::Arch,
        }
    }
}

/// A band of sines or fractions; an end that is always kept is `None`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    low: Option<f64>,
    high: Option<f64>,
}

impl Limits {
    /// From altitudes in degrees.
    pub(super) fn of_altitudes(band: Band, geometric: impl Fn(f64) -> f64) -> Self {
        let sine = |altitude: f64| geometric(altitude).to_radians().sin();
        Self {
            low: (band.low > -90.0).then(|| sine(band.low)),
            high: (band.high < 90.0).then(|| sine(band.high)),
        }
    }

    fn of_fractions(band: Band) -> Self {
        Self {
            low: (band.low > 0.0).then_some(band.low),
            high: (band.high < 1.0).then_some(band.high),
        }
    }

    #[inline]
    pub(super) fn read(self, quantity: Bounded) -> Reading {
        let low = self
            .low
            .map(|low| (quantity - Bounded::constant(low)).reading());
        let high = self
            .high
            .map(|high| (Bounded::constant(high) - quantity).reading());
        match (low, high) {
            (Some(low), Some(high)) => low.and(high),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => Reading::constant(1.0),
        }
    }
}

/// A sector of azimuths, clockwise from one vertical plane to another, counted
/// from some direction.
#[derive(Debug, Clone, Copy)]
struct Sector {
    /// Sine and cosine of its beginning.
    from: (f64, f64),
    /// Sine and cosine of its end.
    to: (f64, f64),
    /// Whether it is wider than a half circle.
    wide: bool,
    /// Whether it is the whole circle.
    whole: bool,
}

impl Sector {
    fn new(from_deg: f64, width_deg: f64) -> Self {
        Self {
            from: from_deg.to_radians().sin_cos(),
            to: (from_deg + width_deg).to_radians().sin_cos(),
            wide: width_deg > 180.0,
            whole: width_deg >= 360.0,
        }
    }

    /// From offsets, left negative, -180 to 180.
    fn of_offsets(band: Band) -> Self {
        let (low, high) = (band.low.max(-180.0), band.high.min(180.0));
        Self::new(low, high - low)
    }

    fn of_azimuths(band: AzimuthBand) -> Self {
        Self::new(band.from_deg, band.width_deg)
    }

    /// The margin of a direction whose sine and cosine relative to the
    /// sector's zero are given, both times the same positive length.
    #[inline]
    fn read(self, sine: Bounded, cosine: Bounded, bound: impl Fn(Bounded) -> Bounded) -> Reading {
        if self.whole {
            return Reading::constant(1.0);
        }
        let past = |(s, c): (f64, f64)| bound(sine * c - cosine * s).reading();
        let after_start = past(self.from);
        let before_end = past(self.to).negated();
        if self.wide {
            after_start.or(before_end)
        } else {
            after_start.and(before_end)
        }
    }
}

/// The light's sectors around the facing direction.
fn light_sectors(angle: Band, side: Side) -> Vec<Sector> {
    let (low, high) = (angle.low.max(0.0), angle.high.min(180.0));
    let right = Sector::new(low, high - low);
    let left = Sector::new(-high, high - low);
    match side {
        Side::Right => vec![right],
        Side::Left => vec![left],
        // One sector where the two would touch, so that no edge is made in
        // the middle of what is allowed.
        Side::Either if low == 0.0 => vec![Sector::new(-high, 2.0 * high)],
        Side::Either if high == 180.0 => vec![Sector::new(low, 360.0 - 2.0 * low)],
        Side::Either => vec![right, left],
    }
}

impl<'a> Margin<'a> {
    /// The sky's rules in force, cheapest and most often broken first, as far
    /// as they belong to `part`.
    pub fn of_rules(
        rules: &Rules,
        sky: &Sky<'_>,
        facing: Direction,
        terrain: Terrain<'a>,
        part: Part,
    ) -> Vec<Self> {
        let air = sky.refraction();
        let apparent = |band: Band| Limits::of_altitudes(band, |h| air.true_deg(h));
        let geometric = |band: Band| Limits::of_altitudes(band, |h| h);
        let offsets = |band: Band| (facing, Sector::of_offsets(band));
        let (target, moon) = (part != Part::Land, part != Part::Dark);
        let sidelit = rules.light.is_sidelit();
        let light = rules.light_angle.is_some() || rules.light_side != Side::Either;
        let light_angle = rules.light_angle.unwrap_or(Band::new(0.0, 180.0));
        let moon_altitude = match part {
            Part::Dark => Some(NO_MOON),
            Part::All | Part::Land => rules.moon_altitude,
        };
        let tests = [
            rules.moon_fraction.filter(|_| moon).map(|band| {
                (
                    RuleName::MoonFraction,
                    Test::Fraction(Limits::of_fractions(band)),
                )
            }),
            Some((
                RuleName::SunAltitude,
                Test::Sun(geometric(rules.sun_altitude)),
            )),
            moon_altitude.map(|band| (RuleName::MoonAltitude, Test::MoonUp(apparent(band)))),
            target.then(|| {
                let band = apparent(rules.core_altitude);
                (RuleName::CoreAltitude, Test::TargetUp(band))
            }),
            rules.core_azimuth.filter(|_| target).map(|band| {
                let sector = Sector::of_azimuths(band);
                (RuleName::CoreAzimuth, Test::TargetAzimuth(sector))
            }),
            rules.core_offset.filter(|_| target).map(|band| {
                let (facing, sector) = offsets(band);
                (RuleName::CoreOffset, Test::TargetOffset(facing, sector))
            }),
            (moon && light).then(|| {
                let sectors = light_sectors(light_angle, rules.light_side);
                (RuleName::LightAngle, Test::Light(facing, sectors))
            }),
            rules
                .arch_altitude
                .filter(|_| target)
                .map(|band| (RuleName::ArchAltitude, Test::ArchUp(geometric(band)))),
            rules.arch_offset.filter(|_| target).map(|band| {
                let (facing, sector) = offsets(band);
                (RuleName::ArchOffset, Test::ArchOffset(facing, sector))
            }),
            rules
                .tilt
                .filter(|_| target)
                .map(|band| (RuleName::Tilt, Test::Tilt(band))),
            terrain.camera.filter(|_| target).map(|horizon| {
                let ridge = Ridge::new(horizon);
                (RuleName::CoreRidge, Test::TargetClear(ridge))
            }),
            // Only a Moon that is to light the land must reach it.
            terrain.subject.filter(|_| moon && sidelit).map(|horizon| {
                let ridge = Ridge::new(horizon);
                (RuleName::MoonRidge, Test::MoonClear(ridge))
            }),
        ];
        tests
            .into_iter()
            .flatten()
            .map(|(name, test)| Self { name, test })
            .collect()
    }

    /// The margin at `t`, UTC seconds since 2000-01-01T12:00:00.
    pub fn read(&self, sky: &Sky<'_>, t: f64) -> Reading {
        match &self.test {
            Test::Sun(band) => band.read(sky.sun_up(t)),
            Test::Fraction(band) => band.read(sky.span().moon_fraction(t)),
            Test::TargetUp(band) => band.read(sky.target(t).up),
            Test::MoonUp(band) => band.read(sky.moon(t).0.up),
            Test::TargetAzimuth(sector) => {
                let target = sky.target(t);
                sector.read(target.east, target.north, as_component_of(target))
            }
            Test::TargetOffset(direction, sector) => {
                around(*direction, &[*sector], sky, t, sky.target(t))
            }
            Test::Light(direction, sectors) => around(*direction, sectors, sky, t, sky.moon(t).0),
            Test::ArchUp(band) => arch_altitude(*band, sky.galactic_pole(t).up),
            Test::ArchOffset(direction, sector) => {
                let pole = sky.galactic_pole(t);
                let top = LocalVector {
                    east: -(pole.up * pole.east),
                    north: -(pole.up * pole.north),
                    up: pole.up,
                };
                around_moving(*direction, &[*sector], sky, t, top)
            }
            Test::Tilt(band) => tilt(*band, sky, t),
            Test::TargetClear(ridge) => ridge.read(sky.refraction(), sky.target(t)),
            Test::MoonClear(ridge) => ridge.read(sky.refraction(), sky.moon(t).0),
        }
    }
}

/// Bounds for a combination `sine * a + cosine * b` with `a2 + b2 = 1` of the
/// horizontal components of a unit vector: it is itself such a component.
fn as_component_of(vector: LocalVector) -> impl Fn(Bounded) -> Bounded {
    move |combination| Bounded {
        slack: vector.east.slack,
        most: vector.east.most,
        fastest: vector.east.fastest,
        sharpest: vector.east.sharpest,
        ..combination
    }
}

/// The margin of a body's azimuth in sectors counted from a direction.
fn around(
    direction: Direction,
    sectors: &[Sector],
    sky: &Sky<'_>,
    t: f64,
    body: LocalVector,
) -> Reading {
    match direction {
        Direction::Fixed { east, north } => {
            let sine = body.east * north - body.north * east;
            let cosine = body.east * east + body.north * north;
            any_of(sectors, sine, cosine, as_component_of(body))
        }
        Direction::Target | Direction::Arch => around_moving(direction, sectors, sky, t, body),
    }
}

/// The same with bounds that follow from the products alone.
fn around_moving(
    direction: Direction,
    sectors: &[Sector],
    sky: &Sky<'_>,
    t: f64,
    body: LocalVector,
) -> Reading {
    let (east, north) = match direction {
        Direction::Fixed { east, north } => (Bounded::constant(east), Bounded::constant(north)),
        Direction::Target => {
            let target = sky.target(t);
            (target.east, target.north)
        }
        Direction::Arch => {
            // The highest point stands opposite the galactic pole that is
            // above the horizon. Times the pole's height, so that the product
            // goes through zero where the arch passes the zenith and its
            // highest point jumps to the other side.
            let pole = sky.galactic_pole(t);
            (-(pole.up * pole.east), -(pole.up * pole.north))
        }
    };
    let sine = body.east * north - body.north * east;
    let cosine = body.east * east + body.north * north;
    any_of(sectors, sine, cosine, |combination| combination)
}

fn any_of(
    sectors: &[Sector],
    sine: Bounded,
    cosine: Bounded,
    bound: impl Fn(Bounded) -> Bounded,
) -> Reading {
    sectors
        .iter()
        .map(|sector| sector.read(sine, cosine, &bound))
        .reduce(Reading::or)
        .unwrap_or(Reading::constant(-1.0))
}

/// The arch's highest point stands as high as the galactic pole is far from
/// the zenith or nadir: its sine is the pole's horizontal part, so its altitude
/// is at least A where |pole's height| is at most cos A.
fn arch_altitude(band: Limits, pole_up: Bounded) -> Reading {
    let cosine = |sine: f64| Bounded::constant((1.0 - sine * sine).max(0.0).sqrt());
    // No arch is lower than the horizon.
    let low = band.low.filter(|sine| *sine > 0.0).map(|sine| {
        let limit = cosine(sine);
        (limit - pole_up).reading().and((limit + pole_up).reading())
    });
    let high = band.high.map(|sine| {
        if sine < 0.0 {
            return Reading::constant(-1.0);
        }
        let limit = cosine(sine);
        (pole_up - limit).reading().or((-pole_up - limit).reading())
    });
    match (low, high) {
        (Some(low), Some(high)) => low.and(high),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => Reading::constant(1.0),
    }
}

/// Tilt at least A where |cos tilt| is at most cos A, with
/// `cos tilt = (p_z - u_z (p.u)) / (|z x u| |p x u|)` for target u and galactic
/// pole p; multiplied out, so that nothing is divided by what can vanish.
fn tilt(band: Band, sky: &Sky<'_>, t: f64) -> Reading {
    let (target, pole) = (sky.target(t), sky.galactic_pole(t));
    // The sky turns as a whole, so p.u stays: it is the sine of the target's
    // galactic latitude, aberration included.
    let latitude_sine = target.east.value * pole.east.value
        + target.north.value * pole.north.value
        + target.up.value * pole.up.value;
    let latitude_cosine = (1.0 - latitude_sine * latitude_sine).max(0.0).sqrt();
    let level = target
        .up
        .value
        .mul_add(-target.up.value, 1.0)
        .max(0.0)
        .sqrt();
    let along = (pole.up.value - target.up.value * latitude_sine).abs();
    // Heights change at most at the sky's rate, and so does |z x u|.
    let fastest = SKY_RATE * 1.001 * (1.0 + latitude_sine.abs() + latitude_cosine);
    let reading = |margin: f64| Reading {
        margin,
        safe_seconds: margin.abs() / fastest,
    };
    let beyond =
        |degrees: f64| reading(degrees.to_radians().cos() * level * latitude_cosine - along);
    match (band.low > 0.0, band.high < 90.0) {
        (true, true) => beyond(band.low).and(beyond(band.high).negated()),
        (true, false) => beyond(band.low),
        (false, true) => beyond(band.high).negated(),
        (false, false) => Reading::constant(1.0),
    }
}
