//! `scan --compare` with years and sites: each figure side by side is computed
//! again from the plain scan's CSV.

use super::{TANK, code, json, program::Folder, program::Run, rakelight, stderr, stdout};
use std::collections::{BTreeMap, BTreeSet};

const MESA: &str = "demo-sites/tinaja-mesa.toml";
const CAY: &str = "demo-sites/candlenut-cay.toml";
const PAN: &str = "demo-sites/witkopje-pan.toml";
const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

type Row = BTreeMap<String, String>;

fn rows(text: &str) -> Vec<Row> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
}

fn wide(columns: usize, args: &[&str]) -> String {
    let args = [&["scan", "--quiet"], args].concat();
    Run::here().wide(columns).of(&args).good()
}

/// The windows of a plain scan.
fn windows(args: &[&str]) -> Vec<Row> {
    rows(&wide(80, &[args, &["--format", "csv"]].concat()))
}

fn title(row: &Row) -> String {
    match &*row["view"] {
        "" => row["site"].clone(),
        view => format!("{}, {view}", row["site"]),
    }
}

/// Nights, each once, and the best window of some.
struct Counted<'a> {
    nights: BTreeSet<&'a str>,
    best: Option<&'a Row>,
}

fn score(row: &Row) -> f64 {
    row["score"].parse().expect("a score")
}

fn counted<'a>(rows: impl Iterator<Item = &'a Row>) -> Counted<'a> {
    let (mut nights, mut best): (_, Option<&Row>) = (BTreeSet::new(), None);
    for row in rows {
        nights.insert(&*row["night"]);
        if best.is_none_or(|best| score(row) > score(best)) {
            best = Some(row);
        }
    }
    Counted { nights, best }
}

impl Counted<'_> {
    /// Whether a cell says so: `*3: Sat 29 (87~)`.
    fn is_told(&self, cell: &str) -> bool {
        let Some(best) = self.best else {
            return cell == "-";
        };
        let cell = cell.trim_start_matches('*');
        let Some((rest, shown)) = cell.split_once('(') else {
            return false;
        };
        let (nights, day) = rest.split_once(':').unwrap_or((rest, ""));
        let shown = shown.trim_end_matches(')');
        let exact = score(best);
        let rounded: f64 = shown.trim_end_matches('~').parse().expect("a score");
        let marks = ["moon_near_horizon", "target_low"];
        // Of equal scores any night may be told.
        let day = day.trim().rsplit([' ', '-']).next().expect("a text");
        let day = day.parse::<u32>().ok();
        let is_day = day.is_none_or(|day| best["night"].ends_with(&format!("-{day:02}")));
        nights.trim() == self.nights.len().to_string()
            && (rounded - exact).abs() <= 0.551
            && shown.ends_with('~') == marks.iter().any(|mark| best["doubts"].contains(mark))
            && is_day
    }
}

/// The columns of a block: for each row its name and its texts, by the places
/// where the last line of headings ends.
fn cells(block: &[&str], heading: usize) -> Vec<(String, Vec<String>)> {
    // A row is wider than a heading where a star or a long text needs it: what
    // is right-aligned ends where the longest line of the column ends.
    let ends: Vec<usize> = {
        let lines: Vec<Vec<char>> = block.iter().map(|line| line.chars().collect()).collect();
        let widest = lines.iter().map(Vec::len).max().expect("lines");
        let is_blank = |at: usize| {
            lines
                .iter()
                .all(|line| line.get(at).is_none_or(|c| *c == ' '))
        };
        (1..=widest)
            .filter(|at| !is_blank(at - 1) && is_blank(*at) && is_blank(at + 1))
            .collect()
    };
    let texts = |line: &str| -> Vec<String> {
        let chars: Vec<char> = line.chars().collect();
        let mut from = 0;
        ends.iter()
            .map(|end| {
                let to = (*end).min(chars.len());
                let text: String = chars[from.min(to)..to].iter().collect();
                from = *end;
                text.trim().to_owned()
            })
            .collect()
    };
    block[heading..]
        .iter()
        .map(|line| {
            let mut texts = texts(line);
            (texts.remove(0), texts)
        })
        .collect()
}

