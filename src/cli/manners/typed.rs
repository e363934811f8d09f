//! Text of strangers as it is typed: what a message offers can be pasted into a
//! shell.

use rakelight::plain_words::printable;

/// The text quoted so that a shell reads it as one word; nothing if it cannot
/// be shown, and so not typed. `plain` are the signs that need no quotes.
pub fn quoted(text: &str, plain: &str) -> Option<String> {
    if printable(text) != text {
        return None;
    }
    let is_plain = |c: char| c.is_alphanumeric() || plain.contains(c);
    Some(if text.chars().all(is_plain) {
        text.to_owned()
    } else if cfg!(windows) || !text.contains(['$', '`', '"', '\\', '!']) {
        format!("\"{text}\"")
    } else {
        // Within single quotes, a shell gives meaning only to the quote itself.
        format!("'{}'", text.replace('\'', "'\\''"))
    })
}

/// The signs of a path that need no quotes.
pub const PATH_SIGNS: &str = if cfg!(windows) {
    "-_./+,@\\:~"
} else {
    "-_./+,@:"
};
