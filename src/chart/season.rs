//! A season by lunar months: equal phases are in one column.

use super::{
    Look, Picture,
    head::Head,
    season_blocks::{Block, Line, blocks},
    season_layout::{FURTHER_HEAD, Form, SeasonLayout},
    season_marks::{dots, frame, mark, night, ruler},
    season_words::kind_words,
    sheet::{Sheet, Type, stroke, through},
    text_width::{shortened, wrapped_as},
};
use crate::{
    report::words::is_marked,
    rule::Rules,
    scene::{LightKind, Site},
    search::Lunation,
};
use chrono::NaiveDate;

/// One site's season.
#[derive(Debug, Clone, Copy)]
pub struct SeasonPanel<'a> {
    /// The site.
    pub site: &'a Site,
    /// The rules of its first kind of night.
    pub rules: &'a Rules,
    /// Its lunations.
    pub lunations: &'a [Lunation],
}

/// The seasons of one or more sites: which place in which week.
#[derive(Debug, Clone)]
pub struct SeasonChart<'a> {
    /// First evening.
    pub first: NaiveDate,
    /// Last evening.
    pub last: NaiveDate,
    /// The kinds of night asked for, in order of preference.
    pub kinds: Vec<LightKind>,
    /// Whether the scores of the kinds were weighed to be compared
    /// ([`Rules::are_weighed`]).
    pub weighed: bool,
    /// The sites.
    pub panels: Vec<SeasonPanel<'a>>,
}

/// A lunar month with its place on a sheet.
struct Placed<'a> {
    block: Block<'a>,
    /// What is written out beside it, and whether it is bold.
    words: Vec<(String, bool)>,
    sheet: usize,
    top: f64,
}

