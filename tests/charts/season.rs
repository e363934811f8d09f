//! A season's picture: each mark where its night is, under its month, as heavy as
//! its kind; the Moon's quarters where they are.

use crate::{common::svg::points, program::SEVEN_SITES};
use chrono::{Datelike, NaiveDate, Weekday};
use rakelight::{
    chart::{
        Look, Palette, Picture, SeasonChart, SeasonPanel, Size, most_season_height,
        places_with_views,
    },
    ephemeris::{EclipseKind, Moment, Quarter},
    input::read_sites,
    rule::{Brief, Rules},
    scene::{Dates, LightKind, Site},
    search::{LUNATION_DAYS, Lunation, NightMark, Planner, Season, lunations},
};
use std::{collections::BTreeMap, path::Path};

const KINDS: [&str; 3] = ["raking", "blend", "dark"];

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a date in the test")
}

/// The records of some demo sites.
struct Records {
    first: NaiveDate,
    last: NaiveDate,
    season: Season,
    sites: Vec<(Site, Rules, Vec<Lunation>)>,
}

fn records(names: &[&str], first: &str, last: &str) -> Records {
    let (first, last) = (day(first), day(last));
    let dates = Dates::new(first, last).expect("dates");
    let season = Season::new(dates.widened(LUNATION_DAYS));
    let sites = names.iter().map(|name| {
        let path = format!("{}/demo-sites/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        let mut read = read_sites(Path::new(&path)).expect("a demo site");
        let site = read.next().expect("one site").expect("a sound site");
        let rules = |light: &str| {
            let mut brief = Brief::default();
            brief.set("light", light).expect("a kind of light");
            Rules::new(&brief.or(&Brief::of_site(&site)), &site).expect("rules")
        };
        let planner = |light: &&str| season.planner(site.clone(), rules(light));
        let planners: Result<Vec<Planner>, _> = KINDS.iter().map(planner).collect();
        let rows = lunations(&planners.expect("planners"), dates);
        (site.clone(), rules("raking"), rows)
    });
    Records {
        first,
        last,
        sites: sites.collect(),
        season,
    }
}

impl Records {
    fn draw(&self, size: Size) -> Picture {
        let panels = self.sites.iter().map(|(site, rules, rows)| SeasonPanel {
            site,
            rules,
            lunations: rows,
        });
        SeasonChart {
            first: self.first,
            last: self.last,
            kinds: vec![LightKind::Raking, LightKind::Blend, LightKind::Dark],
            weighed: false,
            panels: panels.collect(),
        }
        .draw(Look::new(Palette::Light, size))
    }

    fn marks(&self) -> impl Iterator<Item = (&Site, &NightMark)> {
        self.sites.iter().flat_map(|(site, _, rows)| {
            let nights = rows.iter().flat_map(|row| &row.nights);
            nights.map(move |mark| (site, mark))
        })
    }
}

fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let mark = format!(" {name}=\"");
    let from = tag.find(&mark)? + mark.len();
    tag[from..].split('"').next()
}

fn number(tag: &str, name: &str) -> f64 {
    let text = attribute(tag, name).unwrap_or_else(|| panic!("no {name} in {tag}"));
    text.parse().expect("a number")
}

fn seconds(tag: &str, name: &str) -> f64 {
    let text = attribute(tag, name).expect("a time");
    Moment::from_utc(text.parse().expect("UTC")).seconds()
}

/// The corners of a mark: left, top, right, bottom.
fn corners(tag: &str) -> [f64; 4] {
    let data = attribute(tag, "d").expect("a path");
    let points = points(data);
    let least = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).fold(f64::INFINITY, f64::min);
    let most = |of: fn(&(f64, f64)) -> f64| {
        let values = points.iter().map(of);
        values.fold(f64::NEG_INFINITY, f64::max)
    };
    [least(|p| p.0), least(|p| p.1), most(|p| p.0), most(|p| p.1)]
}

