//! Finds room for words.

use std::collections::HashMap;

/// A text and the box reserved for it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LabelBox {
    /// The text.
    pub text: String,
    /// The box.
    pub room: Room,
}

/// A rectangle, y downward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

impl Room {
    /// Whether two rectangles share more than an edge.
    pub fn meets(&self, other: &Self) -> bool {
        self.left < other.left + other.width
            && other.left < self.left + self.width
            && self.top < other.top + other.height
            && other.top < self.top + self.height
    }

    /// Whether the other lies inside this one.
    pub fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && other.left + other.width <= self.left + self.width
            && other.top + other.height <= self.top + self.height
    }

    /// The same, wider by this much on the left and on the right.
    pub fn wider(&self, by: f64) -> Self {
        Self {
            left: self.left - by,
            width: self.width + 2.0 * by,
            ..*self
        }
    }
}

/// Which point of a text stays fixed if the text is narrower than the room
/// reserved for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// A room for a text and how the text is aligned in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// The room.
    pub room: Room,
    /// How the text is aligned in it.
    pub anchor: Anchor,
}

impl std::ops::Deref for Spot {
    type Target = Room;

    fn deref(&self) -> &Room {
        &self.room
    }
}

/// Keeps track of the room in use.
#[derive(Debug, Clone)]
pub struct Placer {
    sheet: Room,
    texts: Vec<LabelBox>,
    /// The texts that reach into a strip of the sheet, by its number from the
    /// top: a text is compared with its neighbours alone, however long the
    /// sheet is.
    strips: HashMap<i64, Vec<usize>>,
    lines: Vec<Room>,
}

/// Height of a strip, pixels.
const STRIP: f64 = 64.0;

/// The numbers of the strips that a room reaches into.
fn strips(room: &Room) -> std::ops::RangeInclusive<i64> {
    let strip = |y: f64| (y / STRIP).floor() as i64;
    strip(room.top)..=strip(room.top + room.height)
}

/// Least gap between two texts side by side.
const GAP: f64 = 3.0;

impl Placer {
    /// An empty sheet.
    pub fn new(width: f64, height: f64) -> Self {
        Self {
            sheet: Room {
                left: 0.0,
                top: 0.0,
                width,
                height,
            },
            texts: Vec::new(),
            strips: HashMap::new(),
            lines: Vec::new(),
        }
    }

    /// Marks a spot that texts should not cover if they can avoid it.
    pub fn avoid(&mut self, x: f64, y: f64, radius: f64) {
        self.lines.push(Room {
            left: x - radius,
            top: y - radius,
            width: 2.0 * radius,
            height: 2.0 * radius,
        });
    }

    /// Marks the line between two points.
    pub fn avoid_line(&mut self, from: (f64, f64), to: (f64, f64), radius: f64) {
        let length = (to.0 - from.0).hypot(to.1 - from.1);
        let steps = (length / (2.0 * radius)).ceil().clamp(1.0, 500.0);
        for step in 0..=steps as u32 {
            let part = f64::from(step) / steps;
            self.avoid(
                from.0 + part * (to.0 - from.0),
                from.1 + part * (to.1 - from.1),
                radius,
            );
        }
    }

    /// Whether a box is on the sheet and meets no text.
    pub fn is_free(&self, room: &Room) -> bool {
        let wide = room.wider(GAP);
        // A room within the sheet reaches into no more strips than the sheet has.
        self.sheet.holds(room)
            && !strips(room)
                .filter_map(|strip| self.strips.get(&strip))
                .flatten()
                .filter_map(|index| self.texts.get(*index))
                .any(|text| text.room.meets(&wide))
    }

    /// Whether a box is free and meets no line that texts should not cover.
    pub fn is_clear(&self, room: &Room) -> bool {
        self.is_free(room) && !self.lines.iter().any(|line| line.meets(room))
    }

    /// Chooses the first of `candidates` that meets neither text nor line, else
    /// the one that meets no text and the fewest lines; `None` if all meet
    /// texts.
    pub fn place(
        &mut self,
        text: &str,
        candidates: impl IntoIterator<Item = Spot>,
    ) -> Option<Spot> {
        let mut best: Option<(usize, Spot)> = None;
        for spot in candidates {
            let room = spot.room;
            if !self.is_free(&room) {
                continue;
            }
            let met = self.lines.iter().filter(|line| line.meets(&room)).count();
            if best.is_none_or(|(least, _)| met < least) {
                best = Some((met, spot));
            }
            if met == 0 {
                break;
            }
        }
        let (_, spot) = best?;
        for strip in strips(&spot.room) {
            self.strips.entry(strip).or_default().push(self.texts.len());
        }
        self.texts.push(LabelBox {
            text: text.to_owned(),
            room: spot.room,
        });
        Some(spot)
    }

    /// Every text placed.
    pub fn into_texts(self) -> Vec<LabelBox> {
        self.texts
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spot(left: f64, top: f64) -> Spot {
        Spot {
            room: Room {
                left,
                top,
                width: 17.0,
                height: 14.0,
            },
            anchor: Anchor::Start,
        }
    }

    /// The most texts that one text is compared with, after thirty labels per row
    /// down a long sheet.
    fn most_asked(rows: u32) -> usize {
        let mut placer = Placer::new(1000.0, 58.0 * f64::from(rows) + 58.0);
        let mut most = 0;
        for row in 0..rows {
            for column in 0..30 {
                let place = spot(30.0 * f64::from(column), 58.0 * f64::from(row));
                let asked = strips(&place.room).filter_map(|strip| placer.strips.get(&strip));
                most = most.max(asked.map(Vec::len).sum());
                assert!(placer.place("7", [place]).is_some());
            }
        }
        assert_eq!(placer.texts.len(), 30 * rows as usize);
        most
    }

    #[test]
    fn a_text_on_a_long_sheet_asks_no_more_others_than_on_a_short_one() {
        let (short, long) = (most_asked(250), most_asked(2500));
        assert_eq!(short, long);
        assert!(long <= 4 * 30, "{long}");
    }

    /// A label meets exactly the labels that a comparison with every other one
    /// finds.
    #[test]
    fn neighbours_across_the_edges_of_strips_are_met() {
        let mut placer = Placer::new(400.0, 1000.0);
        let mut placed: Vec<Room> = Vec::new();
        for step in 0..4000_u32 {
            let place = spot(
                f64::from(step * 7919 % 380),
                f64::from(step * 6007 % 9800) / 10.0,
            );
            let free = !placed.iter().any(|room| room.meets(&place.room.wider(GAP)));
            assert_eq!(placer.place("7", [place]).is_some(), free, "{place:?}");
            if free {
                placed.push(place.room);
            }
        }
        assert!(placed.len() > 200);
    }
}
