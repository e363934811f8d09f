//! What good site files mean, the demo sites among them.

use rakelight::{
    input::{
        demo_site, parse_site, parse_sites, read_brief, read_site_table, read_sites, site_template,
    },
    rule::{Brief, CONTRAST, FACING, MOON_FRACTION},
    scene::{Air, Band, Camera, DarkSky, Facing, Site, SkyGlow, SubjectPlace, ZoneFrom},
};
use std::path::Path;

fn read(text: &str) -> Site {
    match parse_site("dune.toml", text, Path::new("tests/data/scene")) {
        Ok(site) => site,
        Err(faults) => panic!("{faults}"),
    }
}

#[test]
fn the_least_file_takes_the_defaults() {
    let site = read("latitude_deg = -31\nlongitude_deg = 139.2\n");
    assert_eq!(site.name, "dune");
    assert_eq!(
        (site.latitude_deg, site.longitude_deg, site.elevation_m),
        (-31.0, 139.2, 0.0)
    );
    assert_eq!(site.zone_from, ZoneFrom::Place);
    assert_eq!(site.zone.name(), "Australia/Adelaide");
    assert_eq!(site.sky, DarkSky::natural(site.elevation_m));
    assert!(site.sky.approximate);
    assert_eq!(
        site.air,
        Air {
            pressure_hpa: 1010.0,
            temperature_c: 10.0
        }
    );
    assert_eq!(
        (&site.subject, &site.camera, &site.skyline),
        (&None, &None, &None)
    );
    assert_eq!(Brief::of_site(&site), Brief::default());
}

#[test]
fn each_table_fills_in_what_is_left_out() {
    let site = read(
        "latitude_deg = 1\nlongitude_deg = 2\nelevation_m = 2000\n\
         [camera]\nfocal_mm = 20\n[sky]\nbortle = 2\n[air]\ntemperature_c = -5\n\
         [skyline]\nfile = \"low.skyline.csv\"\n\
         [subject]\nlatitude_deg = 1.001\nlongitude_deg = 2\nelevation_m = 2010\n\
         [brief]\nfacing = 128\nmin_minutes = 30\nweekdays = [\"mon-wed\", \"sat\"]\n\
         moon_fraction = \"..50%\"\n",
    );
    assert_eq!(
        site.camera,
        Some(Camera {
            focal_mm: 20.0,
            ..Camera::default()
        })
    );
    assert_eq!(
        (site.sky.zenith_mag_arcsec2, site.sky.approximate),
        (21.675, true)
    );
    assert_eq!(site.air.temperature_c, -5.0);
    assert_eq!(site.air.pressure_hpa, Air::standard(2000.0).pressure_hpa);
    assert_eq!(
        site.skyline
            .as_ref()
            .map(|skyline| skyline.altitude_deg_at(90.0)),
        Some(3.0)
    );
    assert_eq!(
        site.subject.as_ref().map(|subject| subject.place),
        Some(SubjectPlace::Coordinates {
            latitude_deg: 1.001,
            longitude_deg: 2.0,
            elevation_m: Some(2010.0)
        })
    );
    assert_eq!(
        Brief::of_site(&site).get(&FACING),
        Some(Facing::Bearing(128.0))
    );
    assert_eq!(
        Brief::of_site(&site).get(&MOON_FRACTION),
        Some(Band::up_to(0.5))
    );
    let said: Vec<String> = Brief::of_site(&site)
        .entries()
        .into_iter()
        .map(|(key, text)| format!("{key}={text}"))
        .collect();
    assert_eq!(
        said,
        [
            "facing=128",
            "moon_fraction=..0.5",
            "min_minutes=30",
            "weekdays=mon,tue,wed,sat"
        ]
    );
}

/// The only site of a table.
fn read_row(table: &str) -> Site {
    let text = std::io::Cursor::new(table.to_owned());
    let mut sites = match read_site_table("t.csv", Path::new("."), text) {
        Ok(sites) => sites,
        Err(faults) => panic!("{faults}"),
    };
    match sites.next() {
        Some(Ok(site)) => site,
        other => panic!("{other:?}"),
    }
}