/// A lunar month of the picture: its ruler and the elements after it.
struct Month<'a> {
    axes: &'a str,
    tags: Vec<&'a str>,
}

impl Month<'_> {
    fn x(&self, age_days: f64) -> f64 {
        number(self.axes, "data-new-x") + age_days * number(self.axes, "data-day")
    }

    fn with(&self, name: &str) -> Vec<&str> {
        let tags = self.tags.iter().copied();
        tags.filter(|tag| attribute(tag, name).is_some()).collect()
    }
}

fn months(svg: &str) -> Vec<Month<'_>> {
    let mut months: Vec<Month<'_>> = Vec::new();
    for tag in svg.split('<').filter_map(|text| text.split('>').next()) {
        if attribute(tag, "data-axes").is_some() {
            months.push(Month {
                axes: tag,
                tags: Vec::new(),
            });
        } else if let Some(month) = months.last_mut() {
            month.tags.push(tag);
        }
    }
    months
}

/// Pictures of one site, of several, and of one through many years, on paper and
/// on a phone.
fn pictures() -> Vec<(String, Records, Picture)> {
    let mut all = Vec::new();
    for (names, first, last) in [
        (&["tinaja-mesa"][..], "2027-01-01", "2027-12-31"),
        (&["storvarden-cairn"], "2027-03-11", "2027-11-02"),
        (&SEVEN_SITES, "2028-07-01", "2029-07-31"),
        (&["saltbush-tank"], "2027-01-01", "2031-12-31"),
    ] {
        for size in [Size::A4, Size::Phone] {
            let records = records(names, first, last);
            let picture = records.draw(size);
            let what = format!("{} sites from {first}, {size:?}", names.len());
            all.push((what, records, picture));
        }
    }
    all
}

#[test]
fn marks_stand_at_the_age_of_the_moon_under_their_month() {
    for (what, records, picture) in pictures() {
        let mut middles: BTreeMap<NaiveDate, Vec<f64>> = BTreeMap::new();
        let mut expected = BTreeMap::new();
        for (site, mark) in records.marks() {
            let date = mark.night.date;
            let of_date = middles.entry(date).or_default();
            of_date.push(mark.middle().seconds());
            if let Some((kind, window)) = &mark.found {
                let told = (kind.to_string(), format!("{:.2}", window.score));
                expected.insert((date, site.title().into_owned()), told);
            }
        }
        let mut drawn = BTreeMap::new();
        let months = months(&picture.svg);
        for month in &months {
            let ruler_y = number(month.axes, "data-y");
            for mark in month.with("data-night") {
                let date = day(attribute(mark, "data-night").expect("a date"));
                let site = attribute(mark, "data-site").expect("a site").to_owned();
                let kind = attribute(mark, "data-kind").expect("a kind").to_owned();
                let score = attribute(mark, "data-score").expect("a score").to_owned();
                let before = drawn.insert((date, site), (kind, score));
                assert_eq!(before, None, "{what}: {date} twice");
                let of_date = &middles[&date];
                let mean = of_date.iter().sum::<f64>() / of_date.len() as f64;
                let age = (mean - seconds(month.axes, "data-new-utc")) / 86_400.0;
                let [left, _, right, _] = corners(mark);
                let x = 0.5 * (left + right);
                assert!((x - month.x(age)).abs() < 0.02, "{what}: {date} {x} {age}");
                // The last month that is named on the ruler before the mark.
                let on_ruler = picture.labels.iter().filter(|label| {
                    let bottom = label.room.top + label.room.height;
                    (ruler_y - 12.0..ruler_y + 4.0).contains(&bottom) && label.room.left <= x
                });
                let named = on_ruler.filter_map(|label| {
                    let month = label.text.split(' ').nth(1)?;
                    let is_date = label.text.starts_with(|c: char| c.is_ascii_digit());
                    is_date.then_some((label.room.left, month))
                });
                let last = named.max_by(|a, b| a.0.total_cmp(&b.0)).expect("a month");
                assert_eq!(last.1, date.format("%b").to_string(), "{what}: {date}");
            }
        }
        assert_eq!(drawn, expected, "{what}");
        assert!(!drawn.is_empty(), "{what}");
    }
}

