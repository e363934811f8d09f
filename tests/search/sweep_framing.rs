//! Framing and the solid subject, second by second.
//!
//! The yardstick shares no arithmetic with the search: it turns a camera with
//! rotation matrices, projects each point through its pinhole, and tries every
//! pitch (and, where the Moon counts, every bearing) that a camera can have.

use crate::common;

use common::Dice;
use rakelight::{
    Direction, Moment, Rules, Site, Subject, SubjectPlace,
    ephemeris::{Ephemeris, Observer, Sky, SkyState},
    rule::{
        Brief, CONTRAST, FACING, FRAMING, LIGHT, MOON_IN_FRAME, SUN_ALTITUDE, TARGET,
        TARGET_ALTITUDE, TARGET_OFFSET, TARGET_PLACE,
    },
    scene::{
        Band, Camera, Facing, Framing, LightKind, MoonInFrame, SubjectShape, TargetPlace, Zone,
    },
    search::{Interval, Night, Sweep, nights},
};
use rayon::prelude::*;

type Vector = [f64; 3];

fn unit(azimuth_deg: f64, altitude_deg: f64) -> Vector {
    let (a, h) = (azimuth_deg.to_radians(), altitude_deg.to_radians());
    [h.cos() * a.sin(), h.cos() * a.cos(), h.sin()]
}

fn around(a: f64, b: f64) -> f64 {
    (a - b + 180.0).rem_euclid(360.0) - 180.0
}

/// A camera as its pinhole: right, up and ahead as rows, and the tangents of
/// half its usable field.
struct Pinhole {
    rows: [Vector; 3],
    half: [f64; 2],
}

impl Pinhole {
    fn new(bearing_deg: f64, pitch_deg: f64, half: [f64; 2]) -> Self {
        let ahead = unit(bearing_deg, pitch_deg);
        let right = unit(bearing_deg + 90.0, 0.0);
        let up = unit(bearing_deg, pitch_deg + 90.0);
        Self {
            rows: [right, up, ahead],
            half,
        }
    }

    fn seen(&self, point: Vector) -> Vector {
        self.rows
            .map(|row| row.iter().zip(point).map(|(a, b)| a * b).sum::<f64>())
    }

    fn holds(&self, point: Vector) -> bool {
        let [x, y, z] = self.seen(point);
        z > 0.0 && (x / z).abs() <= self.half[0] && (y / z).abs() <= self.half[1]
    }

    /// Whether a disc about a point is all beyond one of the frame's sides.
    fn clears(&self, point: Vector, radius_deg: f64) -> bool {
        let [x, y, z] = self.seen(point);
        [(x, self.half[0]), (y, self.half[1])]
            .into_iter()
            .any(|(aside, half)| {
                // From the plane through the pinhole and that side.
                let beyond = (aside.abs() - half * z) / half.hypot(1.0);
                beyond >= radius_deg.to_radians().sin()
            })
    }
}

/// A way of holding the camera with its pitch, and how far it can turn to
/// either side of the land.
struct Held {
    half: [f64; 2],
    pitch_deg: f64,
    turn_deg: f64,
}

/// Every pitch of both holdings at which the land is in the frame.
fn held(camera: &Camera, foot_deg: f64, top_deg: f64, wide_deg: f64) -> (f64, Vec<Held>) {
    // A twentieth of the frame stays free at each edge.
    let usable = |side_mm: f64| 0.9 * side_mm / 2.0 / camera.focal_mm;
    let [w, h] = camera.sensor_mm.map(usable);
    let lowest = 2.0 * w.min(h).atan().to_degrees();
    let steps = [1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01];
    let step = steps.into_iter().find(|step| step * 24.0 <= lowest);
    let step: f64 = step.expect("a lens that is not too long");
    let mut all = Vec::new();
    for half in [[w, h], [h, w]] {
        let count = (90.0 / step).round() as i32;
        for pitch in -count..=count {
            let pitch_deg = f64::from(pitch) * step;
            let holds = |turn_deg: f64| {
                let pinhole = Pinhole::new(turn_deg, pitch_deg, half);
                [-wide_deg, wide_deg].iter().all(|side| {
                    pinhole.holds(unit(*side, foot_deg)) && pinhole.holds(unit(*side, top_deg))
                })
            };
            if !holds(0.0) {
                continue;
            }
            let (mut inside, mut outside) = (0.0, 180.0);
            for _ in 0..60 {
                let middle = 0.5 * (inside + outside);
                if holds(middle) {
                    inside = middle;
                } else {
                    outside = middle;
                }
            }
            all.push(Held {
                half,
                pitch_deg,
                turn_deg: inside,
            });
        }
    }
    (step, all)
}

