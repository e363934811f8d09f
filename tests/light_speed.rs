//! How long one assessment takes; run with `cargo test --release --test
//! light_speed -- --ignored`.

use std::{hint::black_box, io::Write as _, time::Instant};

use rakelight::light::{Conditions, assess};

#[test]
#[ignore = "a measurement, sound only in a release build on a quiet machine"]
fn one_assessment_takes_less_than_a_microsecond() {
    let calls = 2_000_000u32;
    for (name, sun, moon) in [
        ("moonless", -30.0, -20.0),
        ("low Moon", -30.0, 12.0),
        ("Moon rising, twilight", -16.0, 1.0),
    ] {
        let began = Instant::now();
        let mut sum = 0.0;
        for call in 0..calls {
            let small = f64::from(call % 1000) * 1e-3;
            let a = assess(black_box(&Conditions {
                sun_altitude_deg: sun - small,
                moon_altitude_deg: moon + small,
                ..Conditions::default()
            }));
            sum += a.balance_stops + a.milky_way_contrast + a.sky_mag_arcsec2;
        }
        let each_ns = began.elapsed().as_secs_f64() * 1e9 / f64::from(calls);
        assert!(black_box(sum).is_finite());
        writeln!(std::io::stderr(), "{name}: {each_ns:.0} ns").unwrap();
        assert!(each_ns < 1000.0, "{name}: {each_ns} ns");
    }
}
