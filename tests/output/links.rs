//! Links after `-o`: what a name leads to is judged as the name itself is, and
//! a link with no file at its end gets one, or a plain word why not.
#![cfg(unix)]
#![allow(clippy::print_stderr, reason = "says what was not looked at")]

use crate::program;

use program::{Folder, PROGRAM, Run};
use std::{
    collections::BTreeMap,
    fs,
    os::unix::fs::{PermissionsExt, symlink},
    path::Path,
};

const SITE: &str = "latitude_deg = -31.4\nlongitude_deg = 139.2\ntime_zone = \"UTC\"\n[subject]\nbearing_deg = 128\n";
const TABLE: &str = "name,latitude_deg,longitude_deg,time_zone\nOne,-31,139,UTC\n";
const RIDGE: &str = "azimuth_deg,altitude_deg\n0,1\n180,2\n";
const PHASES: &str = "phases --from 2027-05-01 --to 2027-05-20 -o";

/// Each kind of file that people keep, and what the guard calls it.
const KEPT: [(&str, &str, &str); 5] = [
    ("tank.toml", SITE, "a site or a brief"),
    ("rules.toml", "light = \"any\"\n", "a site or a brief"),
    ("table.csv", TABLE, "a table of sites"),
    ("S32E139.hgt", "a tile", "an elevation tile"),
    ("ridge.csv", RIDGE, "a skyline"),
];

/// Names as they are given to results, and as they are not.
const LINKS: [&str; 6] = [
    "out.txt", "out.csv", "out.json", "out", "out.toml", "out.svg",
];

fn kept() -> Folder {
    let folder = Folder::new();
    fs::create_dir(folder.path("sites")).expect("a folder");
    for (name, text, _) in KEPT {
        folder.file(&format!("sites/{name}"), text);
    }
    folder.file("here.toml", SITE);
    folder
}

fn link(folder: &Folder, to: &str, name: &str) {
    let name = folder.path(name);
    let _ = fs::remove_file(&name);
    symlink(to, name).expect("a link");
}

/// Every name with what it holds, links with where they lead.
fn contents(folder: &Path) -> BTreeMap<String, String> {
    let mut all = BTreeMap::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        let name = path.display().to_string();
        let about = fs::symlink_metadata(&path).expect("an entry");
        if about.is_symlink() {
            let to = fs::read_link(&path).expect("a link");
            all.insert(name, format!("-> {}", to.display()));
        } else if about.is_dir() {
            all.insert(name, "a folder".to_owned());
            all.extend(contents(&path));
        } else {
            all.insert(name, fs::read_to_string(&path).expect("text"));
        }
    }
    all
}

/// Runs what is typed; it must be refused for `told`, and nothing change.
fn refused(folder: &Folder, typed: &str, told: &str) {
    let before = contents(&folder.path("."));
    let args: Vec<&str> = typed.split(' ').collect();
    let ended = Run::at(folder).of(&args);
    assert_eq!(ended.code, 2, "{typed}\n{}", ended.err);
    assert!(ended.err.contains(told), "{typed}\n{}", ended.err);
    assert_eq!(ended.err.lines().count(), 1, "{typed}\n{}", ended.err);
    let now = contents(&folder.path("."));
    assert!(now == before, "{typed} changed {before:?} to {now:?}");
}

#[test]
fn no_link_of_any_name_leads_an_output_over_a_file_that_is_kept() {
    let folder = kept();
    let absolute = |name: &str| folder.path("sites").join(name).display().to_string();
    symlink("sites", folder.path("elsewhere")).expect("a link");
    for (kept, _, what) in KEPT {
        for name in LINKS {
            for to in [
                format!("sites/{kept}"),
                absolute(kept),
                format!("elsewhere/{kept}"),
                format!("elsewhere/../sites/{kept}"),
            ] {
                link(&folder, &to, name);
                let told =
                    format!("rakelight: {name}: found a link to {what}, expected a file that may");
                refused(&folder, &format!("{PHASES} {name}"), &told);
            }
            fs::remove_file(folder.path(name)).expect("the link");
        }
        refused(
            &folder,
            &format!("{PHASES} elsewhere/{kept}"),
            &format!("found {what}, expected"),
        );
    }
}

