//! A standing point against the sky that is seen from it: the loop closes.

use chrono::NaiveDate;
use rakelight::{
    ephemeris::Moment,
    plan::{NoTripodPosition, TripodAims},
    rule::Brief,
    rule::Rules,
    scene::{Dates, Site, Subject, SubjectPlace, Zone},
    search::{Lens, Planner, Season},
};

const ARC_MINIMUM_DEG: f64 = 0.01;

fn season() -> Season {
    let day = |d| NaiveDate::from_ymd_opt(2027, 7, d).expect("a date");
    Season::new(Dates::new(day(8), day(10)).expect("dates"))
}

fn site(latitude: f64, longitude: f64, place: SubjectPlace, height_m: f64) -> Site {
    let mut site = Site::new(latitude, longitude).expect("a place");
    site.elevation_m = 120.0;
    site.subject = Some(Subject {
        name: None,
        place,
        height_m: Some(height_m),
        width_m: None,
        reflectance: None,
        reflectance_measured: None,
    });
    site
}

fn moment(text: &str) -> Moment {
    Zone::UTC.parse_time(text).expect("a time")
}

fn planner(site: &Site) -> Planner {
    let rules = Rules::new(&Brief::default(), site).expect("rules");
    season().planner(site.clone(), rules).expect("a planner")
}

/// East, north and up of a place seen from another, metres, through geocentric
/// coordinates: nothing of geodesics or bearings.
fn local(from: [f64; 3], to: [f64; 3]) -> [f64; 3] {
    let geocentric = |[latitude, longitude, height]: [f64; 3]| {
        sofars::coords::gd2gc(1, longitude.to_radians(), latitude.to_radians(), height)
            .expect("a place")
    };
    let (a, b) = (geocentric(from), geocentric(to));
    let [x, y, z] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
    let (s, c) = from[0].to_radians().sin_cos();
    let (sl, cl) = from[1].to_radians().sin_cos();
    [
        -sl * x + cl * y,
        -s * cl * x - s * sl * y + c * z,
        c * cl * x + c * sl * y + s * z,
    ]
}

#[test]
fn the_target_stands_where_it_was_asked_for() {
    let bearing = |bearing_deg, distance_m| SubjectPlace::Bearing {
        bearing_deg,
        distance_m: Some(distance_m),
    };
    let coordinates = |latitude_deg, longitude_deg, elevation_m| SubjectPlace::Coordinates {
        latitude_deg,
        longitude_deg,
        elevation_m: Some(elevation_m),
    };
    let near = site(-31.4, 139.2, bearing(128.0, 140.0), 17.0);
    let tower = site(-31.4, 139.2, bearing(100.0, 900.0), 330.0);
    let peak = site(46.6, 8.1, coordinates(46.55, 8.12, 1400.0), 2100.0);
    let date_line = site(-17.0, 179.9999, bearing(95.0, 400.0), 60.0);
    let cases = [
        (&near, "2027-07-09T10:00:00Z", 12.0, -8.0),
        (&near, "2027-07-09T11:30:00Z", 40.0, 0.0),
        (&tower, "2027-07-09T10:30:00Z", 25.0, 14.0),
        (&tower, "2027-07-09T09:30:00Z", -3.0, 0.0),
        (&peak, "2027-07-09T22:00:00Z", 3.0, 5.0),
        (&date_line, "2027-07-09T09:00:00Z", 20.0, -30.0),
    ];
    for (site, time, clearance_deg, offset_deg) in cases {
        let aims = TripodAims {
            clearance_deg,
            offset_deg,
            eye_height_m: 1.5,
        };
        let lens = Lens::of(site, 1.0).expect("a camera");
        let answer = planner(site)
            .tripod(&lens, &aims, moment(time))
            .unwrap_or_else(|error| panic!("{time}: {error}"));
        let subject = site.subject.as_ref().expect("a subject");
        let foot_m = match subject.place {
            SubjectPlace::Coordinates {
                elevation_m: Some(m),
                ..
            } => m,
            _ => site.elevation_m,
        };
        let eye = [
            answer.point.latitude_deg(),
            answer.point.longitude_deg(),
            foot_m + 1.5,
        ];
        let top = [
            answer.subject.latitude_deg(),
            answer.subject.longitude_deg(),
            foot_m + subject.height_m.expect("a height"),
        ];
        let [east, north, up] = local(eye, top);
        // The air lifts a top at distance d by half its angle over the ground,
        // times the coefficient 0.13 (W. Torge, Geodesy).
        let run = east.hypot(north);
        let lift_deg = 0.13 * (0.5 * run / 6_371_000.0_f64).to_degrees();
        let top_deg = up.atan2(run).to_degrees() + lift_deg;
        let bearing_deg = east.atan2(north).to_degrees();

        let mut there = Site::new(eye[0], eye[1]).expect("a place");
        (there.elevation_m, there.air) = (eye[2], site.air);
        let seen = planner(&there)
            .at(moment(time))
            .expect("in the season")
            .sky
            .target;
        let over = seen.apparent_altitude_deg - top_deg;
        let turned = seen.azimuth_deg - bearing_deg;
        let beside = (turned + 180.0).rem_euclid(360.0) - 180.0;
        assert!(
            (over - clearance_deg).abs() < ARC_MINIMUM_DEG,
            "{time}: {over} over the top, asked {clearance_deg}"
        );
        assert!(
            (beside - offset_deg).abs() < ARC_MINIMUM_DEG,
            "{time}: {beside} beside, asked {offset_deg}"
        );
        // Ten minutes at the stated speed lead to the place ten minutes on, as
        // nearly as a curve is straight.
        let later = moment(time).plus_seconds(600.0);
        let then = planner(site).tripod(&lens, &aims, later);
        if let Ok(then) = then {
            let moved = answer.point.line_to(then.point).expect("a way").distance_m;
            let stated = 10.0 * 0.5 * (answer.speed_m_min + then.speed_m_min);
            assert!(
                (moved - stated).abs() < 0.05 * stated + 0.01,
                "{time}: moved {moved} m, stated {stated} m"
            );
        }
    }
}

