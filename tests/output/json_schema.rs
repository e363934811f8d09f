//! The schemas in `docs/schema/` and what the program really writes: each
//! document it can make passes its schema, and a broken one does not.

use crate::program;

use jsonschema::{Registry, RegistryBuilder, Validator};
use program::{Folder, Run, SEVEN_SITES};
use rakelight::{input::site_keys, report::WINDOW_FIELDS};
use serde_json::{Map, Value, json};
use std::{fs, path::PathBuf};

fn text(name: &str) -> Value {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("docs/schema")
        .join(name);
    let text = fs::read_to_string(&path).expect("a schema");
    serde_json::from_str(&text).expect("JSON")
}

/// The schema of that name; the others it may refer to are at hand.
fn schema(name: &str) -> Validator {
    let document = text(&format!("{name}.json"));
    jsonschema::meta::validate(&document).expect("a schema by the metaschema");
    let at_hand = ["window.json", "shared.json", "night.json"]
        .map(|file| (format!("json-schema:///{file}"), text(file)));
    let registry = Registry::new()
        .extend(at_hand)
        .and_then(RegistryBuilder::prepare)
        .expect("schemas at hand");
    jsonschema::draft202012::options()
        .with_registry(&registry)
        .build(&document)
        .expect("a schema whose references resolve")
}

fn site(name: &str) -> String {
    format!("{}/demo-sites/{name}.toml", env!("CARGO_MANIFEST_DIR"))
}

fn out(args: &[&str]) -> String {
    let folder = Folder::new();
    let ended = Run::at(&folder).of(args);
    assert!(ended.code <= 1, "{args:?}: {}", ended.err);
    ended.out
}

fn document(args: &[&str]) -> Value {
    serde_json::from_str(&out(args)).expect("JSON")
}

fn faults(schema: &Validator, value: &Value) -> Vec<String> {
    schema
        .iter_errors(value)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect()
}

fn holds(schema: &Validator, value: &Value, what: &[&str]) {
    let faults = faults(schema, value);
    assert!(faults.is_empty(), "{what:?}:\n{}", faults.join("\n"));
}

/// Runs one scan, holds it to the schema and gives it back.
fn scanned(schema: &Validator, args: &[&str]) -> Value {
    let all = [&["scan", "--format=json"], args].concat();
    let value = document(&all);
    holds(schema, &value, &all);
    value
}

const SEASON: [&str; 2] = ["--from=2027-05-01", "--to=2027-07-31"];

#[test]
fn scans_of_every_demo_site_and_kind_of_light_pass() {
    let schema = schema("scan");
    let sites = SEVEN_SITES.map(site);
    let sites: Vec<&str> = sites.iter().map(String::as_str).collect();
    for light in ["raking", "dark", "blend", "any"] {
        let light = format!("--light={light}");
        let value = scanned(&schema, &[&sites[..], &SEASON, &[&light]].concat());
        let blocks = value["sites"].as_array().expect("sites");
        assert_eq!(blocks.len(), SEVEN_SITES.len());
        let found: usize = blocks
            .iter()
            .map(|block| block["windows"].as_array().expect("windows").len())
            .sum();
        assert!(found > 0, "{light} finds nothing, so it proves nothing");
    }
}

#[test]
fn a_scan_without_some_of_its_sites_passes() {
    let schema = schema("scan");
    let folder = Folder::new();
    let bad = folder.file("bad.toml", "latitude_deg = 95\nlongitude_deg = 10\n");
    let tank = site("saltbush-tank");
    let args = ["scan", "--format=json", "--keep-going", &tank, &bad];
    let ended = Run::at(&folder).of(&[&args[..], &SEASON].concat());
    assert_eq!(ended.code, 3, "{}", ended.err);
    let mut value: Value = serde_json::from_str(&ended.out).expect("JSON");
    holds(&schema, &value, &args);
    value["left_out"][0]["line"] = json!("one");
    assert!(!faults(&schema, &value).is_empty());
    value["left_out"][0]["line"] = json!(1);
    value["stopped"] = json!(2);
    assert!(!faults(&schema, &value).is_empty());
}

