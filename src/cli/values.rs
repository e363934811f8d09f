//! How options that are not keys of a brief read their values.

use rakelight::scene::{number_within, shown};

/// Two numbers within limits, `36x24` or `36,24`.
pub fn pair(low: f64, high: f64) -> impl Fn(&str) -> Result<[f64; 2], String> + Clone {
    move |text| {
        let (first, second) = text.split_once(['x', ',']).ok_or_else(|| {
            let found = shown(text);
            format!("found {found}, expected two numbers such as 36x24; write width, x, height")
        })?;
        let read = |part: &str| number_within(part, low, high).map_err(|error| error.to_string());
        Ok([read(first)?, read(second)?])
    }
}

/// A finite number within limits.
pub fn number(low: f64, high: f64) -> impl Fn(&str) -> Result<f64, String> + Clone {
    move |text| number_within(text, low, high).map_err(|error| error.to_string())
}

/// A number within limits; `expected` states them with their unit.
pub fn measure(text: &str, low: f64, high: f64, expected: &str) -> Result<f64, String> {
    number_within(text, low, high).map_err(|mut error| {
        expected.clone_into(&mut error.expected);
        error.to_string()
    })
}

/// A whole number within limits.
pub fn count<T: TryFrom<u32>>(least: u32, most: u32) -> impl Fn(&str) -> Result<T, String> + Clone {
    move |text| {
        let value: Option<u32> = text.trim().parse().ok();
        value
            .filter(|value| (least..=most).contains(value))
            .and_then(|value| T::try_from(value).ok())
            .ok_or_else(|| {
                let found = shown(text);
                format!("found {found}, expected a whole number from {least} to {most}")
            })
    }
}

/// ISO speeds, `100..25600`.
pub fn iso(text: &str) -> Result<[u32; 2], String> {
    let refuse = |remedy: &str| {
        let found = shown(text);
        format!("found {found}, expected two speeds such as 100..25600; {remedy}")
    };
    let form = "write the lowest, two dots, the highest";
    let (lowest, highest) = text.split_once("..").ok_or_else(|| {
        // A camera is set to one speed, so users type one.
        match text.trim().parse::<u32>() {
            Ok(speed) => refuse(&format!("for that one alone write {speed}..{speed}")),
            Err(_) => refuse(form),
        }
    })?;
    let read = |part: &str| part.trim().parse().map_err(|_| refuse(form));
    let (lowest, highest) = (read(lowest)?, read(highest)?);
    if lowest > highest {
        let remedy = format!("the lower end comes first: write {highest}..{lowest}");
        return Err(refuse(&remedy));
    }
    Ok([lowest, highest])
}

/// A date within the years that the program supports.
pub fn date(text: &str) -> Result<chrono::NaiveDate, String> {
    rakelight::scene::parse_date(text).map_err(|error| error.to_string())
}
