//! The value of each rule, as an option, a brief, a table or `--vary` gives it.

use super::{brief, said, text};
use rakelight::{
    rule::Rules,
    rule::{
        ARCH_ALTITUDE, ARCH_OFFSET, Brief, FACING, LIGHT_ANGLE, MIN_MINUTES, MOON_ALTITUDE,
        MOON_FRACTION, SUN_ALTITUDE, TARGET_ALTITUDE, TARGET_AZIMUTH, TARGET_OFFSET, TILT, WEIGHTS,
    },
    scene::{AzimuthBand, Band, Facing, ValueError, Weights},
};

/// A text without `=` is tried as the value of every key; `KEY=A,B` (or
/// `A;B`) sets that key to each value in turn.
pub fn run(data: &[u8]) {
    let text = text(data);
    for key in Brief::keys() {
        set(key, text);
    }
    if let Some((key, values)) = text.split_once('=') {
        let key = key.trim().trim_start_matches("--").replace('-', "_");
        let separator = if values.contains(';') { ';' } else { ',' };
        for value in values.split(separator) {
            set(&key, value.trim());
        }
    }
}

fn set(key: &str, text: &str) {
    let mut said = Brief::default();
    match said.set(key, text) {
        Ok(()) => {
            assert_eq!(said.entries().len(), 1);
            limits(&said);
            brief::check(&said);
            let site = brief::with_subject();
            let rules = Rules::new(&Brief::default(), &site).expect("a subject");
            let rules = rules.typed(key, text).expect("taken above");
            assert_eq!(said.clone().or(&rules.to_brief()), rules.to_brief());
        }
        Err(error) => {
            said::check_error(&error);
            assert_eq!(said, Brief::default(), "refused, and yet set");
            advised(key, text, &error);
        }
    }
}

/// What the error says to write for the whole text is taken.
fn advised(key: &str, text: &str, error: &ValueError) {
    let remedy = error.remedy.as_deref().unwrap_or_default();
    if error.found != text.trim() || remedy.contains(" for ") {
        return;
    }
    let Some((_, typed)) = remedy.split_once("write ") else {
        return;
    };
    for typed in typed.split(" or ") {
        let set = Brief::default().set(key, typed);
        assert_eq!(set, Ok(()), "{key} = {text}: {remedy}");
    }
}

fn limits(brief: &Brief) {
    let within = |band: Option<Band>, low: f64, high: f64| {
        if let Some(band) = band {
            assert!(band.low <= band.high);
            assert!(band.low == f64::NEG_INFINITY || (low..=high).contains(&band.low));
            assert!(band.high == f64::INFINITY || (low..=high).contains(&band.high));
            assert!(band.low.is_finite() || band.high.is_finite());
        }
    };
    within(brief.get(&TARGET_ALTITUDE), -90.0, 90.0);
    within(brief.get(&TARGET_OFFSET), -180.0, 180.0);
    within(brief.get(&ARCH_ALTITUDE), -90.0, 90.0);
    within(brief.get(&ARCH_OFFSET), -180.0, 180.0);
    within(brief.get(&TILT), 0.0, 90.0);
    within(brief.get(&SUN_ALTITUDE), -90.0, 90.0);
    within(brief.get(&MOON_ALTITUDE), -90.0, 90.0);
    within(brief.get(&MOON_FRACTION), 0.0, 1.0);
    within(brief.get(&LIGHT_ANGLE), 0.0, 180.0);
    if let Some(band) = brief.get::<AzimuthBand>(&TARGET_AZIMUTH) {
        assert!((0.0..360.0).contains(&band.from_deg));
        assert!(band.width_deg > 0.0 && band.width_deg <= 360.0);
        assert!(band.contains(band.from_deg));
    }
    if let Some(Facing::Bearing(bearing) | Facing::Magnetic(bearing)) = brief.get(&FACING) {
        assert!((0.0..360.0).contains(&bearing));
    }
    if let Some(minutes) = brief.get::<f64>(&MIN_MINUTES) {
        assert!((0.0..=1440.0).contains(&minutes));
    }
    if let Some(weights) = brief.get::<Weights>(&WEIGHTS) {
        let sum: f64 = weights.entries().iter().map(|(_, weight)| weight).sum();
        assert!(sum > 0.0 && sum <= 500.0);
    }
}