struct Yardstick<'a> {
    rules: &'a Rules,
    shape: Option<SubjectShape>,
    facing_deg: Option<f64>,
    step: f64,
    held: Vec<Held>,
}

impl Yardstick<'_> {
    /// Whether one frame holds land and target, and the Moon as wanted.
    fn one(&self, offset: f64, altitude: f64, moon: Option<((f64, f64), bool)>) -> bool {
        self.held.iter().any(|held| {
            let inside = |turn_deg: f64, (azimuth, altitude): (f64, f64)| {
                Pinhole::new(turn_deg, held.pitch_deg, held.half).holds(unit(azimuth, altitude))
            };
            let toward = offset.clamp(-held.turn_deg, held.turn_deg);
            if !inside(toward, (offset, altitude)) {
                return false;
            }
            let Some((moon, wanted)) = moon else {
                return true;
            };
            // The Moon is out where all of it is out of the whole frame; its
            // disc at the nearest perigees is 33.5 arcminutes across.
            let whole = held.half.map(|half| half / 0.9);
            let suits = |turn_deg: f64| {
                if wanted {
                    return inside(turn_deg, moon);
                }
                let pinhole = Pinhole::new(turn_deg, held.pitch_deg, whole);
                pinhole.clears(
                    unit(moon.0, moon.1),
                    1_737.4f64.atan2(356_400.0).to_degrees(),
                )
            };
            let steps = (held.turn_deg / self.step).floor() as i32;
            let turns = (-steps..=steps).map(|step| f64::from(step) * self.step);
            turns
                .chain([-held.turn_deg, held.turn_deg, toward])
                .any(|turn| inside(turn, (offset, altitude)) && suits(turn))
        })
    }

    fn holds(&self, s: &SkyState) -> bool {
        let rules = self.rules;
        let (target, moon) = (&s.target, &s.moon);
        let altitude = target.apparent_altitude_deg;
        let sun: Band = rules.get(&SUN_ALTITUDE).expect("a band");
        let band: Band = rules.get(&TARGET_ALTITUDE).expect("a band");
        if !sun.contains(s.sun.altitude_deg) || !band.contains(altitude) {
            return false;
        }
        let place: TargetPlace = rules.get(&TARGET_PLACE).expect("a place");
        if let Some(shape) = self
            .shape
            .filter(|shape| shape.half_width_deg > 0.0 && shape.top_deg > shape.foot_deg)
        {
            let aside = around(target.azimuth_deg, shape.bearing_deg).abs();
            let (half, top) = (shape.half_width_deg, shape.top_deg);
            let suits = match place {
                TargetPlace::Clear(c) => aside >= half + c || altitude >= top + c,
                TargetPlace::Over(c) => aside <= half + 5.0 && altitude >= top + c,
                TargetPlace::Beside(c) => aside >= half + c,
                TargetPlace::Behind => aside <= half && altitude <= top,
                TargetPlace::Any => true,
            };
            if !suits {
                return false;
            }
        }
        let facing = self.facing_deg.unwrap_or(target.azimuth_deg);
        let offset = around(target.azimuth_deg, facing);
        let framing: Framing = rules.get(&FRAMING).expect("a framing");
        let moon_up = moon.apparent_altitude_deg >= -0.3;
        let moon_at = (around(moon.azimuth_deg, facing), moon.apparent_altitude_deg);
        let one = self.one(offset, altitude, None);
        let framed = match framing {
            Framing::One => one,
            Framing::Panorama => one || offset.abs() <= 90.0,
            Framing::Any => true,
        };
        framed
            && match rules.get(&MOON_IN_FRAME) {
                Some(MoonInFrame::No) => {
                    !moon_up || self.one(offset, altitude, Some((moon_at, false)))
                }
                Some(MoonInFrame::Only) => {
                    moon_up && self.one(offset, altitude, Some((moon_at, true)))
                }
                _ => true,
            }
    }
}

