//! Numbers in tables without commas between the fields: there a comma can be the
//! decimal sign, and a sign before three digits can part thousands instead.

use crate::scene::ValueError;
use crate::scene::number::{number, number_hint};

/// What a field can mean as a number.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Readings {
    /// The number if its only sign is the decimal one.
    plain: Option<f64>,
    /// The number if signs part its thousands.
    grouped: Option<f64>,
}

/// The number in a field; the caller checks it. `accepts` says which numbers it
/// may be: `1.900` is 1.9 or 1900, so it is refused where both may be, and where
/// only the second may.
///
/// # Errors
///
/// No number, one with signs between its thousands, and a doubtful one.
pub(super) fn field_number(
    text: &str,
    expected: &str,
    accepts: impl Fn(f64) -> bool,
) -> Result<f64, ValueError> {
    let refuse = || ValueError::new(text, expected);
    let Readings { plain, grouped } = readings(text);
    match (plain, grouped.filter(|grouped| accepts(*grouped))) {
        (Some(plain), Some(grouped)) if accepts(plain) => Err(refuse().with_remedy(format!(
            "the sign may part thousands or decimals: write {} or {}",
            with_comma(plain),
            with_comma(grouped)
        ))),
        (_, Some(grouped)) => {
            let meant = with_comma(grouped);
            Err(refuse().with_remedy(format!("nothing parts thousands: write {meant}")))
        }
        (Some(plain), None) => Ok(plain),
        (None, None) => Err(refuse().with_hint(number_hint(text, &accepts))),
    }
}

/// A text that may hold numbers with decimal commas, alone or as the ends of a
/// band, with points instead; any other as it is.
pub(super) fn with_points(text: &str) -> String {
    let ends: Vec<String> = text.split("..").map(with_point).collect();
    ends.join("..")
}

/// A number with a decimal comma, with a point instead; any other text as it
/// is.
pub(super) fn with_point(text: &str) -> String {
    let pointed = text.replace(',', ".");
    let is_number = text.matches(',').count() == 1 && number(pointed.trim()).is_some();
    match is_number && !text.contains('.') {
        true => pointed,
        false => text.to_owned(),
    }
}

/// A number as it is typed in such a table, so that no doubt is left.
fn with_comma(value: f64) -> String {
    let text = value.to_string();
    match text.split_once('.') {
        // Three digits could be taken for thousands again.
        Some((whole, part))
            if part.len() == 3 && !whole.trim_start_matches('-').starts_with('0') =>
        {
            format!("{whole},{part}0")
        }
        Some((whole, part)) => format!("{whole},{part}"),
        None => text,
    }
}

fn readings(text: &str) -> Readings {
    let grouped = |mark: char, decimal: char| {
        let body = text.strip_prefix(['-', '+']).unwrap_or(text);
        let (whole, part) = body.split_once(decimal).unwrap_or((body, "0"));
        let mut groups = whole.split(mark);
        let first = groups.next().unwrap_or_default();
        let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        let mut count = 0;
        let groups = groups.all(|group| {
            count += 1;
            group.len() == 3 && digits(group)
        });
        let first = (1..=3).contains(&first.len()) && digits(first) && !first.starts_with('0');
        let whole_number = first && groups && count > 0 && !part.is_empty() && digits(part);
        let plain = text.replace(mark, "").replace(decimal, ".");
        whole_number.then(|| number(&plain)).flatten()
    };
    let marks = [
        ('.', ','),
        (',', '.'),
        (' ', ','),
        ('\u{a0}', ','),
        ('\u{202f}', ','),
        ('\'', ','),
        ('\u{2019}', ','),
    ];
    Readings {
        plain: number(&with_point(text)),
        grouped: marks
            .into_iter()
            .find_map(|(mark, decimal)| grouped(mark, decimal)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, (low, high): (f64, f64)) -> Result<f64, String> {
        let within = |value: f64| (low..=high).contains(&value);
        field_number(text, "a number", within).map_err(|error| error.remedy.unwrap_or_default())
    }

    #[test]
    fn a_comma_is_the_decimal_sign_and_so_is_a_point() {
        let degrees = (-180.0, 180.0);
        for (text, value) in [
            ("37,18", 37.18),
            ("-113,42", -113.42),
            ("37.18", 37.18),
            ("37.181", 37.181),
            ("+0,181", 0.181),
            ("12", 12.0),
        ] {
            assert_eq!(read(text, degrees), Ok(value), "{text}");
        }
        assert!(read("3,7,1", degrees).is_err());
        assert!(read("north", degrees).is_err());
    }

    #[test]
    fn a_sign_between_thousands_is_refused_and_what_is_offered_is_read() {
        let metres = (-500.0, 9000.0);
        let doubt = "the sign may part thousands or decimals: write";
        let thousands = "nothing parts thousands: write";
        for (text, remedy) in [
            ("1.900", format!("{doubt} 1,9 or 1900")),
            ("1,900", format!("{doubt} 1,9 or 1900")),
            ("-1.234", "".to_owned()),
            ("1,234", format!("{doubt} 1,2340 or 1234")),
            ("1.234,5", format!("{thousands} 1234,5")),
            ("1,234.5", format!("{thousands} 1234,5")),
            ("1 234", format!("{thousands} 1234")),
            ("1'234,25", format!("{thousands} 1234,25")),
        ] {
            let got = read(text, metres);
            match remedy.as_str() {
                // -1234 m is no elevation, so there is no doubt.
                "" => assert_eq!(got, Ok(-1.234)),
                remedy => assert_eq!(got, Err(remedy.to_owned()), "{text}"),
            }
        }
        for offered in ["1,9", "1900", "1,2340", "1234,5", "1234,25"] {
            assert!(read(offered, metres).is_ok(), "{offered}");
        }
        assert_eq!(
            read("1.013", (500.0, 1100.0)),
            Err(format!("{thousands} 1013"))
        );
    }

    #[test]
    fn bands_have_points_and_lists_stay() {
        assert_eq!(with_points("0,05..0,3"), "0.05..0.3");
        assert_eq!(with_points("..0,3"), "..0.3");
        assert_eq!(with_points("12,5"), "12.5");
        for same in [
            "fri,sat",
            "contrast=1,raking=2",
            "gal:80,0",
            "10..",
            "1.234,5",
        ] {
            assert_eq!(with_points(same), same);
        }
    }
}
