//! No text at all, however odd, is more than a fault.

use proptest::prelude::*;
use rakelight::{
    input::{SiteTable, parse_sites, read_brief},
    scene::{Zone, parse_date},
};
use std::path::Path;

/// Lines that look like a site file's, with values from everywhere.
fn line() -> impl Strategy<Value = String> {
    let key = prop::sample::select(vec![
        "name",
        "latitude_deg",
        "longitude_deg",
        "time_zone",
        "subject",
        "subject.bearing_deg",
        "sky.bortle",
        "camera.sensor_mm",
        "brief.target_azimuth",
        "brief.weekdays",
        "skyline.file",
        "[subject]",
        "[brief]",
        "[[sky]]",
        "[[view]]",
        "[view]",
        "[view.subject]",
        "bearing_deg",
        "view",
        "é",
    ]);
    let value = prop_oneof![
        any::<f64>().prop_map(|number| number.to_string()),
        any::<i64>().prop_map(|number| number.to_string()),
        ".{0,12}",
        ".{0,12}".prop_map(|text| format!("{text:?}")),
        Just("[1, [2, {a = 3}]]".to_owned()),
        Just("1979-05-27".to_owned()),
        Just(String::new()),
    ];
    (key, value).prop_map(|(key, value)| {
        if key.starts_with('[') {
            key.to_owned()
        } else {
            format!("{key} = {value}")
        }
    })
}

proptest! {
    #[test]
    fn a_site_file_of_anything_is_read_or_refused(lines in prop::collection::vec(line(), 0..8)) {
        let text = lines.join("\n");
        if let Err(faults) = parse_sites("s.toml", &text, Path::new("no-such-directory")) {
            prop_assert!(!faults.0.is_empty());
            prop_assert_eq!(faults.to_string().lines().count(), faults.0.len());
        }
        if let Err(faults) = read_brief("b.toml", &text) {
            prop_assert!(!faults.0.is_empty());
        }
    }

    #[test]
    fn a_table_of_anything_is_read_or_refused(
        text in "(name,latitude_deg,longitude_deg,subject.distance_m\n)?([a-z0-9.,\"\r\n\u{e9}-]{0,80})",
    ) {
        if let Ok(sites) = SiteTable::new("t.csv", Path::new(""), text.as_bytes()) {
            for site in sites {
                if let Err(faults) = site {
                    prop_assert!(!faults.0.is_empty());
                }
            }
        }
    }

    #[test]
    fn times_and_dates_of_anything_are_read_or_refused(text in "[0-9T:Z+. -]{0,30}|.{0,20}") {
        let _ = parse_date(&text);
        let _ = Zone::named(&text).map(|zone| zone.parse_time(&text));
        let _ = Zone::UTC.parse_time(&text);
    }
}
