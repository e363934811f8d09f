//! A place with several views: each is answered, named and told apart in every
//! format, and one of them is taken by its address.

use super::{program::Folder, program::Run, rakelight, stdout};
use serde_json::Value;
use std::collections::BTreeSet;

const CAY: &str = "demo-sites/candlenut-cay.toml";
const VIEWS: [&str; 3] = ["beacon", "leaning palm", "open lagoon"];
const SEASON: [&str; 6] = [
    "--from",
    "2027-07-01",
    "--to",
    "2027-08-31",
    "--quiet",
    "--target=core",
];

fn scan(more: &[&str]) -> String {
    let args = [&["scan", CAY][..], &SEASON, more].concat();
    stdout(&rakelight(&args))
}

fn night(more: &[&str]) -> String {
    let args = [&["night", CAY, "--on", "2027-08-06", "--quiet"][..], more].concat();
    Run::here().of(&args).good()
}

fn rows(text: &str) -> Vec<csv::StringRecord> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows = reader.records().map(|row| row.expect("a row"));
    rows.collect()
}

/// What a field of the rows holds, each once.
fn values(text: &str, column: &str) -> BTreeSet<String> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().expect("a header").clone();
    let at = header.iter().position(|name| name == column);
    let at = at.unwrap_or_else(|| panic!("no column {column}"));
    rows(text).iter().map(|row| row[at].to_owned()).collect()
}

#[test]
fn every_question_answers_for_each_view_by_name() {
    let named = |names: &[&str]| {
        names
            .iter()
            .map(|n| (*n).to_owned())
            .collect::<BTreeSet<_>>()
    };
    let csv = scan(&["--format", "csv"]);
    assert!(csv.starts_with("site,view,rank,"));
    assert_eq!(values(&csv, "site"), named(&["Candlenut Cay"]));
    // The palm stands where the core never does.
    assert_eq!(values(&csv, "view"), named(&["beacon", "open lagoon"]));
    for by in ["month", "year"] {
        let counted = scan(&["--by", by, "--format", "csv"]);
        assert!(
            counted.starts_with(&format!("site,view,{by},nights")),
            "{counted}"
        );
        assert_eq!(values(&counted, "view"), named(&VIEWS));
    }
    for more in [
        &[][..],
        &["--format", "markdown"],
        &["--by", "month"],
        &["--by", "month", "--format", "markdown"],
        &["--by", "year"],
        &["--by", "year", "--format", "markdown"],
        &["--season"],
        &["--by", "bearing"],
        &["--explain"],
        &["--vary", "min_minutes=15,30"],
    ] {
        let out = scan(more);
        for view in VIEWS {
            // A narrow table cuts long names, but not two to the same.
            let title = format!("Candlenut Cay, {view}");
            let cut: String = title.chars().take(18).collect();
            assert!(out.contains(&cut), "{more:?}: {title} in {out}");
        }
    }
    let nights = ["scan", CAY, "--compare", "2027-08-06,2027-08-07", "--quiet"];
    let compared = stdout(&rakelight(&nights));
    for view in VIEWS {
        let title = format!("Candlenut Cay, {view}");
        assert!(compared.contains(&title), "{compared}");
    }
    let together = scan(&["--together", "--top", "60"]);
    assert!(together.contains("Candlenut Cay, beacon"), "{together}");
}

#[test]
fn no_two_views_share_a_record() {
    // The same picture twice, but for the name.
    let folder = Folder::new();
    let text = "name = \"Cove\"\nlatitude_deg = -0.4\nlongitude_deg = 172.8\n\
        time_zone = \"Pacific/Tarawa\"\nsubject.bearing_deg = 180\nbrief.light = \"dark\"\n\
        [[view]]\nname = \"a\"\n[[view]]\nname = \"b\"\n";
    let cove = folder.file("cove.toml", text);
    let ask = |args: &[&str]| Run::at(&folder).of(args).good();
    let month = ["--from", "2027-06-01", "--to", "2027-06-30", "--quiet"];
    let of_scan = |format| ask(&[&["scan", &cove, "--format", format][..], &month].concat());
    let of_night = |format| {
        let on = ["--on", "2027-06-05", "--quiet", "--format", format];
        ask(&[&["night", cove.as_str()][..], &on].concat())
    };
    for calendar in [of_scan("ical"), of_night("ical")] {
        let unfolded = calendar.replace("\r\n ", "");
        let uids: Vec<&str> = unfolded.lines().filter(|l| l.starts_with("UID:")).collect();
        let apart: BTreeSet<&&str> = uids.iter().collect();
        assert!(uids.len() > 1 && apart.len() == uids.len(), "{uids:?}");
        for view in ["SUMMARY:Cove\\, a:", "SUMMARY:Cove\\, b:"] {
            assert!(unfolded.contains(view), "{unfolded}");
        }
    }
    for map in [of_scan("geojson"), of_night("geojson")] {
        let map: Value = serde_json::from_str(&map).expect("JSON");
        let features = map["features"].as_array().expect("features");
        let ids: BTreeSet<&str> = features.iter().filter_map(|f| f["id"].as_str()).collect();
        assert!(ids.len() > 3 && ids.len() == features.len());
        let views: BTreeSet<_> = features
            .iter()
            .map(|f| f["properties"]["view"].as_str())
            .collect();
        assert_eq!(views, BTreeSet::from([Some("a"), Some("b")]));
    }
}

