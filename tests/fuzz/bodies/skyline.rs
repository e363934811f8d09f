//! The table of a skyline.

use super::said;
use rakelight::scene::Skyline;

pub fn run(data: &[u8]) {
    match Skyline::read("h.csv", data) {
        Ok(skyline) => check(&skyline),
        Err(faults) => said::check_faults(&faults),
    }
}

fn check(skyline: &Skyline) {
    let points = skyline.points();
    assert!(!points.is_empty());
    assert!(points.windows(2).all(|pair| pair[0].0 < pair[1].0));
    let lowest = points.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
    let highest = skyline.highest_deg();
    let here = points.iter().flat_map(|(azimuth, _)| {
        [
            *azimuth,
            azimuth.next_down(),
            azimuth.next_up(),
            azimuth - 360.0,
            azimuth + 720.0,
        ]
    });
    for azimuth in here.chain([-1e-300, -0.0, 0.0, 359.999_999_999_999_97, 360.0, 45.3, 1e6]) {
        let altitude = skyline.altitude_deg_at(azimuth);
        assert!(
            (lowest - 1e-9..=highest + 1e-9).contains(&altitude),
            "{altitude} at {azimuth}"
        );
    }
    for (azimuth, altitude) in points {
        assert_eq!(skyline.altitude_deg_at(*azimuth), *altitude);
    }
    let slope = skyline.steepest_slope();
    assert!(slope.is_finite() && slope >= 0.0, "slope {slope}");
    let mut table = String::from("azimuth_deg,altitude_deg\n");
    for (azimuth, altitude) in points {
        table.push_str(&format!("{azimuth},{altitude}\n"));
    }
    assert_eq!(
        Skyline::read("h.csv", table.as_bytes()).as_ref(),
        Ok(skyline)
    );
}
