//! The words that judge a window, against the numbers beside them.

use super::{rakelight, stdout};
use crate::program::Folder;
use std::collections::{HashMap, HashSet};

type Row = HashMap<String, String>;

/// A site's windows of two months, washed out or not.
fn rows(site: &str) -> Vec<Row> {
    let folder = Folder::new();
    let site = folder.file("site.toml", site);
    let asked = "--light any --from 2027-05-20 --to 2027-07-20 --contrast 0.. --sun-altitude ..-9 \
                 --min-minutes 1 --all --quiet --format csv";
    let asked: Vec<&str> = asked.split_whitespace().collect();
    let csv = stdout(&rakelight(&[&["scan", &site][..], &asked].concat()));
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let rows = reader.deserialize().map(|row| row.expect("a row"));
    rows.collect()
}

fn number(row: &Row, column: &str) -> f64 {
    let text = &row[column];
    text.parse()
        .unwrap_or_else(|_| panic!("{column} is {text:?}"))
}

/// A site with these lines about its subject and its sky.
fn site(subject: &str, sky: &str) -> String {
    format!(
        "latitude_deg = -31.4\nlongitude_deg = 139.2\ntime_zone = \"UTC\"\n\
         [subject]\nbearing_deg = 205\n{subject}\n[sky]\n{sky}\n"
    )
}

#[test]
fn how_the_milky_way_looks_follows_from_its_contrast() {
    let mut words = HashSet::new();
    // The last is the sky of a city.
    for sky in ["bortle = 2", "bortle = 6", "bortle = 8"] {
        for row in rows(&site("", sky)) {
            let contrast = number(&row, "milky_way_contrast");
            let word = match contrast {
                little if little < 0.1 => "hopeless",
                some if some < 0.3 => "washed_out",
                _ => "clear",
            };
            // Rounded, a contrast may stand on the threshold itself.
            if (contrast - 0.1).abs() > 1e-4 && (contrast - 0.3).abs() > 1e-4 {
                assert_eq!(row["milky_way_visibility"], word, "{contrast}");
                words.insert(word);
            }
        }
    }
    assert_eq!(words.len(), 3, "{words:?}");
}

/// `docs/formats.md`: land within 3 stops darker and 1 brighter; likely if three
/// quarters of the range are, perhaps if one quarter is.
#[test]
fn one_frame_follows_from_the_balance_and_how_far_it_may_be_off() {
    let mut words = HashSet::new();
    for subject in [
        "reflectance = 0.1",
        "reflectance = 0.25",
        "reflectance = 0.8",
    ] {
        for row in rows(&site(subject, "zenith_mag_arcsec2 = 21.6")) {
            let balance = number(&row, "land_vs_sky_stops");
            let half = number(&row, "land_vs_sky_half_width_stops");
            let (low, high) = ((balance - half).max(-3.0), (balance + half).min(1.0));
            let share = (high - low) / (2.0 * half);
            let word = match share {
                most if most >= 0.75 => "likely",
                some if some >= 0.25 => "perhaps",
                _ => "no",
            };
            // Balance and half width are rounded to hundredths.
            let unsure = 0.02 / half;
            if (share - 0.75).abs() > unsure && (share - 0.25).abs() > unsure {
                assert_eq!(row["one_exposure"], word, "{balance} {half}");
                words.insert(word);
            }
        }
    }
    assert_eq!(words.len(), 3, "{words:?}");
}

#[test]
fn the_more_is_known_of_the_land_the_surer_is_its_balance() {
    let known = [
        "",
        "reflectance = 0.2",
        "reflectance = 0.2\nreflectance_measured = 2027-05-29",
    ];
    let [none, given, measured] = known.map(|known| {
        let of_night = |row: Row| (row["night"].clone() + &row["start_utc"], row);
        let rows = rows(&site(known, "zenith_mag_arcsec2 = 21.6")).into_iter();
        rows.map(of_night).collect::<HashMap<String, Row>>()
    });
    assert!(given.len() > 40, "{}", given.len());
    for (night, row) in &given {
        let width =
            |rows: &HashMap<String, Row>| number(&rows[night], "land_vs_sky_half_width_stops");
        let (least, some, most) = (width(&measured), width(&given), width(&none));
        assert!(
            least + 0.1 < some && some + 0.05 < most,
            "{least} {some} {most}"
        );
        // That it was measured changes no brightness.
        for column in [
            "score",
            "best_utc",
            "land_vs_sky_stops",
            "level_vs_sky_stops",
        ] {
            assert_eq!(measured[night][column], row[column], "{night} {column}");
        }
    }
}

/// The tables of starlight leave the Magellanic Clouds out: no contrast is
/// made up for them, and the rule on contrast lets them be.
#[test]
fn a_target_of_unknown_brightness_has_no_contrast() {
    let folder = Folder::new();
    let site = folder.file("site.toml", site("", "bortle = 2"));
    // The Large Cloud, SIMBAD: 05 23 34.6 -69 45 22.
    let asked = "--light dark --target icrs:80.9,-69.8 --facing target --from 2027-01-01 \
                 --to 2027-01-31 --contrast 0.9.. --quiet --format csv";
    let asked: Vec<&str> = asked.split_whitespace().collect();
    let csv = stdout(&rakelight(&[&["scan", &site][..], &asked].concat()));
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let rows: Vec<Row> = reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect();
    assert!(rows.len() > 10, "{}", rows.len());
    for row in rows {
        for column in [
            "milky_way_contrast",
            "milky_way_visibility",
            "score_contrast",
        ] {
            assert_eq!(row[column], "", "{column}");
        }
    }
}
