//! Drawings in one grey for a dark ground and another for a light one.

use std::fmt::Write as _;

/// Pairs of greys, one for a dark ground and one for a light one: paper, and a
/// screen whose owner asks for it. Each pair is a variable of the page's style, so that the page holds each drawing only once.
#[derive(Debug, Default)]
pub(super) struct Greys(Vec<(String, String)>);

/// The characters before a colour, and the length of a colour.
const MARK: &str = "\"#";
const DIGITS: usize = 6;

impl Greys {
    /// One drawing that is `dark` on a dark ground and `light` on a light one. If the two
    /// differ in more than colour, the result is the dark one.
    pub fn joined(&mut self, dark: &str, light: &str) -> String {
        // HTML knows the namespace without the attribute.
        let [dark, light] =
            [dark, light].map(|svg| svg.replacen(" xmlns=\"http://www.w3.org/2000/svg\"", "", 1));
        let mut joined = String::with_capacity(dark.len());
        let mut papers = light.split(MARK);
        for (index, screen) in dark.split(MARK).enumerate() {
            let Some(paper) = papers.next() else {
                return dark;
            };
            if screen == paper {
                if index > 0 {
                    joined.push_str(MARK);
                }
                joined.push_str(screen);
                continue;
            }
            match (
                screen.split_at_checked(DIGITS),
                paper.split_at_checked(DIGITS),
            ) {
                (Some((on_screen, rest)), Some((on_paper, same))) if index > 0 && rest == same => {
                    let number = self.number(on_screen, on_paper);
                    // Writing to a string does not fail.
                    let _ = write!(joined, "\"var(--g{number})");
                    joined.push_str(rest);
                }
                _ => return dark,
            }
        }
        if papers.next().is_some() {
            return dark;
        }
        joined
    }

    fn number(&mut self, screen: &str, paper: &str) -> usize {
        let known = self.0.iter().position(|(s, p)| s == screen && p == paper);
        known.unwrap_or_else(|| {
            self.0.push((screen.to_owned(), paper.to_owned()));
            self.0.len() - 1
        })
    }

    pub fn style(&self) -> String {
        let mut screen = String::new();
        let mut paper = String::new();
        for (number, (on_screen, on_paper)) in self.0.iter().enumerate() {
            let _ = write!(screen, "--g{number}:#{on_screen};");
            let _ = write!(paper, "--g{number}:#{on_paper};");
        }
        format!(":root{{{screen}}}\n@media print{{:root{{{paper}}}}}\n")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drawing_is_there_once_with_both_its_greys() {
        let mut greys = Greys::default();
        let dark = r##"<a fill="#d6d6d6"/><b fill="#000000"/><c fill="#d6d6d6"/>"#aaaaaa"##;
        let light = r##"<a fill="#111111"/><b fill="#ffffff"/><c fill="#111111"/>"#aaaaaa"##;
        assert_eq!(
            greys.joined(dark, light),
            r##"<a fill="var(--g0)"/><b fill="var(--g1)"/><c fill="var(--g0)"/>"#aaaaaa"##
        );
        assert_eq!(
            greys.style(),
            ":root{--g0:#d6d6d6;--g1:#000000;}\n\
             @media print{:root{--g0:#111111;--g1:#ffffff;}}\n"
        );
        // A different drawing is not the same one in other colours.
        assert_eq!(greys.joined(dark, "<a/>"), dark);
        assert_eq!(greys.joined("é", "<a/>"), "é");
    }
}