#[test]
fn a_chain_of_links_is_followed_to_its_end() {
    let folder = kept();
    fs::create_dir(folder.path("deep")).expect("a folder");
    for (kept, _, what) in KEPT {
        // Each link's words count from where it stands.
        link(&folder, "deep/two.txt", "one.txt");
        link(&folder, "three", "deep/two.txt");
        link(&folder, &format!("../sites/{kept}"), "deep/three");
        let told = format!("one.txt: found a link to {what}");
        refused(&folder, &format!("{PHASES} one.txt"), &told);
        // A kept name in the middle, a result at the end.
        folder.file("result.txt", "the one before\n");
        link(&folder, "middle.toml", "first.txt");
        link(&folder, "result.txt", "middle.toml");
        refused(
            &folder,
            &format!("{PHASES} first.txt"),
            "first.txt: found a link to a site or a brief",
        );
    }
}

#[test]
fn a_file_that_is_read_stays_by_any_link() {
    let folder = kept();
    folder.file("plain", "light = \"any\"\n");
    let scan = "scan here.toml --brief plain --from 2027-05-01 --to 2027-05-02 -o";
    let told = "found a file that this command reads";
    for to in ["plain", "here.toml"] {
        for name in LINKS {
            link(&folder, to, name);
            refused(&folder, &format!("{scan} {name}"), told);
            fs::remove_file(folder.path(name)).expect("the link");
            fs::hard_link(folder.path(to), folder.path(name)).expect("a link");
            refused(&folder, &format!("{scan} {name}"), told);
            // A link to another name of it.
            link(&folder, name, "far");
            refused(&folder, &format!("{scan} far"), told);
            fs::remove_file(folder.path(name)).expect("the link");
        }
    }
}

/// A hard link to a file that is not read is a result like any other: the name
/// alone is given to another file.
#[test]
fn a_hard_link_loses_its_name_and_the_file_nothing() {
    let folder = kept();
    fs::hard_link(folder.path("sites/tank.toml"), folder.path("out.txt")).expect("a link");
    let typed: Vec<&str> = PHASES.split(' ').chain(["out.txt"]).collect();
    Run::at(&folder).of(&typed).good();
    let site = fs::read_to_string(folder.path("sites/tank.toml"));
    assert_eq!(site.expect("the site"), SITE);
}

#[test]
fn manual_pages_go_over_nothing_that_is_kept() {
    for (kept, _, what) in KEPT {
        let folder = kept_with_pages(kept);
        refused(
            &folder,
            "man pages",
            &format!("pages/rakelight-scan.1: found a link to {what}"),
        );
    }
}

fn kept_with_pages(file: &str) -> Folder {
    let folder = kept();
    fs::create_dir(folder.path("pages")).expect("a folder");
    link(
        &folder,
        &format!("../sites/{file}"),
        "pages/rakelight-scan.1",
    );
    folder
}

/// As `>` takes it: the file at the end of the link is made, the link stays.
#[test]
fn a_link_to_no_file_yet_is_written_through() {
    let folder = kept();
    fs::create_dir(folder.path("disk")).expect("a folder");
    link(&folder, "disk/new.txt", "two.txt");
    link(&folder, "two.txt", "one.txt");
    let typed: Vec<&str> = PHASES.split(' ').chain(["one.txt"]).collect();
    Run::at(&folder).of(&typed).good();
    let made = fs::symlink_metadata(folder.path("disk/new.txt")).expect("a file");
    assert!(made.is_file());
    for name in ["one.txt", "two.txt"] {
        let about = fs::symlink_metadata(folder.path(name)).expect("a link");
        assert!(about.is_symlink(), "{name}");
    }
    assert_eq!(fs::read_dir(folder.path("disk")).expect("it").count(), 1);
}

