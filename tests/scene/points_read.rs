//! Points of maps as sites: files that other libraries wrote, against what they
//! were told to write; what is unusual and still right; what a brief file gives
//! them.

use crate::endless;

use endless::Endless;
use rakelight::input::{BriefFile, Points, PointsForm, SiteReading, read_sites, read_sites_at};
use rakelight::scene::{Site, SubjectPlace, ZoneFrom};
use std::path::Path;
use std::sync::Arc;

const FOLDER: &str = "tests/data/points";

/// The sites of a text, each as its name or its faults.
fn read(form: PointsForm, text: &[u8]) -> Vec<Result<Site, String>> {
    let points = Points::new("m", form, text);
    points
        .map(|site| site.map_err(|faults| faults.to_string()))
        .collect()
}

fn only(form: PointsForm, text: &str) -> Site {
    let mut sites = read(form, text.as_bytes());
    assert_eq!(sites.len(), 1, "{text}");
    sites.remove(0).expect("a site")
}

fn in_gpx(inside: &str) -> String {
    format!("<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\">{inside}</gpx>")
}

fn in_kml(inside: &str) -> String {
    format!("<kml xmlns=\"http://www.opengis.net/kml/2.2\">{inside}</kml>")
}

#[test]
fn files_of_other_libraries_say_what_they_were_told_to() {
    let table = std::fs::read_to_string(format!("{FOLDER}/expected.csv")).expect("a table");
    let mut rows = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(table.as_bytes());
    let rows: Vec<csv::StringRecord> = rows.records().map(|row| row.expect("a row")).collect();
    let mut files: Vec<&str> = rows.iter().map(|row| &row[0]).collect();
    files.dedup();
    assert_eq!(files.len(), 8);
    for file in files {
        let path = format!("{FOLDER}/{file}");
        let sites: Vec<Site> = read_sites(Path::new(&path))
            .expect("a file")
            .map(|site| site.expect("a site"))
            .collect();
        let told: Vec<_> = rows.iter().filter(|row| &row[0] == file).collect();
        assert_eq!(sites.len(), told.len(), "{file}");
        for (site, row) in sites.iter().zip(told) {
            assert_eq!(site.name, &row[1], "{file}");
            let number = |column: usize| row[column].parse::<f64>().expect("a number");
            // As written, to the last digit.
            assert_eq!(site.latitude_deg, number(2), "{file} {}", site.name);
            assert_eq!(site.longitude_deg, number(3), "{file} {}", site.name);
            assert_eq!(site.elevation_m, number(4), "{file} {}", site.name);
            assert_eq!(site.notes.as_deref().unwrap_or_default(), &row[5], "{file}");
            assert!(site.zone_from != ZoneFrom::Given && site.camera.is_none());
        }
    }
}

#[test]
fn what_is_no_point_is_counted() {
    let left_out = |file: &str| {
        let mut sites = read_sites(Path::new(&format!("{FOLDER}/{file}"))).expect("a file");
        assert!(sites.by_ref().all(|site| site.is_ok()));
        sites.left_out().map(ToString::to_string)
    };
    assert_eq!(
        left_out("gpxpy.gpx").as_deref(),
        Some("1 route and 1 track")
    );
    assert_eq!(
        left_out("gpxpy-1.0.gpx").as_deref(),
        Some("1 route and 1 track")
    );
    assert_eq!(left_out("simplekml.kml").as_deref(), Some("1 line"));
    assert_eq!(left_out("geojson.geojson").as_deref(), Some("1 line"));
    assert_eq!(left_out("gdal.gpx"), None);
}

#[test]
fn gpx_as_it_is_met() {
    let form = PointsForm::Gpx;
    // A prefix, a mark, a document type, a single quotation mark, extensions with
    // names of their own, a name in pieces.
    let site = only(
        form,
        "\u{feff}<?xml version='1.0' encoding='utf-8'?>\n<!DOCTYPE gpx [<!ENTITY e \"x\">]>\n\
         <g:gpx xmlns:g='http://www.topografix.com/GPX/1/1' version='1.1'>\n\
         <g:wpt lat=' -31.4' lon='139.2 '>\n<g:extensions><name>no</name><ele>1</ele></g:extensions>\
         <g:name>A<![CDATA[ & <B>]]> &#x43;&amp;D<!-- no --></g:name><g:ele/>\
         <g:cmt>said</g:cmt></g:wpt></g:gpx>",
    );
    assert_eq!(site.name, "A & <B> C&D");
    assert_eq!((site.latitude_deg, site.longitude_deg), (-31.4, 139.2));
    assert_eq!(site.elevation_m, 0.0);
    assert_eq!(site.notes.as_deref(), Some("said"));
    // Devices write NaN for an elevation that they do not know.
    let unknown = only(
        form,
        &in_gpx("<wpt lat=\"1\" lon=\"2\"><ele>NaN</ele></wpt>"),
    );
    assert_eq!(
        (unknown.name.as_str(), unknown.elevation_m),
        ("point 1", 0.0)
    );
    // A name is made fit, and one of nothing but signs is none.
    for (given, name) in [
        ("=1+1", "1+1"),
        ("  a\n b ", "a b"),
        ("+", "point 1"),
        ("a\u{202e}b", "ab"),
    ] {
        let text = in_gpx(&format!(
            "<wpt lat=\"1\" lon=\"2\"><name>{given}</name></wpt>"
        ));
        assert_eq!(only(form, &text).name, name);
    }
}

