//! The tables of `docs/` and the properties of `docs/schema/` are printed from
//! the lists of fields that the formats work from. With `WRITE_DOCS=1` this
//! writes them; without, it finds what was not written.

use crate::told;

use rakelight::report::{
    CsvTable, MapRole,
    by_site::SITE_FIELDS,
    calendar_json,
    row::Range,
    rows::{
        advice, calendar, calibration, exposure, left_out, lens, loosening, night, phases, photo,
        reasons, season, series, site, site_nights, sky, spare_place, trip, tripod, what_if,
        window,
    },
};
use serde_json::{Map, Number, Value, json};
use std::{
    env, fs,
    path::PathBuf,
    sync::{Mutex, PoisonError},
};

use told::{Told, all};

/// Several tests write to one file.
static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

/// The property of a schema.
fn property(field: &Told) -> Value {
    let mut property = Map::new();
    let mut put = |key: &str, value: Value| {
        property.insert(key.to_owned(), value);
    };
    let null = field.empty.map(|when| format!(". Null: {when}"));
    put(
        "description",
        json!(field.doc.to_owned() + null.as_deref().unwrap_or_default()),
    );
    put(
        "type",
        match field.empty {
            Some(_) => json!([field.kind, "null"]),
            None => field.kind.clone(),
        },
    );
    // Whole bounds are written as such.
    let number = |bound: f64| {
        let whole = Number::from(bound as i64);
        let bound = Number::from_f64(bound).filter(|_| bound.fract() != 0.0);
        Value::Number(bound.unwrap_or(whole))
    };
    match field.range {
        Range::AtLeast(least) => put("minimum", number(least)),
        Range::Above(least) => put("exclusiveMinimum", number(least)),
        Range::Within(least, most) => {
            put("minimum", number(least));
            put("maximum", number(most));
        }
        _ => {}
    }
    if let Some(pattern) = field.pattern {
        put("pattern", json!(pattern));
    }
    if let Some(words) = field.words {
        let mut words = json!(words);
        if let (Some(_), Some(list)) = (field.empty, words.as_array_mut()) {
            list.push(Value::Null);
        }
        put("enum", words);
    }
    Value::Object(property)
}

/// A table of Markdown, a row a field.
fn table(fields: &[Told]) -> String {
    let mut text = "| column | unit, frame | decimals | empty when |\n".to_owned();
    text += "| --- | --- | --- | --- |\n";
    for field in fields {
        let decimals = field.decimals.map(|decimals| decimals.to_string());
        text += &format!(
            "| `{}` | {} | {} | {} |\n",
            field.name,
            field.doc.replace('|', "\\|"),
            decimals.unwrap_or_default(),
            field.empty.unwrap_or("never"),
        )
        .replace("|  |", "| |");
    }
    text
}

fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("docs")
        .join(name)
}

/// Compares a file with what it should hold, or writes it.
fn holds(name: &str, found: &str, expected: &str) {
    if found == expected {
        return;
    }
    if env::var_os("WRITE_DOCS").is_some() {
        return fs::write(path(name), expected).expect("a file");
    }
    let mut lines = found.lines().zip(expected.lines());
    let other = lines.find(|(found, expected)| found != expected);
    panic!(
        "docs/{name} is not what the lists say; WRITE_DOCS=1 writes it. The first line: {other:?}"
    );
}

/// The table between `<!-- what -->` and `<!-- end -->` is printed.
fn table_holds(name: &str, what: &str, fields: &[Told]) {
    text_holds(name, what, &table(fields));
}

/// This text stands there.
fn text_holds(name: &str, what: &str, table: &str) {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let found = fs::read_to_string(path(name)).expect("a document");
    let begin = format!("<!-- {what} -->\n");
    let (before, rest) = found.split_once(&begin).expect("where the table begins");
    let (_, after) = rest.split_once("<!-- end -->").expect("where it ends");
    let expected = format!("{before}{begin}\n{table}\n<!-- end -->{after}");
    holds(name, &found, &expected);
}

/// The object at `pointer` of a schema has the properties of these fields,
/// then those in `more`, which are written by hand.
fn schema_holds(name: &str, pointer: &str, fields: &[Told], more: &[&str]) {
    let mut order: Vec<&str> = fields.iter().map(|field| field.name).collect();
    order.extend(more);
    object_holds(name, pointer, fields, &order, &[]);
}