#[test]
fn values_of_the_users_own_pass_and_are_texts() {
    let folder = Folder::new();
    let text = fs::read_to_string(site("saltbush-tank")).expect("a site");
    let text = text.replace(
        "saltbush-tank.",
        &format!(
            "{}.",
            &site("saltbush-tank")[..site("saltbush-tank").len() - 5]
        ),
    );
    let own = "[own]\nguide = \"Mara\"\nbeds = 4\n";
    let file = folder.file("tank.toml", format!("{text}\n{own}"));
    let (window, scan) = (schema("window"), schema("scan"));
    let args = [&["scan", "--format=ndjson", file.as_str()], &SEASON[..]].concat();
    let line = out(&args);
    let mut line: Value = serde_json::from_str(line.lines().next().expect("a line")).expect("JSON");
    assert_eq!(line["own"], json!({"guide": "Mara", "beds": "4"}));
    holds(&window, &line, &args);
    line["own"]["beds"] = json!(4);
    assert!(!faults(&window, &line).is_empty());
    let mut document = scanned(&scan, &[&[file.as_str()], &SEASON[..]].concat());
    let place = &mut document["sites"][0]["site"];
    assert_eq!(place["own"]["guide"], "Mara");
    place["own"] = json!({});
    assert!(!faults(&scan, &document).is_empty());
}

