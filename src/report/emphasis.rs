//! How strongly a text stands out, in each kind of output.

use anstyle::{Effects, Style};
use std::fmt::{self, Display, Formatter};

/// How strongly a text stands out. The text always says the same in characters
/// too (a star, a `~`), because a pipe loses all emphasis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Emphasis {
    /// Ordinary text.
    #[default]
    Plain,
    /// What the eye should find first.
    Strong,
    /// What only explains.
    Faint,
}

/// See [`Emphasis::Plain`].
pub const PLAIN: Emphasis = Emphasis::Plain;
/// See [`Emphasis::Strong`].
pub const STRONG: Emphasis = Emphasis::Strong;
/// See [`Emphasis::Faint`].
pub const FAINT: Emphasis = Emphasis::Faint;

impl Emphasis {
    /// Strong where `is_strong`, plain elsewhere.
    pub fn strong_if(is_strong: bool) -> Self {
        if is_strong { Self::Strong } else { Self::Plain }
    }

    /// The text in HTML; `html` is already escaped.
    pub fn html(self, html: &str) -> String {
        match self {
            Self::Strong if !html.is_empty() => format!("<b>{html}</b>"),
            _ => html.to_string(),
        }
    }

    /// The text in Markdown; `markdown` is already escaped.
    pub fn markdown(self, markdown: &str) -> String {
        match self {
            Self::Strong if !markdown.is_empty() => format!("**{markdown}**"),
            _ => markdown.to_string(),
        }
    }

    fn style(self) -> Style {
        match self {
            Self::Plain => Style::new(),
            Self::Strong => Style::new().effects(Effects::BOLD),
            Self::Faint => Style::new().effects(Effects::DIMMED),
        }
    }
}

/// Begins the emphasis on a terminal, and with `{:#}` ends it:
/// `{STRONG}text{STRONG:#}`. A writer that is not a terminal strips both.
impl Display for Emphasis {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        Display::fmt(&self.style(), f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_output_has_its_form() {
        assert_eq!(
            format!("{STRONG}a{STRONG:#} {FAINT}b{FAINT:#} {PLAIN}c{PLAIN:#}"),
            "\u{1b}[1ma\u{1b}[0m \u{1b}[2mb\u{1b}[0m c"
        );
        assert_eq!(STRONG.html("a&lt;b"), "<b>a&lt;b</b>");
        assert_eq!(FAINT.html("a"), "a");
        assert_eq!(STRONG.markdown("a"), "**a**");
        assert_eq!(STRONG.markdown(""), "");
        assert_eq!(PLAIN.markdown("a"), "a");
    }
}
