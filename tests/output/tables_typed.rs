//! What stands in every table that the program writes, cell by cell: of the type
//! that the list of its fields tells, at all demo sites, for all kinds of light,
//! in both signs of decimals. `tests/reference/make/tables.py` has dataframe
//! libraries, SQL engines and a spreadsheet read the same tables.

use crate::program;
use crate::told;

use chrono::{DateTime, Duration, NaiveDate, NaiveDateTime, Offset, Utc};
use chrono_tz::Tz;
use csv::ReaderBuilder;
use program::{Folder, Run};
use rakelight::{
    CsvStyle, read_sites,
    report::{CsvTable, row::Range},
};
use std::{
    collections::{BTreeSet, HashMap},
    fs,
    path::PathBuf,
};
use told::Told;

/// Names and values of strangers that are data to every reader.
const STRANGERS: &str = "name,latitude_deg,longitude_deg,time_zone,guide,permit,\"fee; a, b\"\n\
    \"Ö \"\"Q\"\"; x, y\",37.18,-113.42,America/Denver,\"Mara; \"\"J\"\", x\",007,-3\n\
    北門 <b>&amp;,46.9275,10.8125,Europe/Vienna,'text',+41 79 123 45 67,\"1,5\"\n\
    NULL,5.6,-0.2,Africa/Accra,NaN,1e5,\n\
    true,-43.6,170.1,Pacific/Auckland,2027-05-29,inf,\" \"\n";

/// Site files and tables, as typed.
fn inputs(folder: &Folder) -> Vec<String> {
    folder.file("strangers.csv", STRANGERS);
    let demo = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("demo-sites");
    let entries = fs::read_dir(demo).expect("the demo sites");
    let paths = entries.map(|entry| entry.expect("an entry").path());
    let sites = paths.filter(|path| path.extension().is_some_and(|ending| ending == "toml"));
    let mut sites: Vec<String> = sites.map(|path| path.display().to_string()).collect();
    sites.sort();
    sites.push(folder.path("strangers.csv").display().to_string());
    sites
}

/// What to type to get many rows of a table.
fn commands(table: CsvTable, inputs: &[String]) -> Vec<Vec<String>> {
    let words = |typed: &str| typed.split(' ').map(str::to_owned).collect::<Vec<_>>();
    let scan = |typed: &str| {
        let more = words(typed).into_iter();
        let scan = ["scan".to_owned()].into_iter().chain(inputs.to_vec());
        scan.chain(more).collect()
    };
    match table {
        CsvTable::Windows => [
            // Clocks change in both hemispheres.
            "--from 2027-03-20 --to 2027-04-20 --light any",
            "--from 2027-05-10 --to 2027-06-20 --light raking --together",
            "--from 2027-05-20 --to 2027-06-20 --light dark",
            "--from 2027-05-01 --to 2027-06-20 --light blend",
            "--from 2027-05-15 --to 2027-05-25 --target moon",
            // A total eclipse of the Moon.
            "--from 2029-06-24 --to 2029-06-28 --light any",
        ]
        .map(scan)
        .to_vec(),
        CsvTable::Months => [
            "--by month --from 2027-03-01 --to 2027-05-10 --light any",
            "--by month --from 2027-05-01 --to 2027-06-20 --light blend",
        ]
        .map(scan)
        .to_vec(),
        CsvTable::Years => {
            vec![scan(
                "--by year --from 2027-11-20 --to 2028-03-10 --light dark",
            )]
        }
        CsvTable::Sites => [
            "--by site --from 2027-03-20 --to 2027-05-10 --light any",
            "--by site --from 2027-05-01 --to 2027-06-20 --light raking,blend",
        ]
        .map(scan)
        .to_vec(),
        CsvTable::MonthsBeside => [
            "--by month --compare years --from 2027-03-01 --to 2027-05-10 --light any",
            "--by month --compare sites --from 2027-10-01 --to 2027-11-20 --light any",
        ]
        .map(scan)
        .to_vec(),
        CsvTable::Trip => {
            let trip = |typed: &str| -> Vec<String> {
                let more = words(typed).into_iter();
                let trip = ["trip".to_owned()].into_iter().chain(inputs.to_vec());
                trip.chain(more).collect()
            };
            vec![
                trip("--from 2027-05-01 --to 2027-06-10 --light any --nights 3"),
                trip("--from 2027-03-20 --to 2027-05-10 --light dark --nights 4 --free 1"),
            ]
        }
        CsvTable::Season => [
            "--season --from 2027-03-20 --to 2027-05-10",
            "--season --from 2027-03-20 --to 2027-04-10 --light blend",
        ]
        .map(scan)
        .to_vec(),
        CsvTable::Night => {
            let strangers =
                ["Ö \"Q\"; x, y", "NULL", "true"].map(|name| format!("strangers.csv#{name}"));
            let sites = inputs
                .iter()
                .filter(|typed| typed.ends_with(".toml"))
                .cloned();
            let dates = ["2027-05-28", "2027-03-27", "2027-10-30", "2029-06-25"];
            let sites = sites.chain(strangers).zip(dates.into_iter().cycle());
            let night = |(site, on): (String, &str)| {
                [vec!["night".to_owned(), site], words(&format!("--on {on}"))].concat()
            };
            sites.map(night).collect()
        }
    }
}

