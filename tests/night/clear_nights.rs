//! The chance of clear nights: several of them against SciPy, forecasts against
//! numpy, and what the program shows of both.

use crate::common;
use crate::program;

use program::{Folder, Run};
use rakelight::{Forecast, Moment, chance_of_at_least, input::read_forecast};
use std::{fs, sync::Arc};

#[test]
fn several_nights_have_the_chance_that_scipy_gives() {
    let cases = common::rows("chances.csv");
    assert_eq!(cases.len(), 80);
    let difference = |case: &common::Row| {
        let nights = case.text("chances").split(' ');
        let nights: Vec<f64> = nights.map(|p| p.parse().expect("a chance")).collect();
        let k = case.text("k").parse().expect("a count");
        chance_of_at_least(&nights, k) - case.number("chance")
    };
    let differences: Vec<f64> = cases.iter().map(difference).collect();
    common::spread("chance of at least k", "", &differences, 1e-14, 1e-13);
}

fn moment(text: &str) -> Moment {
    Moment::from_utc(text.parse().expect("a time"))
}

/// A forecast of `tests/reference/forecasts/`, of a site where it has several.
fn forecast(file: &str, site: &str) -> Arc<Forecast> {
    let path = format!("{}/tests/reference/forecasts/{file}", program::HERE);
    let table = fs::read(path).expect("a forecast");
    let period = ["2027-05-19T00:00:00Z", "2027-05-31T00:00:00Z"].map(moment);
    let read = read_forecast(file, table.as_slice(), period).expect("a good file");
    Arc::clone(read.of.of(site).expect("the site"))
}

#[test]
fn files_of_pandas_and_of_a_spreadsheet_say_what_numpy_interpolates() {
    let cases = common::rows("forecasts.csv");
    for (file, site) in [
        ("pandas.csv", "anywhere"),
        ("pandas_shares.csv", "anywhere"),
        ("spreadsheet.csv", "SALT PAN"),
    ] {
        let cloud = forecast(file, site);
        let mut known = 0;
        let mut differences = Vec::new();
        for case in &cases {
            let from = moment(case.text("from_utc"));
            let found = match case.text("to_utc") {
                "" => cloud.cloud_percent_at(from).map(|at| (at, at)),
                to => cloud
                    .cloud_over(from, moment(to))
                    .map(|over| (over.mean_percent, over.most_percent)),
            };
            let is_known = !case.text("mean").is_empty();
            assert_eq!(
                found.is_some(),
                is_known,
                "{file} {}",
                case.text("from_utc")
            );
            if let Some((mean, most)) = found {
                differences.push(mean - case.number("mean"));
                differences.push(most - case.number("most"));
                known += 1;
            }
        }
        assert!((100..150).contains(&known), "{known}");
        common::spread(file, "%", &differences, 1e-6, 1e-6);
    }
    // The other site of the spreadsheet has the opposite.
    let [salt_pan, tank] = ["Salt Pan", "Tank"].map(|site| forecast("spreadsheet.csv", site));
    let noon = moment("2027-05-22T12:30:00Z");
    let both = salt_pan
        .cloud_percent_at(noon)
        .zip(tank.cloud_percent_at(noon));
    assert!(both.is_some_and(|(a, b)| (a + b - 100.0).abs() < 1e-9));
}

/// A desert with a window on each of some nights of May 2027.
const SITE: &str = "demo-sites/witkopje-pan.toml";
const RANGE: [&str; 4] = ["--from", "2027-05-24", "--to", "2027-06-02"];

fn scan(more: &[&str]) -> String {
    let args: Vec<&str> = ["scan", SITE]
        .into_iter()
        .chain(RANGE)
        .chain(more.iter().copied())
        .collect();
    // The columns of clear nights and of cloud show where the terminal is wide.
    Run::here().wide(160).of(&args).good()
}

/// The rows of a CSV, by column name.
fn rows(csv: &str) -> Vec<Vec<(String, String)>> {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let names = reader.headers().expect("a header").clone();
    let named = |row: csv::StringRecord| {
        let cells = names.iter().zip(&row);
        cells
            .map(|(name, cell)| (name.to_owned(), cell.to_owned()))
            .collect()
    };
    reader
        .records()
        .map(|row| named(row.expect("a row")))
        .collect()
}

fn cell<'a>(row: &'a [(String, String)], name: &str) -> &'a str {
    let found = row.iter().find(|(column, _)| column == name);
    found
        .map(|(_, cell)| cell.as_str())
        .unwrap_or_else(|| panic!("no column {name}"))
}

