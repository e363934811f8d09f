//! Messages on standard error, apart from the data on standard output.

use super::{progress, wrapped::wrapped};
use std::{
    borrow::Cow,
    io::{self, IsTerminal, Write},
};

/// Columns of the terminal that shows standard error; `None` if there is none,
/// so that each message stays on one line for programs that search for it.
pub fn talk_width() -> Option<usize> {
    let talk = io::stderr();
    if !talk.is_terminal() {
        return None;
    }
    terminal_size::terminal_size_of(&talk).map(|(width, _)| usize::from(width.0))
}

/// Writes a message to standard error. If that fails, there is nowhere left to
/// report it.
pub fn say(text: &str) {
    progress::erase();
    let text = match talk_width() {
        Some(width) => Cow::Owned(wrapped(text, width)),
        None => Cow::Borrowed(text),
    };
    let _ = writeln!(anstream::stderr().lock(), "{text}");
}
