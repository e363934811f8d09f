//! Offsets from UTC as people type them, and their names.

/// The largest offset, minutes: no clocks have been farther from UTC than 14
/// hours since 1900.
const MOST_MINUTES: usize = 14 * 60;
const COUNT: usize = 2 * MOST_MINUTES + 1;

/// `-14:00` to `+14:00`, so that a name can be borrowed for ever.
static NAMES: [[u8; 6]; COUNT] = names();

const fn names() -> [[u8; 6]; COUNT] {
    const fn digit(number: usize) -> u8 {
        b'0' + (number % 10) as u8
    }
    let mut names = [[0; 6]; COUNT];
    let mut at = 0;
    while at < COUNT {
        let (sign, minutes) = match at < MOST_MINUTES {
            true => (b'-', MOST_MINUTES - at),
            false => (b'+', at - MOST_MINUTES),
        };
        let (hours, rest) = (minutes / 60, minutes % 60);
        names[at] = [
            sign,
            digit(hours / 10),
            digit(hours),
            b':',
            digit(rest / 10),
            digit(rest),
        ];
        at += 1;
    }
    names
}

/// The name of an offset, minutes ahead of UTC: `+05:30`.
pub(crate) fn offset_name(minutes: i32) -> Option<&'static str> {
    let at = usize::try_from(minutes + MOST_MINUTES as i32).ok()?;
    std::str::from_utf8(NAMES.get(at)?).ok()
}

/// Minutes ahead of UTC of `+05:30`, `-8`, `UTC+5:30`; any number of hours below
/// 100.
pub(crate) fn fixed_offset(text: &str) -> Option<i32> {
    let text = match text.get(..3) {
        Some(head) if head.eq_ignore_ascii_case("UTC") => text.get(3..)?.trim_start(),
        _ => text,
    };
    let mut characters = text.chars();
    let sign = match characters.next()? {
        '+' => 1,
        // The minus of typography too.
        '-' | '\u{2212}' => -1,
        _ => return None,
    };
    let (hours, minutes) = match characters.as_str().split_once(':') {
        Some((hours, minutes)) if minutes.len() == 2 => (hours, minutes),
        Some(_) => return None,
        None => (characters.as_str(), "00"),
    };
    let whole = |digits: &str| -> Option<i32> {
        let right = (1..=2).contains(&digits.len()) && digits.bytes().all(|d| d.is_ascii_digit());
        right.then(|| digits.parse().ok())?
    };
    let (hours, minutes) = (whole(hours)?, whole(minutes)?);
    (minutes < 60).then_some(sign * (60 * hours + minutes))
}

/// An offset from UTC as `+09:30`, with seconds only where it has some.
pub fn offset_text(offset_seconds: i32) -> String {
    let sign = if offset_seconds < 0 { '-' } else { '+' };
    let size = offset_seconds.unsigned_abs();
    let (hours, minutes, seconds) = (size / 3600, size / 60 % 60, size % 60);
    if seconds == 0 {
        format!("{sign}{hours:02}:{minutes:02}")
    } else {
        format!("{sign}{hours:02}:{minutes:02}:{seconds:02}")
    }
}

/// What to write for text with digits that is no zone.
pub(crate) fn offset_remedy(name: &str) -> String {
    // Etc/GMT+5 is behind UTC, what people call GMT+5 ahead of it.
    let signed = name.get(3..).filter(|_| {
        let head = name.get(..3);
        head.is_some_and(|head| head.eq_ignore_ascii_case("GMT"))
    });
    let hours = name.parse().ok().filter(|hours: &f64| hours.abs() <= 14.0);
    if let Some(offset) = hours.and_then(|hours| offset_name((60.0 * hours).round() as i32)) {
        return format!("write {offset}");
    }
    match signed.and_then(fixed_offset).and_then(offset_name) {
        Some(offset) => format!("write {offset}"),
        None => "give the zone of a city, or an offset of at most 14 hours".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offsets_are_read_and_named() {
        for (text, name) in [
            ("+05:30", "+05:30"),
            ("UTC+5:30", "+05:30"),
            ("utc -8", "-08:00"),
            ("-03:30", "-03:30"),
            ("\u{2212}8", "-08:00"),
            ("+14:00", "+14:00"),
            ("-14:00", "-14:00"),
            ("+00:00", "+00:00"),
            ("-0:01", "-00:01"),
        ] {
            let found = fixed_offset(text).and_then(offset_name);
            assert_eq!(found, Some(name), "{text}");
        }
        for text in [
            "", "+", "5", "+5:3", "+5:60", "+:30", "+005:00", "+5h", "UTC", "UTC5", "+5:30:00",
            "+14:01", "-15", "+99:59", "+1e1", "+-5", "é+5",
        ] {
            assert_eq!(fixed_offset(text).and_then(offset_name), None, "{text}");
        }
    }

    #[test]
    fn offsets_are_written_with_their_sign() {
        assert_eq!(offset_text(34_200), "+09:30");
        assert_eq!(offset_text(-12_600), "-03:30");
        assert_eq!(offset_text(0), "+00:00");
        assert_eq!(offset_text(33_260), "+09:14:20");
    }
}