/// An hourly forecast of so many hours from 22:00 UTC of a date, with the cloud
/// of each.
fn hourly(date: &str, hours: u32, percent: impl Fn(u32) -> u32) -> String {
    let begin = moment(&format!("{date}T22:00:00Z"));
    let row = |hour: u32| {
        let time = begin.plus_seconds(3600.0 * f64::from(hour)).to_utc();
        format!("{},{}\n", time.format("%Y-%m-%dT%H:%MZ"), percent(hour))
    };
    "time_utc,cloud\n".to_owned() + &(0..=hours).map(row).collect::<String>()
}

/// Each window has the share of its evening's month, and the mean of the line
/// of its forecast, which is the value in its middle; others have none.
#[test]
fn a_scan_has_chance_and_forecast_of_each_window() {
    let folder = Folder::new();
    let plain = rows(&scan(&["--format", "csv"]));
    assert!(plain.iter().any(|row| cell(row, "night") < "2027-06"));
    for row in &plain {
        let share = if cell(row, "night") < "2027-06" {
            "0.8400"
        } else {
            "0.8800"
        };
        assert_eq!(cell(row, "clear_chance"), share);
        assert_eq!(cell(row, "cloud_forecast_percent"), "");
    }
    let evening = cell(plain.first().expect("a window"), "night").to_owned();
    let file = folder.file("cloud.csv", hourly(&evening, 10, |hour| 10 * hour));
    let told = rows(&scan(&["--format", "csv", "--forecast", &file]));
    assert_eq!(told.len(), plain.len());
    let mut known = 0;
    for (row, before) in told.iter().zip(&plain) {
        // The forecast is of the weather alone.
        for name in [
            "night",
            "rank",
            "score",
            "start_utc",
            "end_utc",
            "clear_chance",
        ] {
            assert_eq!(cell(row, name), cell(before, name), "{name}");
        }
        let [from, to] = ["start_utc", "end_utc"].map(|name| moment(cell(row, name)).seconds());
        let begin = moment(&format!("{evening}T22:00:00Z")).seconds();
        let percent = |seconds: f64| (seconds - begin) / 360.0;
        if from < begin || percent(to) > 100.0 {
            assert_eq!(
                cell(row, "cloud_forecast_percent"),
                "",
                "{}",
                cell(row, "night")
            );
            continue;
        }
        known += 1;
        let number = |name: &str| cell(row, name).parse::<f64>().expect("a number");
        let mean = percent(f64::midpoint(from, to));
        assert!(
            (number("cloud_forecast_percent") - mean).abs() < 0.1,
            "{mean}"
        );
        assert!((number("cloud_forecast_most_percent") - percent(to)).abs() < 0.1);
        let is_doubted = cell(row, "doubts").contains("cloud_forecast");
        assert_eq!(is_doubted, mean > 50.0);
    }
    assert!(known > 0);
}

/// What people see: the columns only where something is known, the mark with its
/// note, the lines and the column of a night.
#[test]
fn tables_show_what_is_known_and_mark_a_cloudy_night() {
    let folder = Folder::new();
    let one = ["scan", "demo-sites/quillon-slip.toml"]
        .into_iter()
        .chain(RANGE);
    let unknown = Run::here().wide(160).of(&one.collect::<Vec<_>>());
    assert!(!unknown.out.contains("clear") && !unknown.out.contains("cloud"));
    let table = scan(&["--light", "any"]);
    assert!(table.contains("84%") && !table.contains("cloud"), "{table}");
    let csv = rows(&scan(&["--light", "any", "--format", "csv"]));
    let evening = cell(csv.first().expect("a window"), "night").to_owned();
    for (percent, marked) in [(20, false), (90, true)] {
        let file = folder.file("cloud.csv", hourly(&evening, 24, |_| percent));
        let table = scan(&["--light", "any", "--forecast", &file]);
        assert!(table.contains(&format!("{percent}%")), "{table}");
        let note = "~ mostly cloud is forecast: more than 50% of the sky over the window.";
        assert_eq!(table.contains(note), marked, "{table}");
        let night = |more: &[&str]| {
            let args = [
                "night",
                SITE,
                "--on",
                &evening,
                "--light",
                "any",
                "--forecast",
                &file,
            ];
            Run::here()
                .of(&args.iter().chain(more).copied().collect::<Vec<_>>())
                .good()
        };
        let card = night(&[]);
        let lines = [
            format!(
                "Clear nights: {}% of those in",
                if evening.as_str() < "2027-06" { 84 } else { 88 }
            ),
            format!("{percent}% over "),
        ];
        for line in lines {
            assert!(card.contains(&line), "{line}\n{card}");
        }
        assert!(
            card.lines()
                .any(|line| line.starts_with("time") && line.contains("cloud")),
            "{card}"
        );
        let json: serde_json::Value =
            serde_json::from_str(&night(&["--format", "json"])).expect("JSON");
        assert!(json["night"]["clear_chance"].is_number());
        let told =
            |record: &serde_json::Value| record["cloud_forecast_percent"] == f64::from(percent);
        for list in ["windows", "steps", "timetable"] {
            let records = json[list].as_array().expect("records");
            assert_eq!(records.iter().any(told), list != "timetable", "{list}");
        }
        let now = |more: &[&str]| {
            let time = format!("{evening}T23:59:00Z");
            let args = [
                "night",
                SITE,
                "--time",
                &time,
                "--light",
                "any",
                "--forecast",
                &file,
            ];
            Run::here()
                .of(&args.iter().chain(more).copied().collect::<Vec<_>>())
                .good()
        };
        assert!(now(&[]).contains(&format!("Cloud: {percent}%, by the forecast\n")));
        let json: serde_json::Value =
            serde_json::from_str(&now(&["--format", "json"])).expect("JSON");
        assert!(told(&json["now"]), "{json}");
        let markdown = night(&["--format", "markdown"]);
        assert!(markdown.contains("cloud forecast"), "{markdown}");
    }
}

