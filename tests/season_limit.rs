//! What a picture of a season may hold: told before any of it is made.

#[path = "common/program.rs"]
mod program;

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

/// The message tells what was found and the limit, no file is made, and each
/// remedy, typed, draws the picture.
#[test]
fn too_much_is_refused_before_the_work_and_the_remedies_are_accepted() {
    for (count, from, to, format) in [
        (1, "--from=1900-01-01", "--to=2099-12-31", "png"),
        (1000, "--from=2027-01-01", "--to=2027-12-31", "svg"),
        (70, "--from=2027-01-01", "--to=2027-12-31", "png"),
    ] {
        let folder = Folder::new();
        sites(&folder, count);
        let picture = format!("season.{format}");
        let begun = Instant::now();
        let ended = season(&folder, &[from, to, "-o", &picture]);
        assert!(begun.elapsed() < Duration::from_secs(5), "after the work");
        assert_eq!(ended.code, 2, "{count} {format}: {}", ended.err);
        assert!(!folder.path(&picture).exists());
        let limit = if format == "png" {
            "at most 32767 pixels in a PNG"
        } else {
            "one for each in a lunar month, expected at most 5000"
        };
        assert!(ended.err.contains(limit), "{}", ended.err);
        let first_word = if count == 1 {
            "1 site".to_owned()
        } else {
            format!("{count} sites")
        };
        assert!(
            ended.err.contains(&format!("found {first_word} from")),
            "{}",
            ended.err
        );

        if count == 1 {
            // Half a minute of drawing: the unit tests of the limit do for it.
            continue;
        }
        let mut remedies = 0;
        if let Some(shorter) = after(&ended.err, "(--to ") {
            remedies += 1;
            let to = format!("--to={shorter}");
            let typed = season(&folder, &[from, &to, "-o", &picture]);
            accepted(&typed);
        }
        if let Some(fewer) = after(&ended.err, "name at most ").and_then(|n| n.parse().ok()) {
            remedies += 1;
            let folder = Folder::new();
            sites(&folder, fewer);
            accepted(&season(&folder, &[from, to, "-o", &picture]));
        }
        if ended.err.contains("--format svg") {
            remedies += 1;
            accepted(&season(
                &folder,
                &[from, to, "--format=svg", "-o", "other.svg"],
            ));
        }
        assert!(remedies > 0, "nothing to type: {}", ended.err);
    }
}

/// A system without any font makes no PNG and says so: that is no limit.
fn accepted(typed: &Ended) {
    let no_font = typed.err.contains("no font was found");
    assert!(typed.code == 0 || no_font, "{}", typed.err);
}
