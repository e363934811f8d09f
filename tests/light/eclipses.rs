//! The light as time goes on: through lunar eclipses second by second, through
//! nights with moonrise, moonset and dawn behind terrain.

use chrono::NaiveDate;
use rakelight::{
    Brief, Conditions, Dates, Eclipse, EclipseKind, Moment, Planner, Site, light::moonlight,
    parse_site,
};
use std::path::Path;

const EXTINCTION_MAG: f64 = 0.15;

/// A planner of a demo site for one night.
fn planner(name: &str, (year, month, day): (i32, u32, u32)) -> Planner {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-sites");
    let file = format!("{name}.toml");
    let text = std::fs::read_to_string(folder.join(&file)).expect("a demo site");
    let mut site: Site = parse_site(&file, &text, &folder).expect("a good site");
    site.sky.extinction_mag = EXTINCTION_MAG;
    let evening = NaiveDate::from_ymd_opt(year, month, day).expect("a day");
    let dates = Dates::one(evening).expect("dates");
    Planner::new(site, &Brief::default(), dates).expect("a planner")
}

/// The one eclipse of a planner's night.
fn eclipse(planner: &Planner) -> Eclipse {
    let ephemeris = planner.season().ephemeris();
    let found = ephemeris.lunar_eclipses(ephemeris.from(), ephemeris.to());
    assert_eq!(found.len(), 1, "{found:?}");
    found[0]
}

fn at(planner: &Planner, moment: Moment) -> Conditions {
    planner.at(moment).expect("conditions")
}

/// How much fainter the Moon's beam is than that of such a Moon in no shadow.
fn drop_mag(conditions: &Conditions) -> f64 {
    let (sky, moon) = (&conditions.sky, &conditions.sky.moon);
    let whole = moonlight::beam_lux(
        sky.phase.phase_angle_deg,
        moon.distance_km.expect("a distance"),
        moon.apparent_altitude_deg,
        EXTINCTION_MAG,
    );
    -2.5 * (conditions.light.beam_lux / whole).log10()
}

fn stops(a: f64, b: f64) -> f64 {
    (a / b).log2().abs()
}

/// Steps through an eclipse, ten minutes more at both ends, and holds sky and
/// land to a hundredth of a stop a second.
fn hold_every_second(planner: &Planner, eclipse: &Eclipse) {
    let [first, last] = eclipse.penumbral;
    let (start, end) = (first.seconds() - 600.0, last.seconds() + 600.0);
    let mut before = at(planner, Moment::from_seconds(start)).light;
    let mut seconds = 1.0;
    while start + seconds <= end {
        let moment = Moment::from_seconds(start + seconds);
        let light = at(planner, moment).light;
        for (what, now, then) in [
            ("sky", light.sky_cd_m2, before.sky_cd_m2),
            ("land", light.land_cd_m2, before.land_cd_m2),
            ("level", light.level_cd_m2, before.level_cd_m2),
            (
                "lit face",
                light.toward_moon_cd_m2,
                before.toward_moon_cd_m2,
            ),
        ] {
            let change = stops(now, then);
            assert!(change <= 0.01, "{what} {change} at {}", moment.to_utc());
        }
        before = light;
        seconds += 1.0;
    }
}

/// 2029-06-25/26, total. At Tinaja Mesa it goes on until 00:10; six stops within a
/// minute of 23:12 is what all or nothing by the umbra gave there.
#[test]
fn a_total_eclipse_takes_the_light_by_and_by() {
    let mesa = planner("tinaja-mesa", (2029, 6, 25));
    let total = eclipse(&mesa);
    assert_eq!(total.kind, EclipseKind::Total);
    hold_every_second(&mesa, &total);

    // All of it stands over the pan; no terrain there.
    let pan = planner("witkopje-pan", (2029, 6, 25));
    hold_every_second(&pan, &total);
    let [enters, _] = total.partial.expect("an umbra");
    let [begins, ends] = total.total.expect("totality");
    // Untouched before the penumbra. The law begins at an umbral magnitude of
    // -1.05, the penumbra, by the distances, between -1.07 and -0.98: there
    // the law's 0.01 mag in 0.25 come to 0.003.
    let before = at(&pan, total.penumbral[0]);
    assert!((0.0..0.003).contains(&drop_mag(&before)));
    let before = at(&pan, total.penumbral[0].plus_seconds(-600.0));
    assert!(drop_mag(&before).abs() < 1e-9);
    // The geometry of the penumbra: 0.73 mag at the edge of the umbra, 0.1 mag
    // else by the distance of the Moon.
    let touch = drop_mag(&at(&pan, enters));
    assert!((touch - 0.73).abs() <= 0.1, "{touch}");
    // Measured in total eclipses: 9.3 at the edge to 12 in the middle.
    let mut deepest = 0.0_f64;
    for part in 0..=100 {
        let seconds = (ends.seconds() - begins.seconds()) * f64::from(part) / 100.0;
        let conditions = at(&pan, begins.plus_seconds(seconds));
        if conditions.sky.moon.apparent_altitude_deg > 1.0 {
            let drop = drop_mag(&conditions);
            assert!((9.0..=12.0).contains(&drop), "{drop}");
            // Nothing of it is left in the sky: a full Moon's 18 mag become 27.
            assert!(
                conditions.light.sky_loss_mag < 0.02 || conditions.sky.sun.altitude_deg > -18.0
            );
            deepest = deepest.max(drop);
        }
    }
    assert!(deepest > 11.0, "{deepest}");
}