#[test]
fn every_question_that_a_scan_answers_passes() {
    let schema = schema("scan");
    let tank = site("saltbush-tank");
    let ask = |more: &[&str], answer: &str| {
        let value = scanned(&schema, &[&[tank.as_str()], more].concat());
        let block = &value["sites"][0];
        let empty = match &block[answer] {
            Value::Array(items) => items.is_empty(),
            Value::Object(fields) => fields.is_empty(),
            _ => true,
        };
        assert!(!empty, "no {answer}, so it proves nothing");
    };
    let season = |more: &[&'static str]| [&SEASON[..], more].concat();
    ask(&season(&["--near-misses=3"]), "near_misses");
    ask(
        &season(&["--near-misses=3", "--failing-rules=2"]),
        "near_misses",
    );
    let full_moon = ["--from=2027-06-18", "--nights=2", "--light=raking"];
    ask(&full_moon, "next_window");
    ask(&season(&["--season"]), "season");
    ask(&season(&["--season", "--light=raking"]), "kinds");
    ask(&season(&["--by=site"]), "counts");
    ask(&season(&["--advise"]), "advice");
    ask(&season(&["--spare=4"]), "spare_nights");
    ask(
        &season(&["--vary=moon_fraction=..0.001,..0.3,..0.5"]),
        "vary",
    );
    ask(&season(&["--by", "bearing"]), "by_bearing");
    ask(&season(&["--light=raking,dark"]), "rules_of_each");
    ask(
        &season(&["--light=raking,dark", "--vary=min_minutes=20,90"]),
        "vary",
    );
    ask(&["--compare=2027-07-09,2027-07-20,2027-08-06"], "compare");
    let (mesa, by) = (site("tinaja-mesa"), ["--by", "month"]);
    ask(
        &season(&[&by[..], &["--compare=years"][..]].concat()),
        "by_month",
    );
    ask(
        &season(&[&by[..], &["--compare=sites"][..]].concat()),
        "by_month",
    );
    ask(&season(&["--by", "year", "--compare=sites"]), "by_year");
    ask(&[&mesa, "--compare=2027-07-09"], "nights");
    ask(
        &[&[mesa.as_str()][..], &SEASON, &["--spare=4", "--together"]].concat(),
        "spare_nights",
    );
    ask(&[&mesa, "--compare=sites,2027-07-09,2027-07-20"], "nights");
}

#[test]
fn a_site_without_a_camera_and_empty_results_pass() {
    let schema = schema("scan");
    let bare = ["--place=-31.4,139.2", "--time-zone=UTC"];
    let value = scanned(&schema, &[&bare[..], &SEASON].concat());
    assert_eq!(value["sites"][0]["windows"][0]["shutter_s"], Value::Null);
    let near = scanned(
        &schema,
        &[&bare[..], &SEASON, &["--near-misses=2"]].concat(),
    );
    assert_eq!(
        near["sites"][0]["near_misses"][0]["window"]["rank"],
        Value::Null
    );
    for place in ["--place=62,10", "--place=89,10"] {
        let none = [place, "--time-zone=UTC"];
        let value = scanned(&schema, &[&none[..], &SEASON].concat());
        assert_eq!(value["sites"][0]["windows"], json!([]));
        let advice = value["sites"][0]["advice"].as_array().expect("advice");
        assert!(advice.iter().any(|one| one["about"] == "limit"));
    }
}

#[test]
fn every_line_of_ndjson_passes() {
    let schema = schema("window");
    let tank = site("saltbush-tank");
    for light in ["raking", "dark", "blend", "any"] {
        let light = format!("--light={light}");
        for place in [
            &[tank.as_str()][..],
            &["--place=-31.4,139.2", "--time-zone=UTC"],
        ] {
            let args = [&["scan", "--format=ndjson", &light], &SEASON[..], place].concat();
            let lines = out(&args);
            assert!(!lines.is_empty(), "{args:?}");
            for line in lines.lines() {
                holds(&schema, &serde_json::from_str(line).expect("JSON"), &args);
            }
        }
    }
}

/// The views of a place, in a scan and in a night, each with its name.
#[test]
fn views_pass() {
    let cay = site("candlenut-cay");
    let names = [json!("beacon"), json!("leaning palm"), json!("open lagoon")];
    let value = scanned(&schema("scan"), &[&[cay.as_str()], &SEASON[..]].concat());
    let blocks = value["sites"].as_array().expect("sites");
    let named: Vec<&Value> = blocks.iter().map(|block| &block["site"]["view"]).collect();
    assert_eq!(named, names.iter().collect::<Vec<_>>());
    let of_view = |block: &Value| {
        let windows = block["windows"].as_array().expect("windows").clone();
        windows
            .iter()
            .all(|window| window["view"] == block["site"]["view"])
    };
    assert!(blocks.iter().all(of_view));

    let schema = schema("night-views");
    let night = ["night", &cay, "--on=2027-08-06", "--format=json"];
    for rules in [&[][..], &["--rules"]] {
        let args = [&night[..], rules].concat();
        let value = document(&args);
        holds(&schema, &value, &args);
        let views = value["views"].as_array().expect("views");
        let named: Vec<&Value> = views.iter().map(|view| &view["view"]).collect();
        assert_eq!(named, names.iter().collect::<Vec<_>>());
        assert!(
            views
                .iter()
                .all(|view| view.get("reasons").is_some() != rules.is_empty())
        );
    }
    // Views that need panoramas, and a Moon behind the subject.
    for (name, on) in [
        ("molle-bend", "2027-10-04"),
        ("tamarisk-halt", "2027-06-18"),
    ] {
        let place = site(name);
        scanned(
            &self::schema("scan"),
            &[&[place.as_str()], &SEASON[..]].concat(),
        );
        let args = ["night", &place, "--on", on, "--format=json"];
        holds(&schema, &document(&args), &args);
    }
    // A view lost anywhere is noticed.
    for pointer in ["/views/1/view", "/views/0/steps/3/iso", "/timetable/2/view"] {
        let mut value = document(&night);
        let (parent, key) = pointer.rsplit_once('/').expect("a key");
        let object = value.pointer_mut(parent).and_then(Value::as_object_mut);
        assert!(
            object.expect("an object").remove(key).is_some(),
            "{pointer}"
        );
        assert!(!faults(&schema, &value).is_empty(), "{pointer}");
    }
}

#[test]
fn nights_pass() {
    let schema = schema("night");
    for name in SEVEN_SITES {
        let file = site(name);
        // Winter and summer, so that the far north has a night with no dark,
        // and a year that the magnetic model does not serve.
        for on in ["--on=2027-07-09", "--on=2027-12-28", "--on=2035-06-21"] {
            for rules in [&[][..], &["--rules"]] {
                let args = [&["night", &file, on, "--format=json"], rules].concat();
                let value = document(&args);
                holds(&schema, &value, &args);
                assert_eq!(value.get("reasons").is_some(), !rules.is_empty());
            }
        }
        // In a window, between two, by day, in a summer without a night.
        for time in [
            "2027-07-09T22:16:00Z",
            "2027-12-28T03:00:00Z",
            "2035-06-21T12:00:00Z",
        ] {
            let args = ["night", &file, "--time", time, "--format=json"];
            let value = document(&args);
            holds(&schema, &value, &args);
            assert_eq!(value["now"]["time_utc"], time);
        }
    }
}

#[test]
fn instants_and_standing_points_pass() {
    let (sky, stand) = (schema("sky"), schema("tripod"));
    for name in SEVEN_SITES {
        let file = site(name);
        for time in ["2027-07-09T22:16:00Z", "2027-12-28T12:00:00Z"] {
            let args = ["sky", &file, "--time", time, "--format=json"];
            holds(&sky, &document(&args), &args);
        }
    }
    let args = [
        "sky",
        "--place=-31.4,139.2",
        "--time=2027-07-09T12:46:00Z",
        "--format=json",
    ];
    let value = document(&args);
    holds(&sky, &value, &args);
    assert_eq!(value["camera"], Value::Null);
    for name in ["whole.jpg", "no-lens.jpg"] {
        let photo = format!("{}/tests/data/photos/{name}", env!("CARGO_MANIFEST_DIR"));
        let args = ["sky", "--photo", &photo, "--format=json"];
        holds(&sky, &document(&args), &args);
        let args = ["exposure", "--photo", &photo, "--format=json"];
        holds(&schema("exposure"), &document(&args), &args);
    }
    let tank = site("saltbush-tank");
    for time in ["2027-07-09T22:16", "2036-07-09T20:16"] {
        let args = ["tripod", &tank, "--time", time, "--format=json"];
        holds(&stand, &document(&args), &args);
    }
    for (command, schema) in [("sky", &sky), ("tripod", &stand)] {
        let moon = ["--target=moon", "--time=2027-05-20T17:30", "--format=json"];
        let args: Vec<&str> = [command, &tank].into_iter().chain(moon).collect();
        let value = document(&args);
        holds(schema, &value, &args);
        assert!(value["moon"].is_object());
    }
}

/// Trips with a move, a free evening, a spare place and a spare night, and none.
#[test]
fn trips_pass() {
    let schema = schema("trip");
    let folder = Folder::new();
    let table = "name,latitude_deg,longitude_deg\nA,-31.4,139.2\nB,-30.9,138.2\nC,-32.2,140.1\n";
    let file = folder.file("places.csv", table);
    let ask = |more: &[&str]| {
        let args = [&["trip", "--format=json", file.as_str()], more].concat();
        let value = document(&args);
        holds(&schema, &value, &args);
        value
    };
    let season = ["--from=2027-05-01", "--to=2027-07-31"];
    let none = ask(&[&season[..], &["--nights=30", "--free=0"]].concat());
    assert_eq!(none["trips"], json!([]));
    let value = ask(&[&season[..], &["--light=dark", "--stay=1"]].concat());
    let first = "/trips/0/nights/0";
    for part in ["session", "spare_place", "spare_night"] {
        let stop = value.pointer(&format!("{first}/{part}"));
        assert!(stop.is_some_and(Value::is_object), "{part}");
    }
    assert!(value["trips"][0]["trip_km"].as_f64() > Some(0.0));
    let long = ask(&[&season[..], &["--nights=29", "--free=27", "--top=1"]].concat());
    let nights = long["trips"][0]["nights"].as_array().expect("nights");
    assert!(nights.iter().any(|night| night["role"] == "free"));
    for pointer in ["", "/query", "/trips/0", first, "/trips/0/nights/0/session"] {
        broken(&schema, &value, pointer);
    }
}

#[test]
fn phases_and_exposures_pass() {
    let args = [
        "phases",
        "--from=2027-01-01",
        "--to=2029-12-31",
        "--format=json",
    ];
    let value = document(&args);
    holds(&schema("phases"), &value, &args);
    let eclipses = value["eclipses"].as_array().expect("eclipses");
    assert!(eclipses.iter().any(|one| one["total_utc"].is_null()));
    assert!(eclipses.iter().any(|one| one["total_utc"].is_array()));

    let schema = schema("exposure");
    let (tank, time) = (site("saltbush-tank"), "--time=2027-07-09T22:16");
    for args in [
        &["exposure", "--format=json"][..],
        &["exposure", &tank, time, "--format=json"],
        &[
            "exposure",
            "--tracked=2min",
            "--trails=20deg",
            "--time-lapse=2h",
            "--format=json",
        ],
        &["exposure", &tank, time, "--time-lapse=2h", "--format=json"],
    ] {
        holds(&schema, &document(args), args);
    }
}

#[test]
fn lenses_side_by_side_pass() {
    let schema = schema("lenses");
    let (tank, time) = (site("saltbush-tank"), "--time=2027-07-09T22:16");
    let lenses = "--focal-mm=14,20,200";
    let alone = &["exposure", lenses, "--format=json"][..];
    let there = &["exposure", &tank, time, lenses, "--format=json"][..];
    for (args, planned) in [(alone, false), (there, true)] {
        let value = document(args);
        holds(&schema, &value, args);
        let rows = value["lenses"].as_array().expect("lenses");
        assert_eq!(rows.len(), 3);
        assert!(rows.iter().all(|row| row["framing"].is_object() == planned));
    }
    let value = document(there);
    broken(&schema, &value, "");
    broken(&schema, &value, "/lenses/0");
    broken(&schema, &value, "/lenses/0/framing");
}

/// The type that a cell of the CSV has in JSON, from its name alone: the words
/// are few, all else is a number.
fn kind(column: &str) -> &'static str {
    let flag =
        column.ends_with("_in_frame") || ["moon_waxing", "target_in_town_glow"].contains(&column);
    let time = column.ends_with("_local") || column.ends_with("_utc");
    match column {
        _ if flag => "boolean",
        _ if time => "string",
        "rank" | "iso" | "frame_columns" | "frame_rows" => "integer",
        "site"
        | "view"
        | "night"
        | "utc_offset"
        | "light_side"
        | "lit_side"
        | "eclipse"
        | "one_exposure"
        | "framing"
        | "frame_holding"
        | "level_holding"
        | "not_one_frame"
        | "milky_way_visibility"
        | "moonlit_light_side"
        | "doubts"
        | "town_under_target"
        | "light"
        | "brief"
        | "time_zone" => "string",
        _ => "number",
    }
}