/// A table as it was written: what is typed, names, and rows.
struct Written {
    typed: String,
    names: Vec<String>,
    rows: Vec<Vec<String>>,
}

fn written(folder: &Folder, command: &[String], style: CsvStyle) -> Written {
    let csv = ["--format", "csv", "--quiet", "--csv-style", style.word()];
    let words: Vec<&str> = command.iter().map(String::as_str).chain(csv).collect();
    let output = Run::at(folder).of(&words);
    assert!(output.code < 2, "{words:?}: {}", output.err);
    let mut reader = ReaderBuilder::new()
        .delimiter(style.separator())
        .from_reader(output.out.as_bytes());
    let names = reader.headers().expect("a header");
    let names = names.iter().map(str::to_owned).collect();
    let rows = reader.records().map(|row| row.expect("a row of as many"));
    let rows = rows.map(|row| row.iter().map(str::to_owned).collect());
    Written {
        typed: words.join(" "),
        names,
        rows: rows.collect(),
    }
}

/// What is wrong with a cell that is not empty.
fn wrong(cell: &str, told: &Told, style: CsvStyle) -> Option<&'static str> {
    let is = |form: &str| NaiveDate::parse_from_str(cell, form).is_ok();
    let kind = told.kind.as_str().expect("a kind");
    match (kind, told.pattern) {
        ("string", Some(told::DATE)) => (!is("%Y-%m-%d") || cell.len() != 10).then_some("no date"),
        ("string", Some(told::MONTH)) => {
            let day = format!("{cell}-01");
            let date = NaiveDate::parse_from_str(&day, "%Y-%m-%d");
            (date.is_err() || cell.len() != 7).then_some("no month")
        }
        ("string", Some(told::LOCAL)) => {
            (local(cell).is_none() || cell.len() != 19).then_some("no time")
        }
        ("string", Some(told::UTC)) => {
            let time = DateTime::parse_from_rfc3339(cell);
            let is_utc = time.is_ok() && cell.ends_with('Z') && cell.len() == 20;
            (!is_utc).then_some("no UTC of RFC 3339")
        }
        ("string", Some(told::OFFSET)) => offset(cell).is_none().then_some("no offset"),
        ("string", _) => match told.words {
            Some(words) if !words.contains(&cell) => Some("none of the words"),
            _ => None,
        },
        ("boolean", _) => (!["true", "false"].contains(&cell)).then_some("not true or false"),
        ("integer" | "number", _) => {
            let sign = if style.has_decimal_comma() { ',' } else { '.' };
            let digits = cell.strip_prefix('-').unwrap_or(cell);
            let (whole, decimals) = match digits.split_once(sign) {
                Some((whole, decimals)) => (whole, Some(decimals)),
                None => (digits, None),
            };
            let are_digits =
                |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
            if !are_digits(whole) || decimals.is_some_and(|decimals| !are_digits(decimals)) {
                return Some("no number");
            }
            if told
                .decimals
                .is_some_and(|told| decimals.map_or(0, str::len) != told)
            {
                return Some("other decimals than told");
            }
            let number: f64 = cell.replace(',', ".").parse().expect("digits");
            if number == 0.0 && cell.starts_with('-') {
                return Some("a zero with a minus");
            }
            let is_within = match told.range {
                Range::AtLeast(least) => number >= least,
                // Rounded, it may be the bound.
                Range::Above(bound) => number >= bound,
                Range::Within(least, most) => (least..=most).contains(&number),
                _ => true,
            };
            (!is_within).then_some("out of its range")
        }
        _ => Some("of no known kind"),
    }
}

fn local(cell: &str) -> Option<NaiveDateTime> {
    NaiveDateTime::parse_from_str(cell, "%Y-%m-%d %H:%M:%S").ok()
}

/// Seconds ahead of UTC.
fn offset(cell: &str) -> Option<i64> {
    let (sign, parts) = match cell.split_at_checked(1)? {
        ("+", parts) => (1, parts),
        ("-", parts) => (-1, parts),
        _ => return None,
    };
    let mut parts = parts.split(':').map(|part| {
        let number = part.parse::<i64>().ok();
        number.filter(|number| part.len() == 2 && *number < 60)
    });
    let hours = parts.next()??;
    let minutes = parts.next()??;
    let seconds = parts.next().unwrap_or(Some(0))?;
    Some(sign * (hours * 3600 + minutes * 60 + seconds))
}