/// 2028-07-06, umbral magnitude 0.39: between 0.3 and 0.4, so 1.6 to 2.1 mag.
/// 2027-02-20, only in the penumbra, and nearly all of it: 0.37 to 0.73 mag.
#[test]
fn partial_and_penumbral_eclipses_lie_between() {
    for (night, kind, least, most) in [
        ((2028, 7, 6), EclipseKind::Partial, 1.64, 2.08),
        ((2027, 2, 20), EclipseKind::Penumbral, 0.37, 0.73),
    ] {
        let pan = planner("witkopje-pan", night);
        let found = eclipse(&pan);
        assert_eq!(found.kind, kind);
        hold_every_second(&pan, &found);
        let deepest = drop_mag(&at(&pan, found.greatest));
        assert!((least..=most).contains(&deepest), "{kind:?}: {deepest}");
        // Half as deep in time, less deep in light, on both sides.
        for contact in found.penumbral {
            let half = 0.5 * (contact.seconds() - found.greatest.seconds());
            let conditions = at(&pan, found.greatest.plus_seconds(half));
            if conditions.sky.moon.apparent_altitude_deg > 1.0 {
                let drop = drop_mag(&conditions);
                assert!(drop > 0.0 && drop < deepest, "{drop}");
            }
        }
    }
}

/// Sky and land of an instant, log2 cd/m2.
fn sky_and_land(planner: &Planner, seconds: f64) -> [f64; 2] {
    let light = at(planner, Moment::from_seconds(seconds)).light;
    [light.sky_cd_m2.log2(), light.land_cd_m2.log2()]
}

/// What is left of a change between two times in the fastest thousandth of a
/// second between them.
fn left_of_change(planner: &Planner, what: usize, mut from: f64, mut to: f64) -> f64 {
    let value = |seconds| sky_and_land(planner, seconds)[what];
    let (mut a, mut b) = (value(from), value(to));
    while to - from > 1e-3 {
        let middle = 0.5 * (from + to);
        let here = value(middle);
        if (here - a).abs() > (b - here).abs() {
            (to, b) = (middle, here);
        } else {
            (from, a) = (middle, here);
        }
    }
    (b - a).abs()
}

/// Six nights in steps of ten seconds, from Sun to Sun. A quiet step changes
/// sky and land by 0.02 stop at most. Faster are twilight, a Moon within five
/// degrees of the horizon, whose air changes fast, and, for the land, a Moon
/// whose disc crosses the edge of the terrain. These are followed down to a
/// thousandth of a second: a jump would stay.
#[test]
fn no_light_jumps_through_nights_behind_terrain() {
    let mut fast = [0, 0];
    let mut crossings = 0;
    for (name, night) in [
        // Before, at and after full; a rise and a set in the dark.
        ("tinaja-mesa", (2027, 6, 10)),
        ("tinaja-mesa", (2027, 6, 19)),
        ("gratalm-hut", (2027, 8, 23)),
        ("gratalm-hut", (2027, 8, 9)),
        ("saltbush-tank", (2027, 5, 27)),
        ("saltbush-tank", (2027, 7, 11)),
    ] {
        let planner = planner(name, night);
        let site = planner.site().clone();
        let whole = planner.night(planner.dates().first()).expect("a night");
        let (start, end) = (whole.start.seconds(), whole.end.seconds());
        let mut seconds = start;
        let mut before = None;
        let mut crossing_seconds = 0.0;
        while seconds < end {
            let here = at(&planner, Moment::from_seconds(seconds));
            seconds += 10.0;
            if here.sky.sun.altitude_deg > 0.0 {
                before = None;
                continue;
            }
            let values = [here.light.sky_cd_m2.log2(), here.light.land_cd_m2.log2()];
            let moon = &here.sky.moon;
            let edge_deg = site
                .subject_skyline
                .as_ref()
                .or(site.skyline.as_ref())
                .map_or(0.0, |skyline| skyline.altitude_deg_at(moon.azimuth_deg))
                .max(0.0);
            // A step of ten seconds on either side of the disc.
            let crosses = (moon.apparent_altitude_deg - edge_deg).abs() < 0.35;
            let low = moon.apparent_altitude_deg.abs() < 5.0;
            let twilit = here.sky.sun.altitude_deg > -18.1;
            if let Some(before) = before.replace(values) {
                for (i, (now, then)) in values.into_iter().zip(before).enumerate() {
                    let change: f64 = now - then;
                    if change.abs() <= 0.02 {
                        continue;
                    }
                    fast[i] += 1;
                    let expected = twilit || low || (i == 1 && crosses);
                    let time = Moment::from_seconds(seconds - 10.0).to_utc();
                    assert!(expected, "{name} {time}: {i} changes by {change}");
                    let left = left_of_change(&planner, i, seconds - 20.0, seconds - 10.0);
                    assert!(left < 1e-4, "{name} {time}: {i} jumps by {left}");
                    if i == 1 && !twilit && !low {
                        crossing_seconds += 10.0;
                    }
                }
            }
        }
        if crossing_seconds > 0.0 {
            crossings += 1;
        }
        // Two crossings of a disc of half a degree at most.
        assert!(crossing_seconds <= 480.0, "{name}: {crossing_seconds}");
    }
    // The nights do hold what they are chosen for.
    assert!(
        fast[0] > 100 && fast[1] > 100 && crossings > 0,
        "{fast:?} {crossings}"
    );
}
