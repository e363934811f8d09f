//! What every complaint keeps: one printable line each, of a length that people
//! read.

use rakelight::{
    input::Faults,
    scene::{ValueError, shown},
};

/// Longer than any list of known keys.
const LONGEST_LINE: usize = 1000;

pub fn check_line(line: &str) {
    assert!(line.chars().count() <= LONGEST_LINE, "a long line: {line}");
    let characters: Vec<char> = line.chars().collect();
    for piece in characters.chunks(50) {
        let piece: String = piece.iter().collect();
        assert_eq!(shown(&piece), piece, "unprintable in {line:?}");
    }
}

pub fn check_error(error: &ValueError) {
    assert!(!error.found.is_empty() && !error.expected.is_empty());
    check_line(&error.to_string());
}

pub fn check_faults(faults: &Faults) {
    assert!(!faults.0.is_empty(), "refused without a reason");
    for fault in &faults.0 {
        assert!(!fault.found.is_empty() && !fault.expected.is_empty());
        assert!(fault.line != Some(0) && fault.column != Some(0));
        check_line(&fault.to_string());
    }
}