/// Each `X_local` of a row is `X_utc` on the clocks of the zone, and `utc_offset`
/// is the one between the best instant's, or those of the line.
fn check_clocks(written: &Written, zones: &HashMap<String, Tz>) -> usize {
    let place = |name: &str| written.names.iter().position(|other| other == name);
    let site = place("site").expect("a site");
    let mut checked = 0;
    for (of_local, name) in written.names.iter().enumerate() {
        let Some(of_utc) = name
            .strip_suffix("_local")
            .and_then(|name| place(&format!("{name}_utc")))
        else {
            continue;
        };
        for row in &written.rows {
            let told = || format!("{}\n{name} {row:?}", written.typed);
            let (clock, utc) = (&row[of_local], &row[of_utc]);
            assert_eq!(clock.is_empty(), utc.is_empty(), "{}", told());
            if clock.is_empty() {
                continue;
            }
            let utc: DateTime<Utc> = utc.parse().expect("UTC");
            let clock = local(clock).expect("a time");
            let zone = zones.get(&row[site]).expect("a zone");
            let by_zone = utc.with_timezone(zone);
            assert_eq!(by_zone.naive_local(), clock, "{}", told());
            if ["best_local", "time_local"].contains(&name.as_str()) {
                let ahead = offset(&row[place("utc_offset").expect("an offset")]);
                let ahead = ahead.expect("an offset");
                assert_eq!(
                    utc.naive_utc() + Duration::seconds(ahead),
                    clock,
                    "{}",
                    told()
                );
                let of_zone = by_zone.offset().fix().local_minus_utc();
                assert_eq!(i64::from(of_zone), ahead, "{}", told());
            }
            checked += 1;
        }
    }
    checked
}

/// The zones of all sites by name.
fn zones(inputs: &[String]) -> HashMap<String, Tz> {
    let sites = inputs
        .iter()
        .flat_map(|path| read_sites(path.as_ref()).expect("sites"));
    let sites = sites.map(|site| site.expect("a site"));
    sites
        .map(|site| {
            let zone = site.zone.name().parse();
            (site.name, zone.expect("an IANA name"))
        })
        .collect()
}

#[test]
fn every_cell_of_every_table_is_of_its_type() {
    let folder = Folder::new();
    let inputs = inputs(&folder);
    let zones = zones(&inputs);
    let mut faults = BTreeSet::new();
    for table in CsvTable::ALL {
        let columns = told::of_table(table);
        let names: Vec<&str> = columns.iter().map(|told| told.name).collect();
        assert_eq!(table.columns(), names, "{table:?}");
        let (mut rows, mut clocks) = (0, 0);
        let mut filled = vec![0; columns.len()];
        let mut offsets = BTreeSet::new();
        for (command, style) in commands(table, &inputs)
            .iter()
            .zip([CsvStyle::Comma, CsvStyle::Semicolon].into_iter().cycle())
        {
            let written = written(&folder, command, style);
            assert_eq!(written.names[..names.len()], names, "{}", written.typed);
            rows += written.rows.len();
            clocks += check_clocks(&written, &zones);
            let place_of_views = written.rows.iter().any(|row| !row[1].is_empty());
            for row in &written.rows {
                for (index, (cell, told)) in row.iter().zip(&columns).enumerate() {
                    let of_place = table == CsvTable::Night && place_of_views && row[1].is_empty();
                    let fault = match (cell.as_str(), told.empty) {
                        // A line about the place says nothing of its views.
                        ("", None) if of_place => None,
                        ("", None) => Some("empty, told as never"),
                        ("", Some(_)) => None,
                        (cell, _) => wrong(cell, told, style),
                    };
                    if let Some(fault) = fault {
                        let typed = &written.typed;
                        faults.insert(format!(
                            "{table:?} {}: {fault}: {cell:?}\n{typed}",
                            told.name
                        ));
                    }
                    filled[index] += usize::from(!cell.is_empty());
                    if told.pattern == Some(told::OFFSET) {
                        offsets.insert(cell.clone());
                    }
                }
            }
        }
        // Something was looked at.
        let (least, at_least) = match table {
            CsvTable::Windows => (800, 8),
            CsvTable::Months => (60, 6),
            CsvTable::Years => (20, 6),
            CsvTable::Sites => (30, 6),
            CsvTable::MonthsBeside => (60, 6),
            CsvTable::Season => (800, 0),
            CsvTable::Trip => (12, 1),
            CsvTable::Night => (500, 6),
        };
        assert!(
            rows >= least && clocks >= rows * usize::from(at_least > 0),
            "{table:?}: {rows} rows, {clocks} clocks"
        );
        assert!(offsets.len() >= at_least, "{table:?}: {offsets:?}");
        let never = filled.iter().filter(|filled| **filled == 0).count();
        let is_windows = table == CsvTable::Windows;
        assert!(!is_windows || never * 10 < names.len(), "{never} never");
    }
    let first: Vec<&String> = faults.iter().take(20).collect();
    assert!(first.is_empty(), "{} faults: {first:#?}", faults.len());
}