#[test]
fn towns_stand_in_a_file_and_in_a_field() {
    let near = SkyGlow {
        bearing_deg: 70.0,
        half_width_deg: 45.0,
        top_altitude_deg: 30.0,
        mag_arcsec2: 18.5,
    };
    // What is left out of a town, as the template says.
    let far = SkyGlow {
        bearing_deg: 210.5,
        half_width_deg: 20.0,
        top_altitude_deg: 15.0,
        mag_arcsec2: 20.0,
    };
    let place = "latitude_deg = -31\nlongitude_deg = 139\n";
    let towns = "[[sky.glow]]\nbearing_deg = 70\nhalf_width_deg = 45\naltitude_deg = 30\n\
                 mag_arcsec2 = 18.5\n[[sky.glow]]\nmag_arcsec2 = 20\nbearing_deg = 210.5\n";
    // Before the rest of its table, behind it, and all in one line.
    for text in [
        format!("{place}[sky]\nbortle = 2\n{towns}"),
        format!("{place}{towns}[sky]\nbortle = 2\n"),
        format!(
            "{place}[sky]\nbortle = 2\nglow = [{{ bearing_deg = 70, half_width_deg = 45, \
             altitude_deg = 30, mag_arcsec2 = 18.5 }}, {{ bearing_deg = 210.5, mag_arcsec2 = 20 }}]\n"
        ),
        format!("{place}[sky]\nbortle = 2\nglow = \"70 45 30 18.5; 210.5 20 15 20\"\n"),
    ] {
        let site = read(&text);
        assert_eq!(site.sky_glow, [near, far], "{text}");
        assert_eq!(site.sky.zenith_mag_arcsec2, 21.675);
    }
    let row = |field: &str| {
        let head = "name,latitude_deg,longitude_deg,sky.glow";
        read_row(&format!("{head}\nDune,-31,139,{field}\n")).sky_glow
    };
    assert_eq!(row("70 45 30 18.5; 210.5 20 15 20"), [near, far]);
    assert_eq!(row(" 210.5  20 15 20 "), [far]);
    assert_eq!(row(""), []);
    assert_eq!(read(place).sky_glow, []);
}

#[test]
fn a_reflectance_may_have_its_day() {
    let day = chrono::NaiveDate::from_ymd_opt(2027, 5, 29);
    let measured = |site: Site| {
        site.subject
            .and_then(|subject| subject.reflectance_measured)
    };
    let text = |date: &str| {
        format!(
            "latitude_deg = -31\nlongitude_deg = 139\n[subject]\nbearing_deg = 90\n\
             reflectance = 0.3\n{date}\n"
        )
    };
    for date in ["2027-05-29", "\"2027-05-29\""] {
        let given = format!("reflectance_measured = {date}");
        assert_eq!(measured(read(&text(&given))), day, "{date}");
    }
    assert_eq!(measured(read(&text(""))), None);
    let head = "name,latitude_deg,longitude_deg,subject.bearing_deg,subject.reflectance_measured";
    assert_eq!(
        measured(read_row(&format!("{head}\nDune,-31,139,90,2027-05-29\n"))),
        day
    );
    assert_eq!(
        measured(read_row(&format!("{head}\nDune,-31,139,90,\n"))),
        None
    );
}

#[test]
fn a_contrast_is_a_band_of_numbers() {
    for (text, band) in [
        ("0.3..", Band::from(0.3)),
        ("..1", Band::up_to(1.0)),
        ("0..100", Band::new(0.0, 100.0)),
    ] {
        let text = format!("contrast = \"{text}\"\n");
        let brief = read_brief("b.toml", &text).expect("a brief");
        assert_eq!(brief.get(&CONTRAST), Some(band), "{text}");
    }
}

