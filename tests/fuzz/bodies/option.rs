//! Values of options that are no rules.

use super::text;

#[path = "../../../src/cli/values.rs"]
mod values;

pub fn run(data: &[u8]) {
    let text = text(data);
    if let Ok(pair) = values::pair(0.0, 360.0)(text) {
        assert!(pair.iter().all(|side| (0.0..=360.0).contains(side)));
    }
    if let Ok(count) = values::count::<u8>(1, 200)(text) {
        assert!((1..=200).contains(&count));
    }
    let _ = values::measure(text, 1.0, 720.0, "minutes");
    let _ = values::iso(text);
    if let Ok(number) = values::number(-10.0, 10.0)(text) {
        assert!((-10.0..=10.0).contains(&number));
    }
    if let Ok(date) = values::date(text) {
        assert_eq!(values::date(&date.to_string()), Ok(date));
    }
}
