//! One night as JSON, CSV, card, Markdown and handout: its windows are those of
//! the scan, and each line and step is the same in all.

use super::{
    Case, core_told,
    fact::{Row, millilux, rows},
    markdown::pipe_table,
    out,
};
use crate::program::Run;
use resvg::usvg::roxmltree::{Document, Node, ParsingOptions};
use serde_json::Value;

/// Columns that a scan's CSV and a night's CSV share.
const SHARED: [&str; 21] = [
    "target_altitude_deg",
    "target_azimuth_deg",
    "target_offset_deg",
    "moon_altitude_deg",
    "moon_azimuth_deg",
    "moon_fraction",
    "light_angle_deg",
    "light_side",
    "lit_side",
    "sun_altitude_deg",
    "moonlight_lux",
    "sky_mag_arcsec2",
    "sky_loss_mag",
    "milky_way_contrast",
    "contrast_kept",
    "land_vs_sky_stops",
    "arch_altitude_deg",
    "arch_azimuth_deg",
    "shadow_length_per_height",
    "shadow_azimuth_deg",
    "facing_deg",
];
/// Those of a blend's moonlit land.
const OF_LAND: [(&str, &str); 6] = [
    ("moonlit_moon_altitude_deg", "moon_altitude_deg"),
    ("moonlit_moon_azimuth_deg", "moon_azimuth_deg"),
    ("moonlit_moon_fraction", "moon_fraction"),
    ("moonlit_light_angle_deg", "light_angle_deg"),
    ("moonlit_light_side", "light_side"),
    ("moonlit_moonlight_lux", "moonlight_lux"),
];
/// What a step tells, in the order of its columns.
const STEP: [&str; 13] = [
    "time", "sun", "moon_up", "moon_az", "light", "mlx", "up", "az", "arch", "mag", "stops",
    "shutter", "iso",
];

struct Night<'a> {
    case: &'a Case,
    date: String,
}

impl Night<'_> {
    fn asked(&self, command: &str, more: &[&str]) -> String {
        let on = ["--on", &self.date, "--quiet"];
        let args = [&[command][..], &self.case.rules(), &on, more].concat();
        out(Run::here().wide(80), &args)
    }
}

pub fn check(case: &Case) -> Vec<String> {
    let found = rows(&case.scan("csv"));
    let Some(first) = found.first() else {
        return Vec::new();
    };
    let date = first.text("night").to_owned();
    let alone = ["--from", &date, "--to", &date, "--format", "csv", "--quiet"];
    let windows = rows(&out(
        Run::here(),
        &[&["scan"][..], &case.rules(), &alone].concat(),
    ));
    let night = Night { case, date };
    let mut wrong = Vec::new();
    let document: Value =
        serde_json::from_str(&night.asked("night", &["--format", "json"])).expect("JSON");
    for window in document["windows"].as_array().expect("windows") {
        let same = |row: &&Row| window["start_utc"] == row.text("start_utc");
        let row = windows.iter().find(same).expect("the window of the scan");
        wrong.extend(
            row.unlike_json(window)
                .map(|name| format!("night json: {name}")),
        );
    }
    let table = rows(&night.asked("night", &["--format", "csv"]));
    wrong.extend(lines_of_windows(&windows, &table));
    let card = night.asked("night", &[]);
    let notes = night.asked("night", &["--format", "markdown"]);
    let page = night.asked("handout", &[]);
    let (order, steps) = of_page(&page);
    let markdown = notes.split_once("## Light and settings");
    let (before, after) = markdown.unwrap_or((&notes, ""));
    for (what, order, steps) in [
        (
            "card",
            of_card(&card, "true  compass"),
            of_card(&card, "mag stops"),
        ),
        ("markdown", pipe_table(before).1, pipe_table(after).1),
        ("handout", order, steps),
    ] {
        wrong.extend(unlike_order(&document, &order).map(|d| format!("{what}: {d}")));
        wrong.extend(unlike_steps(&table, &steps).map(|d| format!("{what}: {d}")));
    }
    for (what, text) in [("card", &card), ("night markdown", &notes)] {
        wrong.extend(core_told(what, case, text));
    }
    wrong.extend(core_told("handout", case, &words_of_page(&page)));
    if windows.len() == 1 {
        for (what, text) in [("card", &card), ("markdown", &notes), ("handout", &page)] {
            // `Window 18:47` is a time.
            let counted = text
                .to_lowercase()
                .split("window 1")
                .skip(1)
                .any(|rest| rest.starts_with(|c: char| !c.is_ascii_digit()));
            wrong.extend(counted.then(|| format!("{what}: window 1 where there is one")));
        }
    }
    let said = |difference| format!("night {:?} {}: {difference}", case.rules(), night.date);
    wrong.into_iter().map(said).collect()
}