fn holds_width(text: &str, width: usize) {
    for line in text.lines() {
        assert!(line.chars().count() <= width, "{line}");
        assert!(!line.ends_with(' '), "{line}");
    }
}

/// The tables of a page, each from its heading to the row that adds it up.
fn blocks(text: &str) -> Vec<Vec<&str>> {
    let mut blocks = Vec::new();
    let mut block: Vec<&str> = Vec::new();
    for line in text.lines() {
        if line.starts_with(' ') || !block.is_empty() {
            block.push(line);
        }
        if line.starts_with("all ") {
            blocks.push(std::mem::take(&mut block));
        }
    }
    blocks
}

#[test]
fn years_side_by_side_are_what_the_windows_add_up_to() {
    // Twenty years, the first and the last in part.
    let range = ["--from", "2027-06-20", "--to", "2046-10-05"];
    let found = windows(&[&[MESA], &range[..]].concat());
    let args = [&[MESA, "--by", "month", "--compare", "years"], &range[..]].concat();
    for (width, expected) in [(80, 3), (120, 2)] {
        let page = wide(width, &args);
        holds_width(&page, width);
        let blocks = blocks(&page);
        assert_eq!(blocks.len(), expected, "{page}");
        let mut years: Vec<String> = Vec::new();
        let mut most: BTreeMap<String, Vec<(usize, bool)>> = BTreeMap::new();
        for block in &blocks {
            let heads: Vec<String> = block[0].split_whitespace().map(str::to_owned).collect();
            let table = cells(block, 1);
            let names: Vec<&str> = table.iter().map(|(name, _)| &**name).collect();
            assert_eq!(names, [&MONTHS[..], &["all"]].concat(), "{page}");
            for (name, texts) in &table {
                assert_eq!(texts.len(), heads.len(), "{block:?}");
                for (head, text) in heads.iter().zip(texts) {
                    let month = MONTHS.iter().position(|month| month == name);
                    let is_in = |row: &&Row| {
                        let (year, rest) = row["night"].split_once('-').expect("a date");
                        let month =
                            month.is_none_or(|at| rest.starts_with(&format!("{:02}", at + 1)));
                        month && (head == "all" || head == year)
                    };
                    let told = counted(found.iter().filter(is_in));
                    let outside = match (&**head, month) {
                        ("2027", Some(month)) => month < 5,
                        ("2046", Some(month)) => month > 9,
                        _ => false,
                    };
                    if outside {
                        assert_eq!(text, "", "{head} {name}");
                        continue;
                    }
                    assert!(told.is_told(text), "{head} {name}: {text}");
                    if head != "all" {
                        let told = (told.nights.len(), text.starts_with('*'));
                        most.entry(name.clone()).or_default().push(told);
                    }
                }
            }
            years.extend(heads);
        }
        let expected: Vec<String> = (2027..=2046).map(|year| year.to_string()).collect();
        assert_eq!(years, [&expected[..], &["all".to_owned()]].concat());
        for (name, cells) in &most {
            let best = cells.iter().map(|(nights, _)| *nights).max();
            let starred = cells.iter().filter(|(_, is_starred)| *is_starred);
            assert!(
                starred.clone().all(|(nights, _)| Some(*nights) == best),
                "{name}"
            );
            assert_eq!(starred.count() > 0, best > Some(0), "{name}");
        }
        let part = "Counted only in part: Jun 2027 (from 2027-06-20) and Oct 2046 (to 2046-10-05).";
        let words: Vec<&str> = page.split_whitespace().collect();
        assert!(words.join(" ").contains(part), "{page}");
    }
}

