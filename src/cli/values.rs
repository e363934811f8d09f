//! How options that are not keys of a brief read their values.

use rakelight::{
    light::TrailLength,
    report::ical::Alarm,
    scene::{LengthUnit, length_within, number_within, shown},
};

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

/// A length within limits, both in a unit that a number alone is in too.
pub fn length(
    unit: LengthUnit,
    low: f64,
    high: f64,
) -> impl Fn(&str) -> Result<f64, String> + Clone {
    move |text| length_within(text, unit, low, high).map_err(|error| error.to_string())
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

/// A time that something takes, in seconds: numbers with their units, `120s`,
/// `2min`, `1h30min`. `expected` says the limits as they are typed.
pub fn duration(
    low_s: f64,
    high_s: f64,
    expected: &'static str,
) -> impl Fn(&str) -> Result<f64, String> + Clone {
    move |text| {
        let within = |text: &str| {
            let seconds = seconds(text)?;
            (low_s..=high_s).contains(&seconds).then_some(seconds)
        };
        within(text.trim()).ok_or_else(|| {
            let found = shown(text);
            let remedy = unit_remedy(text.trim(), &["s", "min", "h"], |text| {
                within(text).is_some()
            });
            format!("found {found}, expected a time such as 90s or 1h30min, {expected}{remedy}")
        })
    }
}

/// Seconds of numbers with `h`, `min` or `s`, in this order and each at most
/// once.
fn seconds(text: &str) -> Option<f64> {
    total(text, &[("h", 3600.0), ("min", 60.0), ("s", 1.0)])
}

/// The sum of numbers with units, in the order of the units and each at most
/// once; `units` have their size.
fn total(text: &str, units: &[(&str, f64)]) -> Option<f64> {
    let mut rest = text;
    let mut total = 0.0;
    let mut units = units.iter();
    while !rest.is_empty() {
        let number_ends = rest.find(|c: char| c.is_ascii_alphabetic())?;
        let (number, after) = rest.split_at(number_ends);
        let unit_ends = after.find(|c: char| !c.is_ascii_alphabetic());
        let (unit, after) = after.split_at(unit_ends.unwrap_or(after.len()));
        // What was passed over cannot come again.
        let (_, size) = units.find(|(name, _)| *name == unit)?;
        total += number_within(number, 0.0, 1e9).ok()? * size;
        rest = after;
    }
    (!text.is_empty()).then_some(total)
}

/// An alarm so long before, `90min`, `3h`, `1d`: whole minutes.
pub fn alarm(text: &str) -> Result<Alarm, String> {
    const MOST: f64 = 60.0 * 1440.0;
    let read = |text: &str| {
        let minutes = total(text, &[("d", 1440.0), ("h", 60.0), ("min", 1.0)])?;
        let is_good = (1.0..=MOST).contains(&minutes) && minutes.fract() == 0.0;
        is_good.then_some(Alarm {
            minutes: minutes as u32,
        })
    };
    read(text.trim()).ok_or_else(|| {
        let found = shown(text);
        let remedy = unit_remedy(text.trim(), &["min", "h", "d"], |text| read(text).is_some());
        format!("found {found}, expected a time such as 90min, 3h or 1d, whole minutes, 1min to 60d{remedy}")
    })
}

/// What to write instead of a number that has no unit, or minutes as m, where
/// that is accepted.
fn unit_remedy(text: &str, units: &[&str], is_accepted: impl Fn(&str) -> bool) -> String {
    let number = text.strip_suffix('m').unwrap_or(text);
    let units = if number == text { units } else { &["min"] };
    let accepted: Vec<String> = units
        .iter()
        .map(|unit| format!("{number}{unit}"))
        .filter(|text| is_accepted(text))
        .collect();
    match accepted.is_empty() {
        true => String::new(),
        false => format!("; a unit belongs to it: write {}", accepted.join(" or ")),
    }
}

/// A length of star trails, `20deg` or a time.
pub fn trail_length(text: &str) -> Result<TrailLength, String> {
    let read = |text: &str| match text.strip_suffix("deg") {
        Some(degrees) => number_within(degrees, 0.1, 360.0)
            .ok()
            .map(TrailLength::Degrees),
        None => seconds(text)
            .filter(|seconds| (30.0..=82_800.0).contains(seconds))
            .map(TrailLength::Seconds),
    };
    let typed = text.trim();
    read(typed).ok_or_else(|| {
        let found = shown(text);
        let expected = "20deg (0.1deg to 360deg) or 60min (30s to 23h)";
        let remedy = match typed.ends_with("deg") || seconds(typed).is_some() {
            true => String::new(),
            false => unit_remedy(typed, &["deg", "min"], |text| read(text).is_some()),
        };
        format!("found {found}, expected {expected}{remedy}")
    })
}

/// A date within the years that the program supports.
pub fn date(text: &str) -> Result<chrono::NaiveDate, String> {
    rakelight::scene::parse_date(text).map_err(|error| error.to_string())
}
