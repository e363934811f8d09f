//! How people see a field of a record.

use super::{
    emphasis::Emphasis,
    grid::{PLAIN, Side},
    row_kind::RowKind,
};

/// How much room a text has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// A column of a terminal, its unit in the heading.
    Column,
    /// A cell of a page; it says its own unit.
    Page,
    /// A cell beside those of other records, a decimal finer.
    Beside,
}

/// From which width on a terminal shows a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Importance {
    /// However narrow the terminal is.
    Must,
    /// Where there is any room.
    Key,
    /// At 80 columns.
    Usual,
    /// Where there is room left.
    Further,
    /// In no terminal's table.
    Elsewhere,
}

/// What becomes of a column where the records are blends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InBlend {
    /// It stays.
    Same,
    /// It stays under another heading.
    Named(&'static str),
    /// It goes: the value means nothing there.
    Absent,
    /// It is there for blends alone.
    Only,
}

/// How good the value of a record is, where one can be better than another.
type Good<K> = fn(&<K as RowKind>::Of<'_>) -> Option<f64>;

/// How people see a field.
pub struct Shown<K: RowKind> {
    /// Where it stands among the columns, from 0.
    pub place: u8,
    /// Over the heading in a terminal.
    pub over: &'static str,
    /// The heading in a terminal.
    pub name: &'static str,
    /// The heading where it stands alone: on a page, in a comparison.
    pub title: &'static str,
    /// Blanks before it in a terminal: one within a group, two between groups.
    pub gap: usize,
    /// The side it keeps to.
    pub side: Side,
    /// How much the eye should find it.
    pub style: Emphasis,
    /// From which width on a terminal shows it.
    pub importance: Importance,
    /// Whether a page shows it.
    pub page: bool,
    /// Whether a comparison shows it.
    pub beside: bool,
    /// What becomes of it for blends.
    pub blend: InBlend,
    /// The text.
    pub text: fn(&K::Of<'_>, Room) -> String,
    /// How good a value is, where one can be better than another.
    pub good: Option<Good<K>>,
}

impl<K: RowKind> Shown<K> {
    /// A column of numbers at this place, a page and a comparison among those
    /// that show it.
    pub const fn new(
        place: u8,
        [over, name, title]: [&'static str; 3],
        importance: Importance,
        text: fn(&K::Of<'_>, Room) -> String,
    ) -> Self {
        Self {
            place,
            over,
            name,
            title,
            gap: 1,
            side: Side::Right,
            style: PLAIN,
            importance,
            page: true,
            beside: true,
            blend: InBlend::Same,
            text,
            good: None,
        }
    }

    /// It begins a group.
    #[must_use]
    pub const fn apart(mut self) -> Self {
        self.gap = 2;
        self
    }

    /// It is of words.
    #[must_use]
    pub const fn left(mut self) -> Self {
        self.side = Side::Left;
        self
    }

    /// The eye should find it so.
    #[must_use]
    pub const fn style(mut self, style: Emphasis) -> Self {
        self.style = style;
        self
    }

    /// A page leaves it out.
    #[must_use]
    pub const fn off_page(mut self) -> Self {
        self.page = false;
        self
    }

    /// A comparison leaves it out.
    #[must_use]
    pub const fn not_beside(mut self) -> Self {
        self.beside = false;
        self
    }

    /// What becomes of it for blends.
    #[must_use]
    pub const fn blend(mut self, blend: InBlend) -> Self {
        self.blend = blend;
        self
    }

    /// The higher this is, the better.
    #[must_use]
    pub const fn good(mut self, good: fn(&K::Of<'_>) -> Option<f64>) -> Self {
        self.good = Some(good);
        self
    }

    /// Whether it is there, `blend` where the records are blends.
    pub fn is_in(&self, blend: bool) -> bool {
        match self.blend {
            InBlend::Same | InBlend::Named(_) => true,
            InBlend::Absent => !blend,
            InBlend::Only => blend,
        }
    }

    /// The heading that `usual` is, or the one it has for blends.
    pub fn heading(&self, usual: &'static str, blend: bool) -> &'static str {
        match self.blend {
            InBlend::Named(name) if blend => name,
            _ => usual,
        }
    }
}