fn brute_force(sky: &Sky<'_>, yardstick: &Yardstick<'_>, night: &Night) -> Vec<Interval> {
    let start = night.start.seconds();
    let mut windows: Vec<Interval> = Vec::new();
    let mut before = false;
    for second in 0..=86_400 {
        let t = start + f64::from(second);
        let now = yardstick.holds(&sky.at(Moment::from_seconds(t)));
        match (before, now) {
            (false, true) => windows.push(Interval::new(t, t)),
            (true, true) => {
                if let Some(last) = windows.last_mut() {
                    last.end = t;
                }
            }
            _ => {}
        }
        before = now;
    }
    windows
}

fn random_site(dice: &mut Dice, s: &SkyState, latitude: f64, longitude: f64) -> Site {
    let mut site = Site::new(latitude, longitude).expect("a place");
    site.camera = Some(Camera {
        sensor_mm: [[36.0, 24.0], [24.0, 36.0], [23.5, 15.6]][dice.below(3)],
        focal_mm: 10_f64.powf(dice.between(1.08, 1.95)),
        ..Camera::default()
    });
    if dice.below(4) > 0 {
        site.subject = Some(Subject {
            name: None,
            place: SubjectPlace::Bearing {
                bearing_deg: (s.target.azimuth_deg + dice.between(-40.0, 40.0)).rem_euclid(360.0),
                distance_m: Some(dice.between(40.0, 900.0)),
            },
            height_m: Some(10_f64.powf(dice.between(0.0, 1.8))),
            width_m: (dice.below(2) == 0).then(|| 10_f64.powf(dice.between(0.0, 1.8))),
            reflectance: None,
            reflectance_measured: None,
        });
    }
    site
}