/// The object at `pointer` of a schema has the properties in `order`: those of
/// the fields as listed, others as written by hand; the ones in `absent` may
/// be.
fn object_holds(name: &str, pointer: &str, fields: &[Told], order: &[&str], absent: &[&str]) {
    let _alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
    let name = format!("schema/{name}.json");
    let found = fs::read_to_string(path(&name)).expect("a schema");
    let mut schema: Value = serde_json::from_str(&found).expect("JSON");
    let object = schema.pointer_mut(pointer).expect("an object");
    let of = |key: &str| match fields.iter().find(|field| field.name == key) {
        Some(field) => property(field),
        None => object["properties"][key].clone(),
    };
    let properties: Map<String, Value> = order
        .iter()
        .map(|key| ((*key).to_owned(), of(key)))
        .collect();
    let listed = fields.iter().all(|field| order.contains(&field.name));
    assert!(
        listed,
        "{name} {pointer}: not every field stands in {order:?}"
    );
    let required = order.iter().filter(|key| !absent.contains(key));
    object["required"] = required.copied().collect();
    object["properties"] = Value::Object(properties);
    let expected = serde_json::to_string_pretty(&schema).expect("JSON") + "\n";
    holds(&name, &found, &expected);
}

#[test]
fn windows_are_told_as_listed() {
    let fields = all(&[window::FIELDS]);
    table_holds("formats.md", "the fields of a window", &fields);
    schema_holds("window", "/$defs/columns", &fields, &[]);
}

#[test]
fn lines_and_steps_of_a_night_are_told_as_listed() {
    let lines = all(&[night::TIME, night::LINE]);
    table_holds("night.md", "the fields of a line", &lines);
    schema_holds("night", "/properties/timetable/items", &lines, &["text"]);
    let lines = all(&[night::WHICH, night::TIME, night::LINE]);
    let pointer = "/properties/timetable/items";
    schema_holds("night-views", pointer, &lines, &["text"]);
    let steps = all(&[night::TIME, night::STEP]);
    table_holds("night.md", "the fields of a step", &steps);
    schema_holds("night", "/properties/steps/items", &steps, &[]);
}

#[test]
fn months_and_years_are_told_as_listed() {
    let month = all(&[calendar::MONTH]);
    table_holds("formats.md", "the fields of a month", &month);
    let year = all(&[calendar::YEAR]);
    table_holds("formats.md", "the fields of a year", &year);
    let side_by_side = all(&[calendar::MONTH_OF_YEAR]);
    let what = "the fields of a month of a year";
    table_holds("formats.md", what, &side_by_side);
    for (key, list) in [
        ("by_month", calendar::MONTH_OF_YEAR),
        ("by_year", calendar::YEAR),
    ] {
        let counts = || list.iter().skip(2).map(told::told).collect::<Vec<_>>();
        let mut order: Vec<&str> = counts().iter().map(|field| field.name).collect();
        order.push(calendar_json::BEST);
        let pointer = format!("/properties/sites/items/properties/{key}/items");
        object_holds("scan", &pointer, &counts(), &order, &[]);
    }
}

#[test]
fn nights_of_a_season_are_told_as_listed() {
    let night = all(&[season::NIGHT]);
    table_holds("formats.md", "the fields of a night of a season", &night);
    let pointer = "/properties/sites/items/properties/season/items";
    schema_holds("scan", pointer, &night, &[]);
}

#[test]
fn counts_of_sites_are_told_as_listed() {
    let row = all(&[site_nights::ROW]);
    table_holds("formats.md", "the fields of a site counted", &row);
    let counts: Vec<Told> = row.into_iter().skip(SITE_FIELDS).collect();
    let pointer = "/properties/sites/items/properties/counts";
    schema_holds("scan", pointer, &counts, &[]);
}

#[test]
fn features_of_a_map_are_told_as_listed() {
    let counts = all(&[site_nights::BEST, site_nights::COUNTS]);
    table_holds("formats.md", "the counts of a site on a map", &counts);
    let mut roles = "| `role` | `meaning` |\n| --- | --- |\n".to_owned();
    for role in MapRole::ALL {
        roles += &format!("| `{}` | {} |\n", role.word(), role.meaning());
    }
    text_holds("formats.md", "the roles of features", &roles);
}