#[test]
fn quarters_weekends_and_months_stand_where_they_are() {
    for (what, records, picture) in pictures() {
        let ephemeris = records.season.ephemeris();
        let known = ephemeris.quarters(ephemeris.from(), ephemeris.to());
        let mut found = 0;
        let mut weekends = Vec::new();
        let mut firsts = Vec::new();
        for month in months(&picture.svg) {
            let new = seconds(month.axes, "data-new-utc");
            assert!(
                known
                    .iter()
                    .any(|(of, at)| *of == Quarter::New && (at.seconds() - new).abs() < 1.0),
                "{what}"
            );
            let words = [Quarter::First, Quarter::Full, Quarter::Last];
            for (word, quarter) in ["first", "full", "last"].iter().zip(words) {
                let drawn = month.with("data-quarter");
                let drawn = drawn
                    .into_iter()
                    .find(|tag| attribute(tag, "data-quarter") == Some(word));
                let [x, _, right, _] = corners(drawn.expect("a quarter"));
                assert_eq!(x, right);
                let at = known
                    .iter()
                    .find(|(of, at)| *of == quarter && at.seconds() > new);
                let at = at.expect("a quarter").1.seconds();
                let days = (at - new) / 86_400.0;
                assert!((month.x(days) - x).abs() < 0.02, "{what} {word}");
                found += 1;
            }
            let near = |x: f64, date: NaiveDate, middle: f64| {
                let mut nights = records.marks().filter(|(_, mark)| mark.night.date == date);
                // One site: exactly its own night.
                let (_, mark) = nights.next().expect("a night");
                let age = (mark.middle().seconds() - new) / 86_400.0;
                let slack = if records.sites.len() == 1 { 0.02 } else { 20.0 };
                assert!((month.x(age + middle) - x).abs() < slack, "{what} {date}");
            };
            for tag in month.with("data-weekend") {
                let date = day(attribute(tag, "data-weekend").expect("a date"));
                let [left, _, right, _] = corners(tag);
                near(0.5 * (left + right), date, 0.0);
                weekends.push(date);
            }
            for tag in month.with("data-month") {
                let text = format!("{}-01", attribute(tag, "data-month").expect("a month"));
                near(corners(tag)[0], day(&text), -0.5);
                firsts.push(day(&text));
            }
        }
        assert!(found >= 3, "{what}");
        let all: Vec<NaiveDate> = records
            .first
            .iter_days()
            .take_while(|date| *date <= records.last)
            .collect();
        let of = |wanted: fn(&NaiveDate) -> bool| -> Vec<NaiveDate> {
            all.iter().copied().filter(wanted).collect()
        };
        assert_eq!(firsts, of(|date| date.day() == 1), "{what}");
        // Between the lines of many years there is no ruler.
        if !weekends.is_empty() || all.len() < 1000 {
            let is_weekend =
                |date: &NaiveDate| matches!(date.weekday(), Weekday::Fri | Weekday::Sat);
            assert_eq!(weekends, of(is_weekend), "{what}");
        }
    }
}