#[test]
fn a_brief_file_takes_the_same_keys_and_gives_the_same_faults() {
    let brief = read_brief("b.toml", "light = \"dark\"\ntarget_offset = \"-60..60\"\n");
    assert_eq!(brief.map(|brief| brief.entries().len()), Ok(2));
    let text = "lihgt = \"dark\"\ntarget_offset = \"-60\"\nmin_minutes = \"x\n[brief]\n";
    assert_eq!(
        read_brief("b.toml", text).expect_err("faults").to_string(),
        "b.toml:1:1: lihgt: found lihgt, expected a key of a brief; did you mean light?\n\
         b.toml:2:17: target_offset: found -60, expected a band A..B, A.. or ..B; \
         write -60.. or ..-60\n\
         b.toml:3:17: found the end of the line, expected a closing quotation mark \"; \
         close the quotation mark\n\
         b.toml:4:2: brief: found a table [brief], expected the keys at the top of the file; \
         take the line [brief] out"
    );
}

#[test]
fn the_template_with_a_place_is_a_good_site_and_so_are_its_commented_lines() {
    let unset = site_template();
    let text = unset
        .replace("\nlatitude_deg = 0.0", "\nlatitude_deg = 47.1")
        .replace("\nlongitude_deg = 0.0", "\nlongitude_deg = 8.2");
    let site = read(&text);
    assert_eq!(site.name, "My place");
    assert!(site.camera.is_some() && Brief::of_site(&site) == Brief::default());
    // With the signs taken away every key but the second ways is used. The
    // first five lines are words, and so are those that begin a paragraph.
    let is_setting = |line: &str| {
        let bare = line.trim_start_matches("# ");
        bare.starts_with('[')
            || bare
                .split_once(" = ")
                .is_some_and(|(key, _)| !key.contains(' '))
    };
    let opened: String = text
        .lines()
        .filter(|line| !line.starts_with("# #") && !line.contains("file = "))
        .filter(|line| is_setting(line))
        .map(|line| format!("{}\n", line.strip_prefix("# ").unwrap_or(line)))
        .collect();
    let (place, _) = opened.split_once("[[view]]").expect("a view");
    let view = read(&opened);
    let site = read(place);
    assert_eq!(Brief::of_site(&site).entries().len(), Brief::keys().count());
    assert!(site.subject.is_some() && site.notes.is_some());
    assert_eq!(site.zone_from, ZoneFrom::Given);
    let measured = site
        .subject
        .and_then(|subject| subject.reflectance_measured);
    assert!(measured.is_some() && site.sky_glow.len() == 1);
    assert_eq!(view.view.as_deref(), Some("from the pond"));
    assert!(view.subject.is_some() && view.subject_bearing_deg() == Some(210.0));
    assert_eq!(view.camera.map(|camera| camera.focal_mm), Some(24.0));
}