/// Where `docs/formats.md` says when the column is empty.
fn may_be_empty(formats: &str, column: &str) -> bool {
    let quoted = format!("`{column}`");
    let row = formats
        .lines()
        .find(|line| {
            line.split('|')
                .nth(1)
                .is_some_and(|cell| cell.contains(&quoted))
        })
        .unwrap_or_else(|| panic!("{column} does not stand in formats.md"));
    let empty = row.split('|').nth(4).expect("four cells").trim();
    !empty.starts_with("never")
}

#[test]
fn the_schema_of_a_window_has_exactly_the_columns() {
    let schema = text("window.json");
    let columns = &schema["$defs"]["columns"];
    let names: Vec<&str> = WINDOW_FIELDS.iter().map(|column| column.name).collect();
    let properties = columns["properties"].as_object().expect("properties");
    assert_eq!(properties.keys().collect::<Vec<_>>(), names);
    assert_eq!(columns["required"], json!(names));
    let formats = include_str!("../../docs/formats.md");
    for name in names {
        let empty = may_be_empty(formats, name) || name == "rank";
        let expected = if empty {
            json!([kind(name), "null"])
        } else {
            json!(kind(name))
        };
        assert_eq!(properties[name]["type"], expected, "{name}");
        let said = properties[name]["description"].as_str();
        assert!(said.is_some_and(|said| !said.is_empty()), "{name}");
    }
    assert_eq!(schema["properties"]["rank"]["type"], "integer");
}