/// Raking is heaviest, then blend, then dark; what is doubtful is not filled.
#[test]
fn weight_follows_the_kind_and_not_the_score() {
    for (what, _, picture) in pictures() {
        let mut weights: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
        let months = months(&picture.svg);
        for mark in months.iter().flat_map(|month| month.with("data-night")) {
            let kind = attribute(mark, "data-kind").expect("a kind");
            let doubtful = attribute(mark, "data-doubtful") == Some("true");
            let [left, top, right, bottom] = corners(mark);
            if kind == "dark" {
                assert_eq!(doubtful, attribute(mark, "stroke-dasharray").is_some());
                assert_eq!(top, bottom);
                let stroke = number(mark, "stroke-width");
                weights
                    .entry("dark")
                    .or_default()
                    .push(stroke * (right - left));
                continue;
            }
            let filled = attribute(mark, "fill") == Some("#111111");
            assert_eq!(filled, !doubtful, "{what}: {mark}");
            if filled {
                // Half of a blend is a line.
                let share = if kind == "blend" { 0.5 } else { 1.0 };
                let area = share * (right - left) * (bottom - top);
                let of_kind = if kind == "blend" { "blend" } else { "raking" };
                weights.entry(of_kind).or_default().push(area);
            }
        }
        let range = |kind: &str| {
            let of_kind = weights.get(kind).map_or(&[][..], Vec::as_slice);
            let least = of_kind.iter().copied().fold(f64::INFINITY, f64::min);
            (least, of_kind.iter().copied().fold(0.0, f64::max))
        };
        let [raking, blend, dark] = ["raking", "blend", "dark"].map(range);
        // All of a kind are equal but for what is broken.
        assert!(raking.1 - raking.0 < 0.4, "{what}: {raking:?}");
        assert!(raking.0 > 1.7 * blend.1, "{what}: {raking:?} {blend:?}");
        assert!(blend.0 > 1.3 * dark.1, "{what}: {blend:?} {dark:?}");
    }
}

/// A place with several views is named once in a lunar month, above theirs, and no
/// two lines below one place have the same name.
#[test]
fn no_two_lines_have_the_same_name() {
    let dates = ["2027-05-06", "2027-07-03"];
    let mut wide = records(
        &["gannet-steps", "molle-bend", "molle-bend"],
        dates[0],
        dates[1],
    );
    for (view, (site, ..)) in ["wind pump", "river wall"].iter().zip(&mut wide.sites[1..]) {
        site.view = Some((*view).to_owned());
    }
    let mut long = records(&["gannet-steps"; 4], dates[0], dates[1]);
    let ends = ["in the north", "in the south", "", ""];
    for (end, (site, ..)) in ends.iter().zip(&mut long.sites) {
        site.name = format!("A name much longer than the room for it {end}");
        site.latitude_deg += 0.001 * end.len() as f64;
    }
    long.sites[3].0.latitude_deg += 1.0;
    for size in [Size::A4, Size::Phone] {
        let picture = wide.draw(size);
        assert!(picture.svg.contains("2 sites, 3 views, 2027-05-06"));
        let count = |text: &str| {
            let labels = picture.labels.iter();
            labels.filter(|label| label.text == text).count()
        };
        let lunar_months = months(&picture.svg).len();
        for text in ["Molle Bend", "wind pump", "river wall", "Gannet Steps"] {
            assert_eq!(count(text), lunar_months, "{text}");
        }

        let picture = long.draw(size);
        let labels = picture.labels.iter().map(|label| label.text.as_str());
        let cut = labels.filter(|text| text.contains("...") && !text.contains(", "));
        let mut lines: BTreeMap<&str, usize> = BTreeMap::new();
        for text in cut {
            *lines.entry(text).or_default() += 1;
        }
        assert_eq!(lines.len(), 4, "{lines:?}");
    }
}

