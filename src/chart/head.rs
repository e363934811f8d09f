//! What stands above a picture: first its name, then the answer, then the facts
//! behind it, each broken into as many lines as the width asks for.

use super::{
    Size,
    sheet::{Sheet, Type},
    text_width::wrapped_as,
};

/// The words above a picture.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Head {
    /// What the picture is of: the place, the date.
    pub title: String,
    /// The answer: what a reader who reads no more must know.
    pub answer: Vec<String>,
    /// What the answer rests on.
    pub facts: Vec<String>,
}

/// Distance of baselines over the size of the type.
const LEADING: f64 = 1.36;

/// A line with its baseline.
struct Line {
    text: String,
    style: Type,
    baseline: f64,
}

impl Head {
    fn lines(&self, size: Size) -> (Vec<Line>, f64) {
        let width = size.right() - size.left();
        let mut y = 10.0;
        let mut lines = Vec::new();
        let title = std::iter::once((&self.title, Type::TITLE));
        let answer = self.answer.iter().map(|text| (text, Type::ANSWER));
        let facts = self.facts.iter().map(|text| (text, Type::BODY));
        for (text, style) in title.chain(answer).chain(facts) {
            for text in wrapped_as(text, style, width) {
                y += LEADING * style.size;
                lines.push(Line {
                    text,
                    style,
                    baseline: y,
                });
            }
        }
        (lines, y + 10.0)
    }

    /// Where the picture below can begin, pixels from the top.
    pub fn bottom(&self, size: Size) -> f64 {
        self.lines(size).1
    }

    /// Writes it at the top of the sheet.
    pub fn write(&self, sheet: &mut Sheet, size: Size) {
        for line in self.lines(size).0 {
            let spot = line.style.room(&line.text, size.left(), line.baseline);
            sheet.write(&line.text, line.style, [spot]);
        }
    }

    /// All of it in one text, for those who hear the picture.
    pub fn description(&self) -> String {
        let sentences = self.answer.iter().chain(&self.facts);
        let ended = sentences.map(|text| match text.ends_with(['.', ':', '?']) {
            true => text.clone(),
            false => format!("{text}."),
        });
        ended.collect::<Vec<_>>().join(" ")
    }
}