/// Each `object` with the schema that a broken copy of it must not pass.
fn broken(schema: &Validator, whole: &Value, pointer: &str) {
    let object = |value: &Value| -> Map<String, Value> {
        value
            .pointer(pointer)
            .and_then(Value::as_object)
            .unwrap_or_else(|| panic!("no object at {pointer:?}"))
            .clone()
    };
    assert!(faults(schema, whole).is_empty());
    for (key, value) in object(whole) {
        let mut less = whole.clone();
        let mut other = whole.clone();
        if let Some(fields) = less.pointer_mut(pointer).and_then(Value::as_object_mut) {
            fields.remove(&key);
        }
        assert!(
            !faults(schema, &less).is_empty(),
            "{pointer}/{key} may be missing"
        );
        let wrong = match value {
            Value::Number(number) => Value::from(number.to_string()),
            Value::Null => json!([]),
            _ => Value::from(1.5),
        };
        if let Some(slot) = other.pointer_mut(&format!("{pointer}/{key}")) {
            *slot = wrong;
        }
        assert!(
            !faults(schema, &other).is_empty(),
            "{pointer}/{key} may have any type"
        );
    }
    let mut more = whole.clone();
    if let Some(fields) = more.pointer_mut(pointer).and_then(Value::as_object_mut) {
        fields.insert("added_later".into(), json!(1));
    }
    assert!(
        faults(schema, &more).is_empty(),
        "{pointer} takes no new field"
    );
}