/// The night that is framed and written out is the best of the first kind that
/// the lunar month has.
#[test]
fn the_best_of_each_month_is_framed() {
    for (what, records, picture) in pictures() {
        for month in months(&picture.svg) {
            let marks = month.with("data-night");
            let of_kind = |kind: &str| -> Vec<(&str, f64)> {
                marks
                    .iter()
                    .filter(|tag| attribute(tag, "data-kind") == Some(kind))
                    .map(|tag| (attribute(tag, "data-night").expect("a night"), *tag))
                    .map(|(night, tag)| (night, number(tag, "data-score")))
                    .collect()
            };
            let framed = month.with("data-best");
            let leading = KINDS.iter().find(|kind| !of_kind(kind).is_empty());
            let Some(kind) = leading else {
                assert!(framed.is_empty(), "{what}");
                continue;
            };
            assert_eq!(framed.len(), 1, "{what}");
            let night = attribute(framed[0], "data-best").expect("a night");
            let nights = of_kind(kind);
            let most = nights.iter().map(|(_, score)| *score).fold(0.0, f64::max);
            assert!(
                nights
                    .iter()
                    .any(|(of, score)| *of == night && *score == most),
                "{what}: {night} {most}"
            );
            // On paper and on the phone the date is written out.
            let text = day(night).format("%a %-d %b, ").to_string();
            let mut labels = picture.labels.iter();
            assert!(
                labels.any(|label| label.text.starts_with(&text)),
                "{what}: {text}"
            );
        }
        let best = records.marks().filter_map(|(_, mark)| mark.found.as_ref());
        let raking = best.filter(|(kind, _)| *kind == LightKind::Raking);
        let best = raking.map(|(_, window)| window);
        let best = best
            .max_by(|a, b| a.score.total_cmp(&b.score))
            .expect("one");
        let told = format!("Best raking night: {}", best.night.format("%a %-d %b"));
        assert!(picture.svg.contains(&told), "{what}: {told}");
    }
}

/// Each eclipse that a site sees is told on the ruler, and no other.
#[test]
fn eclipses_are_told_where_they_are_seen() {
    for (what, records, picture) in pictures() {
        let mut seen: BTreeMap<NaiveDate, EclipseKind> = BTreeMap::new();
        for (_, mark) in records.marks() {
            let kind = mark.eclipse.filter(|kind| *kind != EclipseKind::Penumbral);
            if let Some(kind) = kind {
                let deepest = seen.entry(mark.night.date).or_insert(kind);
                *deepest = (*deepest).max(kind);
            }
        }
        let labels = |text: &str| {
            let labels = picture.labels.iter();
            labels.filter(|label| label.text == text).count()
        };
        let of = |kind: EclipseKind| seen.values().filter(|of| **of == kind).count();
        assert_eq!(labels("total eclipse"), of(EclipseKind::Total), "{what}");
        assert_eq!(
            labels("partial eclipse"),
            of(EclipseKind::Partial),
            "{what}"
        );
    }
    // That of 2028-12-31 is greatest at 16:52 UTC (Espenak and Meeus, NASA
    // TP-2009-214172): in the evening of Norway, the late morning of Utah.
    let records = records(&SEVEN_SITES, "2028-12-20", "2029-01-05");
    let eclipse = |name: &str| {
        let of_site = records
            .marks()
            .filter(|(site, _)| site.name.starts_with(name));
        of_site.filter_map(|(_, mark)| mark.eclipse).next()
    };
    assert_eq!(eclipse("Størvarden"), Some(EclipseKind::Total));
    assert_ne!(eclipse("Tinaja"), Some(EclipseKind::Total));
}

/// No picture is higher than what is reckoned before it is drawn, and that of 19
/// years at one site has four sheets at most.
#[test]
fn heights_are_within_what_is_reckoned() {
    for (what, records, picture) in pictures() {
        let months = records.sites.iter().map(|(_, _, rows)| rows.len()).max();
        let size = if picture.width > 500.0 {
            Size::A4
        } else {
            Size::Phone
        };
        let sites = records.sites.iter().map(|(site, ..)| site);
        let most = most_season_height(
            size,
            records.sites.len(),
            places_with_views(sites),
            months.unwrap_or(0),
        );
        assert!(picture.height <= most, "{what}: {} {most}", picture.height);
    }
    let mesa = records(&["tinaja-mesa"], "2027-01-01", "2045-12-31").draw(Size::A4);
    assert!(mesa.height <= 4.0 * 1047.0, "{}", mesa.height);
    let seven = records(&SEVEN_SITES, "2027-01-01", "2027-12-31").draw(Size::A4);
    assert!(seven.height <= 1047.0, "{}", seven.height);
}