/// The lines of a night's CSV at the instants of its windows.
fn lines_of_windows(windows: &[Row], table: &[Row]) -> Vec<String> {
    let mut wrong = Vec::new();
    for window in windows {
        let mut look = |what: &str, when: &str, columns: &[(&str, &str)]| {
            let at =
                |row: &&Row| row.text("what") == what && row.text("time_utc") == window.text(when);
            let Some(line) = table.iter().find(at) else {
                wrong.push(format!("no {what} at {}", window.text(when)));
                return;
            };
            for (of_window, of_line) in columns {
                let (a, b) = (window.text(of_window), line.text(of_line));
                if a != b {
                    wrong.push(format!("{what}: {of_line} {b:?}, the scan has {a:?}"));
                }
            }
        };
        look("window_opens", "start_utc", &[]);
        look("window_closes", "end_utc", &[]);
        look("window_best", "best_utc", &SHARED.map(|name| (name, name)));
        if window.is_blend() {
            look("moonlit_land_begins", "moonlit_start_utc", &[]);
            look("moonlit_land_ends", "moonlit_end_utc", &[]);
            look("moonlit_land_best", "moonlit_best_utc", &OF_LAND);
        }
    }
    wrong
}

/// The rows of a card below a heading that ends so, as words.
fn of_card(text: &str, heading: &str) -> Vec<Vec<String>> {
    let mut lines = text.lines().skip_while(|line| !line.contains(heading));
    let order = heading.starts_with("true");
    let head = lines.next().unwrap_or_default();
    let place = head.find("alt").unwrap_or_default();
    lines
        .take_while(|line| !line.is_empty())
        .map(|line| {
            if !order {
                // `10 s` is one cell.
                let line = line.replace(" s ", "s ");
                return line.split_whitespace().map(str::to_owned).collect();
            }
            let (time, rest) = line.split_at_checked(5).unwrap_or((line, ""));
            let chars: Vec<char> = rest.chars().collect();
            // A number of the first column begins two blanks before its head.
            let cut = place.saturating_sub(6).min(chars.len());
            let (words, places) = chars.split_at(cut);
            let text = |part: &[char]| part.iter().collect::<String>().trim().to_owned();
            let mut cells = vec![time.to_owned(), text(words)];
            cells.extend(text(places).split_whitespace().map(str::to_owned));
            cells.resize(5, String::new());
            cells
        })
        .collect()
}

fn with_page<T>(page: &str, read: impl FnOnce(Node<'_, '_>) -> T) -> T {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    let document = Document::parse_with_options(page, options).expect("well formed");
    read(document.root_element())
}

/// The rows of the timetable and of the steps, their cells in the order of a
/// card: the page has shutter and ISO beside the time, and in the timetable the
/// place in smaller type behind the words.
fn of_page(page: &str) -> (Vec<Vec<String>>, Vec<Vec<String>>) {
    with_page(page, |root| {
        let order = table_of(root, "order").into_iter().map(|cells| {
            let time = cells.first().map(|cell| cell[0].clone());
            let [words, place] = cells.last().cloned().unwrap_or_default();
            let mut line = vec![time.unwrap_or_default(), words.trim().to_owned()];
            let places = place.split(", ").map(|part| part.replace("compass ", ""));
            line.extend(places);
            line.resize(5, String::new());
            line
        });
        let steps = table_of(root, "steps").into_iter().map(|cells| {
            let mut cells: Vec<String> = cells.into_iter().map(|[text, _]| text).collect();
            if cells.len() >= STEP.len() {
                // Shutter and ISO go behind the first of the others.
                cells[1..STEP.len()].rotate_left(2);
            }
            cells
        });
        (order.collect(), steps.collect())
    })
}

