//! When the moonlight turns from one side to another.

use super::timetable::NightEvent;
use crate::{
    ephemeris::{Bounded, Sky, crossings},
    scene::{Facing, Side},
    search::{Interval, Planner},
};

/// When, in a period, the Moon is exactly 90 degrees to the side of the camera
/// direction, passes it (where the Moon is the target and the camera faces the
/// subject: passes over that), or passes behind the camera.
pub(super) fn light_turns(planner: &Planner, period: Interval) -> Vec<(f64, NightEvent)> {
    let sky = planner.sky();
    // A camera that follows the Moon has it straight ahead all the time.
    if sky.target_is_moon() && planner.rules().facing == Facing::Target {
        return Vec::new();
    }
    let facing = planner.rules().facing;
    let over_subject = sky.target_is_moon() && facing == Facing::Subject;
    let fixed_deg = match facing {
        Facing::Bearing(bearing) | Facing::Magnetic(bearing) => Some(bearing),
        Facing::Subject => planner.site().subject_bearing_deg(),
        Facing::Target | Facing::Arch => None,
    };
    let look = |t: f64| match fixed_deg {
        Some(bearing) => {
            let (east, north) = bearing.to_radians().sin_cos();
            (Bounded::constant(east), Bounded::constant(north))
        }
        None if facing == Facing::Arch => {
            // The arch is highest opposite the galactic pole that is above the
            // horizon.
            let pole = sky.galactic_pole(t);
            (-(pole.up * pole.east), -(pole.up * pole.north))
        }
        None => {
            let target = sky.target(t);
            (target.east, target.north)
        }
    };
    let ahead = |t: f64| part_ahead(&sky, &look, t);
    let right = |t: f64| part_right(&sky, &look, t);
    let mut turns = Vec::new();
    crossings(
        period.start,
        period.end,
        &mut |t: f64| ahead(t).reading(),
        |t| turns.push((t, true)),
    );
    crossings(
        period.start,
        period.end,
        &mut |t: f64| right(t).reading(),
        |t| turns.push((t, false)),
    );
    turns
        .into_iter()
        .map(|(t, square)| {
            let happening = match (square, ahead(t).value > 0.0, right(t).value > 0.0) {
                (true, _, true) => NightEvent::LightSquare(Side::Right),
                (true, _, false) => NightEvent::LightSquare(Side::Left),
                (false, true, _) if over_subject => NightEvent::MoonOverSubject,
                (false, true, _) => NightEvent::LightAhead,
                (false, false, _) => NightEvent::LightBehind,
            };
            (t, happening)
        })
        .collect()
}

/// The Moon's component along the camera direction: zero at 90 degrees to it.
fn part_ahead(sky: &Sky<'_>, look: &impl Fn(f64) -> (Bounded, Bounded), t: f64) -> Bounded {
    let (moon, (east, north)) = (sky.moon(t).0, look(t));
    moon.east * east + moon.north * north
}

/// The Moon's component to the right of it: zero ahead and behind.
fn part_right(sky: &Sky<'_>, look: &impl Fn(f64) -> (Bounded, Bounded), t: f64) -> Bounded {
    let (moon, (east, north)) = (sky.moon(t).0, look(t));
    moon.east * north - moon.north * east
}
