//! Entries of a calendar that was written before.

use super::{ical_event::Revision, ical_lines::ContentLines};

/// The properties of an entry as they stand, each with its folds.
fn properties(entry: &str) -> Vec<String> {
    let mut properties: Vec<String> = Vec::new();
    for line in entry.split_inclusive('\n') {
        match properties.last_mut() {
            Some(last) if line.starts_with([' ', '\t']) => last.push_str(line),
            _ => properties.push(line.to_owned()),
        }
    }
    properties
}

/// The name of a property.
fn name(property: &str) -> String {
    let property = unfolded(property);
    let ends = property.find([':', ';']).unwrap_or(property.len());
    property
        .get(..ends)
        .unwrap_or_default()
        .to_ascii_uppercase()
}

/// A property in one piece, however it is folded.
fn unfolded(property: &str) -> String {
    let lines = property.split('\n').map(|line| line.trim_end_matches('\r'));
    let pieces = lines.enumerate().map(|(index, line)| match index {
        0 => line,
        _ => line.strip_prefix([' ', '\t']).unwrap_or(line),
    });
    pieces.collect()
}

/// Whether two entries say the same, whatever state they are in.
pub(super) fn is_same(one: &str, other: &str) -> bool {
    let told = |entry: &str| -> Vec<String> {
        let properties = properties(entry);
        let told = properties.iter().filter(|property| {
            let name = name(property);
            !Revision::NAMES.contains(&name.as_str())
        });
        told.map(|property| unfolded(property)).collect()
    };
    told(one) == told(other)
}

/// The entry cancelled: what it was, when and where, without its alarms and its
/// plan.
pub(super) fn cancelled(entry: &str, revision: Revision) -> String {
    let mut text = String::new();
    let mut depth = 0_usize;
    for property in properties(entry) {
        let name = name(&property);
        depth += usize::from(name == "BEGIN");
        let is_own = depth == 1;
        depth = depth.saturating_sub(usize::from(name == "END"));
        let goes =
            ["DESCRIPTION", "STATUS"].contains(&&*name) || Revision::NAMES.contains(&name.as_str());
        if !is_own || goes {
            continue;
        }
        if name == "END" {
            let mut lines = ContentLines::default();
            revision.write(&mut lines);
            lines.value("STATUS", "CANCELLED");
            text.push_str(&lines.into_text());
        }
        text.push_str(&property);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ephemeris::Moment;

    const ENTRY: &str = "BEGIN:VEVENT\r\nDESCRIPTION:a\\n\r\n b\r\nDTSTAMP:20270115T080000Z\r\n\
                         DTSTART:20270529T092700Z\r\nSTATUS:CONFIRMED\r\nSUMMARY:S\r\nUID:x\r\n\
                         LAST-MODIFIED:20270115T080000Z\r\nSEQUENCE:3\r\nBEGIN:VALARM\r\n\
                         ACTION:DISPLAY\r\nDESCRIPTION:S\r\nEND:VALARM\r\nEND:VEVENT\r\n";

    #[test]
    fn state_and_folds_make_no_difference_and_all_else_does() {
        let other = ENTRY
            .replace("SEQUENCE:3", "SEQUENCE:4")
            .replace("20270115T08", "20270116T08")
            .replace("a\\n\r\n b", "a\\nb")
            .replace("SUMMARY:S", "SUMM\r\n\tARY:S");
        assert!(is_same(ENTRY, &other));
        for changed in [
            ENTRY.replace("092700", "092701"),
            ENTRY.replace("CONFIRMED", "CANCELLED"),
            ENTRY.replace("ACTION:DISPLAY\r\n", ""),
            ENTRY.replace(" b", "  b"),
        ] {
            assert!(!is_same(ENTRY, &changed), "{changed}");
        }
    }

    #[test]
    fn a_cancelled_entry_keeps_what_identifies_it() {
        let revision = Revision {
            sequence: 4,
            stamp: Moment::from_seconds(0.0),
        };
        assert_eq!(
            cancelled(ENTRY, revision),
            "BEGIN:VEVENT\r\nDTSTART:20270529T092700Z\r\nSUMMARY:S\r\nUID:x\r\n\
             DTSTAMP:20000101T120000Z\r\nLAST-MODIFIED:20000101T120000Z\r\nSEQUENCE:4\r\n\
             STATUS:CANCELLED\r\nEND:VEVENT\r\n"
        );
    }
}
