//! Text without terminal styles, which needs no search for them byte by byte: a
//! batch has hundreds of megabytes.

/// Whether taking out terminal styles and control characters leaves this text
/// as it is.
pub fn is_unstyled(bytes: &[u8]) -> bool {
    // Without an end before the last byte many are looked at in one step.
    let taken_out = |byte: &u8| matches!(byte, 0..=8 | 11 | 14..=31 | 127);
    let any = bytes.iter().fold(false, |any, byte| any | taken_out(byte));
    !any && std::str::from_utf8(bytes).is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use anstream::adapter::StripBytes;
    use proptest::prelude::*;

    proptest! {
        /// Whatever the two pieces of a text are.
        #[test]
        fn nothing_would_be_taken_out(text in "[ -~\\x00-\\x1f\\x7f\u{80}-\u{ffff}]{0,12}") {
            let mut strip = StripBytes::new();
            let left: Vec<u8> = strip.strip_next(text.as_bytes()).flatten().copied().collect();
            let same = left == text.as_bytes();
            prop_assert!(same || !is_unstyled(text.as_bytes()), "{:?}", text);
        }

        #[test]
        fn plain_words_are_unstyled(text in "[ -~\t\r\n\u{a0}-\u{ffff}]{0,40}") {
            prop_assert!(is_unstyled(text.as_bytes()), "{:?}", text);
        }
    }

    #[test]
    fn a_style_is_found() {
        assert!(!is_unstyled(b"\x1b[1mbold\x1b[0m"));
        assert!(!is_unstyled(b"half a letter \xc3"));
    }
}