#[test]
fn kml_as_it_is_met() {
    let form = PointsForm::Kml;
    let place = |inside: &str| {
        in_kml(&format!(
            "<Document><Folder><Folder>{inside}</Folder></Folder></Document>"
        ))
    };
    let html = "<Placemark><description><![CDATA[<p>Park <b>here</b>.<br>It&nbsp;is&#32;wet</p>]]>\
                </description><name>A</name><Point><coordinates>\n 139.2, -31.4 , 12\n\
                </coordinates></Point></Placemark>";
    let site = only(form, &place(html));
    assert_eq!(site.notes.as_deref(), Some("Park here. It is wet"));
    assert_eq!((site.longitude_deg, site.elevation_m), (139.2, 12.0));
    // A height above the ground is no elevation (KML 2.2, altitudeMode).
    let high = |mode: &str| {
        format!(
            "<Placemark><Point><altitudeMode>{mode}</altitudeMode>\
             <coordinates>139.2,-31.4,12</coordinates></Point></Placemark>"
        )
    };
    for (mode, elevation_m) in [
        ("absolute", 12.0),
        ("clampToGround", 12.0),
        ("relativeToGround", 0.0),
    ] {
        assert_eq!(only(form, &in_kml(&high(mode))).elevation_m, elevation_m);
    }
    let several = place(
        "<Placemark><name>M</name><MultiGeometry><Point><coordinates>1,2</coordinates></Point>\
         <MultiGeometry><Point><coordinates>3,4</coordinates></Point></MultiGeometry>\
         <Polygon/></MultiGeometry></Placemark>",
    );
    let names: Vec<String> = read(form, several.as_bytes())
        .into_iter()
        .map(|site| site.expect("a site").name)
        .collect();
    assert_eq!(names, ["M (1)", "M (2)"]);
}

#[test]
fn geojson_as_it_is_met() {
    let form = PointsForm::GeoJson;
    // A feature, or a geometry, alone.
    let point = r#"{"type":"Point","coordinates":[139.2,-31.4]}"#;
    assert_eq!(only(form, point).longitude_deg, 139.2);
    let feature = format!(
        r#" {{"properties":{{"NAME":"A","elevation_m":7,"desc":"d"}},"geometry":{point},"type":"Feature","id":[{{}}]}} "#
    );
    let site = only(form, &feature);
    assert_eq!((site.name.as_str(), site.elevation_m), ("A", 7.0));
    assert_eq!(site.notes.as_deref(), Some("d"));
    // Members in any order, signs within texts, geometries within each other, a
    // third coordinate before the property.
    let text = r#"{"crs":{"x":"]}\""},"features":[
        {"type":"Feature","properties":{"name":"\u0041]}\\"},"geometry":{"type":"GeometryCollection",
         "geometries":[{"type":"MultiPoint","coordinates":[[1,2,3],[4,5]]},
                       {"type":"Polygon","coordinates":[[[1,2],[3,4],[5,6],[1,2]]]}]}}
        ],"type":"FeatureCollection"}"#;
    let sites = read(form, text.as_bytes());
    let told: Vec<_> = sites
        .iter()
        .map(|site| {
            let site = site.as_ref().expect("a site");
            (site.name.as_str(), site.latitude_deg, site.elevation_m)
        })
        .collect();
    assert_eq!(told, [("A]}\\ (1)", 2.0, 3.0), ("A]}\\ (2)", 5.0, 0.0)]);
}

/// What never ends within a point is refused, after some megabytes.
#[test]
fn an_endless_piece_is_refused() {
    for (form, begin, again, told) in [
        (
            PointsForm::Gpx,
            &b"<gpx>\n<wpt lat=\"1\" lon=\"2\"><name>"[..],
            &b"xxxxxxxx"[..],
            "m:2: found a tag or a text of more than 8 MiB",
        ),
        (
            PointsForm::Gpx,
            b"<gpx>\n<wpt lat=\"1",
            b"11111111",
            "m:2: found a tag or a text of more than 8 MiB",
        ),
        (
            PointsForm::Kml,
            b"<kml>",
            b"<Folder>",
            "m:1: found more than 200 elements in each other",
        ),
        (
            PointsForm::Kml,
            b"<kml><Placemark>\n",
            b"<Point><coordinates>1,2</coordinates></Point>",
            "m:2: Placemark: found more than 10000 points",
        ),
        (
            PointsForm::GeoJson,
            b"{\"features\":[\n{\"a\":\"",
            b"xxxxxxxx",
            "m:2: found a feature of more than 16 MiB",
        ),
        (
            PointsForm::GeoJson,
            b"{\"",
            b"xxxxxxxx",
            "m:1: found a name of more than 64 KiB",
        ),
    ] {
        let reader = Endless {
            begin,
            again,
            times: u64::MAX,
            end: b"",
            at: 0,
        };
        let mut points = Points::new("m", form, reader);
        let fault = points.next().expect("a fault").expect_err("a fault");
        assert!(fault.to_string().starts_with(told), "{fault}");
        assert!(points.next().is_none());
    }
}