impl SeasonChart<'_> {
    /// Draws it, on as many sheets of A4 one beneath the other as it needs, or
    /// on one as long as a screen scrolls.
    pub fn draw(&self, look: Look) -> Picture {
        let all = blocks(self);
        let at = SeasonLayout::of(look.size, self.panels.len(), all.len());
        let head = self.head(&all);
        let key_top = head.bottom(look.size);
        // The height is known once the months have their places; the key is
        // measured on a sheet that is thrown away.
        let mut draft = Sheet::new("season", look.palette, look.size.width(), 10_000.0);
        let top = self.key(&mut draft, &at, key_top) + PHASES_ROOM;
        let (placed, sheets, end) = self.place(&at, all, top);
        let height = match (look.size.sheet_height(), sheets) {
            (Some(sheet), 2..) => sheet * sheets as f64,
            _ => end + 6.0,
        };
        let mut sheet =
            Sheet::new("season", look.palette, look.size.width(), height).numbered(look.number);
        self.heads(&mut sheet, &at, &head, sheets);
        self.key(&mut sheet, &at, key_top);
        let has_best = placed.iter().any(|one| !one.block.best.is_empty());
        phases(&mut sheet, &at, top - 4.0, has_best);
        let sheet_height = look.size.sheet_height().unwrap_or(0.0);
        for number in 1..sheets {
            let y = sheet_height * number as f64 + FURTHER_HEAD - 4.0;
            phases(&mut sheet, &at, y, has_best);
        }
        let labels = self.labels(&at);
        for one in &placed {
            let y = sheet_height * one.sheet as f64 + one.top;
            self.draw_block(&mut sheet, &at, (one, y), &labels);
        }
        let description = format!("{} {}", head.description(), self.found_words());
        sheet.finish(&head.title, &description)
    }

    /// Gives each lunar month its place, so that none is cut; one with more sites
    /// than a sheet holds is told in parts. The result has the number of sheets
    /// and the end of the last month too.
    fn place<'a>(
        &self,
        at: &SeasonLayout,
        all: Vec<Block<'a>>,
        top: f64,
    ) -> (Vec<Placed<'a>>, usize, f64) {
        let (mut sheet, mut y) = (0, top);
        let mut placed = Vec::new();
        let mut said = None;
        for block in all.into_iter().flat_map(|block| self.in_parts(block, at)) {
            let mut words = self.written(&block, at);
            if at.form == Form::Years {
                // Several months in a row often have one reason.
                let none = self.none_words(&block);
                words.extend(
                    none.clone()
                        .filter(|_| none != said)
                        .map(|text| (text, false)),
                );
                said = none;
            }
            let height = at.block(self.rows(&block.lines), words.len());
            if at.sheet_end().is_some_and(|end| y + height > end) && y > FURTHER_HEAD {
                (sheet, y) = (sheet + 1, FURTHER_HEAD);
            }
            placed.push(Placed {
                block,
                words,
                sheet,
                top: y,
            });
            y += height;
        }
        (placed, sheet + 1, y)
    }

    /// A lunar month with more rows than a sheet holds in parts; a best night is told
    /// with the part that has its site, the first tells those of all.
    fn in_parts<'a>(&self, mut block: Block<'a>, at: &SeasonLayout) -> Vec<Block<'a>> {
        let most = at.rows_together();
        if self.rows(&block.lines) <= most {
            return vec![block];
        }
        let mut chunks: Vec<Vec<Line<'a>>> = Vec::new();
        let mut taken = 0;
        for line in std::mem::take(&mut block.lines) {
            let before = chunks.last().and_then(|chunk| chunk.last());
            let rows = 1 + usize::from(self.place_above(before, &line).is_some());
            match chunks.last_mut() {
                Some(chunk) if taken + rows <= most => {
                    taken += rows;
                    chunk.push(line);
                }
                _ => {
                    taken = 1 + usize::from(self.place_above(None, &line).is_some());
                    chunks.push(vec![line]);
                }
            }
        }
        let mut parts: Vec<Block<'a>> = chunks
            .into_iter()
            .map(|lines| Block {
                lines,
                ..block.clone()
            })
            .collect();
        for part in parts.iter_mut().skip(1) {
            let here = |(panel, _): &(&SeasonPanel<'_>, _)| {
                part.lines
                    .iter()
                    .any(|line| std::ptr::eq(line.panel, *panel))
            };
            part.best.retain(here);
        }
        parts
    }

    /// What is written out beside or above a lunar month, in lines.
    fn written(&self, block: &Block<'_>, at: &SeasonLayout) -> Vec<(String, bool)> {
        let width = match at.beside {
            Some(left) => at.size.right() - left,
            None => at.size.right() - at.size.left(),
        };
        let mut lines = self.best_lines(block, at.most_named);
        if at.form == Form::Years && !lines.is_empty() {
            let texts: Vec<String> = lines.into_iter().map(|(text, _)| text).collect();
            lines = vec![(texts.join(", "), false)];
        }
        lines
            .into_iter()
            .flat_map(|(text, bold)| {
                let style = if bold { at.strong } else { at.small };
                let lines = wrapped_as(&text, style, width);
                lines.into_iter().map(move |text| (text, bold))
            })
            .take(at.most_written())
            .collect()
    }

    /// The head of the first sheet and the titles of the others.
    fn heads(&self, sheet: &mut Sheet, at: &SeasonLayout, head: &Head, sheets: usize) {
        let Some(height) = at.size.sheet_height().filter(|_| sheets > 1) else {
            head.write(sheet, at.size);
            return;
        };
        let numbered = |number: usize| format!("{}, sheet {number} of {sheets}", head.title);
        let first = Head {
            title: numbered(1),
            ..head.clone()
        };
        first.write(sheet, at.size);
        let width = at.size.right() - at.size.left();
        for number in 1..sheets {
            let text = shortened(&numbered(number + 1), Type::TITLE.size, true, width);
            let baseline = height * number as f64 + 33.0;
            let spot = Type::TITLE.room(&text, at.size.left(), baseline);
            sheet.write(&text, Type::TITLE, [spot]);
        }
    }

    /// Draws a mark of each kind with its word from `top` downward; the result
    /// is where it ends.
    fn key(&self, sheet: &mut Sheet, at: &SeasonLayout, top: f64) -> f64 {
        let marks = || self.panels.iter().flat_map(|panel| panel.lunations);
        let marks = || marks().flat_map(|lunation| &lunation.nights);
        let found = || marks().filter_map(|mark| mark.found.as_ref());
        let mut entries: Vec<(Sample, &str)> = Vec::new();
        for kind in &self.kinds {
            if found().any(|(of, _)| of == kind) {
                entries.push((Sample::Kind(*kind, false), kind_words(*kind)));
            }
        }
        let doubtful = found().filter(|(_, window)| is_marked(window.doubts));
        if let Some((kind, _)) = doubtful.min_by_key(|(kind, _)| *kind == LightKind::Dark) {
            entries.push((Sample::Kind(*kind, true), "open or broken: doubtful (~)"));
        }
        if !entries.is_empty() {
            entries.push((Sample::Best, "the best, written out"));
        }
        if at.form != Form::Years {
            entries.push((Sample::Weekend, "Friday, Saturday"));
        }
        let (step, sample) = (at.leading + 3.0, at.day.max(9.0));
        let (mut x, mut y) = (at.size.left(), top + 0.5 * step);
        for (what, words) in entries {
            let width = sample + 5.0 + at.small.width(words);
            if x > at.size.left() && x + width > at.size.right() {
                (x, y) = (at.size.left(), y + step);
            }
            let middle = (x + 0.5 * sample, y);
            match what {
                Sample::Kind(kind, doubtful) => {
                    mark(sheet, at, middle, (kind, true, doubtful), &[]);
                }
                Sample::Best => super::season_marks::sample_frame(sheet, at, middle),
                Sample::Weekend => {
                    let ends = [(x, y), (x + sample, y)];
                    let ink = sheet.palette.ink();
                    sheet.draw(stroke(&through(&ends), &ink, 2.2));
                }
            }
            let baseline = y + 0.36 * at.small.size;
            let room = at.small.room(words, x + sample + 5.0, baseline);
            sheet.write(words, at.small, [room]);
            x += width + 14.0;
        }
        y + 0.5 * step
    }

    fn draw_block(
        &self,
        sheet: &mut Sheet,
        at: &SeasonLayout,
        (one, top): (&Placed<'_>, f64),
        labels: &[String],
    ) {
        let block = &one.block;
        let above = match at.beside {
            Some(_) => 0.0,
            None => at.leading * one.words.len() as f64,
        };
        let y = top + above + at.ruler;
        let rows = self.rows(&block.lines).max(1) as f64;
        ruler(sheet, at, block, y, y + at.pitch * rows);
        let (mut middle, mut before) = (y + self.middle(at), None);
        for line in &block.lines {
            if let Some(place) = self.place_above(before.replace(line), line) {
                let width = at.names - at.size.left();
                let text = shortened(place, at.strong.size, true, width);
                let baseline = middle + 0.36 * at.strong.size;
                let room = at.strong.room(&text, at.size.left(), baseline);
                sheet.write(&text, at.strong, [room]);
                middle += at.pitch;
            }
            let mut panels = self.panels.iter().zip(labels);
            let label = panels.find(|(panel, _)| std::ptr::eq(*panel, line.panel));
            self.draw_line(sheet, at, line, (middle, label.map(|(_, label)| label)));
            let best = block.best.first();
            let best = best.filter(|(panel, _)| std::ptr::eq(*panel, line.panel));
            if let Some((_, window)) = best {
                let mut nights = line.nights.iter();
                if let Some((column, _)) = nights.find(|(of, _)| of.date == window.night) {
                    frame(sheet, at, at.x(column.age_days), middle, window);
                }
            }
            middle += at.pitch;
        }
        if let Some(text) = self.none_words(block).filter(|_| at.form != Form::Years) {
            let baseline = y + self.middle(at) + 0.36 * at.small.size;
            let room = at.small.room(&text, at.nights, baseline);
            let paper = sheet.palette.paper();
            sheet.write_over(&text, at.small, Some(paper), [room]);
        }
        let (left, first) = match (at.beside, at.form) {
            (Some(left), Form::Years) => (left, y + 0.4 * at.pitch),
            (Some(left), _) => (left, y + 0.9 * at.small.size),
            (None, _) => (at.size.left(), top + 0.95 * at.small.size),
        };
        for (index, (text, bold)) in one.words.iter().enumerate() {
            let style = if *bold { at.strong } else { at.small };
            let room = style.room(text, left, first + at.leading * index as f64);
            sheet.write(text, style, [room]);
        }
    }

    /// Where the marks of a line have their middle, from its top.
    fn middle(&self, at: &SeasonLayout) -> f64 {
        match at.form {
            Form::Site => 2.0 + 0.5 * at.mark + 1.6,
            _ => 0.5 * at.pitch + 0.4,
        }
    }

    fn draw_line(
        &self,
        sheet: &mut Sheet,
        at: &SeasonLayout,
        line: &Line<'_>,
        (y, label): (f64, Option<&String>),
    ) {
        if at.form == Form::Sites {
            if let Some(label) = label {
                let spot = at.small.ending(label, at.names, y + 0.36 * at.small.size);
                sheet.write(label, at.small, [spot]);
            }
            dots(sheet, at, &line.nights, y);
        }
        let site = line.panel.site.title();
        for (column, of) in &line.nights {
            night(sheet, at, (column, of), y, &site);
            let Some((kind, window)) = of.found.as_ref().filter(|_| at.has_scores()) else {
                continue;
            };
            // What most nights share need not be told of each.
            if *kind != LightKind::Dark || self.kinds.len() == 1 {
                let text = format!("{:.0}", window.score);
                let baseline = y + 0.5 * at.mark + 4.0 + 0.8 * at.small.size;
                let spot = at.small.centred(&text, at.x(column.age_days), baseline);
                let paper = sheet.palette.paper();
                sheet.write_over(&text, at.small, Some(paper), [spot]);
            }
        }
    }
}

/// What the key shows a sample of.
enum Sample {
    Kind(LightKind, bool),
    Best,
    Weekend,
}

/// Room for the names of the phases, pixels.
const PHASES_ROOM: f64 = 19.0;

/// Names the Moon's phases above the columns.
fn phases(sheet: &mut Sheet, at: &SeasonLayout, baseline: f64, has_best: bool) {
    let quarter = 29.53 / 4.0;
    for (index, word) in ["new", "first quarter", "full", "last quarter", "new"]
        .iter()
        .enumerate()
    {
        let x = at.x(index as f64 * quarter);
        sheet.write(word, at.small, [at.small.centred(word, x, baseline)]);
    }
    if let Some(left) = at.beside.filter(|_| has_best) {
        let words = "best of the lunar month";
        sheet.write(words, at.strong, [at.strong.room(words, left, baseline)]);
    }
}