/// One brief at one place over a night: windows, how many are shorter than five
/// minutes, and what differs.
fn compare(seed: u64) -> (usize, usize, Vec<String>) {
    let mut dice = Dice::new(0x000F_4A3E_0000 + seed);
    let (latitude, longitude) = (dice.between(-66.0, 66.0), dice.between(-180.0, 180.0));
    let month = 1 + dice.below(12) as u32;
    let day = 1 + dice.below(28) as u32;
    let date = chrono::NaiveDate::from_ymd_opt(2027, month, day).expect("a date");
    let night = nights(longitude, Zone::UTC, date, date)
        .next()
        .expect("a night");
    let ephemeris = Ephemeris::covering(night.start, night.end);
    let star = ephemeris.star(Direction::Core);
    let observer = Observer::new(latitude, longitude, 0.0);
    let bare = Site::new(latitude, longitude).expect("a place");
    let air = rakelight::ephemeris::Refraction::new(bare.air.pressure_hpa, bare.air.temperature_c);
    let sky = Sky::new(&ephemeris, &star, observer, air);
    let s = sky.at(night.start.plus_seconds(dice.between(30_000.0, 56_400.0)));
    let mut site = random_site(&mut dice, &s, latitude, longitude);
    let facing = match (site.subject.is_some(), dice.below(3)) {
        (true, 0 | 1) => Facing::Subject,
        (_, 2) => Facing::Target,
        _ => Facing::Bearing((s.target.azimuth_deg + dice.between(-60.0, 60.0)).rem_euclid(360.0)),
    };
    let clearance = dice.between(0.0, 6.0);
    let place = match dice.below(5) {
        _ if site.subject.is_none() => TargetPlace::CLEAR,
        0 => TargetPlace::Any,
        1 => TargetPlace::Over(clearance),
        2 => TargetPlace::Beside(clearance),
        3 => TargetPlace::Behind,
        _ => TargetPlace::Clear(clearance),
    };
    let framing = [Framing::One, Framing::One, Framing::Panorama, Framing::Any][dice.below(4)];
    if framing == Framing::Panorama {
        // So short that twelve by four frames hold everything before the camera.
        let camera = site.camera.as_mut().expect("a camera");
        camera.focal_mm = camera.focal_mm.min(20.0);
    }
    // With the Moon a panorama would do as well, so one frame is asked for.
    let (moon, framing) = match dice.below(4) {
        0 => (MoonInFrame::No, Framing::One),
        1 => (MoonInFrame::Only, Framing::One),
        _ => (MoonInFrame::Any, framing),
    };
    let brief = Brief::default()
        .with(&LIGHT, LightKind::Any)
        .with(&TARGET, Direction::Core)
        .with(&FACING, facing)
        .with(&CONTRAST, Band::new(0.0, 100.0))
        .with(&SUN_ALTITUDE, Band::up_to(dice.between(-12.0, 5.0)))
        .with(&TARGET_ALTITUDE, Band::from(dice.between(-2.0, 20.0)))
        .with(&TARGET_OFFSET, Band::new(-180.0, 180.0))
        .with(&TARGET_PLACE, place)
        .with(&FRAMING, framing)
        .with(&MOON_IN_FRAME, moon);
    let rules = Rules::new(&brief, &site).expect("rules");
    let shape = site.subject_shape();
    let land = match (facing, shape) {
        (Facing::Subject, Some(s)) => (s.foot_deg, s.top_deg, s.half_width_deg),
        _ => (0.0, 0.0, 0.0),
    };
    let camera = site.camera.expect("a camera");
    let (step, held) = held(&camera, land.0, land.1, land.2);
    let yardstick = Yardstick {
        rules: &rules,
        shape,
        facing_deg: match facing {
            Facing::Bearing(bearing) => Some(bearing),
            Facing::Subject => site.subject_bearing_deg(),
            _ => None,
        },
        step,
        held,
    };
    let ours = Sweep::new(&sky, &site, &rules).night(&sky, &night);
    let theirs = brute_force(&sky, &yardstick, &night);
    let mut wrong = Vec::new();
    let same = |a: &Interval, b: &Interval| {
        (a.start - b.start).abs() <= 1.0 && (a.end - b.end).abs() <= 1.0
    };
    // What is shorter than the sweep's promise may be missed or found.
    let long = |w: &&Interval| w.end - w.start > 2.0;
    for window in theirs.iter().filter(long) {
        if !ours.as_slice().iter().any(|o| same(o, window)) {
            wrong.push(format!(
                "seed {seed}: missed {window:?} in {ours:?}\n{site:?}\n{brief:?}"
            ));
        }
    }
    for window in ours.as_slice().iter().filter(long) {
        if !theirs.iter().any(|o| same(o, window)) {
            wrong.push(format!(
                "seed {seed}: invented {window:?}, brute force {theirs:?}\n{site:?}\n{brief:?}"
            ));
        }
    }
    let short = theirs.iter().filter(|w| w.minutes() < 30.0).count();
    (theirs.len(), short, wrong)
}

#[test]
#[allow(clippy::print_stdout, reason = "the figures are the point of the test")]
fn frames_and_subjects_open_and_close_windows_to_the_second() {
    const BRIEFS: u64 = 140;
    let results: Vec<_> = (0..BRIEFS).into_par_iter().map(compare).collect();
    let found: usize = results.iter().map(|r| r.0).sum();
    let short: usize = results.iter().map(|r| r.1).sum();
    let wrong: Vec<&String> = results.iter().flat_map(|r| &r.2).collect();
    println!("{BRIEFS} briefs, {found} windows, {short} of them under 30 minutes");
    for line in wrong.iter().take(3) {
        println!("{line}");
    }
    assert!(wrong.is_empty(), "{} disagreements", wrong.len());
    assert!(found > 50 && short > 8, "{found} windows, {short} short");
}
