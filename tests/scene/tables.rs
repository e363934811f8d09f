//! CSV tables of sites, and files that cannot be read.

use rakelight::input::{SiteTable, Sites, read_brief_file, read_site_table, read_sites};
use std::path::Path;

fn rows(table: &str) -> Vec<String> {
    let directory = Path::new("tests/data/scene");
    match SiteTable::new("t.csv", directory, table.as_bytes()) {
        Ok(sites) => sites
            .map(|site| match site {
                Ok(site) => format!("{} {} {}", site.name, site.latitude_deg, site.longitude_deg),
                Err(faults) => faults.to_string(),
            })
            .collect(),
        Err(faults) => vec![faults.to_string()],
    }
}

#[test]
fn a_table_gives_the_same_sites_as_files_would() {
    let sites: Vec<_> = match read_sites(Path::new("tests/data/scene/two-sites.csv")) {
        Ok(sites) => sites.collect(),
        Err(faults) => panic!("{faults}"),
    };
    let text = "\
name = \"Salt Pan\"
latitude_deg = -31.4
longitude_deg = 139.2
elevation_m = 120
time_zone = \"Australia/Adelaide\"
[subject]
bearing_deg = 128
distance_m = 140
[sky]
bortle = 3
[camera]
sensor_mm = [36, 24]
pixels = [6000, 4000]
[skyline]
file = \"low.skyline.csv\"
[brief]
target_altitude = \"12..\"
weekdays = [\"fri\", \"sat\"]
";
    let same = rakelight::input::parse_site("x.toml", text, Path::new("tests/data/scene"));
    assert_eq!(sites.first(), Some(&same));
    let cape = "name = \"Cape, North\"\nlatitude_deg = 50.1\nlongitude_deg = -5.2\n";
    let same = rakelight::input::parse_site("x.toml", cape, Path::new(""));
    assert_eq!(sites.get(1), Some(&same));
    assert_eq!(sites.len(), 2);
}

#[test]
fn a_bad_row_does_not_stop_the_good_ones() {
    let table = "\u{feff}name,latitude_deg,longitude_deg,subject.bearing_deg,brief.light\r\n\
                 A,1,2,,\r\n\
                 ,139.2,-31.4,north,\r\n\
                 C,1\r\n\
                 \r\n\
                 D,,2,,racking\r\n\
                 E,\"3\",4,5,dark";
    assert_eq!(
        rows(table),
        [
            "A 1 2",
            "t.csv:3: name: found nothing, expected a name; give the site a name\n\
             t.csv:3:2: latitude_deg: found 139.2, expected a number from -90 to 90; \
             latitude and longitude may be swapped\n\
             t.csv:3:4: subject.bearing_deg: found north, expected a true bearing from 0 to 360",
            "t.csv:4: found 2 fields, expected 5 fields, as many as in the header; \
             an empty field keeps its comma",
            "t.csv:6: latitude_deg: found nothing, expected a number from -90 to 90; \
             add latitude_deg, north positive\n\
             t.csv:6:5: brief.light: found racking, expected one of raking, dark, blend, any; \
             did you mean raking?",
            "E 3 4",
        ]
    );
}

#[test]
fn the_header_is_checked_first() {
    for (table, message) in [
        (
            "",
            "t.csv:1:1: found nothing, expected a header with the names of the columns; \
             begin with the line name,latitude_deg,longitude_deg",
        ),
        (
            "name,latitude_deg\n",
            "t.csv:1: longitude_deg: found nothing, expected a column longitude_deg; \
             add it to the header and to each row",
        ),
        (
            "name,latitude,longitude_deg\n",
            "t.csv:1:2: found latitude, expected a key of a site; \
             did you mean latitude_deg or own.latitude (passed through)?",
        ),
        (
            "name,latitude_deg,longitude_deg,bearing_deg\n",
            "t.csv:1:4: found bearing_deg, expected a key of a site; \
             did you mean subject.bearing_deg or own.bearing_deg (passed through)?",
        ),
        (
            "name,latitude_deg,longitude_deg,name\n",
            "t.csv:1:4: found name, expected each column once; it is column 1 already: take one out",
        ),
        (
            "name,latitude_deg,longitude_deg,\n",
            "t.csv:1:4: found nothing, expected the name of a column; \
             give it a name, or take the comma out",
        ),
        (
            "name;latitude_deg;longitude_deg;\n",
            "t.csv:1:4: found nothing, expected the name of a column; \
             give it a name, or take the semicolon out",
        ),
    ] {
        assert_eq!(rows(table), [message], "{table}");
    }
}

#[test]
fn bytes_that_are_not_utf8_are_told_with_their_line() {
    let sites = read_sites(Path::new("tests/data/scene/latin1.csv"));
    let seen: Vec<String> = sites
        .into_iter()
        .flatten()
        .map(|site| site.map_or_else(|faults| faults.to_string(), |site| site.name))
        .collect();
    assert_eq!(
        seen,
        [
            "A",
            "tests/data/scene/latin1.csv:3:2: found bytes that are not UTF-8, \
             expected UTF-8 text; save the file as UTF-8"
        ]
    );
    assert_eq!(
        first_fault(read_sites(Path::new("tests/data/scene/latin1.toml"))),
        "tests/data/scene/latin1.toml:2:10: found bytes that are not UTF-8, \
         expected UTF-8 text; save the file as UTF-8"
    );
}

fn first_fault(sites: Result<Sites, rakelight::input::Faults>) -> String {
    match sites {
        Ok(_) => "accepted".to_owned(),
        Err(faults) => faults.to_string(),
    }
}

#[test]
fn files_that_cannot_be_read_are_told() {
    for (path, message) in [
        (
            "no-such.toml",
            "found no such file, expected a site file; check the path",
        ),
        (
            "no-such.csv",
            "found no such file, expected a table of sites; check the path",
        ),
        (
            "no-such",
            "found no such file, expected a site file; check the path",
        ),
        (
            "demo-sites",
            "found a directory, expected a site file; give a file in it",
        ),
        (
            "tests/scene/tables.rs",
            "found another ending, expected a name that ends in .toml, .csv, .gpx, .kml or \
             .geojson; rename it: .toml for a site, .csv for a table of sites, .gpx, .kml or \
             .geojson for points",
        ),
    ] {
        assert_eq!(
            first_fault(read_sites(Path::new(path))),
            format!("{path}: {message}")
        );
    }
    assert_eq!(
        read_brief_file(Path::new("no-such.toml"))
            .expect_err("no file")
            .to_string(),
        "no-such.toml: found no such file, expected a brief file; check the path"
    );
}

/// A table far larger than any buffer, made as it is read: the sites come one
/// by one, and the reader never gets ahead of them.
#[test]
fn a_long_table_is_read_as_it_comes() {
    struct Endless {
        made: std::sync::Arc<std::sync::atomic::AtomicUsize>,
    }
    impl std::io::Read for Endless {
        fn read(&mut self, out: &mut [u8]) -> std::io::Result<usize> {
            use std::sync::atomic::Ordering::Relaxed;
            let mut count = 0;
            for byte in out.iter_mut() {
                let at = self.made.fetch_add(1, Relaxed);
                let header = b"name,latitude_deg,longitude_deg\n";
                let row = b"A,1,2\n";
                *byte = match header.get(at) {
                    Some(byte) => *byte,
                    None => row[(at - header.len()) % row.len()],
                };
                count += 1;
            }
            Ok(count)
        }
    }
    let made = std::sync::Arc::default();
    let reader = Endless {
        made: std::sync::Arc::clone(&made),
    };
    let sites = match read_site_table("standard input", Path::new(""), reader) {
        Ok(sites) => sites,
        Err(faults) => panic!("{faults}"),
    };
    let read = sites.take(50_000).filter(|site| site.is_ok()).count();
    assert_eq!(read, 50_000);
    let bytes = made.load(std::sync::atomic::Ordering::Relaxed);
    assert!(bytes < 50_000 * 6 + 100_000, "{bytes} bytes read ahead");
}
