//! The table of a scan, read by the places of its columns.

use super::{
    Case,
    fact::{Row, Told, millilux, put_hours, put_light},
};

/// The two lines of heading and the rows, as words.
fn parts(text: &str) -> (Vec<&str>, Vec<&str>, Vec<Vec<&str>>) {
    let lines: Vec<&str> = text.lines().collect();
    let Some(at) = lines
        .iter()
        .position(|line| line.trim_start().starts_with('#'))
    else {
        return Default::default();
    };
    let text: Vec<Vec<&str>> = lines
        .iter()
        .map(|line| line.split_whitespace().collect())
        .collect();
    let rows = text[at + 1..]
        .iter()
        .take_while(|words| {
            words
                .first()
                .is_some_and(|word| word.parse::<u32>().is_ok())
        })
        .cloned()
        .collect();
    (text[at - 1].clone(), text[at].clone(), rows)
}

/// The columns further right, in their order, where there is room.
const FURTHER: [&str; 7] = [
    "minutes",
    "kept_percent",
    "moonlight_mlx",
    "sky_mag",
    "arch_top",
    "shadow",
    "utc_offset",
];

/// The columns that go first where there is no room, in order.
const DROPPED: [&str; 4] = ["stops", "frame", "target_up", "moon_up"];

pub fn read(text: &str, case: &Case) -> Vec<Told> {
    let blend = case.light == "blend";
    let (over, names, rows) = parts(text);
    if rows.is_empty() {
        return Vec::new();
    }
    assert_eq!(names.contains(&"moonlit"), blend, "{names:?}");
    assert!(over.contains(&"Milky"), "{over:?}");
    assert!(!(blend && names.contains(&"kept")), "{names:?}");
    let mut columns = vec!["rank", "score", "weekday", "night", "window", "best"];
    if blend {
        columns.push("moonlit");
    }
    columns.extend(["moon_percent", "moon_up", "light", "target_up"]);
    let after_target = columns.len();
    if names.contains(&"frame") {
        columns.push("frame");
    }
    columns.push("contrast");
    if !blend {
        columns.push("stops");
    }
    // Where the terminal is too narrow for all of them.
    for dropped in DROPPED {
        if rows[0].len() < columns.len() {
            columns.retain(|name| *name != dropped);
        }
    }
    let further = FURTHER
        .iter()
        // That of the moonlit land is another than that of the sky.
        .filter(|name| !(blend && **name == "kept_percent"));
    if rows[0].len() > columns.len() {
        columns.insert(after_target, "target_azimuth");
    }
    columns.extend(further.take(rows[0].len() - columns.len()));
    rows.iter()
        .map(|row| {
            assert_eq!(row.len(), columns.len(), "{columns:?}: {row:?}");
            let mut told = Told::new();
            for (name, text) in columns.iter().zip(row) {
                let plain = text.trim_end_matches(['%', '~', '°']).to_owned();
                match *name {
                    "weekday" => {}
                    "window" => put_hours(&mut told, ["start", "end"], text),
                    "moonlit" => put_hours(&mut told, ["moonlit_start", "moonlit_end"], text),
                    "light" => put_light(&mut told, text),
                    "score" => {
                        told.insert("marked", text.ends_with('~').to_string());
                        told.insert("score", plain);
                    }
                    "moonlight_mlx" => {
                        told.insert(name, millilux(&plain));
                    }
                    name => {
                        told.insert(name, plain);
                    }
                }
            }
            told
        })
        .collect()
}

/// What the lines below the table tell that its rows do not have, or do not
/// tell that they have.
pub fn wrong_notes(text: &str, rows: &[Row]) -> Vec<String> {
    let mut wrong = Vec::new();
    let (over, names, _) = parts(text);
    let heads = [over, names].concat();
    let note = |begin: &str| text.lines().find(|line| line.starts_with(begin));
    let doubted = |doubt: &str| rows.iter().any(|row| row.text("doubts").contains(doubt));
    let mark = note("~ ").unwrap_or_default();
    for (doubt, words) in [
        ("moon_near_horizon", "Moon is within"),
        ("target_low", "below 5°"),
    ] {
        if mark.contains(words) != doubted(doubt) {
            wrong.push(format!("{doubt}: {mark:?}"));
        }
    }
    let guessed = note("The sky brightness is an estimate");
    let is_rough = |name: &&str| ["Way", "kept", "stops", "mag"].contains(name);
    let rough = heads.iter().any(is_rough);
    if guessed.is_some() != (rough && doubted("sky_guessed")) {
        wrong.push(format!("sky_guessed: {guessed:?}"));
    }
    for column in ["Way", "kept", "stops", "mag"] {
        let told = guessed.is_some_and(|note| {
            note.split(|c: char| !c.is_alphanumeric())
                .any(|word| word == column)
        });
        let shown = heads.contains(&column);
        if told != shown && guessed.is_some() {
            wrong.push(format!("{column}: shown {shown}, {guessed:?}"));
        }
    }
    for row in rows {
        let night = row.text("night");
        let told = text.lines().find_map(|line| {
            let (_, rest) = line.split_once(&format!("{night}: "))?;
            // How sure its light is may follow.
            let (kind, _) = rest.split_once(" lunar eclipse in the window")?;
            Some(kind)
        });
        let same_night = rows.iter().filter(|other| other.text("night") == night);
        let kinds: Vec<&str> = same_night.map(|row| row.text("eclipse")).collect();
        if !kinds.contains(&told.unwrap_or_default()) {
            wrong.push(format!("{night}: eclipse {told:?}, the CSV has {kinds:?}"));
        }
    }
    wrong
}