#[test]
fn the_sentence_under_the_years_names_the_year_with_most_nights() {
    let range = ["--from", "2027-01-01", "--to", "2030-12-31"];
    let found = windows(&[&[MESA], &range[..]].concat());
    let args = [&[MESA, "--by", "month", "--compare", "years"], &range[..]].concat();
    let page = wide(200, &args);
    let said = page
        .lines()
        .find(|line| line.starts_with("Most nights in "));
    let said = said.expect("a sentence");
    let mut words = said
        .split([' ', ':', ',', '.'])
        .filter(|word| !word.is_empty());
    let (year, nights) = (words.nth(3).expect("a year"), words.next().expect("nights"));
    let of = |year: &str| counted(found.iter().filter(|row| row["night"].starts_with(year)));
    assert_eq!(nights, of(year).nights.len().to_string(), "{said}");
    for other in 2027..=2030 {
        assert!(of(&other.to_string()).nights.len() <= of(year).nights.len());
    }
    let best = counted(found.iter());
    let night = &best.best.expect("a window")["night"];
    assert!(said.contains(&format!("{night}, score")), "{said}");
}

#[test]
fn a_night_of_several_views_counts_once_for_the_place() {
    let range = ["--from", "2027-05-01", "--to", "2028-08-31"];
    let found = windows(&[&[CAY], &range[..]].concat());
    let page = wide(
        80,
        &[&[CAY, "--by", "month", "--compare", "years"], &range[..]].concat(),
    );
    let (_, of_place) = page
        .split_once("\nCandlenut Cay, any view\n")
        .expect("a block");
    let blocks = blocks(of_place);
    let totals = cells(&blocks[0], 1).pop().expect("a row that adds up").1;
    for (year, text) in ["2027", "2028", ""].iter().zip(&totals) {
        let told = counted(found.iter().filter(|row| row["night"].starts_with(year)));
        assert!(told.is_told(text), "{year}: {text}");
    }
    let apart: usize = found
        .iter()
        .map(|row| (title(row), &row["night"]))
        .collect::<BTreeSet<_>>()
        .len();
    assert!(
        counted(found.iter()).nights.len() < apart,
        "it proves nothing"
    );
    // One site beside it has no such block.
    let alone = wide(
        80,
        &[&[MESA, "--by", "month", "--compare", "years"], &range[..]].concat(),
    );
    assert!(!alone.contains("any view"), "{alone}");
}

#[test]
fn sites_side_by_side_are_what_the_windows_add_up_to() {
    let sites = [MESA, CAY, PAN, TANK];
    let names = [
        "Tinaja Mesa",
        "Candlenut Cay, beacon",
        "Candlenut Cay, leaning palm",
        "Candlenut Cay, open lagoon",
        "Witkopje Pan",
        "Saltbush Tank",
        "any",
    ];
    for (by, range) in [
        ("month", ["--from", "2027-04-10", "--to", "2028-02-01"]),
        ("year", ["--from", "2027-04-10", "--to", "2029-02-01"]),
    ] {
        let found = windows(&[&sites[..], &range].concat());
        let args = [&sites[..], &["--by", by, "--compare", "sites"], &range].concat();
        for width in [80, 120] {
            let page = wide(width, &args);
            holds_width(&page, width);
            let mut column = 0;
            for block in blocks(&page) {
                let first = block.iter().position(|line| !line.starts_with(' '));
                let first = first.expect("rows");
                for (name, texts) in cells(&block, first) {
                    for (at, text) in texts.iter().enumerate() {
                        let site = names[column + at];
                        let is_in = |row: &&Row| {
                            let parts: Vec<&str> = name.split(' ').collect();
                            let month = match parts[..] {
                                [month, year] => {
                                    let at = MONTHS.iter().position(|name| *name == month);
                                    format!("{year}-{:02}", at.expect("a month") + 1)
                                }
                                ["all"] => String::new(),
                                _ => name.clone(),
                            };
                            (site == "any" || title(row) == site)
                                && row["night"].starts_with(&month)
                        };
                        let told = counted(found.iter().filter(is_in));
                        assert!(told.is_told(text), "{site} {name}: {text} in {page}");
                    }
                }
                column += cells(&block, first)[0].1.len();
            }
            assert_eq!(column, names.len(), "{page}");
            for zone in [
                "America/Denver",
                "Pacific/Tarawa",
                "Johannesburg",
                "Adelaide",
            ] {
                assert!(page.contains(zone), "{zone} in {page}");
            }
            assert!(page.contains("in the time zone of its site"), "{page}");
        }
    }
    // Of one zone none is named.
    let range = ["--from", "2027-05-01", "--to", "2027-05-31"];
    let page = wide(
        80,
        &[&[CAY, "--by", "month", "--compare", "sites"], &range[..]].concat(),
    );
    assert!(!page.contains("Tarawa"), "{page}");
}

