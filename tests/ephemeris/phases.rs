//! Quarters, apsides and lunar eclipses against JPL DE421 and published lists.

use crate::common;

use common::{rows, spread};
use rakelight::ephemeris::{ApsisKind, EclipseKind, Ephemeris, Moment, Quarter};

fn at(text: &str) -> Moment {
    Moment::from_utc(text.parse().expect("a valid time in the test"))
}

fn years_2024_to_2030() -> (Ephemeris, Moment, Moment) {
    let (from, to) = (at("2024-01-01T00:00:00Z"), at("2031-01-01T00:00:00Z"));
    (Ephemeris::covering(from, to), from, to)
}

fn quarter(name: &str) -> Quarter {
    match name {
        "new" => Quarter::New,
        "first_quarter" => Quarter::First,
        "full" => Quarter::Full,
        "last_quarter" => Quarter::Last,
        other => panic!("unknown quarter {other}"),
    }
}

#[test]
fn quarters_against_de421() {
    let (ephemeris, from, to) = years_2024_to_2030();
    let ours = ephemeris.quarters(from, to);
    let theirs = rows("phases.csv");
    assert_eq!(ours.len(), theirs.len());
    let mut late = Vec::new();
    for ((kind, moment), row) in ours.iter().zip(&theirs) {
        assert_eq!(*kind, quarter(row.text("kind")));
        late.push(moment.seconds() - row.moment("time_utc").seconds());
    }
    // 10" of Moon are 20 s.
    spread("quarters", "s", &late, 0.5, 1.0);
}

#[test]
fn new_and_full_moons_as_published() {
    let (ephemeris, from, to) = years_2024_to_2030();
    let ours = ephemeris.quarters(from, to);
    let mut late = Vec::new();
    for row in rows("moon_quarters_published.csv") {
        let kind = quarter(row.text("kind"));
        let published = at(&row.text("time_ut").replace('Z', ":00Z"));
        let nearest = ours
            .iter()
            .filter(|(ours, _)| *ours == kind)
            .map(|(_, moment)| moment.seconds() - published.seconds())
            .min_by(|a, b| a.abs().total_cmp(&b.abs()))
            .expect("quarters in the span");
        late.push(nearest);
    }
    assert!(late.len() >= 173);
    spread("published new and full Moons", "s", &late, 25.0, 45.0);
}

#[test]
fn a_new_moon_that_photographers_remember() {
    // Common practice, no source: the new Moon of March 2024 fell on the 10th;
    // on 2024-05-13 at 0h UT the Moon was 26 to 27 % lit, on 2024-06-09 at 22h
    // UT 12 to 14 %.
    let (ephemeris, from, to) = years_2024_to_2030();
    let new = ephemeris
        .quarters(from, to)
        .into_iter()
        .find(|(kind, moment)| *kind == Quarter::New && *moment >= at("2024-03-01T00:00:00Z"));
    let (_, moment) = new.expect("a new Moon");
    assert_eq!(moment.to_utc().date_naive().to_string(), "2024-03-10");
    let lit = |text| ephemeris.moon_phase(at(text)).illuminated_fraction;
    assert!((0.26..=0.27).contains(&lit("2024-05-13T00:00:00Z")));
    assert!((0.12..=0.14).contains(&lit("2024-06-09T22:00:00Z")));
    assert!(ephemeris.moon_phase(at("2024-05-13T00:00:00Z")).waxing);
}

#[test]
fn moons_age_and_its_edge() {
    let (ephemeris, ..) = years_2024_to_2030();
    // From the published new Moon of 2024-03-10 09:00 UT.
    let age = ephemeris
        .moon_age_days(at("2024-03-20T09:00:00Z"))
        .expect("in the span");
    assert!((age - 10.0).abs() < 0.001, "{age}");
    assert_eq!(ephemeris.moon_age_days(at("2024-01-05T00:00:00Z")), None);
}

#[test]
fn apsides_against_de421() {
    let (ephemeris, from, to) = years_2024_to_2030();
    let ours = ephemeris.apsides(from, to);
    let theirs = rows("apsides.csv");
    assert_eq!(ours.len(), theirs.len());
    let (mut late, mut far) = (Vec::new(), Vec::new());
    for (apsis, row) in ours.iter().zip(&theirs) {
        let kind = match row.text("kind") {
            "perigee" => ApsisKind::Perigee,
            _ => ApsisKind::Apogee,
        };
        assert_eq!(apsis.kind, kind);
        late.push((apsis.moment.seconds() - row.moment("time_utc").seconds()) / 60.0);
        far.push(apsis.distance_km - row.number("distance_km"));
    }
    // The distance stands still there: 5 km are worth an hour at an apogee.
    spread("apsides, time", "min", &late, 0.1, 0.6);
    spread("apsides, distance", "km", &far, 0.01, 0.04);
}