#[test]
fn what_lacks_a_field_or_has_a_number_as_text_is_refused() {
    let tank = site("saltbush-tank");
    let lines = out(&[&["scan", &tank, "--format=ndjson"], &SEASON[..]].concat());
    let line: Value = serde_json::from_str(lines.lines().next().expect("a line")).expect("JSON");
    broken(&schema("window"), &line, "");

    let scan = schema("scan");
    let near = scanned(
        &scan,
        &[&[tank.as_str(), "--near-misses=1"], &SEASON[..]].concat(),
    );
    for pointer in [
        "",
        "/query",
        "/sites/0/site/sky",
        "/sites/0/windows/0",
        "/sites/0/near_misses/0/loosenings/0",
        "/sites/0/near_misses/0/window",
    ] {
        broken(&scan, &near, pointer);
    }
    let turn = scanned(
        &scan,
        &[&[tank.as_str(), "--by", "bearing"], &SEASON[..]].concat(),
    );
    broken(&scan, &turn, "/sites/0/by_bearing/0");

    let night = schema("night");
    let value = document(&["night", &tank, "--on=2027-07-09", "--format=json"]);
    for pointer in [
        "",
        "/darkness",
        "/events",
        "/timetable/0",
        "/steps/0",
        "/windows/0",
    ] {
        broken(&night, &value, pointer);
    }
    let time = "--time=2027-07-09T22:16";
    let sky = document(&["sky", &tank, time, "--format=json"]);
    for pointer in ["", "/moon", "/arch/top", "/light", "/camera"] {
        broken(&schema("sky"), &sky, pointer);
    }
    let stand = document(&["tripod", &tank, time, "--format=json"]);
    for pointer in ["", "/asked", "/tripod", "/subject"] {
        broken(&schema("tripod"), &stand, pointer);
    }
    let expose = document(&["exposure", "--format=json"]);
    for pointer in ["", "/panorama", "/panorama/plans/0"] {
        broken(&schema("exposure"), &expose, pointer);
    }
    // Within a window.
    let series = document(&[
        "exposure",
        &site("tinaja-mesa"),
        "--time=2027-07-09T23:29",
        "--tracked=2min",
        "--trails=20deg",
        "--time-lapse=2h",
        "--format=json",
    ]);
    for pointer in [
        "/land",
        "/tracked",
        "/star_trails",
        "/time_lapse",
        "/time_lapse/light_change",
        "/window",
    ] {
        broken(&schema("exposure"), &series, pointer);
    }
    let phases = document(&[
        "phases",
        "--from=2027-01-01",
        "--to=2028-12-31",
        "--format=json",
    ]);
    for pointer in ["", "/phases/0", "/apsides/0", "/eclipses/0"] {
        broken(&schema("phases"), &phases, pointer);
    }
}

