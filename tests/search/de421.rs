//! A year of windows for five briefs against Skyfield with JPL DE421
//! (`tests/reference/windows_edges.csv`): the same windows on the same nights.

use crate::common;

use common::{Row, rows, spread};
use rakelight::{
    ephemeris::{Ephemeris, Observer, Refraction, Sky},
    rule::Rules,
    rule::{
        Brief, CONTRAST, FACING, LIGHT, LIGHT_ANGLE, MOON_ALTITUDE, MOON_FRACTION, SUN_ALTITUDE,
        TARGET_ALTITUDE, TARGET_OFFSET,
    },
    scene::{Band, Facing, LightKind, Site, Zone},
    search::{Interval, Sweep, nights},
};

fn optional(row: &Row, column: &str) -> Option<f64> {
    let text = row.text(column);
    (!text.is_empty()).then(|| row.number(column))
}

fn band(row: &Row, name: &str) -> Option<Band> {
    let low = optional(row, &format!("{name}_min{}", unit(name)));
    let high = optional(row, &format!("{name}_max{}", unit(name)));
    (low.is_some() || high.is_some()).then(|| {
        Band::new(
            low.unwrap_or(f64::NEG_INFINITY),
            high.unwrap_or(f64::INFINITY),
        )
    })
}

fn unit(name: &str) -> &'static str {
    if name == "moon_fraction" { "" } else { "_deg" }
}

fn windows(case: &Row) -> Vec<Interval> {
    let bearing = optional(case, "subject_bearing_deg");
    let site =
        Site::new(case.number("latitude_deg"), case.number("longitude_deg")).expect("a place");
    let facing = match case.text("facing") {
        "target" => Facing::Target,
        "arch" => Facing::Arch,
        _ => Facing::Bearing(bearing.expect("a bearing")),
    };
    let mut brief = Brief::default()
        .with(&LIGHT, LightKind::Any)
        // The other ephemeris knows where bodies stand, not how bright the sky is.
        .with(&CONTRAST, Band::from(0.0))
        .with(&FACING, facing)
        .with(
            &TARGET_ALTITUDE,
            Band::from(case.number("core_apparent_altitude_min_deg")),
        )
        .with(
            &SUN_ALTITUDE,
            Band::up_to(case.number("sun_altitude_max_deg")),
        )
        .with(&MOON_ALTITUDE, {
            let low = optional(case, "moon_apparent_altitude_min_deg");
            let high = optional(case, "moon_apparent_altitude_max_deg");
            Band::new(low.unwrap_or(-90.0), high.unwrap_or(90.0))
        });
    for (rule, name) in [
        (&TARGET_OFFSET, "core_offset"),
        (&MOON_FRACTION, "moon_fraction"),
        (&LIGHT_ANGLE, "light_angle"),
    ] {
        brief.put(rule, band(case, name).map(Into::into));
    }
    let rules = Rules::new(&brief, &site).expect("a bearing needs no subject");
    let date = |text: &str| text.parse().expect("a date");
    let nights: Vec<_> = nights(
        site.longitude_deg,
        Zone::UTC,
        date("2026-12-31"),
        date("2027-12-31"),
    )
    .collect();
    let ephemeris = Ephemeris::covering(nights[0].start, nights[nights.len() - 1].end);
    let target = ephemeris.star(rules.target);
    let observer = Observer::new(
        site.latitude_deg,
        site.longitude_deg,
        case.number("elevation_m"),
    );
    let air = Refraction::new(case.number("pressure_hpa"), case.number("temperature_c"));
    let sky = Sky::new(&ephemeris, &target, observer, air);
    let sweep = Sweep::new(&sky, &site, &rules);
    nights
        .iter()
        .flat_map(|night| sweep.night(&sky, night).as_slice().to_vec())
        .collect()
}

#[test]
fn a_year_of_windows_for_five_briefs() {
    let all = rows("windows_edges.csv");
    let (mut firm, mut fraction, mut creeping) = (Vec::new(), Vec::new(), Vec::new());
    let mut seen = 0;
    for case in rows("windows_cases.csv") {
        let expected: Vec<&Row> = all
            .iter()
            .filter(|row| row.text("case") == case.text("case"))
            .collect();
        let first = expected[0].moment("night_start_utc").seconds();
        let last = expected[expected.len() - 1].moment("end_utc").seconds();
        // The reference's year is that of the site's own evenings.
        let ours: Vec<Interval> = windows(&case)
            .into_iter()
            .filter(|w| first <= w.start && w.start <= last + 86_400.0)
            .filter(|w| w.end - w.start >= 1.0)
            .collect();
        assert_eq!(
            ours.len(),
            expected.len(),
            "{}: the same windows, none missed and none invented",
            case.text("case")
        );
        seen += ours.len();
        for (window, row) in ours.iter().zip(&expected) {
            for (edge, time) in [("start", window.start), ("end", window.end)] {
                let late = time - row.moment(&format!("{edge}_utc")).seconds();
                let rate = row.number(&format!("{edge}_rate_per_min")).abs();
                if row.text(&format!("{edge}_rule")) == "moon_fraction" {
                    fraction.push(late);
                } else if rate >= 0.1 {
                    firm.push(late);
                } else {
                    // The margin creeps: 0.1" are some hundredths of a second
                    // there, so the difference is judged as an angle.
                    creeping.push(late / 60.0 * rate * 3600.0);
                }
            }
        }
    }
    assert!(seen > 200);
    spread("window edges", "s", &firm, 0.1, 0.5);
    spread(
        "window edges by creeping margins",
        "arcsec",
        &creeping,
        0.5,
        2.0,
    );
    spread(
        "window edges by the illuminated fraction",
        "s",
        &fraction,
        0.5,
        1.0,
    );
}