#[test]
fn lunar_eclipses_as_published() {
    let (ephemeris, from, to) = years_2024_to_2030();
    let ours = ephemeris.lunar_eclipses(from, to);
    let theirs = rows("eclipses.csv");
    assert_eq!(ours.len(), theirs.len());
    let (mut late, mut umbral, mut penumbral, mut de421, mut at_an_instant) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for (eclipse, row) in ours.iter().zip(&theirs) {
        let kind = match row.text("kind") {
            "penumbral" => EclipseKind::Penumbral,
            "partial" => EclipseKind::Partial,
            _ => EclipseKind::Total,
        };
        assert_eq!(eclipse.kind, kind, "{}", row.text("published_greatest_ut"));
        let published = at(&row.text("published_greatest_ut").replace('Z', ":00Z"));
        late.push(eclipse.greatest.seconds() - published.seconds());
        de421.push(eclipse.greatest.seconds() - row.moment("greatest_utc").seconds());
        umbral.push(eclipse.umbral_magnitude - row.number("published_umbral_magnitude"));
        penumbral.push(eclipse.penumbral_magnitude - row.number("danjon_penumbral_magnitude"));
        let magnitudes = ephemeris.shadow_magnitudes(published);
        at_an_instant.push(magnitudes.umbral - row.number("published_umbral_magnitude"));
        let inside = |pair: [Moment; 2]| pair[0] < eclipse.greatest && eclipse.greatest < pair[1];
        assert!(inside(eclipse.penumbral));
        assert_eq!(
            eclipse.partial.is_some_and(inside),
            kind >= EclipseKind::Partial
        );
        assert_eq!(
            eclipse.total.is_some_and(inside),
            kind == EclipseKind::Total
        );
    }
    spread("eclipses, greatest, as published", "s", &late, 25.0, 45.0);
    spread("eclipses, greatest, DE421", "s", &de421, 3.0, 8.0);
    spread("eclipses, umbral magnitude", "", &umbral, 0.008, 0.01);
    spread("eclipses, penumbral magnitude", "", &penumbral, 0.005, 0.01);
    spread("eclipses, at an instant", "", &at_an_instant, 0.008, 0.01);
}

#[test]
fn contacts_of_a_total_eclipse() {
    // F. Espenak, NASA/GSFC, total lunar eclipse of 2025 March 14: P1 03:57:28,
    // U1 05:09:40, U2 06:26:06, U3 07:31:26, U4 08:47:52, P4 10:00:09 UT
    // (values from memory).
    let (ephemeris, from, to) = years_2024_to_2030();
    let eclipse = ephemeris
        .lunar_eclipses(from, to)
        .into_iter()
        .find(|eclipse| eclipse.greatest.to_utc().date_naive().to_string() == "2025-03-14")
        .expect("the eclipse");
    let (partial, total) = (
        eclipse.partial.expect("partial"),
        eclipse.total.expect("total"),
    );
    for (ours, published) in [
        (eclipse.penumbral[0], "2025-03-14T03:57:28Z"),
        (partial[0], "2025-03-14T05:09:40Z"),
        (total[0], "2025-03-14T06:26:06Z"),
        (total[1], "2025-03-14T07:31:26Z"),
        (partial[1], "2025-03-14T08:47:52Z"),
        (eclipse.penumbral[1], "2025-03-14T10:00:09Z"),
    ] {
        let late = ours.seconds() - at(published).seconds();
        assert!(late.abs() < 60.0, "{published}: {late} s");
    }
    // By definition: 0 at the first and last touch, 1 while the disc is inside.
    let magnitudes = |moment| ephemeris.shadow_magnitudes(moment);
    for side in 0..2 {
        assert!(magnitudes(eclipse.penumbral[side]).penumbral.abs() < 1e-4);
        assert!(magnitudes(partial[side]).umbral.abs() < 1e-4);
        assert!((magnitudes(total[side]).umbral - 1.0).abs() < 1e-4);
    }
    // At the new Moon the shadow is on the other side.
    let new = magnitudes(at("2025-03-29T11:00:00Z"));
    assert!(new.umbral < -100.0 && new.penumbral < -100.0);
}

#[test]
fn lunations_of_two_centuries() {
    // Espenak (NASA): any one lunation lasts 29.26 to 29.80 days (so to the
    // digit; 29.27 to 29.84 in Meeus, More Mathematical Astronomy Morsels);
    // mean 29.530589. 235 lunations are 19 years within about 2 hours.
    let (from, to) = (at("1900-01-01T00:00:00Z"), at("2099-12-31T00:00:00Z"));
    let ephemeris = Ephemeris::covering(from, to);
    let news: Vec<f64> = ephemeris
        .quarters(from, to)
        .into_iter()
        .filter(|(kind, _)| *kind == Quarter::New)
        .map(|(_, moment)| moment.seconds() / 86_400.0)
        .collect();
    for pair in news.windows(2) {
        let days = pair[1] - pair[0];
        assert!((29.26..=29.85).contains(&days), "{days}");
    }
    let mean = (news[news.len() - 1] - news[0]) / (news.len() - 1) as f64;
    assert!((mean - 29.530589).abs() < 5e-4, "{mean}");
    for pair in news.windows(236) {
        let metonic = pair[235] - pair[0] - 19.0 * 365.2422;
        assert!((metonic - 2.1 / 24.0).abs() < 0.7, "{metonic}");
    }
}