#[test]
fn trips_are_told_as_listed() {
    let mut fields = all(&[trip::TRIP]);
    fields.extend(all(&[trip::EVENING]));
    table_holds("formats.md", "the fields of a trip", &fields);
    let whole = all(&[trip::TRIP]);
    schema_holds(
        "trip",
        "/properties/trips/items",
        &whole,
        &["nights", "cautions"],
    );
    let evening: Vec<Told> = all(&[trip::EVENING])
        .into_iter()
        .filter(|field| ["evening_number", "night", "role"].contains(&field.name))
        .collect();
    let stops = ["session", "spare_place", "spare_night"];
    let pointer = "/properties/trips/items/properties/nights/items";
    schema_holds("trip", pointer, &evening, &stops);
    schema_holds("trip", "/$defs/stop", &all(&[trip::STOP]), &["window"]);
}

#[test]
fn phases_are_told_as_listed() {
    for (key, fields) in [
        ("phases", all(&[phases::QUARTERS])),
        ("apsides", all(&[phases::APSIDES])),
    ] {
        schema_holds("phases", &format!("/properties/{key}/items"), &fields, &[]);
    }
    let contacts = ["penumbral_utc", "partial_utc", "total_utc"];
    let fields = all(&[phases::ECLIPSES]);
    schema_holds("phases", "/properties/eclipses/items", &fields, &contacts);
}

/// What stands in several documents.
#[test]
fn sites_instants_and_loosenings_are_told_as_listed() {
    let site = "/$defs/site";
    let order = [
        "name",
        "view",
        "latitude_deg",
        "longitude_deg",
        "elevation_m",
        "time_zone",
        "time_zone_assumed",
        "time_zone_from",
        "subject",
        "nearest_town",
        "sky",
        "air",
        "own",
    ];
    let absent = ["subject", "nearest_town", "own"];
    object_holds("shared", site, &all(&[site::SITE]), &order, &absent);
    let near = format!("{site}/properties/nearest_town/anyOf/0");
    schema_holds("shared", &near, &all(&[site::NEAR_TOWN]), &[]);
    for (key, list) in [("subject", site::SUBJECT), ("air", site::AIR)] {
        let pointer = format!("{site}/properties/{key}");
        schema_holds("shared", &pointer, &all(&[list]), &[]);
    }
    let pointer = format!("{site}/properties/sky");
    let fields = all(&[site::SKY]);
    let own = fields.iter().map(|field| field.name);
    let order: Vec<&str> = own.chain(["glow", "towns"]).collect();
    object_holds("shared", &pointer, &fields, &order, &["towns"]);
    let towns = format!("{pointer}/properties/towns/items");
    schema_holds("shared", &towns, &all(&[site::TOWN_DOME]), &[]);
    let domes = format!("{pointer}/properties/glow/items");
    schema_holds("shared", &domes, &all(&[site::SKY_GLOW]), &[]);
    let left_out = all(&[left_out::LEFT_OUT]);
    schema_holds("scan", "/properties/left_out/items", &left_out, &[]);
    table_holds("formats.md", "the fields of a site left out", &left_out);
    let loosening = all(&[loosening::LOOSENING]);
    schema_holds("shared", "/$defs/loosening", &loosening, &[]);
    schema_holds(
        "shared",
        "/$defs/admission/anyOf/0",
        &loosening,
        &["nights"],
    );
    schema_holds("shared", "/$defs/photo", &all(&[photo::PHOTO]), &[]);
    table_holds("formats.md", "the fields of a photo", &all(&[photo::PHOTO]));
    let instant = "/$defs/instant";
    let whole = all(&[
        sky::TIME,
        sky::SEPARATION,
        sky::FRAME,
        sky::LAND_RANGE,
        sky::DOUBTS,
        sky::TOWN,
    ]);
    let order = [
        "time_utc",
        "time_local",
        "utc_offset",
        "sun",
        "moon",
        "target",
        "moon_target_separation_deg",
        "arch",
        "tilt_deg",
        "facing_deg",
        "light",
        "land_vs_sky_half_width_stops",
        "one_exposure",
        "doubts",
        "town_under_target",
        "camera",
        "framing",
    ];
    object_holds("shared", instant, &whole, &order, &[]);
    let within = |key: &str, fields: &[Told], more: &[&str]| {
        let pointer = format!("{instant}/properties/{key}");
        schema_holds("shared", &pointer, fields, more);
    };
    let body = || all(&[sky::BODY]);
    within("sun", &body(), &[]);
    within("target", &body(), &[]);
    let moon: Vec<Told> = body().into_iter().chain(all(&[sky::MOON])).collect();
    within("moon", &moon, &[]);
    within("arch/anyOf/0/properties/top", &all(&[sky::ARCH_TOP]), &[]);
    within(
        "arch/anyOf/0/properties/feet/items",
        &all(&[sky::ARCH_FOOT]),
        &[],
    );
    within("light", &all(&[sky::LIGHT]), &[]);
    within("camera/anyOf/0", &all(&[sky::CAMERA]), &[]);
    let plan = all(&[rakelight::report::rows::framing::FIELDS]);
    let order: Vec<&str> = plan.iter().map(|field| field.name).collect();
    object_holds("shared", "/$defs/framing", &plan, &order, &[]);
}

