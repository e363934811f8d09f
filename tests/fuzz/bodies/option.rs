//! Values of options that are no wishes.

use super::text;

#[path = "../../../src/cli/values.rs"]
mod values;

pub fn run(data: &[u8]) {
    let text = text(data);
    let _ = values::pair::<u32>(text);
    let _ = values::pair::<f64>(text);
    let _ = values::iso(text);
    if let Ok(number) = values::number(-10.0, 10.0)(text) {
        assert!((-10.0..=10.0).contains(&number));
    }
    if let Ok(date) = values::date(text) {
        assert_eq!(values::date(&date.to_string()), Ok(date));
    }
}