/// A line of a site file for each key, in the tables it belongs to. The second
/// of two ways to say a thing stands in [`OTHER_WAY`].
const WHOLE_SITE: [(&str, &str); 53] = [
    ("name", "'Everything Told'"),
    ("latitude_deg", "-31.4"),
    ("longitude_deg", "139.2"),
    ("elevation_m", "120"),
    ("time_zone", "'Australia/Adelaide'"),
    ("notes", "'a cliff'"),
    ("log", "'log.csv'"),
    ("subject.name", "'The Tank'"),
    ("subject.bearing_deg", "205"),
    ("subject.distance_m", "140"),
    ("subject.height_m", "9"),
    ("subject.width_m", "4"),
    ("subject.reflectance", "0.2"),
    ("subject.reflectance_measured", "2027-05-29"),
    ("sky.zenith_mag_arcsec2", "21.7"),
    ("sky.extinction_mag", "0.2"),
    (
        "sky.glow",
        "[{ bearing_deg = 70, half_width_deg = 20, altitude_deg = 15, mag_arcsec2 = 20.5 }]",
    ),
    ("air.pressure_hpa", "1000"),
    ("air.temperature_c", "8"),
    ("camera.sensor_mm", "[36, 24]"),
    ("camera.pixels", "[6000, 4000]"),
    ("camera.focal_mm", "14"),
    ("camera.f_number", "2.8"),
    ("skyline.file", "'ridge.csv'"),
    ("skyline.subject_file", "'ridge.csv'"),
    ("brief.light", "'raking'"),
    ("brief.target", "'core'"),
    ("brief.target_altitude", "'5..'"),
    ("brief.target_azimuth", "'90..270'"),
    ("brief.facing", "'subject'"),
    ("brief.target_offset", "'-60..60'"),
    ("brief.target_place", "'clear:1'"),
    ("brief.framing", "'panorama'"),
    ("brief.arch_altitude", "'..90'"),
    ("brief.arch_offset", "'-180..180'"),
    ("brief.tilt", "'0..90'"),
    ("brief.sun_altitude", "'..-15'"),
    ("brief.contrast", "'0.05..'"),
    ("brief.moon_altitude", "'1..40'"),
    ("brief.moon_fraction", "'0.05..0.6'"),
    ("brief.light_angle", "'20..160'"),
    ("brief.light_side", "'either'"),
    ("brief.moon_in_frame", "'any'"),
    ("brief.min_minutes", "10"),
    ("brief.clock", "'17:00..08:00'"),
    ("brief.weekdays", "'mon-sat'"),
    ("brief.dates", "'2027-01-01..2027-12-31'"),
    ("brief.not", "'2027-12-24'"),
    ("brief.times", "'times.csv'"),
    ("brief.weights", "'contrast=2'"),
    ("brief.prefer", "'dark=0.5'"),
    ("brief.min_score", "20"),
    (
        "climate.clear_nights",
        "[0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5]",
    ),
];
const OTHER_WAY: [(&str, &str); 6] = [
    ("climate.file", "'clear.csv'"),
    ("subject.latitude_deg", "-31.4011"),
    ("subject.longitude_deg", "139.1994"),
    ("subject.elevation_m", "121"),
    ("sky.bortle", "2"),
    ("sky.towns", "false"),
];
/// What the keys of [`OTHER_WAY`] stand instead of.
const FIRST_WAY: [&str; 4] = [
    "climate.clear_nights",
    "subject.bearing_deg",
    "subject.distance_m",
    "sky.zenith_mag_arcsec2",
];

/// Both places in one key each, and what these stand instead of.
const BY_POSITION: [(&str, &str); 2] = [
    ("position", "'31.4 S 139.2 E'"),
    ("subject.position", "'31.4011 S 139.1994 E'"),
];
const BY_NUMBERS: [&str; 4] = [
    "latitude_deg",
    "longitude_deg",
    "subject.bearing_deg",
    "subject.distance_m",
];

/// A site file with these keys, table after table.
fn site_text(keys: &[(&str, &str)]) -> String {
    let table = |key: &str| {
        key.split_once('.')
            .map_or("", |(table, _)| table)
            .to_owned()
    };
    let mut tables: Vec<String> = Vec::new();
    for (key, _) in keys {
        if !tables.contains(&table(key)) {
            tables.push(table(key));
        }
    }
    let mut text = String::new();
    for of in tables {
        if !of.is_empty() {
            text += &format!("[{of}]\n");
        }
        for (key, value) in keys.iter().filter(|(key, _)| table(key) == of) {
            let last = key.rsplit('.').next().expect("a key");
            text += &format!("{last} = {value}\n");
        }
    }
    text
}

