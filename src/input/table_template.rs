//! The table of sites to start from.

use super::demo::demo_site;
use super::fault::Faults;
use crate::csv_style::CsvStyle;
use crate::scene::Site;
use csv::{Terminator, WriterBuilder};

/// What a site of the table holds under a key.
enum Example {
    Text(fn(&Site) -> Option<String>),
    /// One number or several in one field.
    Number(fn(&Site) -> Option<String>),
}

use Example::{Number, Text};

/// The keys that most tables have, in the order of all keys.
static COLUMNS: [(&str, Example); 14] = [
    ("name", Text(|site| Some(site.name.clone()))),
    (
        "latitude_deg",
        Number(|site| Some(site.latitude_deg.to_string())),
    ),
    (
        "longitude_deg",
        Number(|site| Some(site.longitude_deg.to_string())),
    ),
    (
        "elevation_m",
        Number(|site| Some(site.elevation_m.to_string())),
    ),
    ("time_zone", Text(|site| Some(site.zone.name().to_owned()))),
    ("notes", Text(|site| site.notes.clone())),
    (
        "subject.name",
        Text(|site| site.subject.as_ref()?.name.clone()),
    ),
    (
        "subject.bearing_deg",
        Number(|site| whole(site.subject_bearing_deg()?)),
    ),
    (
        "subject.distance_m",
        Number(|site| whole(site.subject_distance_m()?)),
    ),
    (
        "subject.height_m",
        Number(|site| Some(site.subject.as_ref()?.height_m?.to_string())),
    ),
    (
        "camera.sensor_mm",
        Number(|site| pair(site.camera.as_ref()?.sensor_mm)),
    ),
    (
        "camera.pixels",
        Number(|site| pair(site.camera.as_ref()?.pixels)),
    ),
    (
        "camera.focal_mm",
        Number(|site| Some(site.camera.as_ref()?.focal_mm.to_string())),
    ),
    (
        "camera.f_number",
        Number(|site| Some(site.camera.as_ref()?.f_number.to_string())),
    ),
];

fn whole(number: f64) -> Option<String> {
    Some(number.round().to_string())
}

fn pair<T: ToString>([width, height]: [T; 2]) -> Option<String> {
    Some(format!("{}x{}", width.to_string(), height.to_string()))
}

/// A table of sites with the columns that most tables have, and the built-in
/// demo site as the only row.
///
/// # Errors
///
/// None in a build that passes its tests: they write and read it.
pub fn site_table_template(style: CsvStyle) -> Result<String, Faults> {
    let site = demo_site()?;
    let fields = COLUMNS.iter().map(|(_, example)| match example {
        Text(of) => of(&site).unwrap_or_default(),
        Number(of) => style.number(&of(&site).unwrap_or_default()),
    });
    let mut table = WriterBuilder::new()
        .delimiter(style.separator())
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    // Writing to memory does not fail.
    let written = table
        .write_record(COLUMNS.iter().map(|(key, _)| key))
        .and_then(|()| table.write_record(fields));
    debug_assert!(written.is_ok(), "a vector takes all");
    let bytes = table.into_inner().unwrap_or_default();
    Ok(String::from_utf8(bytes).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::input::{SiteTable, site_keys};
    use std::path::Path;

    #[test]
    fn the_table_has_known_keys_in_their_order_and_reads_back() {
        let all: Vec<String> = site_keys().collect();
        let place = |key: &str| all.iter().position(|known| known == key).expect("a key");
        let places: Vec<usize> = COLUMNS.iter().map(|(key, _)| place(key)).collect();
        assert!(places.is_sorted());
        let demo = demo_site().expect("the demo site");
        for style in CsvStyle::ALL {
            let text = site_table_template(style).expect("a table");
            assert!(!text.contains("Some") && text.lines().count() == 2);
            let table = SiteTable::new("t.csv", Path::new(""), text.as_bytes());
            let sites: Vec<_> = table.expect("a header").collect();
            let [Ok(site)] = sites.as_slice() else {
                panic!("{style:?}: {sites:?}")
            };
            assert_eq!(
                (&site.name, site.latitude_deg),
                (&demo.name, demo.latitude_deg)
            );
            assert_eq!((&site.camera, &site.notes), (&demo.camera, &demo.notes));
            let bearing = site.subject_bearing_deg().expect("a bearing");
            assert!((bearing - demo.subject_bearing_deg().expect("a bearing")).abs() <= 0.5);
        }
    }
}