/// Events of Sun, Moon and place once, all others by view, in order of time; as
/// the nights of the views by themselves have them.
#[test]
fn a_night_of_several_views_is_those_of_each_in_one_order() {
    let json: Value = serde_json::from_str(&night(&["--format", "json"])).expect("JSON");
    let lines = json["timetable"].as_array().expect("lines");
    let time = |line: &Value| line["time_utc"].as_str().expect("a time").to_owned();
    assert!(
        lines
            .windows(2)
            .all(|pair| time(&pair[0]) <= time(&pair[1]))
    );
    let whose = |what: &str| -> Vec<Option<&str>> {
        let of = lines.iter().filter(|line| line["what"] == what);
        of.map(|line| line["view"].as_str()).collect()
    };
    for once in [
        "arrive",
        "sunset",
        "moonset",
        "astronomical_dusk",
        "sunrise",
    ] {
        assert_eq!(whose(once), [None], "{once}");
    }
    for (count, each) in [(3, "window_opens"), (3, "window_closes"), (3, "target_set")] {
        let views: BTreeSet<_> = whose(each).into_iter().collect();
        assert!(
            views.len() == count && !views.contains(&None),
            "{each}: {views:?}"
        );
    }
    let views = json["views"].as_array().expect("views");
    for (view, name) in views.iter().zip(VIEWS) {
        let of = format!("{CAY}#{name}");
        let args = [
            "night",
            &of,
            "--on",
            "2027-08-06",
            "--quiet",
            "--format",
            "json",
        ];
        let alone: Value = serde_json::from_str(&Run::here().of(&args).good()).expect("JSON");
        for key in [
            "site", "camera", "events", "windows", "periods", "steps", "advice",
        ] {
            assert_eq!(view[key], alone[key], "{name}: {key}");
        }
        assert_eq!(view["rules"], alone["query"]["rules"]);
        // Its own lines and those of the place are all that it has by itself.
        let mine = lines
            .iter()
            .filter(|line| line["view"] == *name || line["view"].is_null())
            .map(|line| (time(line), line["what"].clone()));
        let mut mine: Vec<_> = mine.map(|(t, what)| (t, what.to_string())).collect();
        let by_itself = alone["timetable"].as_array().expect("lines").iter();
        let mut by_itself: Vec<_> = by_itself
            .map(|line| (time(line), line["what"].to_string()))
            .collect();
        mine.sort();
        by_itself.sort();
        assert_eq!(mine, by_itself, "{name}");
    }
    // The CSV has the same lines, and the steps of each view.
    let table = night(&["--format", "csv"]);
    let what = rows(&table);
    let steps = views
        .iter()
        .map(|view| view["steps"].as_array().expect("steps").len());
    assert_eq!(what.len(), lines.len() + steps.sum::<usize>());
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let header = reader.headers().expect("a header").clone();
    let of = |row: &csv::StringRecord, name: &str| {
        let at = header.iter().position(|column| column == name).expect(name);
        row[at].to_owned()
    };
    for row in &what {
        let of_place = of(row, "view").is_empty();
        for column in ["facing_deg", "iso", "target_altitude_deg", "moon_clear"] {
            assert_eq!(of(row, column).is_empty(), of_place, "{column}: {row:?}");
        }
        assert!(!of(row, "sun_altitude_deg").is_empty());
        assert!(!of_place || of(row, "what") != "step");
    }
}

#[test]
fn people_read_the_view_of_each_line_and_section() {
    for (more, section) in [(&[][..], ""), (&["--format", "markdown"], "## ")] {
        let out = night(more);
        assert_eq!(
            out.matches("sunset").count(),
            4,
            "once, and in each advice: {out}"
        );
        for view in VIEWS {
            let heading = format!("\n{section}{view}\n");
            assert_eq!(out.matches(&heading).count(), 1, "{view}: {out}");
            let mut opens = out.lines().filter(|line| line.contains("window opens"));
            assert!(opens.any(|line| line.contains(view)), "{view}: {out}");
        }
    }
    let rules = night(&["--rules"]);
    assert!(
        rules.contains("The rules through the night, leaning palm"),
        "{rules}"
    );
    // One view is a night as of any site.
    let one = [
        "night",
        "demo-sites/candlenut-cay.toml#BEACON",
        "--on",
        "2027-08-06",
    ];
    let one = Run::here().of(&one).good();
    assert!(one.starts_with("Candlenut Cay, beacon  -0.4200"), "{one}");
    assert!(!one.contains("leaning palm"), "{one}");
}