/// What a view gives is its own, what it does not give is the site's.
#[test]
fn a_view_is_the_site_with_what_is_different() {
    let text = "latitude_deg = 1\nlongitude_deg = 2\nnotes = \"by boat\"\n\
        skyline.file = \"low.skyline.csv\"\nskyline.subject_file = \"low.skyline.csv\"\n\
        [subject]\nname = \"rock\"\nbearing_deg = 10\nheight_m = 3\n\
        [camera]\nfocal_mm = 20\nf_number = 2\n\
        [brief]\nlight = \"any\"\ncore_altitude = \"12..\"\nfacing = \"arch\"\n\
        [[view]]\nname = \"a\"\nnotes = \"on foot\"\ncamera.focal_mm = 35\n\
        [[view]]\nname = \"b\"\nbearing_deg = 360\n[view.brief]\ntarget_altitude = \"20..\"\n\
        [[view]]\nname = \"c\"\nbearing_deg = 90\nbrief.facing = \"target\"\n\
        [[view]]\nname = \"d\"\n[view.subject]\nbearing_deg = 200\n";
    let sites = parse_sites("cove.toml", text, Path::new("tests/data/scene"));
    let sites = sites.unwrap_or_else(|faults| panic!("{faults}"));
    let [a, b, c, d] = &sites[..] else {
        panic!("four views: {sites:?}");
    };
    let titles: Vec<_> = sites.iter().map(|site| site.title()).collect();
    assert_eq!(titles, ["cove, a", "cove, b", "cove, c", "cove, d"]);
    let facing = |site| Brief::of_site(site).get::<Facing>(&FACING);
    let subject = |site: &Site| site.subject.clone().map(|s| (s.name, s.place, s.height_m));
    let bearing = |bearing_deg| SubjectPlace::Bearing {
        bearing_deg,
        distance_m: None,
    };
    // The site's subject with its skyline and its rules; a lens of its own.
    let rock = (Some("rock".to_owned()), bearing(10.0), Some(3.0));
    assert_eq!(subject(a), Some(rock));
    assert_eq!(facing(a), Some(Facing::Arch));
    assert_eq!(a.notes.as_deref(), Some("on foot"));
    let lens = |site: &Site| site.camera.map(|camera| (camera.focal_mm, camera.f_number));
    assert_eq!([lens(a), lens(b)], [Some((35.0, 2.0)), Some((20.0, 2.0))]);
    assert!(a.skyline.is_some() && a.subject_skyline.is_some());
    // A bearing is no subject, and so has no skyline of one.
    assert_eq!((subject(b), facing(b)), (None, Some(Facing::Bearing(0.0))));
    assert!(b.skyline.is_some() && b.subject_skyline.is_none());
    assert_eq!(b.notes.as_deref(), Some("by boat"));
    let altitude = |site: &Site| {
        let rules = site.standing_rules.iter();
        let mut altitudes = rules.filter(|(key, _)| *key == "target_altitude");
        altitudes.next().map(|(_, text)| text.clone())
    };
    assert_eq!(
        [altitude(a), altitude(b)],
        ["12..", "20.."].map(|t| Some(t.to_owned()))
    );
    // The view's own brief comes before its bearing.
    assert_eq!((subject(c), facing(c)), (None, Some(Facing::Target)));
    // A subject replaces the site's as a whole.
    assert_eq!(subject(d), Some((None, bearing(200.0), None)));
    assert!(d.subject_skyline.is_none());
    // The rows of a table are the same.
    let table = "name,view,latitude_deg,longitude_deg\nCove,a,1,2\nCove,b,1,2\nCove,,1,2\n";
    let rows = read_site_table("t.csv", Path::new(""), table.as_bytes()).expect("a header");
    let titles: Vec<String> = rows
        .map(|site| site.expect("a row").title().into_owned())
        .collect();
    assert_eq!(titles, ["Cove, a", "Cove, b", "Cove"]);
    // A reader of one site says where the others are.
    let told = parse_site("cove.toml", text, Path::new("tests/data/scene"));
    assert_eq!(
        told.map_err(|faults| faults.to_string()),
        Err(
            "cove.toml: found 4 views, expected a site of at most one view; parse_sites gives a \
             site for each view"
                .to_owned()
        )
    );
}

/// A subject's bearing and distance may stand beside its coordinates where they
/// agree; the coordinates count.
#[test]
fn a_subject_may_be_placed_twice_where_both_agree() {
    // 0.01 degrees east at that latitude: 951 m at 90 degrees.
    let subject = |bearing_and_distance: &str| {
        read(&format!(
            "latitude_deg = -31.4\nlongitude_deg = 139.2\n[subject]\nlatitude_deg = -31.4\n\
             longitude_deg = 139.21\n{bearing_and_distance}"
        ))
    };
    let alone = subject("");
    for both in [
        "bearing_deg = 88.1",
        "bearing_deg = 91.9\ndistance_m = 998",
        "distance_m = 905",
    ] {
        assert_eq!(subject(both), alone, "{both}");
    }
    let distance_m = alone.subject_distance_m().expect("a distance");
    assert!((distance_m - 951.0).abs() < 1.0, "{distance_m}");
    // Nearby 20 m is the larger allowance; bearings agree across north too.
    let near = "latitude_deg = -31.4\nlongitude_deg = 139.2\n[subject]\n\
                latitude_deg = -31.399\nlongitude_deg = 139.2\n";
    let alone = read(near);
    let both = read(&format!("{near}distance_m = 130\nbearing_deg = 359"));
    assert_eq!(both, alone);
}