#[test]
fn the_lines_of_csv_and_json_are_what_the_windows_add_up_to() {
    let range = ["--from", "2027-06-20", "--to", "2029-02-03"];
    let sites = [TANK, CAY, MESA];
    let found = windows(&[&sites[..], &range].concat());
    let ask = |by: &str, compare: &str, format: &str| {
        let asked = ["--by", by, "--compare", compare, "--format", format];
        wide(80, &[&sites[..], &range, &asked].concat())
    };
    let months = ask("month", "years", "csv");
    assert!(months.starts_with(
        "site,view,year,month_of_year,evenings,nights,hours,expected_clear_nights,rank,score,"
    ));
    assert_eq!(months, ask("month", "sites", "csv"));
    let years = ["--by", "year", "--format", "csv"];
    let plain = wide(80, &[&sites[..], &range, &years].concat());
    assert_eq!(ask("year", "sites", "csv"), plain);
    let lines = rows(&months);
    assert_eq!(lines.len(), 5 * 21, "{months}");
    for line in &lines {
        let month: u32 = line["month_of_year"].parse().expect("a month");
        let month = format!("{}-{month:02}", line["year"]);
        let is_in = |row: &&Row| title(row) == title(line) && row["night"].starts_with(&month);
        let told = counted(found.iter().filter(is_in));
        assert_eq!(line["nights"], told.nights.len().to_string(), "{month}");
        let minutes = found
            .iter()
            .filter(is_in)
            .map(|row| row["minutes"].parse::<f64>());
        let minutes: f64 = minutes.map(|length| length.expect("minutes")).sum();
        let hours: f64 = line["hours"].parse().expect("hours");
        assert!((hours - minutes / 60.0).abs() < 0.06, "{line:?}");
        let evenings = match &*month {
            "2027-06" => 11,
            "2028-02" => 29,
            "2029-02" => 3,
            _ => match &month[5..] {
                "04" | "06" | "09" | "11" => 30,
                _ => 31,
            },
        };
        assert_eq!(line["evenings"], evenings.to_string(), "{month}");
        let columns = found[0]
            .keys()
            .filter(|key| !["site", "view"].contains(&key.as_str()));
        for column in columns {
            let best = told.best.map_or("", |best| &*best[column]);
            assert_eq!(line[column], best, "{month} {column}");
        }
    }
    let document: serde_json::Value =
        serde_json::from_str(&ask("month", "sites", "json")).expect("JSON");
    let sites = document["sites"].as_array().expect("sites");
    let objects = sites
        .iter()
        .flat_map(|site| site["by_month"].as_array().expect("months"));
    let told: Vec<String> = objects
        .map(|month| {
            format!(
                "{} {} {} {}",
                month["year"], month["month_of_year"], month["nights"], month["best"]["night"]
            )
        })
        .collect();
    let expected: Vec<String> = lines
        .iter()
        .map(|line| {
            let night = match &*line["night"] {
                "" => "null".to_owned(),
                night => format!("\"{night}\""),
            };
            format!(
                "{} {} {} {night}",
                line["year"], line["month_of_year"], line["nights"]
            )
        })
        .collect();
    assert_eq!(told, expected);
}