/// The rows of the body of a table: of each cell the text, and what is in smaller
/// type.
fn table_of(root: Node<'_, '_>, class: &str) -> Vec<Vec<[String; 2]>> {
    let named = |node: &Node<'_, '_>| node.attribute("class") == Some(class);
    let mut tables = root.descendants().filter(|n| n.has_tag_name("table"));
    let Some(table) = tables.find(named) else {
        return Vec::new();
    };
    let body = table.children().filter(|node| node.has_tag_name("tbody"));
    let rows = body
        .flat_map(|body| body.children())
        .filter(|node| node.has_tag_name("tr"));
    let text = |cell: Node<'_, '_>| {
        let mut both = [String::new(), String::new()];
        for node in cell.descendants().filter(|node| node.is_text()) {
            let is_small = node.ancestors().any(|node| node.has_tag_name("small"));
            both[usize::from(is_small)] += node.text().unwrap_or_default();
        }
        both
    };
    rows.map(|row| {
        let cells = row.children().filter(|node| node.is_element());
        cells.map(text).collect()
    })
    .collect()
}

/// Everything that a page says, a line a text.
fn words_of_page(page: &str) -> String {
    with_page(page, |root| {
        let body = root.descendants().filter(|node| node.is_text());
        let outside = |node: &Node<'_, '_>| {
            let style = node
                .parent()
                .is_some_and(|parent| parent.has_tag_name("style"));
            !style
        };
        let texts: Vec<&str> = body
            .filter(outside)
            .filter_map(|node| node.text())
            .collect();
        texts.join("\n")
    })
}

/// Whether a rounded number on paper is that of a value.
fn rounds(text: &str, value: Option<f64>, circle: bool) -> bool {
    let plain = text.trim_end_matches(['°', '%']);
    match (plain.parse::<f64>(), value) {
        (Ok(told), Some(value)) => {
            let decimals = plain.split_once('.').map_or(0, |(_, rest)| rest.len());
            let half = 0.5 * 10_f64.powi(-(decimals as i32)) + 0.0051;
            let away = told - value;
            let away = match circle {
                true => (away + 180.0).rem_euclid(360.0) - 180.0,
                false => away,
            };
            away.abs() <= half
        }
        (Err(_), None) => matches!(plain, "" | "-"),
        _ => false,
    }
}

/// Lines of a timetable that are not the document's.
fn unlike_order<'a>(
    document: &'a Value,
    order: &'a [Vec<String>],
) -> impl Iterator<Item = String> + 'a {
    let lines = document["timetable"].as_array().expect("an order");
    order.iter().filter_map(move |cells| {
        let same = |line: &&Value| {
            let local = line["time_local"].as_str().unwrap_or_default();
            let clock = local.split_once(' ').map_or("", |(_, clock)| clock);
            line["text"] == cells[1].as_str() && near_minute(&cells[0], clock)
        };
        let Some(line) = lines.iter().find(same) else {
            return Some(format!("{cells:?} is no line of the document"));
        };
        let number = |name: &str| line[name].as_f64();
        // A twilight is told by the Sun's geometric altitude.
        let twilight = cells[1].contains("twilight");
        let good = (twilight || rounds(&cells[2], number("altitude_deg"), false))
            && rounds(&cells[3], number("azimuth_deg"), true)
            && rounds(&cells[4], number("magnetic_azimuth_deg"), true);
        (!good).then(|| format!("{cells:?}: {line}"))
    })
}