/// What looks like a slip and is none: tall subjects far away, and the places
/// of the world whose clocks are farthest from the Sun.
#[test]
fn mountains_and_the_edges_of_zones_are_good() {
    for subject in [
        "distance_m = 20000\nbearing_deg = 1",
        "distance_m = 38200\nbearing_deg = 1\nheight_m = 900",
        "latitude_deg = -31.4\nlongitude_deg = 139.602\nheight_m = 67",
    ] {
        read(&format!(
            "latitude_deg = -31.4\nlongitude_deg = 139.2\n[subject]\n{subject}"
        ));
    }
    for (latitude, longitude, zone) in [
        (39.45, 73.6, "Asia/Shanghai"),
        (42.9, -9.3, "Europe/Madrid"),
        (-14.0, -172.7, "Pacific/Apia"),
        (1.87, -157.4, "Pacific/Kiritimati"),
        (52.9, 172.9, "America/Adak"),
        (63.3, -171.7, "America/Nome"),
        (-44.0, -176.5, "Pacific/Chatham"),
        (-29.25, -177.9, "Pacific/Auckland"),
        (-78.46, 106.8, "Antarctica/Vostok"),
        (-72.0, 2.5, "Antarctica/Troll"),
        (-90.0, 0.0, "Antarctica/McMurdo"),
        (-75.6, -26.2, "Europe/London"),
        (37.2, 113.42, "UTC"),
        (37.2, 113.42, "Etc/GMT+7"),
        (37.2, 113.42, "GMT"),
    ] {
        let site = read(&format!(
            "latitude_deg = {latitude}\nlongitude_deg = {longitude}\ntime_zone = \"{zone}\""
        ));
        assert_eq!(site.zone.name(), zone);
    }
    // A place within a metre of 0, 0 is one that somebody typed.
    read("latitude_deg = 0.00001\nlongitude_deg = 0");
}

#[test]
fn every_demo_site_is_good_and_says_that_it_is_invented() {
    let mut names = Vec::new();
    for entry in std::fs::read_dir("demo-sites").expect("the demo sites") {
        let path = entry.expect("an entry").path();
        let text = std::fs::read_to_string(&path).expect("a demo file");
        let first = text.lines().next().unwrap_or_default();
        assert!(
            first.to_lowercase().contains("invented"),
            "{}",
            path.display()
        );
        if path.extension().is_some_and(|ending| ending == "toml") {
            let mut sites = match read_sites(&path) {
                Ok(sites) => sites,
                Err(faults) => panic!("{faults}"),
            };
            match sites.next() {
                Some(Ok(site)) => {
                    assert!(
                        site.zone_from == ZoneFrom::Given
                            && site.subject.is_some()
                            && site.camera.is_some()
                    );
                    let mut views = 0;
                    for other in sites.by_ref() {
                        let other = other.expect("a good view");
                        assert!(other.shares_place(&site) && other.view != site.view);
                        views += 1;
                    }
                    assert_eq!(views > 0, site.view.is_some(), "{}", path.display());
                    names.push(site.name);
                }
                Some(Err(faults)) => panic!("{faults}"),
                None => panic!("no site in {}", path.display()),
            }
        }
    }
    names.sort();
    assert_eq!(names.len(), 10, "{names:?}");
    let demo = demo_site().expect("the built-in site");
    assert!(names.contains(&demo.name));
    let file = read_sites(Path::new("demo-sites/tinaja-mesa.toml"))
        .ok()
        .and_then(|mut s| s.next());
    assert_eq!(file, Some(Ok(demo)));
}

