//! A list of fields as columns of a terminal: one row per record.

use super::{
    emphasis::Emphasis,
    grid::{FAINT, Grid, PLAIN, STRONG, Side},
    row::{Common, Field, Importance, Room, RowKind, Shown, shown},
};

/// A field and how people see it.
pub(super) type Column<K> = (&'static Field<K>, &'static Shown<K>);

/// The columns of a page, in order: those at least as important as `least`.
pub(super) fn columns<K: RowKind>(
    fields: impl IntoIterator<Item = &'static Field<K>>,
    least: Importance,
    common: Common,
) -> Vec<Column<K>> {
    shown(fields)
        .into_iter()
        .filter(|(_, shown)| shown.is_in(common) && shown.importance <= least)
        .collect()
}

/// The grid that fits in `width`, with its columns. Columns are dropped until
/// the rest fit, the least important first, among equals the last. Only the
/// texts of a column show how wide it is.
pub(super) fn fitting<K: RowKind>(
    mut columns: Vec<Column<K>>,
    width: usize,
    grid: impl Fn(&[Column<K>]) -> Grid,
) -> (Vec<Column<K>>, Grid) {
    let mut made = grid(&columns);
    let rank = |index: &usize| {
        let (_, shown) = columns.get(*index)?;
        Some((shown.importance, shown.place, *index))
    };
    let mut order: Vec<usize> = (0..columns.len()).collect();
    order.retain(|index| rank(index).is_some_and(|(importance, ..)| importance > Importance::Must));
    order.sort_by_key(|index| std::cmp::Reverse(rank(index)));
    let gone = made.shed(width, &order);
    if gone.is_empty() {
        return (columns, made);
    }
    let mut index = 0..;
    columns.retain(|_| index.next().is_none_or(|index| !gone.contains(&index)));
    // A line of headings may have lost its last text.
    made = grid(&columns);
    (columns, made)
}

/// The grid of these columns. `heading` may change a heading; a longer one uses
/// a blank of the gap before it. `dress` may change a text and sets its
/// emphasis.
pub(super) fn grid<K: RowKind>(
    columns: &[Column<K>],
    records: &[K::Of<'_>],
    blend: bool,
    heading: impl Fn(&str) -> String,
    dress: impl Fn(&Field<K>, &Shown<K>, &K::Of<'_>, String) -> (String, Emphasis),
) -> Grid {
    let mut grid = Grid::new(columns.iter().map(|(_, s)| s.side).collect::<Vec<_>>());
    let gap = |shown: &Shown<K>| match heading(shown.over).len() > shown.over.len() {
        true => shown.gap.min(1),
        false => shown.gap,
    };
    grid.gaps(columns.iter().map(|(_, s)| gap(s)).collect::<Vec<_>>());
    if columns.iter().any(|(_, shown)| !shown.over.is_empty()) {
        grid.heading(columns.iter().map(|(_, s)| heading(s.over)));
    }
    grid.heading(columns.iter().map(|(_, s)| s.heading(s.name, blend)));
    for record in records {
        let text = |shown: &Shown<K>| (shown.text)(record, Room::Column);
        grid.styled_row(columns.iter().map(|(f, s)| dress(f, s, record, text(s))));
    }
    grid
}

/// The same list on its side: one row per field, one column per record of
/// `some` under the lines of `heads`, with `*` at the best of `all` in each row, unless all read the same.
/// The flag says whether there is a `*`.
pub(super) fn beside<K: RowKind>(
    fields: impl IntoIterator<Item = &'static Field<K>>,
    some: &[K::Of<'_>],
    all: &[K::Of<'_>],
    common: Common,
    heading: impl Fn(&str) -> String,
    heads: impl IntoIterator<Item = Vec<String>>,
) -> (Grid, bool) {
    let mut sides = vec![Side::Left];
    sides.extend(some.iter().map(|_| Side::Right));
    let mut grid = Grid::new(sides);
    heads.into_iter().for_each(|line| grid.heading(line));
    let mut starred = false;
    let rows = shown(fields).into_iter().map(|(_, shown)| shown);
    for shown in rows.filter(|shown| shown.beside && shown.is_in(common)) {
        let text = |record: &K::Of<'_>| (shown.text)(record, Room::Beside);
        let best = best_text(shown, all);
        let cells = some.iter().map(|record| {
            let text = text(record);
            if best.as_ref() == Some(&text) {
                starred = true;
                (format!("*{text}"), STRONG)
            } else {
                (text, PLAIN)
            }
        });
        let title = heading(shown.heading(shown.title, common.is_of_blends()));
        grid.styled_row(std::iter::once((title, FAINT)).chain(cells));
    }
    (grid, starred)
}

/// The text of the best value of all; `None` if all read the same.
fn best_text<K: RowKind>(shown: &Shown<K>, all: &[K::Of<'_>]) -> Option<String> {
    let good = shown.good?;
    let value = |record: &K::Of<'_>| good(record).filter(|value| value.is_finite());
    let (_, best) = all
        .iter()
        .filter_map(|record| Some((value(record)?, record)))
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    let text = (shown.text)(best, Room::Beside);
    let is_other = |record: &K::Of<'_>| (shown.text)(record, Room::Beside) != text;
    all.iter().any(is_other).then_some(text)
}