#[test]
fn a_night_of_several_kinds_counts_once_and_so_does_its_time() {
    let range = ["--from", "2027-05-01", "--to", "2027-07-31"];
    // The dark period of a blend is a window of the kind dark too.
    let kinds = ["--light", "raking,blend,dark"];
    let found = windows(&[&[MESA, TANK], &range[..], &kinds].concat());
    let asked = ["--by", "month", "--compare", "sites", "--format", "csv"];
    let lines = rows(&wide(
        80,
        &[&[MESA, TANK], &range[..], &kinds, &asked].concat(),
    ));
    assert_eq!(lines.len(), 6);
    let mut overlap = 0;
    for line in &lines {
        let month: u32 = line["month_of_year"].parse().expect("a month");
        let month = format!("{}-{month:02}", line["year"]);
        let is_in = |row: &&Row| row["site"] == line["site"] && row["night"].starts_with(&month);
        let of_month: Vec<&Row> = found.iter().filter(is_in).collect();
        let nights: BTreeSet<&str> = of_month.iter().map(|row| &*row["night"]).collect();
        assert_eq!(line["nights"], nights.len().to_string());
        // Each minute that lies in a window, once.
        let time = |row: &Row, key: &str| -> i64 {
            let time = chrono::DateTime::parse_from_rfc3339(&row[key]);
            time.expect("a time").timestamp()
        };
        let mut periods: Vec<(i64, i64)> = of_month
            .iter()
            .map(|row| (time(row, "start_utc"), time(row, "end_utc")))
            .collect();
        periods.sort_unstable();
        let (mut seconds, mut reached) = (0, i64::MIN);
        for (start, end) in &periods {
            seconds += (end - start.max(&reached)).max(0);
            reached = reached.max(*end);
        }
        let alone: i64 = periods.iter().map(|(start, end)| end - start).sum();
        overlap += alone - seconds;
        let hours: f64 = line["hours"].parse().expect("hours");
        assert!((hours - seconds as f64 / 3600.0).abs() < 0.06, "{line:?}");
    }
    assert!(overlap > 3600, "windows overlap, else it proves nothing");
}

#[test]
fn no_two_long_names_read_the_same() {
    let folder = Folder::new();
    let site = |file: &str, name: &str| {
        let text = format!(
            "name = \"{name}\"\nlatitude_deg = -31.4\nlongitude_deg = 139.2\ntime_zone = \"UTC\"\n\
             brief.light = \"dark\"\n"
        );
        folder.file(file, text)
    };
    let long = "The old sheep yards above the northern gorge of Arkaroola station";
    let (one, two) = (
        format!("{long}, first gate"),
        format!("{long}, second gate"),
    );
    let (one, two) = (site("one.toml", &one), site("two.toml", &two));
    let word = site("word.toml", &"x".repeat(70));
    let short = site("short.toml", "Gate");
    let all = [&*one, &two, &word, &short];
    for asked in [
        &[
            "--by",
            "month",
            "--compare",
            "sites",
            "--from",
            "2027-06-01",
            "--to",
            "2027-07-31",
        ][..],
        &[
            "--by",
            "year",
            "--compare",
            "sites",
            "--from",
            "2027-06-01",
            "--to",
            "2027-07-31",
        ],
        &["--compare", "2027-06-05"],
    ] {
        for width in [80, 120] {
            let page = wide(width, &[&all[..], asked].concat());
            holds_width(&page, width);
            // The headings of all blocks, column for column.
            let rest = page.split_once('\n').expect("a heading").1;
            let mut heads: Vec<String> = Vec::new();
            for block in rest.split("\n\n") {
                let lines: Vec<&str> = block.lines().collect();
                let heading: Vec<&str> = lines
                    .iter()
                    .copied()
                    .take_while(|line| line.starts_with(' '))
                    .collect();
                if heading.is_empty() {
                    continue;
                }
                let texts: Vec<Vec<String>> = cells(&lines[..=heading.len()], 0)
                    .into_iter()
                    .map(|(_, texts)| texts)
                    .collect();
                for at in 0..texts[0].len() {
                    let parts: Vec<&str> = texts[..heading.len()]
                        .iter()
                        .map(|line| &*line[at])
                        .collect();
                    heads.push(parts.join(" ").trim().to_owned());
                }
            }
            let apart: BTreeSet<&String> = heads.iter().collect();
            assert!(heads.len() >= 4, "{page}");
            assert_eq!(apart.len(), heads.len(), "{heads:?}");
            assert!(heads.iter().any(|head| head.ends_with("Gate")), "{heads:?}");
        }
    }
}