#[test]
fn a_position_in_one_key_is_the_same_place_as_its_numbers() {
    let place = |text: &str| {
        let site = read(text);
        let subject = site.subject.map(|subject| subject.place);
        (
            site.latitude_deg,
            site.longitude_deg,
            site.elevation_m,
            subject,
        )
    };
    let numbers = place(
        "latitude_deg = 37.18\nlongitude_deg = -113.42\nelevation_m = 1900\n\
         [subject]\nlatitude_deg = 37.19\nlongitude_deg = -113.42\nelevation_m = 1910\n",
    );
    for text in [
        "position = \"37.18, -113.42, 1900\"\n\
         [subject]\nposition = \"37.19 N, 113.42 W, 1910 m\"\n",
        "position = \"37\u{b0}10'48\\\"N 113\u{b0}25'12\\\"W\"\nelevation_m = \"1.9 km\"\n\
         [subject]\nposition = \"geo:37.19,-113.42\"\nelevation_m = 1910\n",
        "latitude_deg = \"37\u{b0}10'48\\\"N\"\nlongitude_deg = \"113 25 12 W\"\n\
         elevation_m = \"1900 m\"\n\
         [subject]\nlatitude_deg = \"37.19\"\nlongitude_deg = \"-113:25:12\"\n\
         elevation_m = \"1.91 km\"\n",
    ] {
        assert_eq!(place(text), numbers, "{text}");
    }
}

#[test]
fn lengths_may_have_their_unit() {
    let site = read(
        "position = \"37.18, -113.42\"\nelevation_m = \"6230 ft\"\n\
         [subject]\nbearing_deg = 128\ndistance_m = \"0.5 mi\"\nheight_m = \"40ft\"\n\
         width_m = \"10 yd\"\n",
    );
    // The international foot, yard and mile of 1959: 0.3048, 0.9144, 1609.344 m.
    assert_eq!(site.elevation_m, 1898.904);
    assert_eq!(site.subject_distance_m(), Some(804.672));
    let subject = site.subject.expect("a subject");
    assert_eq!(
        (subject.height_m, subject.width_m),
        (Some(12.192), Some(9.144))
    );
}

#[test]
fn a_table_may_have_a_column_of_positions() {
    let table = "name,position,subject.bearing_deg,subject.distance_m\n\
                 A,12 north 285169 4117584,128,300 ft\n\
                 B,\"31,4 S 139,2 E\",,\n";
    let sites: Vec<Site> = read_site_table("t.csv", Path::new(""), table.as_bytes())
        .expect("a header")
        .map(|site| site.unwrap_or_else(|faults| panic!("{faults}")))
        .collect();
    let places: Vec<_> = sites
        .iter()
        .map(|site| (site.latitude_deg, site.longitude_deg))
        .collect();
    assert!((places[0].0 - 37.18).abs() < 1e-5 && (places[0].1 + 113.42).abs() < 1e-5);
    assert_eq!(places[1], (-31.4, 139.2));
    assert_eq!(sites[0].subject_distance_m(), Some(91.44));
}

#[test]
fn a_table_with_decimal_commas_has_them_in_positions_and_lengths_too() {
    let table = "name;position;elevation_m;subject.bearing_deg;subject.distance_m\n\
                 A;31,4 S 139,2 E;1,9 km;100,5T;0,5 mi\n";
    let sites: Vec<Site> = read_site_table("t.csv", Path::new(""), table.as_bytes())
        .expect("a header")
        .map(|site| site.unwrap_or_else(|faults| panic!("{faults}")))
        .collect();
    let site = &sites[0];
    assert_eq!(
        (site.latitude_deg, site.longitude_deg, site.elevation_m),
        (-31.4, 139.2, 1900.0)
    );
    assert_eq!(site.subject_bearing_deg(), Some(100.5));
    assert_eq!(site.subject_distance_m(), Some(804.672));
}