fn brief(text: &str) -> BriefFile {
    BriefFile::parse("b.toml", text).expect("a brief")
}

fn with(text: &str, path: &str) -> Vec<Result<Site, String>> {
    let nothing: rakelight::input::Opening = Arc::new(|_| ());
    let reading = SiteReading::new(nothing, Arc::new(brief(text).defaults));
    let sites = read_sites_at(Path::new(path), None, &reading).expect("a file");
    sites
        .map(|site| site.map_err(|faults| faults.to_string()))
        .collect()
}

const GIVES: &str = "target_altitude = \"10..\"\ntime_zone = \"Etc/GMT-9\"\n\
    [camera]\nsensor_mm = [23.5, 15.6]\npixels = [6000, 4000]\nfocal_mm = 11\nf_number = 1.8\n\
    [sky]\nbortle = 2\nextinction_mag = 0.2\n[air]\ntemperature_c = -5\n\
    [subject]\nname = \"hut\"\nbearing_deg = 90\ndistance_m = 40\nheight_m = 8\n";

#[test]
fn a_brief_file_fills_what_points_lack() {
    let sites = with(GIVES, "demo-sites/saltbush-tank.toml");
    let own = read_sites(Path::new("demo-sites/saltbush-tank.toml"))
        .expect("a file")
        .map(|site| site.map_err(|faults| faults.to_string()))
        .collect::<Vec<_>>();
    // It says all of that itself.
    let (site, own) = (
        sites[0].as_ref().expect("a site"),
        own[0].as_ref().expect("a site"),
    );
    assert_eq!(site.zone, own.zone);
    assert_eq!(site.subject, own.subject);
    assert_eq!(site.camera, own.camera);
    assert_eq!(site.sky.zenith_mag_arcsec2, own.sky.zenith_mag_arcsec2);

    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("m.gpx");
    std::fs::write(&path, in_gpx("<wpt lat=\"-31.4\" lon=\"139.2\"/>")).expect("a file");
    let path = path.display().to_string();
    let sites = with(GIVES, &path);
    let site = sites[0].as_ref().expect("a site");
    assert_eq!(site.zone.name(), "Etc/GMT-9");
    assert_eq!(site.zone_from, ZoneFrom::Given);
    let camera = site.camera.expect("a camera");
    assert_eq!((camera.focal_mm, camera.f_number), (11.0, 1.8));
    assert_eq!(camera.sensor_mm, [23.5, 15.6]);
    assert_eq!(site.sky.zenith_mag_arcsec2, 21.675);
    assert_eq!(site.sky.extinction_mag, 0.2);
    assert_eq!(site.air.temperature_c, -5.0);
    let subject = site.subject.as_ref().expect("a subject");
    let there = SubjectPlace::Bearing {
        bearing_deg: 90.0,
        distance_m: Some(40.0),
    };
    assert_eq!((subject.place, subject.height_m), (there, Some(8.0)));
    // The rules of a brief stay its rules, and none is one of a site's.
    assert!(site.standing_rules.is_empty());
    assert_eq!(brief(GIVES).rules.entries().len(), 1);
    // A zone that is not that of the place is told, with where it comes from.
    let wrong = with("time_zone = \"Europe/Berlin\"\n", &path);
    let told = wrong[0].as_ref().expect_err("a fault");
    assert!(told.contains("(time_zone of b.toml)"), "{told}");
}

#[test]
fn what_belongs_together_is_filled_together() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("s.toml");
    let site = |more: &str| {
        let text = format!("name = \"A\"\nlatitude_deg = 1\nlongitude_deg = 2\n{more}");
        std::fs::write(&path, text).expect("a file");
        let mut sites = with(GIVES, &path.display().to_string());
        sites.remove(0).expect("a site")
    };
    // The pixels are those of one sensor; a meter reading rules out a class; a
    // subject is one thing.
    let own = site(
        "[camera]\nsensor_mm = [36, 24]\n[sky]\nzenith_mag_arcsec2 = 21\n[subject]\nbearing_deg = 5\n",
    );
    let camera = own.camera.expect("a camera");
    assert_eq!((camera.sensor_mm, camera.focal_mm), ([36.0, 24.0], 11.0));
    assert_eq!(own.sky.zenith_mag_arcsec2, 21.0);
    assert_eq!(own.sky.extinction_mag, 0.2);
    assert_eq!(own.subject.expect("a subject").height_m, None);
    // A view says what its picture is of.
    let view = site("[[view]]\nname = \"b\"\nbearing_deg = 60\n");
    assert!(view.subject.is_none() && view.camera.is_some());
}
