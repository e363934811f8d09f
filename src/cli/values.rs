//! How options read their values, where no brief key does it.

/// Two numbers, `36x24` or `36,24`.
pub fn pair<T: std::str::FromStr>(text: &str) -> Result<[T; 2], String> {
    let refuse = || format!("found {text}, expected two numbers such as 36x24");
    let (first, second) = text.split_once(['x', ',']).ok_or_else(refuse)?;
    let read = |part: &str| part.trim().parse().map_err(|_| refuse());
    Ok([read(first)?, read(second)?])
}

/// A finite number within limits.
pub fn number(low: f64, high: f64) -> impl Fn(&str) -> Result<f64, String> + Clone {
    move |text| {
        let value: Option<f64> = text.trim().parse().ok();
        value
            .filter(|value| (low..=high).contains(value))
            .ok_or_else(|| format!("found {text}, expected a number from {low} to {high}"))
    }
}

/// ISO speeds, `100..25600`.
pub fn iso(text: &str) -> Result<[u32; 2], String> {
    let refuse = || format!("found {text}, expected two speeds such as 100..25600");
    let (lowest, highest) = text.split_once("..").ok_or_else(refuse)?;
    let read = |part: &str| part.trim().parse().map_err(|_| refuse());
    Ok([read(lowest)?, read(highest)?])
}

/// A date that the tool serves.
pub fn date(text: &str) -> Result<chrono::NaiveDate, String> {
    rakelight::scene::parse_date(text).map_err(|error| error.to_string())
}
