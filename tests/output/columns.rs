//! Columns that are asked for: the same values as in the whole table, in the
//! order typed, in every table and format of lines.

use crate::program;

use csv::{ReaderBuilder, StringRecord};
use program::{Folder, Run};
use rakelight::CsvStyle;
use serde_json::{Map, Value};

const TABLE: &str = "name,latitude_deg,longitude_deg,time_zone,guide,\"fee, USD\",Score\n\
                     A,37.18,-113.42,America/Denver,\"Mara; \"\"J\"\", x\",12.50,7\n\
                     B,37.18,-113.42,America/Denver,,,\n";
const RANGE: [&str; 5] = ["--from", "2027-05-28", "--to", "2027-05-30", "--quiet"];

fn folder() -> Folder {
    let folder = Folder::new();
    folder.file("t.csv", TABLE);
    folder
}

/// A scan of the table of sites as it is typed besides.
fn scan<'a>(more: &[&'a str]) -> Vec<&'a str> {
    [&["scan", "t.csv"][..], &RANGE, more].concat()
}

/// Rows of a CSV, its header among them.
fn rows(text: &str, style: CsvStyle) -> Vec<StringRecord> {
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .delimiter(style.separator())
        .from_reader(text.as_bytes());
    reader.records().map(|row| row.expect("a row")).collect()
}

#[test]
fn columns_asked_for_hold_what_they_hold_in_the_whole_table() {
    let folder = folder();
    let night = ["night", "t.csv#A", "--on", "2027-05-29", "--quiet"];
    let tables: [(Vec<&str>, &str); 8] = [
        (scan(&[]), "night,fee*,own.Score,score,guide,eclipse,moon_*"),
        (scan(&["--together"]), "rank,site,score"),
        (scan(&["--by", "month"]), "nights,month,guide,best_utc"),
        (scan(&["--by", "year"]), "hours,\"fee, USD\",year,*"),
        (scan(&["--by", "site"]), "minutes,guide,nights,*"),
        (
            scan(&["--by", "month", "--compare", "years"]),
            "month_of_year,nights,guide,night",
        ),
        (scan(&["--season"]), "night,guide,*"),
        (night.to_vec(), "what,time_utc,guide,iso"),
    ];
    for (typed, columns) in tables {
        for style in CsvStyle::ALL {
            let csv = ["--format", "csv", "--csv-style", style.word()];
            let whole = Run::at(&folder).of(&[&typed[..], &csv].concat()).good();
            let whole = rows(&whole, style);
            let asked = [&typed[..], &csv, &["--columns", columns]].concat();
            let some = rows(&Run::at(&folder).of(&asked).good(), style);
            assert_eq!(some.len(), whole.len(), "{typed:?}");
            assert!(some.len() > 1, "{typed:?}");
            for (column, name) in some[0].iter().enumerate() {
                let place = whole[0].iter().position(|other| other == name);
                let place = place.expect("a column of the whole table");
                for (some, whole) in some.iter().zip(&whole) {
                    assert_eq!(some[column], whole[place], "{typed:?} {name}");
                }
            }
            let typed_first = columns.split(',').next().expect("a name");
            assert_eq!(&some[0][0], typed_first);
            assert_eq!(some[0].len() == whole[0].len(), columns.ends_with(",*"));
        }
    }
}

#[test]
fn a_star_means_the_others_that_begin_so_in_their_order() {
    let folder = folder();
    let header = |columns: &str| {
        let typed = scan(&["--format", "csv", "--columns", columns]);
        let text = Run::at(&folder).of(&typed).good();
        text.lines().next().expect("a header").to_owned()
    };
    assert_eq!(
        header("arch_azimuth_deg,arch_*"),
        "arch_azimuth_deg,arch_altitude_deg"
    );
    // Those of the user's own are behind the others.
    let all = header("night,*");
    assert!(all.starts_with("night,site,view,rank,score,start_local,"));
    assert!(all.ends_with(",guide,\"fee, USD\",own.Score"), "{all}");
    assert_eq!(header("own.guide"), "guide");
}

#[test]
fn lines_of_json_have_them_and_no_others() {
    let folder = folder();
    let lines = |more: &[&str]| -> Vec<Map<String, Value>> {
        let typed = [&scan(&["--format", "ndjson"])[..], more].concat();
        let text = Run::at(&folder).of(&typed).good();
        let lines = text.lines();
        lines
            .map(|line| serde_json::from_str(line).expect(line))
            .collect()
    };
    let whole = lines(&[]);
    let some = lines(&["--columns", "score,own.Score,night,site,guide"]);
    assert_eq!(some.len(), whole.len());
    for (some, whole) in some.iter().zip(&whole) {
        let keys: Vec<&str> = some.keys().map(String::as_str).collect();
        assert_eq!(keys[..3], ["score", "night", "site"]);
        for key in &keys[..3] {
            assert_eq!(some[*key], whole[*key]);
        }
        if some["site"] == "A" {
            let own = some["own"].as_object().expect("an object");
            let own: Vec<(&str, &str)> = own
                .iter()
                .map(|(name, value)| (name.as_str(), value.as_str().expect("a text")))
                .collect();
            assert_eq!(own, [("Score", "7"), ("guide", "Mara; \"J\", x")]);
            assert_eq!(whole["own"]["fee, USD"], "12.50");
        } else {
            assert_eq!(keys.len(), 3, "{keys:?}");
        }
    }
    let none = lines(&["--columns", "own.Score"]);
    let empty = none.iter().filter(|line| line.is_empty()).count();
    assert!(empty > 0 && empty < none.len(), "{none:?}");
}

/// An empty line would be no record to most readers.
#[test]
fn a_record_whose_only_column_is_empty_is_still_a_line() {
    let folder = folder();
    let typed = scan(&["--format", "csv", "--columns", "guide"]);
    let text = Run::at(&folder).of(&typed).good();
    let whole = Run::at(&folder).of(&scan(&["--format", "csv"])).good();
    assert_eq!(
        rows(&text, CsvStyle::Comma).len(),
        rows(&whole, CsvStyle::Comma).len()
    );
    assert!(text.contains("\r\n\"\"\r\n"), "{text}");
}

#[test]
fn a_csv_without_its_header_is_what_follows_the_header() {
    let folder = folder();
    for more in [&[][..], &["--by", "month"], &["--columns", "night,score"]] {
        let csv = [&scan(&["--format", "csv"])[..], more].concat();
        let whole = Run::at(&folder).of(&csv).good();
        let rest = Run::at(&folder)
            .of(&[&csv[..], &["--no-header"]].concat())
            .good();
        let (_, after) = whole.split_once("\r\n").expect("a header");
        assert_eq!(rest, after);
    }
}