#[test]
fn what_cannot_be_is_refused_with_the_reason() {
    let place = SubjectPlace::Bearing {
        bearing_deg: 128.0,
        distance_m: Some(140.0),
    };
    let good = site(-31.4, 139.2, place, 17.0);
    let lens = Lens::of(&good, 1.0).expect("a camera");
    let ask = |site: &Site, time: &str, clearance_deg: f64| {
        let aims = TripodAims {
            clearance_deg,
            ..TripodAims::default()
        };
        planner(site).tripod(&lens, &aims, moment(time))
    };
    let evening = "2027-07-09T10:00:00Z";
    assert!(ask(&good, evening, 5.0).is_ok());
    let refused = ask(&good, "2027-07-09T02:00:00Z", 5.0);
    assert!(
        matches!(refused, Err(NoTripodPosition::TargetDown { .. })),
        "{refused:?}"
    );
    let refused = ask(&good, evening, 60.0);
    assert!(
        matches!(refused, Err(NoTripodPosition::TooLow { .. })),
        "{refused:?}"
    );
    let refused = ask(&good, evening, -45.0);
    assert!(
        matches!(refused, Err(NoTripodPosition::TooHigh { .. })),
        "{refused:?}"
    );

    let low = site(-31.4, 139.2, place, 1.0);
    let refused = ask(&low, evening, 5.0);
    assert!(
        matches!(refused, Err(NoTripodPosition::TopBelowLens { .. })),
        "{refused:?}"
    );
    let far = SubjectPlace::Bearing {
        bearing_deg: 128.0,
        distance_m: None,
    };
    let refused = ask(&site(-31.4, 139.2, far, 17.0), evening, 5.0);
    assert!(
        matches!(refused, Err(NoTripodPosition::NoPlace { .. })),
        "{refused:?}"
    );
    let refused = ask(&Site::new(-31.4, 139.2).expect("a place"), evening, 5.0);
    assert!(
        matches!(refused, Err(NoTripodPosition::NoSubject { .. })),
        "{refused:?}"
    );
    // No number makes it panic.
    for clearance in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
        let _ = ask(&good, evening, clearance);
    }
}