#[test]
fn what_a_scan_adds_is_told_as_listed() {
    let within = |path: &str, fields: &[Told], order: &[&str]| {
        let pointer = format!("/properties/sites/items/properties/{path}");
        object_holds("scan", &pointer, fields, order, &[]);
    };
    let variant = [
        "values",
        "nights",
        "windows",
        "one_frame_nights",
        "best_score",
        "best_night",
    ];
    within("vary/items", &all(&[what_if::VARIANT]), &variant);
    let sector = all(&[what_if::SECTOR]);
    let order: Vec<&str> = sector.iter().map(|field| field.name).collect();
    within("by_bearing/items", &sector, &order);
    let order = ["night", "rank", "spares"];
    within("spare_nights/items", &all(&[what_if::NIGHT]), &order);
    // Where a place is told, the rest is as without it.
    let spare = all(&[spare_place::SPARE_PLACE]);
    let order: Vec<&str> = spare.iter().map(|field| field.name).collect();
    let of_places: Vec<&str> = order.iter().copied().skip(what_if::SPARE.len()).collect();
    let spares = "/properties/sites/items/properties/spare_nights/items/properties/spares/items";
    object_holds("scan", spares, &spare, &order, &of_places);
    for (one, other) in all(&[what_if::SPARE]).iter().zip(&spare) {
        assert_eq!(property(one), property(other));
    }
    let order = ["text", "nights", "nights_found", "one_night", "five_nights"];
    within("advice/items/allOf/0/then", &all(&[advice::ALL]), &order);
    let order = [
        "rule",
        "value",
        "nights_alone",
        "nights_in_reach",
        "one_night",
        "five_nights",
    ];
    within("advice/items/allOf/1/then", &all(&[advice::RULE]), &order);
}

#[test]
fn tripods_and_exposures_are_told_as_listed() {
    let order = [
        "rakelight",
        "schema",
        "query",
        "site",
        "time_utc",
        "time_local",
        "utc_offset",
        "asked",
        "tripod",
        "from_camera",
        "target",
        "moon",
        "subject",
        "foot_and_target_fit",
    ];
    object_holds("tripod", "", &all(&[tripod::TIME]), &order, &[]);
    for (key, list) in [
        ("asked", tripod::ASKED),
        ("tripod", tripod::TRIPOD),
        ("target", tripod::TARGET),
        ("subject", tripod::SUBJECT),
        ("foot_and_target_fit", tripod::FIT),
    ] {
        schema_holds("tripod", &format!("/properties/{key}"), &all(&[list]), &[]);
    }
    let way = "/properties/from_camera/anyOf/0";
    schema_holds("tripod", way, &all(&[tripod::FROM_CAMERA]), &[]);
    let disc = "/properties/moon/anyOf/0";
    schema_holds("tripod", disc, &all(&[tripod::MOON]), &[]);
    let whole = all(&[exposure::SETTINGS, exposure::DIAGONAL]);
    let settings = exposure::SETTINGS.iter().map(|field| field.name);
    let order: Vec<&str> = ["rakelight", "schema", "query"]
        .into_iter()
        .chain(settings)
        .chain([
            "window",
            "land",
            "tracked",
            "star_trails",
            "time_lapse",
            "field_deg",
            "diagonal_deg",
            "panorama",
            "framing",
            "photo",
            "sky",
            "calibration",
        ])
        .collect();
    let asked = [
        "window",
        "tracked",
        "star_trails",
        "time_lapse",
        "framing",
        "photo",
        "sky",
        "calibration",
    ];
    object_holds("exposure", "", &whole, &order, &asked);
    let frame = |more: Vec<Told>| all(&[series::FRAME]).into_iter().chain(more).collect();
    for (key, fields, more) in [
        ("land", all(&[series::LAND]), &[][..]),
        ("tracked", frame(all(&[series::TRACKED])), &[]),
        ("star_trails", frame(all(&[series::STAR_TRAILS])), &[]),
        (
            "time_lapse",
            frame(all(&[series::TIME_LAPSE])),
            &["light_change"],
        ),
    ] {
        schema_holds("exposure", &format!("/properties/{key}"), &fields, more);
    }
    let window = "/properties/window/anyOf/0";
    schema_holds("exposure", window, &all(&[series::WINDOW]), &[]);
    let change = "/properties/time_lapse/properties/light_change/anyOf/0";
    schema_holds("exposure", change, &all(&[series::LIGHT_CHANGE]), &[]);
    let panorama = "/properties/panorama";
    schema_holds(
        "exposure",
        panorama,
        &all(&[exposure::PANORAMA]),
        &["plans"],
    );
    let plan = format!("{panorama}/properties/plans/items");
    let angles = ["bearings_deg", "pitches_deg"];
    schema_holds("exposure", &plan, &all(&[exposure::PLAN]), &angles);
    let calibration = "/properties/calibration/anyOf/0";
    schema_holds("exposure", calibration, &all(&[calibration::FIELDS]), &[]);
    let lens = "/properties/lenses/items";
    schema_holds("lenses", lens, &all(&[lens::FIELDS]), &["framing"]);
}