#[test]
fn charts_of_several_views_show_them_all_one_beneath_the_other() {
    let chart = |args: &[&str]| Run::here().of(&[&["chart"][..], args].concat()).good();
    let on = ["--on", "2027-08-06"];
    let at = ["--time", "2027-08-06T20:30"];
    let phone = ["--on", "2027-08-06", "--size", "phone"];
    for (kind, when, after_view) in [
        ("night", &phone[..], ", "),
        ("frame", &at[..], ", "),
        ("skyline", &on[..], ": skyline, "),
    ] {
        let svg = chart(&[&[kind, CAY][..], when].concat());
        let document = resvg::usvg::roxmltree::Document::parse(&svg).expect("XML");
        let mut ids = BTreeSet::new();
        let mut used = BTreeSet::new();
        let mut tops = Vec::new();
        for node in document.descendants().filter(|node| node.is_element()) {
            if let Some(id) = node.attribute("id") {
                assert!(ids.insert(id), "{kind}: {id} twice");
            }
            used.extend(
                node.attributes()
                    .filter_map(|a| a.value().strip_prefix("url(#")),
            );
            if let Some(top) = node.attribute("y").filter(|_| node.has_tag_name("svg")) {
                tops.push(top.parse::<f64>().expect("a number"));
            }
        }
        assert!(
            used.iter().all(|id| ids.contains(id.trim_end_matches(')'))),
            "{used:?}"
        );
        let [first, second, third] = tops[..] else {
            panic!("{kind}: {tops:?}");
        };
        assert!(
            first == 0.0 && second > 300.0 && third > second + 300.0,
            "{tops:?}"
        );
        for view in VIEWS {
            assert!(
                svg.contains(&format!(">Candlenut Cay, {view}{after_view}")),
                "{kind}: {view}"
            );
        }
        let one = format!("{CAY}#open lagoon");
        let one = chart(&[&[kind, one.as_str()][..], when].concat());
        assert!(one.contains("Candlenut Cay, open lagoon") && !one.contains("beacon, "));
    }
    // On paper a night has its views beside each other on one axis of time.
    let sheet = chart(&[&["night", CAY][..], &on].concat());
    assert_eq!(sheet.matches("<svg ").count(), 1);
    let axes: Vec<&str> = sheet.split("data-axes=\"night\"").skip(1).collect();
    assert_eq!(axes.len(), VIEWS.len());
    for (axes, view) in axes.iter().zip(VIEWS) {
        assert!(axes.contains(&format!("data-view=\"{view}\"")), "{view}");
        assert!(sheet.contains(&format!(">{view}</text>")), "{view}");
    }
    let season = chart(&["season", CAY, "--from", "2027-07-01", "--to", "2027-08-31"]);
    for view in VIEWS {
        assert!(season.contains(&format!("Candlenut Cay, {view}")), "{view}");
    }
}

#[test]
fn an_address_means_one_of_several_wherever_sites_are_taken() {
    let folder = Folder::new();
    let head = "name,view,latitude_deg,longitude_deg,time_zone\n";
    let rows = "Pan,arch,-31,139,UTC\nPan,wall,-31,139,UTC\nWell,,-32,139,UTC\n";
    folder.file("sites.csv", format!("{head}{rows}Bad,,x,y,UTC\n"));
    folder.file(
        "cove.toml",
        "latitude_deg = 1\nlongitude_deg = 2\n[[view]]\nname = \"a b\"\n",
    );
    let check = |address: &str| {
        let run = Run::at(&folder).env("RAKELIGHT_SITES", folder.text());
        let out = run.of(&["sites", "check", "--", address]).good();
        let names = out.lines().filter_map(|line| line.split_once(": good"));
        names.map(|(name, _)| name.to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(check("sites.csv#Pan"), ["Pan, arch", "Pan, wall"]);
    assert_eq!(check("sites.csv#pan#WALL"), ["Pan, wall"]);
    assert_eq!(check("sites#Well"), ["Well"]);
    assert_eq!(check("cove#a b"), ["cove, a b"]);
    let path = folder.path("cove.toml").display().to_string();
    assert_eq!(check(&format!("{path}#A B")), ["cove, a b"]);
    // A row of a table is planned by its name.
    let plan = |address: &str| {
        let args = ["night", address, "--on", "2027-05-11", "--quiet"];
        Run::at(&folder).of(&args).good()
    };
    assert!(plan("sites.csv#Well").starts_with("Well  -32.0000"));
    assert!(plan("sites.csv#Pan").contains("\nwall\n"));
    // A file with a # in its name comes first.
    folder.file(
        "cove#a b.toml",
        "name = \"File\"\nlatitude_deg = 1\nlongitude_deg = 2\n",
    );
    assert_eq!(check("cove#a b"), ["File"]);
    assert_eq!(check("cove.toml#a b"), ["cove, a b"]);
    // What completions ask for.
    let list = |typed: &str| {
        let args = ["sites", "list", "--addresses", typed];
        let ended = Run::at(&folder).of(&args);
        (ended.out, ended.code)
    };
    assert_eq!(list("cove.toml#"), ("cove.toml#a b\n".to_owned(), 0));
    let all = "sites#Pan\nsites#Pan#arch\nsites#Pan#wall\nsites#Well\n";
    // The bad row is told.
    assert_eq!(list("sites#Pa"), (all.to_owned(), 2));
    assert_eq!(list("gone#"), (String::new(), 2));
}
