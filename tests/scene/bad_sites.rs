//! Every way a site file goes wrong, with the exact words that say so.

use rakelight::{
    input::{Faults, parse_site},
    scene::Site,
};
use std::path::Path;

fn read(text: &str) -> Result<Site, Faults> {
    parse_site("s.toml", text, Path::new("tests/data/scene"))
}

/// The faults of a site file of a good place and these lines; line 4 is the
/// first of them.
fn faults(lines: &str) -> String {
    let text = format!("name = \"S\"\nlatitude_deg = -31.4\nlongitude_deg = 139.2\n{lines}\n");
    match read(&text) {
        Ok(_) => "accepted".to_owned(),
        Err(faults) => faults.to_string(),
    }
}

#[test]
fn one_bad_line_gives_one_exact_message() {
    let nan = "; nan and inf are not accepted";
    let band = "expected a band A..B, A.. or ..B";
    let mut wrong = Vec::new();
    for (lines, message) in [
        // Types
        ("elevation_m = \"120\"", "4:15: elevation_m: found \"120\", expected a number from -500 to 9000; leave the quotes off: write 120".to_owned()),
        ("elevation_m = true", "4:15: elevation_m: found true, expected a number from -500 to 9000".to_owned()),
        ("elevation_m = 2027-05-13", "4:15: elevation_m: found 2027-05-13, expected a number from -500 to 9000".to_owned()),
        ("elevation_m = [1]", "4:15: elevation_m: found [1], expected a number from -500 to 9000; take the brackets off".to_owned()),
        ("elevation_m = { up = 1 }", "4:1: elevation_m: found a table, expected a number from -500 to 9000".to_owned()),
        ("notes = 5", "4:9: notes: found 5, expected text in quotes; put it in quotes".to_owned()),
        ("time_zone = 9.5", "4:13: time_zone: found 9.5, expected an IANA time zone such as Australia/Adelaide or UTC, or an offset such as +09:30; write +09:30".to_owned()),
        ("subject = \"tree\"", "4:11: subject: found \"tree\", expected a table [subject]; write [subject] on a line, its keys below it".to_owned()),
        ("[[subject]]\nbearing_deg = 1", "4:1: subject: found [[subject]], expected a table [subject]; write [subject] on a line, its keys below it".to_owned()),
        // Ranges
        ("elevation_m = 9001", "4:15: elevation_m: found 9001, expected a number from -500 to 9000".to_owned()),
        ("elevation_m = nan", format!("4:15: elevation_m: found nan, expected a number from -500 to 9000{nan}")),
        ("elevation_m = -inf", format!("4:15: elevation_m: found -inf, expected a number from -500 to 9000{nan}")),
        ("elevation_m = 1e400", "4:15: elevation_m: found 1e400, expected a number from -500 to 9000".to_owned()),
        ("elevation_m = 99999999999999999999", "4:15: elevation_m: found 99999999999999999999, expected a number from -500 to 9000".to_owned()),
        ("[sky]\nbortle = 10", "5:10: sky.bortle: found 10, expected a whole number from 1 to 9".to_owned()),
        ("[sky]\nbortle = 3.5", "5:10: sky.bortle: found 3.5, expected a whole number from 1 to 9".to_owned()),
        ("[sky]\nzenith_mag_arcsec2 = 5", "5:22: sky.zenith_mag_arcsec2: found 5, expected a number from 14 to 22.5".to_owned()),
        ("[sky]\nextinction_mag = -0.2", "5:18: sky.extinction_mag: found -0.2, expected a number from 0.05 to 2".to_owned()),
        ("[air]\npressure_hpa = 101325", "5:16: air.pressure_hpa: found 101325, expected a number from 200 to 1100; in hectopascals: write 1013.25".to_owned()),
        ("[air]\ntemperature_c = 283", "5:17: air.temperature_c: found 283, expected a number from -90 to 60; in degrees Celsius: write 9.85".to_owned()),
        ("[subject]\nbearing_deg = 400", "5:15: subject.bearing_deg: found 400, expected a true bearing from 0 to 360".to_owned()),
        ("[subject]\nbearing_deg = -30", "5:15: subject.bearing_deg: found -30, expected a true bearing from 0 to 360; write 330".to_owned()),
        ("[subject]\nbearing_deg = 1\nreflectance = 15", "6:15: subject.reflectance: found 15, expected a number from 0 to 1; as a share of 1: write 0.15".to_owned()),
        ("[subject]\nbearing_deg = 1\ndistance_m = 0", "6:14: subject.distance_m: found 0, expected a number from 0.1 to 200000".to_owned()),
        ("[camera]\nsensor_mm = [36.0]", "5:13: camera.sensor_mm: found [36.0], expected a width and a height in millimetres; for example [36, 24]".to_owned()),
        ("[camera]\nsensor_mm = \"36x24\"", "5:13: camera.sensor_mm: found \"36x24\", expected a width and a height in millimetres; write [36, 24]".to_owned()),
        ("[camera]\npixels = [6000, 0]", "5:10: camera.pixels: found 0, expected a whole number from 1 to 1000000".to_owned()),
        ("[camera]\nf_number = 0", "5:12: camera.f_number: found 0, expected a number from 0.5 to 64".to_owned()),
        // Names of keys
        ("latitude = 3", "4:1: latitude: found latitude, expected a key of a site; did you mean latitude_deg?".to_owned()),
        ("bearing_deg = 3", "4:1: bearing_deg: found bearing_deg, expected a key of a site; did you mean subject.bearing_deg? It belongs below a line [subject]".to_owned()),
        ("[camra]\nfocal_mm = 14", "4:2: camra: found camra, expected a key of a site; did you mean camera?".to_owned()),
        ("[subject]\nbearing_deg = 1\nheigth_m = 5", "6:1: subject.heigth_m: found subject.heigth_m, expected a key of a site; did you mean subject.height_m?".to_owned()),
        ("[air]\ncolour = 5", "5:1: air.colour: found air.colour, expected a key of a site; known here: pressure_hpa, temperature_c".to_owned()),
        ("[brief]\ncore_alt = \"10..\"", "5:1: brief.core_alt: found brief.core_alt, expected a key of a site; did you mean brief.target_altitude?".to_owned()),
        // Zone
        ("time_zone = \"Adelaide\"", "4:13: time_zone: found Adelaide, expected an IANA time zone such as Australia/Adelaide or UTC, or an offset such as +09:30; did you mean Australia/Adelaide?".to_owned()),
        // Subject
        ("[subject]\nheight_m = 5", "4:2: subject.bearing_deg: found nothing, expected where the subject stands; add bearing_deg, or latitude_deg and longitude_deg".to_owned()),
        ("[subject]\nbearing_deg = 130\nlatitude_deg = -31.41\nlongitude_deg = 139.19", "5:15: subject.bearing_deg: found bearing_deg 130 beside coordinates that lie at 220.6, expected a bearing within 2 degrees of theirs; keep one of the two".to_owned()),
        ("[subject]\nbearing_deg = 41\nlatitude_deg = -31.41\nlongitude_deg = 139.19", "5:15: subject.bearing_deg: found bearing_deg 41 beside coordinates that lie at 220.6, expected a bearing within 2 degrees of theirs; camera and subject may be swapped, else keep one of the two".to_owned()),
        ("[subject]\ndistance_m = 1600\nlatitude_deg = -31.41\nlongitude_deg = 139.19", "5:14: subject.distance_m: found distance_m 1600 beside coordinates 1461 m away, expected a distance within 5 % or 20 m of theirs; keep one of the two".to_owned()),
        ("[subject]\nbearing_deg = 1\ndistance_m = 20001", "6:14: subject.distance_m: found a subject 20.1 km from the camera, expected one within 20 km, or a mountain tall enough to be seen from there; check distance_m; if it is a mountain give subject.height_m, 35 or more".to_owned()),
        ("[subject]\nlatitude_deg = 1", "4:2: subject.longitude_deg: found nothing, expected a number from -180 to 180; add longitude_deg, east positive".to_owned()),
        ("[subject]\nlatitude_deg = 139.2\nlongitude_deg = -31.4", "5:16: subject.latitude_deg: found 139.2, expected a number from -90 to 90; latitude and longitude may be swapped".to_owned()),
        ("[subject]\nlatitude_deg = -31.4\nlongitude_deg = 139.2", "5:16: subject.latitude_deg: found -31.4, 139.2, expected a place other than the camera's; give the subject its own place".to_owned()),
        // Sky
        ("[sky]\nbortle = 3\nzenith_mag_arcsec2 = 21.4", "5:10: sky.bortle: found 3 beside zenith_mag_arcsec2, expected a meter reading or a Bortle class, not both; keep the meter reading, it says more".to_owned()),
        // Horizon
        ("[skyline]\nfile = \"none.csv\"", "5:8: skyline.file: found tests/data/scene/none.csv (no such file), expected a skyline file; check the path".to_owned()),
        ("[skyline]\nfile = \".\"", "5:8: skyline.file: found tests/data/scene/. (a directory), expected a skyline file; give a file in it".to_owned()),
        ("[skyline]\nsubject_file = \"\"", "5:16: skyline.subject_file: found nothing, expected the path of a CSV file, seen from the site file; give its path, or take the key out".to_owned()),
        // Brief
        ("[brief]\ntarget_altitude = \"30..10\"", format!("5:19: brief.target_altitude: found 30..10, {band}; the lower end comes first: write 10..30")),
        ("[brief]\ntarget_altitude = 12", format!("5:19: brief.target_altitude: found 12, {band}; write 12.. or ..12")),
        ("[brief]\ntarget_altitude = \"nan..\"", format!("5:19: brief.target_altitude: found nan.., {band}{nan}")),
        ("[brief]\nmoon_altitude = true", "5:17: brief.moon_altitude: found true, expected text in quotes; write it in quotes, as after the option".to_owned()),
        ("[brief]\nweekdays = [5]", "5:12: brief.weekdays: found 5, expected a list of texts in quotes; put it in quotes".to_owned()),
        ("[brief]\nweekdays = [\"fri\", \"weekend\"]", "5:12: brief.weekdays: found fri,weekend, expected days like fri,sat or mon-thu; write sat,sun".to_owned()),
        ("[brief]\nlight = \"racking\"", "5:9: brief.light: found racking, expected one of raking, dark, blend, any; did you mean raking?".to_owned()),
        // Form
        ("elevation_m =", "4:14: found the end of the line, expected a value; write one after the = sign".to_owned()),
        ("notes = dry", "4:9: found dry, expected a value; put text in quotes".to_owned()),
        ("notes = \"dry", "4:13: found the end of the line, expected a closing quotation mark \"; close the quotation mark".to_owned()),
        ("latitude_deg = 5", "4:1: found latitude_deg, expected each key and each table once; it stands above already: keep one of the two".to_owned()),
    ] {
        let (found, expected) = (faults(lines), format!("s.toml:{message}"));
        if found != expected {
            wrong.push(format!("{lines}\n  gives {found}\n  not   {expected}"));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn names_must_be_printable_and_no_formulas() {
    let expected =
        "expected printable text of at most 80 characters that does not begin with = + - @";
    let formula = "from its start: a spreadsheet would run it as a formula";
    for (name, found, remedy) in [
        ("=1+1", "=1+1", format!("take the = {formula}")),
        ("@home", "@home", format!("take the @ {formula}")),
        ("", "nothing", "give it a name".to_owned()),
        (
            "a\\u001b[31m",
            "a\\u{1b}[31m",
            "take the character \\u{1b} out".to_owned(),
        ),
        ("a\\nb", "a\\nb", "take the character \\n out".to_owned()),
    ] {
        let text = format!("name = \"{name}\"\nlatitude_deg = 1\nlongitude_deg = 2\n");
        let message = read(&text).expect_err(name).to_string();
        assert_eq!(
            message,
            format!("s.toml:1:8: name: found {found}, {expected}; {remedy}")
        );
    }
}

#[test]
fn missing_and_swapped_coordinates_are_told() {
    for (text, message) in [
        (
            "",
            "s.toml:1:1: latitude_deg: found nothing, expected a number from -90 to 90; add latitude_deg, north positive\n\
             s.toml:1:1: longitude_deg: found nothing, expected a number from -180 to 180; add longitude_deg, east positive",
        ),
        (
            "latitude_deg = 139.2\nlongitude_deg = -31.4",
            "s.toml:1:16: latitude_deg: found 139.2, expected a number from -90 to 90; latitude and longitude may be swapped",
        ),
        (
            "latitude_deg = 95\nlongitude_deg = 139.2",
            "s.toml:1:16: latitude_deg: found 95, expected a number from -90 to 90",
        ),
        (
            "latitude_deg = 40\nlongitude_deg = 246.6",
            "s.toml:2:17: longitude_deg: found 246.6, expected a number from -180 to 180; west is negative: write -113.4",
        ),
        (
            "latitude_deg = \"31.4 E\"\nlongitude_deg = 139.2",
            "s.toml:1:16: latitude_deg: found 31.4 E, expected a latitude from -90 to 90; latitude and longitude may be swapped",
        ),
    ] {
        assert_eq!(read(text).expect_err(text).to_string(), message, "{text}");
    }
}

/// A zone whose clocks are far from the time by the Sun is a slip of longitude
/// or zone; either is told at the longitude.
#[test]
fn a_zone_must_suit_the_longitude() {
    for (longitude, zone, remedy) in [
        (
            "113.42",
            "America/Denver",
            "west is negative: write -113.42 for 113.42",
        ),
        (
            "-153.02",
            "Australia/Brisbane",
            "east is positive: write 153.02 for -153.02",
        ),
        (
            "8.5",
            "Australia/Brisbane",
            "check the longitude and the time zone",
        ),
    ] {
        let text =
            format!("latitude_deg = 30\nlongitude_deg = {longitude}\ntime_zone = \"{zone}\"\n");
        let message = read(&text).expect_err(zone).to_string();
        let begins = format!("s.toml:2:17: longitude_deg: found {zone} at longitude {longitude}, ");
        let ends = format!("expected a zone within 3.25 hours of it; {remedy}");
        assert!(
            message.starts_with(&begins) && message.ends_with(&ends),
            "{message}"
        );
    }
}

/// The height that a far subject is said to need is taken when typed, a metre
/// less is not.
#[test]
fn the_height_asked_of_a_mountain_is_enough() {
    for distance_m in [20_500, 38_200, 90_000, 200_000] {
        let site = |height: &str| {
            faults(&format!(
                "[subject]\nbearing_deg = 1\ndistance_m = {distance_m}\n{height}"
            ))
        };
        let message = site("");
        let (_, asked) = message
            .split_once("give subject.height_m, ")
            .expect("a height");
        let asked: u32 = asked.trim_end_matches(" or more").parse().expect("metres");
        assert_eq!(site(&format!("height_m = {asked}")), "accepted");
        assert_eq!(site(&format!("height_m = {}", asked - 1)), message);
        // The angle of the whole height, in a plane triangle.
        let degrees = (f64::from(asked) / f64::from(distance_m))
            .atan()
            .to_degrees();
        assert!(
            (0.1..0.1 + 0.1 / f64::from(asked - 1)).contains(&degrees),
            "{degrees}"
        );
    }
}

#[test]
fn all_faults_of_a_file_come_in_one_run_in_its_order() {
    let text = "\
name = \"=x\"
latitude_deg = 139.2
longitude_deg = -31.4
elevatoin_m = 5
notes = dry
[skyline]
file = \"bad.skyline.csv\"
[brief]
light = \"racking\"
tilt = \"..95\"
";
    let faults = read(text).expect_err("many faults");
    let places: Vec<(String, Option<usize>, Option<usize>)> = faults
        .0
        .iter()
        .map(|f| (f.file.clone(), f.line, f.column))
        .collect();
    let at = |line, column| ("s.toml".to_owned(), Some(line), Some(column));
    assert_eq!(
        places,
        [
            at(1, 8),
            at(2, 16),
            at(4, 1),
            at(5, 9),
            at(9, 9),
            at(10, 8),
            (
                "tests/data/scene/bad.skyline.csv".to_owned(),
                Some(3),
                Some(2)
            ),
        ]
    );
}

#[test]
fn deep_and_endless_nesting_ends_in_an_error() {
    for text in [
        format!("a = {}", "[".repeat(1 << 19)),
        format!("a = {}", "{a = ".repeat(1 << 17)),
        format!("{}b = 1", "a.".repeat(1 << 19)),
        "[".repeat(1 << 20),
        "\"".repeat(1 << 20),
        "a=1\n".repeat(1 << 18),
    ] {
        let faults = read(&text).expect_err("nonsense");
        assert!(faults.0.len() < 200, "{} faults", faults.0.len());
        assert!(faults.to_string().len() < 50_000);
    }
}