/// Every document about a site that has no line for one of its keys, whichever
/// it is, holds to its schema.
#[test]
fn what_a_site_leaves_out_passes() {
    let first: Vec<(&str, &str)> = WHOLE_SITE.to_vec();
    let other: Vec<(&str, &str)> = WHOLE_SITE
        .into_iter()
        .filter(|(key, _)| !FIRST_WAY.contains(key))
        .chain(OTHER_WAY)
        .collect();
    let third: Vec<(&str, &str)> = BY_POSITION
        .into_iter()
        .chain(WHOLE_SITE)
        .filter(|(key, _)| !BY_NUMBERS.contains(key))
        .collect();
    // A key that is new must be told here.
    // In a site file a view is a table of its own: `views_pass` has it.
    let mut known: Vec<String> = site_keys().filter(|key| key != "view").collect();
    let mut told: Vec<String> = WHOLE_SITE
        .iter()
        .chain(&OTHER_WAY)
        .chain(&BY_POSITION)
        .map(|(key, _)| (*key).to_owned())
        .collect();
    known.sort();
    told.sort();
    assert_eq!(told, known);

    let folder = Folder::new();
    folder.file("ridge.csv", "azimuth_deg,altitude_deg\n0,2\n180,4\n");
    let months = (1..=12).map(|month| format!("{month},0.5\n"));
    folder.file(
        "clear.csv",
        format!("month,clear\n{}", months.collect::<String>()),
    );
    folder.file("log.csv", "date,found,seeing\n2027-05-01,cloud,3\n");
    let times = "from,to\n2027-01-01T12:00,2027-12-31T12:00\n";
    folder.file("times.csv", times);
    let schemas =
        ["scan", "window", "night", "sky", "tripod", "exposure"].map(|name| (name, schema(name)));
    let mut refused = Vec::new();
    let mut checked = 0;
    for whole in [first, other, third] {
        for left_out in std::iter::once("").chain(whole.iter().map(|(key, _)| *key)) {
            let keys: Vec<(&str, &str)> = whole
                .iter()
                .copied()
                .filter(|(key, _)| *key != left_out)
                .collect();
            folder.file("site.toml", site_text(&keys));
            if Run::at(&folder).of(&["sites", "check", "site.toml"]).code != 0 {
                refused.push(left_out);
                continue;
            }
            for (name, schema) in &schemas {
                // `--time` is local, or the site's zone is left out and UTC.
                let at = "--time=2027-07-09T12:46:00Z";
                let args: Vec<&str> = match *name {
                    "scan" => vec!["scan", "--format=json", SEASON[0], SEASON[1]],
                    "window" => vec!["scan", "--format=ndjson", SEASON[0], SEASON[1]],
                    "night" => vec!["night", "--format=json", "--on=2027-07-09", "--rules"],
                    other => vec![other, "--format=json", at],
                };
                let args = [&args[..], &["site.toml"]].concat();
                let ended = Run::at(&folder).of(&args);
                if ended.code == 2 && *name == "tripod" {
                    // It needs a subject whose height is known, and says so.
                    assert!(
                        left_out.starts_with("subject."),
                        "{left_out}: {}",
                        ended.err
                    );
                    continue;
                }
                assert!(ended.code <= 1, "{left_out} {args:?}: {}", ended.err);
                let documents: Vec<&str> = match *name {
                    "window" => ended.out.lines().collect(),
                    _ => vec![&ended.out],
                };
                for text in documents {
                    let value = serde_json::from_str(text).expect("JSON");
                    holds(
                        schema,
                        &value,
                        &[&args[..], &["without", left_out]].concat(),
                    );
                    checked += 1;
                }
            }
        }
    }
    // Half of a place, and what a site cannot be without.
    refused.sort_unstable();
    refused.dedup();
    let needed = [
        "latitude_deg",
        "longitude_deg",
        "position",
        "subject.bearing_deg",
        "subject.latitude_deg",
        "subject.longitude_deg",
        "subject.position",
    ];
    assert_eq!(refused, needed);
    assert!(checked > 400, "{checked}");
}

/// At 66 degrees north the Moon of December rises twice between two noons, and
/// sets twice a week later: both are in the document, the first by its key.
#[test]
fn a_kind_of_event_that_comes_twice_is_told_twice() {
    let schema = schema("night");
    let mut twice = 0;
    for day in 1..=31 {
        let on = format!("--on=2027-12-{day:02}");
        let args = [
            "night",
            "--place=66,10",
            "--time-zone=UTC",
            &on,
            "--format=json",
        ];
        let value = document(&args);
        holds(&schema, &value, &args);
        let all = value["all_events"].as_array().expect("all events");
        // The timetable is another list of the same night.
        let order = value["timetable"].as_array().expect("an order");
        for (kind, first) in value["events"].as_object().expect("events") {
            let times = |list: &[Value]| -> Vec<Value> {
                list.iter()
                    .filter(|one| one["what"] == kind.as_str())
                    .map(|one| one["time_utc"].clone())
                    .collect()
            };
            let found = times(all);
            assert_eq!(found, times(order), "{kind}");
            assert_eq!(found.first().unwrap_or(&Value::Null), first, "{kind}");
            twice += usize::from(found.len() > 1);
        }
    }
    assert!(twice > 2, "too few nights prove it");
}
