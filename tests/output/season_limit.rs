//! What a picture of a season may hold: told before any of it is made.

use crate::program;

use chrono::NaiveDate;
use program::{Ended, Folder, Run};
use std::time::{Duration, Instant};

/// A table of sites along a parallel.
fn sites(folder: &Folder, count: usize) {
    let mut table = String::from("name,latitude_deg,longitude_deg,time_zone\n");
    for site in 0..count {
        let longitude = -179.0 + 358.0 * site as f64 / count as f64;
        table += &format!("Site {site},-31.4,{longitude:.4},UTC\n");
    }
    folder.file("sites.csv", &table);
}

fn season(folder: &Folder, more: &[&str]) -> Ended {
    Run::at(folder).of(&[&["chart", "season", "sites.csv", "--quiet"], more].concat())
}

/// What stands after a word in the message, up to the next blank or bracket.
fn after<'a>(message: &'a str, word: &str) -> Option<&'a str> {
    let (_, rest) = message.split_once(word)?;
    rest.split([' ', ')', ',', '\n']).next()
}

/// The message tells what was found and the limit, and no file is made. Each
/// remedy, typed, draws the picture, and one site or evening more is refused.
///
/// One kind of light, few evenings and a Sun that is never so low keep the work
/// small: the limits count sites and lunar months alone.
#[test]
fn too_much_is_refused_before_the_work_and_the_remedies_are_accepted() {
    const FIRST: &str = "--from=2027-01-01";
    let mut seen = [false; 3];
    for (count, from, to, format, rule) in [
        (
            1,
            "--from=1900-01-01",
            "--to=2099-12-31",
            "png",
            "--sun-altitude=..-18",
        ),
        (
            2600,
            FIRST,
            "--to=2027-01-01",
            "svg",
            "--sun-altitude=..-18",
        ),
        (450, FIRST, "--to=2027-01-01", "png", "--sun-altitude=..-18"),
        (130, FIRST, "--to=2027-04-30", "png", "--sun-altitude=..-80"),
    ] {
        let folder = Folder::new();
        sites(&folder, count);
        let picture = format!("season.{format}");
        let asked = |folder: &Folder, to: &str| {
            season(folder, &[from, to, "--light=dark", rule, "-o", &picture])
        };
        let begun = Instant::now();
        let ended = asked(&folder, to);
        assert!(begun.elapsed() < Duration::from_secs(5), "after the work");
        refused(&ended, &format!("{count} {format}"));
        assert!(!folder.path(&picture).exists());
        let limit = if format == "png" {
            "at most 32767 pixels in a PNG"
        } else {
            "one for each in a lunar month, expected at most 5000"
        };
        assert!(ended.err.contains(limit), "{}", ended.err);
        let sites_word = if count == 1 { "site" } else { "sites" };
        let found = format!("found {count} {sites_word} from");
        assert!(ended.err.contains(&found), "{}", ended.err);

        if count == 1 {
            // Half a minute of drawing: the unit tests of the limit do for it.
            continue;
        }
        if let Some(shorter) = after(&ended.err, "(--to ") {
            seen[0] = true;
            accepted(&asked(&folder, &format!("--to={shorter}")));
            let shorter: NaiveDate = shorter.parse().expect("a date");
            let longer = shorter.succ_opt().expect("a day after it");
            refused(&asked(&folder, &format!("--to={longer}")), "a day more");
        }
        if let Some(fewer) = after(&ended.err, "name at most ") {
            seen[1] = true;
            let fewer: usize = fewer.parse().expect("a number");
            let folder = Folder::new();
            sites(&folder, fewer);
            accepted(&asked(&folder, to));
            sites(&folder, fewer + 1);
            refused(&asked(&folder, to), "a site more");
        }
        if ended.err.contains("--format svg") {
            seen[2] = true;
            let other = ["--light=dark", rule, "--format=svg", "-o", "other.svg"];
            accepted(&season(&folder, &[&[from, to][..], &other].concat()));
        }
    }
    assert_eq!(seen, [true; 3], "a remedy was never offered");
}

fn refused(typed: &Ended, what: &str) {
    assert_eq!(typed.code, 2, "{what}: {}", typed.err);
    assert!(typed.err.contains("expected at most"), "{}", typed.err);
}

/// A system without any font makes no PNG and says so: that is no limit.
fn accepted(typed: &Ended) {
    let no_font = typed.err.contains("no font was found");
    assert!(typed.code == 0 || no_font, "{}", typed.err);
}
