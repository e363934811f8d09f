//! Talk to standard error, beside the data on standard output.

use super::{progress, wrapped::wrapped};
use std::{
    borrow::Cow,
    io::{self, IsTerminal, Write},
};

/// Columns of the terminal that shows standard error; `None` where none does,
/// so that a message stays on its line for programs that look for it.
pub fn talk_width() -> Option<usize> {
    let talk = io::stderr();
    if !talk.is_terminal() {
        return None;
    }
    terminal_size::terminal_size_of(&talk).map(|(width, _)| usize::from(width.0))
}

/// Talk to standard error. Nobody is left to tell where that fails.
pub fn say(text: &str) {
    progress::erase();
    let text = match talk_width() {
        Some(width) => Cow::Owned(wrapped(text, width)),
        None => Cow::Borrowed(text),
    };
    let _ = writeln!(anstream::stderr().lock(), "{text}");
}