/// `HH:MM`, with an offset or without, as a time to the second.
fn near_minute(told: &str, clock: &str) -> bool {
    let seconds = |text: &str| -> Option<i64> {
        let mut parts = text
            .split([':', ' ', '+'])
            .map(|part| part.parse::<i64>().ok());
        let (hours, minutes) = (parts.next()??, parts.next()??);
        Some(3600 * hours + 60 * minutes + parts.next().flatten().unwrap_or(0))
    };
    // In Markdown the time of a line within a window is bold.
    let told = told.trim_start_matches('*').get(..5).and_then(seconds);
    told.zip(seconds(clock)).is_some_and(|(told, clock)| {
        let away = (told - clock + 43_200).rem_euclid(86_400) - 43_200;
        away.abs() <= 30
    })
}

/// Steps that are not those of the CSV.
fn unlike_steps<'a>(
    table: &'a [Row],
    steps: &'a [Vec<String>],
) -> impl Iterator<Item = String> + 'a {
    let of_table: Vec<&Row> = table
        .iter()
        .filter(|row| row.text("what") == "step")
        .collect();
    let count = (of_table.len() != steps.len())
        .then(|| format!("{} steps, {} in the CSV", steps.len(), of_table.len()));
    let pairs = of_table.into_iter().zip(steps);
    count
        .into_iter()
        .chain(pairs.flat_map(|(row, cells)| unlike_step(row, cells)))
}

fn unlike_step(row: &Row, cells: &[String]) -> Vec<String> {
    if cells.len() < STEP.len() {
        return vec![format!("a step of {} cells: {cells:?}", cells.len())];
    }
    let number = |name: &str| row.text(name).parse::<f64>().ok();
    // Near the horizon the Moon's limb may still be up, and give light.
    let up = number("moon_altitude_deg").is_some_and(|altitude| altitude > 0.0)
        || !row.text("light_angle_deg").is_empty();
    let of_moon = |value: Option<f64>| value.filter(|_| up);
    let clear = row.text("moon_clear") == "true";
    let cell = |name: &str| {
        let index = STEP.iter().position(|column| *column == name);
        index.map_or("", |index| cells[index].as_str())
    };
    let light = match (row.text("light_angle_deg"), clear) {
        _ if !up => cell("light") == "-",
        ("", true) => cell("light") == "-",
        (_, false) => cell("light") == "ridge",
        (_, true) => {
            let side = cell("light").chars().last();
            let angle = cell("light").trim_end_matches(['L', 'R', '°']);
            rounds(angle, number("light_angle_deg"), false)
                && side == row.text("light_side").to_uppercase().chars().next()
        }
    };
    let tests = [
        (
            "time",
            near_minute(cell("time"), &row.text("time_local")[11..]),
        ),
        (
            "sun",
            rounds(cell("sun"), number("sun_altitude_deg"), false),
        ),
        (
            "moon_up",
            rounds(cell("moon_up"), of_moon(number("moon_altitude_deg")), false),
        ),
        (
            "moon_az",
            rounds(cell("moon_az"), of_moon(number("moon_azimuth_deg")), true),
        ),
        ("light", light),
        (
            "mlx",
            rounds(
                &millilux(cell("mlx")),
                of_moon(number("moonlight_lux").map(|lux| 1000.0 * lux)),
                false,
            ),
        ),
        (
            "up",
            match number("target_altitude_deg") {
                Some(above) if above > 0.0 && row.text("target_clear") == "false" => {
                    cell("up") == "ridge"
                }
                altitude => rounds(cell("up"), altitude, false),
            },
        ),
        ("az", rounds(cell("az"), number("target_azimuth_deg"), true)),
        (
            "arch",
            rounds(cell("arch"), number("arch_altitude_deg"), false),
        ),
        ("mag", rounds(cell("mag"), number("sky_mag_arcsec2"), false)),
        (
            "stops",
            rounds(cell("stops"), number("land_vs_sky_stops"), false),
        ),
        ("iso", cell("iso") == row.text("iso")),
    ];
    tests
        .into_iter()
        .filter(|(_, good)| !good)
        .map(|(name, _)| {
            let near = ["moon_altitude_deg", "light_angle_deg", "moon_clear"];
            let near = near.map(|column| row.text(column));
            format!(
                "{}: {name} {:?}, {near:?}",
                row.text("time_local"),
                cell(name)
            )
        })
        .collect()
}