/// A file for several sites goes before what a site says, and reaches those it
/// names, in whatever capitals; the others keep theirs and are told.
#[test]
fn a_table_of_clear_nights_serves_the_sites_it_names() {
    let folder = Folder::new();
    let months = |site: &str, share: &str| -> String {
        (1..=12)
            .map(|month| format!("{month};{share};{site}\n"))
            .collect()
    };
    let table = "month;clear;site\n".to_owned()
        + &months("WITKOPJE pan", "25%")
        + &months("Elsewhere", "0,5");
    let file = folder.file("clear.csv", table);
    let args = [
        "scan",
        SITE,
        "demo-sites/gannet-steps.toml",
        "--light",
        "any",
        "--format",
        "csv",
        "--climate",
        &file,
    ];
    let ended = Run::here().of(&args.into_iter().chain(RANGE).collect::<Vec<_>>());
    assert!(
        ended.err.contains("nothing for Gannet Steps"),
        "{}",
        ended.err
    );
    let found = rows(&ended.out);
    for (site, shares) in [
        ("Witkopje Pan", ["0.2500", "0.2500"]),
        ("Gannet Steps", ["0.4200", "0.4400"]),
    ] {
        let mut of_site = found
            .iter()
            .filter(|row| cell(row, "site") == site)
            .peekable();
        assert!(of_site.peek().is_some(), "{site}");
        assert!(
            of_site.all(|row| shares.contains(&cell(row, "clear_chance"))),
            "{site}"
        );
    }
}

/// A month's expected clear nights are the chances of its nights with a window,
/// each night once; a site without a climate has none.
#[test]
fn a_month_and_a_year_expect_the_sum_of_the_chances() {
    let csv = |site: &str, more: &[&str]| {
        let range = ["--from", "2027-05-01", "--to", "2027-06-30"];
        let args = ["scan", site, "--light", "any", "--format", "csv"];
        let args = args.into_iter().chain(range).chain(more.iter().copied());
        rows(&Run::here().of(&args.collect::<Vec<_>>()).good())
    };
    let windows = csv(SITE, &[]);
    let sum = |of: &str| {
        let of_period = windows
            .iter()
            .filter(|row| cell(row, "night").starts_with(of));
        let nights: std::collections::BTreeMap<&str, f64> = of_period
            .map(|row| {
                (
                    cell(row, "night"),
                    cell(row, "clear_chance").parse().expect("a chance"),
                )
            })
            .collect();
        assert!(!nights.is_empty(), "{of}");
        nights.values().sum::<f64>()
    };
    for (by, column) in [("month", "month"), ("year", "year")] {
        let periods = csv(SITE, &["--by", by]);
        for period in &periods {
            let expected = sum(cell(period, column));
            let told: f64 = cell(period, "expected_clear_nights")
                .parse()
                .expect("a number");
            assert!((told - expected).abs() < 0.006, "{by} {told} {expected}");
        }
        let unknown = csv("demo-sites/quillon-slip.toml", &["--by", by]);
        let mut unknown = unknown.iter();
        assert!(unknown.all(|row| cell(row, "expected_clear_nights").is_empty()));
    }
}
