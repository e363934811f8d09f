//! How people see a field of a record.

use super::{
    emphasis::Emphasis,
    grid::{PLAIN, Side},
    row_kind::RowKind,
};
use crate::search::{Planner, SitePlanners};

/// How much room a text has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// A column of a terminal, with the unit in the heading.
    Column,
    /// A cell of a page; the text has its own unit.
    Page,
    /// A cell of a comparison, with one more decimal.
    Beside,
}

/// How wide a terminal must be to show a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Importance {
    /// At any width.
    Must,
    /// If there is any room.
    Key,
    /// At 80 columns.
    Usual,
    /// If there is room left.
    Further,
    /// Never in a terminal's table.
    Elsewhere,
}

/// What happens to a column when the records are blends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InBlend {
    /// It stays.
    Same,
    /// It stays under another heading.
    Named(&'static str),
    /// It is left out: the value means nothing there.
    Absent,
    /// It is there only for blends.
    Only,
}

/// What the records of a table have in common, on which its columns depend.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Common {
    /// There are blends among them.
    pub blend: bool,
    /// The Moon is the target of all.
    pub of_moon: bool,
    /// They are of several kinds of light.
    pub several_kinds: bool,
    /// They come from several briefs.
    pub several_briefs: bool,
}

/// What records must be told apart by, because several were asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Apart {
    /// Kinds of light.
    pub kinds: bool,
    /// Briefs.
    pub briefs: bool,
}

impl Apart {
    /// What the windows of some planners must be told apart by.
    pub fn of(planners: &SitePlanners) -> Self {
        let first = planners.first().rules();
        let mut rules = planners.iter().map(Planner::rules);
        Self {
            kinds: rules.clone().any(|other| other.light != first.light),
            briefs: rules.any(|other| other.brief != first.brief),
        }
    }

    /// Both together.
    #[must_use]
    pub const fn or(self, other: Self) -> Self {
        Self {
            kinds: self.kinds || other.kinds,
            briefs: self.briefs || other.briefs,
        }
    }
}

impl Common {
    /// The same for records that must be told apart.
    #[must_use]
    pub const fn with(self, apart: Apart) -> Self {
        Self {
            several_kinds: self.several_kinds || apart.kinds,
            several_briefs: self.several_briefs || apart.briefs,
            ..self
        }
    }

    /// Whether all of them are blends.
    pub const fn is_of_blends(self) -> bool {
        self.blend && !self.several_kinds
    }
}

/// The tables that need a column to tell the records apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Needed {
    /// All have it.
    Always,
    /// Those of several kinds of light.
    ForKinds,
    /// Those of several briefs.
    ForBriefs,
}

/// The targets for which a column means something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Targets {
    /// Any.
    All,
    /// Directions among the stars.
    Stars,
    /// The Moon.
    Moon,
}

/// How good the value of a record is, if one can be better than another.
type Good<K> = fn(&<K as RowKind>::Of<'_>) -> Option<f64>;

/// How people see a field.
pub struct Shown<K: RowKind> {
    /// Its position among the columns, from 0.
    pub place: u8,
    /// The line above the heading in a terminal.
    pub over: &'static str,
    /// The heading in a terminal.
    pub name: &'static str,
    /// The heading on a page and in a comparison.
    pub title: &'static str,
    /// Blanks before it in a terminal: one within a group, two between groups.
    pub gap: usize,
    /// The side on which it is aligned.
    pub side: Side,
    /// How strongly it stands out.
    pub style: Emphasis,
    /// How wide a terminal must be to show it.
    pub importance: Importance,
    /// Whether a page shows it.
    pub page: bool,
    /// Whether a comparison shows it.
    pub beside: bool,
    /// What happens to it for blends.
    pub blend: InBlend,
    /// The targets for which it means something.
    pub targets: Targets,
    /// The tables that have it.
    pub needed: Needed,
    /// The text.
    pub text: fn(&K::Of<'_>, Room) -> String,
    /// How good a value is, if one can be better than another.
    pub good: Option<Good<K>>,
}

impl<K: RowKind> Shown<K> {
    /// A column of numbers at this place, which a page and a comparison show
    /// too.
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
            targets: Targets::All,
            needed: Needed::Always,
            text,
            good: None,
        }
    }

    /// Begins a group with it.
    #[must_use]
    pub const fn apart(mut self) -> Self {
        self.gap = 2;
        self
    }

    /// Aligns it left, as words are.
    #[must_use]
    pub const fn left(mut self) -> Self {
        self.side = Side::Left;
        self
    }

    /// Sets how strongly it stands out.
    #[must_use]
    pub const fn style(mut self, style: Emphasis) -> Self {
        self.style = style;
        self
    }

    /// Leaves it out of pages.
    #[must_use]
    pub const fn off_page(mut self) -> Self {
        self.page = false;
        self
    }

    /// Leaves it out of comparisons.
    #[must_use]
    pub const fn not_beside(mut self) -> Self {
        self.beside = false;
        self
    }

    /// What happens to it for blends.
    #[must_use]
    pub const fn blend(mut self, blend: InBlend) -> Self {
        self.blend = blend;
        self
    }

    /// Leaves it out where the Moon is the target.
    #[must_use]
    pub const fn of_stars(mut self) -> Self {
        self.targets = Targets::Stars;
        self
    }

    /// Leaves it out unless the Moon is the target.
    #[must_use]
    pub const fn of_moon(mut self) -> Self {
        self.targets = Targets::Moon;
        self
    }

    /// Leaves it out unless records must be told apart so.
    #[must_use]
    pub const fn needed(mut self, needed: Needed) -> Self {
        self.needed = needed;
        self
    }

    /// Says how good a value is: the higher, the better.
    #[must_use]
    pub const fn good(mut self, good: fn(&K::Of<'_>) -> Option<f64>) -> Self {
        self.good = Some(good);
        self
    }

    /// Whether the column is there in a table of such records.
    pub fn is_in(&self, common: Common) -> bool {
        let for_blend = match self.blend {
            InBlend::Same | InBlend::Named(_) => true,
            InBlend::Absent => !common.blend,
            InBlend::Only => common.blend,
        };
        let for_target = match self.targets {
            Targets::All => true,
            Targets::Stars => !common.of_moon,
            Targets::Moon => common.of_moon,
        };
        let is_needed = match self.needed {
            Needed::Always => true,
            Needed::ForKinds => common.several_kinds,
            Needed::ForBriefs => common.several_briefs,
        };
        for_blend && for_target && is_needed
    }

    /// The heading: `usual`, or the one for blends.
    pub fn heading(&self, usual: &'static str, blend: bool) -> &'static str {
        match self.blend {
            InBlend::Named(name) if blend => name,
            _ => usual,
        }
    }
}