#[test]
fn sites_stand_side_by_side_on_one_night() {
    let night = "2027-05-29";
    let sites = [MESA, PAN, CAY];
    let found = windows(&[&sites[..], &["--from", night, "--to", night]].concat());
    let page = wide(120, &[&sites[..], &["--compare", night]].concat());
    holds_width(&page, 120);
    holds_width(&wide(80, &[&sites[..], &["--compare", night]].concat()), 80);
    let table: Vec<&str> = page
        .lines()
        .skip(1)
        .take_while(|line| !line.is_empty())
        .collect();
    let heading = table
        .iter()
        .position(|line| !line.starts_with(' '))
        .expect("rows");
    let heads = &table[..heading];
    let lines = cells(&table, heading);
    let best = found.iter().map(score).fold(0.0, f64::max);
    let with_window: Vec<&Row> = {
        let mut first = BTreeSet::new();
        found
            .iter()
            .filter(|row| first.insert(title(row)))
            .collect()
    };
    assert_eq!(with_window.len(), 3, "{page}");
    for (name, column) in [
        ("score", "score"),
        ("window", "start_local"),
        ("best at", "best_local"),
    ] {
        let (_, texts) = lines
            .iter()
            .find(|(title, _)| title == name)
            .expect("a row");
        assert_eq!(texts.len(), with_window.len(), "{page}");
        for (text, row) in texts.iter().zip(&with_window) {
            if name == "score" {
                let shown: f64 = text.trim_start_matches('*').parse().expect("a score");
                assert!((shown - score(row)).abs() <= 0.551, "{text} {row:?}");
                assert_eq!(text.starts_with('*'), score(row) == best, "{page}");
            } else {
                // The minute may be the next one: it is rounded.
                let hour = &row[column][11..13];
                assert!(text.contains(&format!("{hour}:")), "{name} {text} {row:?}");
            }
        }
    }
    for zone in ["America/Denver", "Pacific/Tarawa"] {
        assert!(heads.iter().any(|line| line.contains(zone)), "{page}");
    }
    assert!(page.contains("* the best of its row"), "{page}");
    for view in ["open lagoon", "Witkopje Pan"] {
        let line = page
            .lines()
            .find(|line| line.contains(view))
            .expect("a line");
        assert!(line.contains(": no window, "), "{page}");
    }
    assert!(
        page.contains("Candlenut Cay, beacon leads Tinaja Mesa by 93 to 87"),
        "{page}"
    );
    // With the word it is the same; several nights are a block each.
    let typed = format!("sites,{night}");
    assert_eq!(
        page,
        wide(120, &[&sites[..], &["--compare", &typed]].concat())
    );
    let both = wide(
        120,
        &[&sites[..], &["--compare", "sites,2027-05-29,2027-06-26"]].concat(),
    );
    assert!(both.starts_with(page.trim_end()), "{both}");
    assert!(both.contains("\n\nSat 2027-06-26, 5 sites\n"), "{both}");
    // Several nights without it are a block for each site, as ever.
    let nights = wide(
        120,
        &[&sites[..], &["--compare", "2027-05-29,2027-06-26"]].concat(),
    );
    assert!(nights.starts_with("Tinaja Mesa\n"), "{nights}");
}

#[test]
fn sites_on_a_night_in_json_have_their_windows_and_what_decides() {
    let document = json(&[
        "scan",
        MESA,
        CAY,
        "--compare",
        "2027-05-29",
        "--format",
        "json",
    ]);
    let sites = document["sites"].as_array().expect("sites");
    assert_eq!(sites.len(), 4);
    for site in sites {
        let nights = site["nights"].as_array().expect("nights");
        assert_eq!(nights.len(), 1);
        assert_eq!(nights[0]["night"], "2027-05-29");
        if !nights[0]["window"].is_null() {
            assert_eq!(nights[0]["window"]["site"], site["site"]["name"]);
        }
    }
    let text = document["compare"][0]["text"].as_str().expect("a text");
    assert!(
        text.starts_with("Candlenut Cay, beacon leads Tinaja Mesa by "),
        "{text}"
    );
    let none = rakelight(&["scan", MESA, PAN, "--compare", "2027-12-20", "--quiet"]);
    assert_eq!(code(&none), 1, "{}", stderr(&none));
    assert!(stdout(&none).contains("None of these sites has a window on Mon 2027-12-20."));
}