#[test]
fn a_link_to_nowhere_and_one_in_a_circle_are_told() {
    let folder = kept();
    link(&folder, "gone/new.txt", "nowhere.txt");
    refused(
        &folder,
        &format!("{PHASES} nowhere.txt"),
        "rakelight: nowhere.txt: found a link into a directory that is not there, expected a \
         place to write to; make the directory first, or name another place",
    );
    link(&folder, "two.txt", "one.txt");
    link(&folder, "one.txt", "two.txt");
    link(&folder, "self.txt", "self.txt");
    for name in ["one.txt", "two.txt", "self.txt"] {
        let told = format!(
            "rakelight: {name}: found a link that leads back to itself, expected a place to write \
             to; take the link away, or name another place"
        );
        refused(&folder, &format!("{PHASES} {name}"), &told);
    }
    link(&folder, "loop", "loop");
    refused(
        &folder,
        &format!("{PHASES} loop/new.txt"),
        "rakelight: loop/new.txt: found",
    );
    for name in ["new/", "here.toml/new.txt"] {
        refused(&folder, &format!("{PHASES} {name}"), "expected a place");
    }
}

/// UTF-16 as spreadsheets save "Unicode text", both byte orders.
fn utf16(text: &str, big: bool) -> Vec<u8> {
    let all = std::iter::once(0xfeff).chain(text.encode_utf16());
    all.flat_map(|unit: u16| match big {
        true => unit.to_be_bytes(),
        false => unit.to_le_bytes(),
    })
    .collect()
}

#[test]
fn tables_of_sites_stay_however_a_spreadsheet_saved_them() {
    let folder = kept();
    let semicolons = TABLE.replace(',', ";");
    let tabs = TABLE.replace(',', "\t");
    let mut latin = b"name,latitude_deg,longitude_deg,h\xf6he\n".to_vec();
    latin.extend(b"One,-31,139,3\n");
    let forms: Vec<Vec<u8>> = vec![
        semicolons.clone().into(),
        tabs.clone().into(),
        format!("sep=;\r\n{semicolons}").into(),
        format!("\u{feff}{semicolons}").into(),
        utf16(TABLE, false),
        utf16(TABLE, true),
        utf16(&tabs, false),
        utf16(&semicolons, true),
        latin,
    ];
    for (number, form) in forms.iter().enumerate() {
        let path = folder.path("saved.csv");
        fs::write(&path, form).expect("a file");
        let typed: Vec<&str> = PHASES.split(' ').chain(["saved.csv"]).collect();
        let ended = Run::at(&folder).of(&typed);
        assert_eq!(ended.code, 2, "form {number}: {}", ended.err);
        let told = "saved.csv: found a table of sites, expected a file that may be written over";
        assert!(ended.err.contains(told), "form {number}: {}", ended.err);
        assert!(&fs::read(&path).expect("it") == form, "form {number}");
    }
}

/// Its directory would let the name be given to another file; the permissions
/// of the file itself say that it is not ours.
#[test]
fn a_file_that_another_user_may_alone_write_to_stays() {
    let folder = Folder::new();
    let open = |path: &Path| {
        fs::set_permissions(path, fs::Permissions::from_mode(0o777)).expect("permissions");
    };
    open(&folder.path("."));
    folder.file("results.txt", "the ones of another\n");
    let program = folder.path("program");
    fs::copy(PROGRAM, &program).expect("a copy");
    let run = |args: &[&str]| {
        let mut command = std::process::Command::new("setpriv");
        command
            .current_dir(folder.path("."))
            .args(["--reuid", "54321", "--regid", "54321", "--clear-groups"])
            .args(args);
        command.output()
    };
    // Only the system's own user can become another one.
    if !run(&["true"]).is_ok_and(|ended| ended.status.success()) {
        eprintln!("skipped: this user cannot become another (setpriv)");
        return;
    }
    let mut args = vec!["./program"];
    args.extend(PHASES.split(' '));
    let ended = run(&[&args[..], &["results.txt"]].concat()).expect("it runs");
    let told = String::from_utf8_lossy(&ended.stderr);
    assert_eq!(ended.status.code(), Some(2), "{told}");
    assert_eq!(
        told,
        "rakelight: results.txt: found a place that may not be written to, expected a place to \
         write to; give another, or change its permissions\n"
    );
    let kept = fs::read_to_string(folder.path("results.txt"));
    assert_eq!(kept.expect("it"), "the ones of another\n");
    // The directory is not what stood in the way.
    let ended = run(&[&args[..], &["new.txt"]].concat()).expect("it runs");
    assert!(ended.status.success());
}