#[test]
fn what_a_night_has_beside_its_timetable_is_told_as_listed() {
    use rakelight::report::rows::night_facts as facts;
    let within = |path: &str, fields: &[Told], more: &[&str]| {
        schema_holds("night", &format!("/properties/{path}"), fields, more);
    };
    within("night", &all(&[facts::NIGHT]), &[]);
    within("darkness", &all(&[facts::DARKNESS]), &[]);
    for kind in ["target_in_place", "moonlit_land", "moonless_dark"] {
        let path = format!("periods/properties/{kind}/items");
        within(&path, &all(&[facts::PERIOD]), &[]);
    }
    let camera = all(&[facts::CAMERA_ASSUMED, facts::CAMERA]);
    let order = [
        "assumed",
        "sensor_mm",
        "pixels",
        "focal_mm",
        "f_number",
        "npf_factor",
    ];
    object_holds("night", "/properties/camera", &camera, &order, &[]);
    // Outside the years of the model there is a reason instead.
    let mut compass = all(&[facts::COMPASS]);
    for field in &mut compass {
        if field.name == "declination_deg" {
            field.empty = Some("outside the years of the model");
        }
    }
    let order = [
        "declination_deg",
        "declination_uncertainty_deg",
        "reliance",
        "model",
        "reason",
    ];
    object_holds(
        "night",
        "/properties/compass",
        &compass,
        &order,
        &order[1..],
    );
    let rule = "reasons/properties/rules/items";
    let order = [
        "rule",
        "value",
        "unit",
        "held",
        "rejects_alone",
        "best",
        "margins",
    ];
    let pointer = format!("/properties/{rule}");
    let listed = all(&[reasons::RULE, reasons::COST]);
    object_holds("night", &pointer, &listed, &order, &[]);
    within(
        &format!("{rule}/properties/held/items"),
        &all(&[reasons::HELD]),
        &[],
    );
    let margins = format!("{rule}/properties/margins/items");
    within(&margins, &all(&[reasons::MEASURE]), &[]);
    // The best of a rule without a measure is absent as a whole.
    let mut best = all(&[reasons::MEASURE]);
    best.iter_mut().for_each(|field| field.empty = None);
    best.extend(all(&[reasons::BEST]));
    within(&format!("{rule}/properties/best/anyOf/0"), &best, &[]);
    let periods = "reasons/properties/periods/items";
    within(periods, &all(&[reasons::RULES_HELD]), &[]);
}

/// The type of a column in `schema/columns.csv`.
fn column_type(told: &Told) -> &'static str {
    match (told.kind.as_str(), told.pattern) {
        (Some("integer"), _) => "integer",
        (Some("number"), _) => "number",
        (Some("boolean"), _) => "boolean",
        (_, Some(told::DATE)) => "date",
        (_, Some(told::MONTH)) => "month",
        (_, Some(told::LOCAL)) => "local time",
        (_, Some(told::UTC)) => "UTC time",
        (_, Some(told::OFFSET)) => "offset",
        _ => "text",
    }
}

#[test]
fn columns_of_tables_are_listed_with_their_types() {
    let mut expected = "table,column,type\n".to_owned();
    for table in CsvTable::ALL {
        for told in told::of_table(table) {
            let line = [table.word(), told.name, column_type(&told)];
            expected += &(line.join(",") + "\n");
        }
    }
    let name = "schema/columns.csv";
    let found = fs::read_to_string(path(name)).unwrap_or_default();
    holds(name, &found, &expected);
}
