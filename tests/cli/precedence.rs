//! Option before brief before site before default.

use super::{json, rakelight, scan, stdout, windows};
use crate::program::Folder;

#[test]
fn option_before_brief_before_site_before_default() {
    let folder = Folder::new();
    let site = folder.file(
        "site.toml",
        "latitude_deg = -31.4\nlongitude_deg = 139.2\n[brief]\ntarget_altitude = \"12..\"\nmin_minutes = 30\nlight_side = \"left\"\n",
    );
    let brief = folder.file(
        "brief.toml",
        "target_altitude = \"14..\"\nmin_minutes = 40\n",
    );
    let document = json(&scan(&[
        &site,
        "--brief",
        &brief,
        "--target-altitude",
        "16..",
        "--moon-altitude",
        "0..90",
        "--moon-fraction",
        "0..1",
        "--light-angle",
        "0..180",
        "--format",
        "json",
    ]));
    let rules = &document["sites"][0]["rules"];
    let told = |key: &str| (rules[key]["value"].as_str(), rules[key]["from"].as_str());
    assert_eq!(told("target_altitude"), (Some("16.."), Some("option")));
    assert_eq!(told("min_minutes"), (Some("40"), Some("brief file")));
    assert_eq!(told("light_side"), (Some("left"), Some("site")));
    assert_eq!(told("sun_altitude"), (Some("..-18"), Some("default")));
    for window in windows(&document) {
        assert!(window["target_altitude_deg"].as_f64().expect("a number") >= 15.99);
        assert!(window["minutes"].as_f64().expect("a number") >= 39.9);
        // On the very edge either word is right.
        let angle = window["light_angle_deg"].as_f64().expect("a number");
        if (0.1..=179.9).contains(&angle) {
            assert_eq!(window["light_side"], "left");
        }
    }
    let explained = stdout(&rakelight(&["scan", &site, "--brief", &brief, "--explain"]));
    assert!(
        explained.contains("--target-altitude  brief file  14.."),
        "{explained}"
    );
}

#[test]
fn dark_means_dark_whatever_moon_the_site_likes() {
    // The site's own brief wants its raking Moon at 4 to 25 degrees.
    let document = json(&scan(&[
        "demo-sites/tinaja-mesa.toml",
        "--light",
        "dark",
        "--format",
        "json",
    ]));
    assert!(windows(&document).len() > 50);
    for window in windows(&document) {
        assert!(window["moon_altitude_deg"].as_f64().expect("a number") < -0.29);
        assert!(window["light_angle_deg"].is_null() && window["light_side"].is_null());
        assert_eq!(window["moonlight_lux"], 0.0);
    }
    assert_eq!(
        document["sites"][0]["rules"]["moon_altitude"]["from"],
        "default"
    );
}
