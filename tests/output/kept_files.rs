//! A slip after `-o` costs nobody a file: what a run reads, and what is made
//! to be read, is never written over, however it is spelt.

use crate::program;

use program::{Folder, Run};
use std::{collections::BTreeMap, fs, path::Path};

const SITE: &str = "latitude_deg = -31.4\nlongitude_deg = 139.2\ntime_zone = \"UTC\"\n[subject]\nbearing_deg = 128\n";
const RIDGE: &str = "azimuth_deg,altitude_deg\n0,1\n180,2\n";
const TABLE: &str = "name,latitude_deg,longitude_deg,time_zone,skyline.file\n\
                     One,-31,139,UTC,ridge.csv\nTwo,-31,139,UTC,far.txt\n";
const READ: &str = "found a file that this command reads, expected another one to write to; \
                    give another after -o";
const SCAN: &str = "scan --from 2027-05-01 --to 2027-05-20";

/// A folder as a user keeps it.
fn kept() -> Folder {
    let folder = Folder::new();
    fs::create_dir(folder.path("sites")).expect("a folder");
    let with = |more: &str| format!("{SITE}{more}");
    let ridge = "[skyline]\nfile = \"ridge.csv\"\nsubject_file = \"far.txt\"\n";
    folder.file("sites/tank.toml", with(ridge));
    folder.file("sites/ridge.csv", RIDGE);
    folder.file("sites/far.txt", RIDGE);
    folder.file("sites/table.csv", TABLE);
    folder.file(
        "sites/broken.toml",
        with("[skyline]\nfile = \"broken.txt\"\n"),
    );
    folder.file("sites/broken.txt", "azimuth,altitude\n0,1\n");
    folder.file("here.toml", SITE);
    folder.file("rules", "light = \"any\"\n");
    folder.file("old.csv", "site,rank\n");
    folder
}

fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            all.extend(contents(&path));
        } else {
            let name = path.display().to_string();
            all.insert(name, fs::read(path).expect("a file"));
        }
    }
    all
}

/// Runs what is typed; it must be refused for `told`, and nothing change.
fn refused(folder: &Folder, typed: &str, told: &str) {
    let before = contents(&folder.path("."));
    let args: Vec<&str> = typed.split(' ').collect();
    let ended = Run::at(folder).env("RAKELIGHT_SITES", "sites").of(&args);
    assert_eq!(ended.code, 2, "{typed}\n{}", ended.err);
    assert!(ended.err.contains(told), "{typed}\n{}", ended.err);
    assert_eq!(ended.out, "", "{typed}");
    assert!(
        contents(&folder.path(".")) == before,
        "{typed} changed a file"
    );
}

#[test]
fn no_command_writes_over_a_file_that_it_reads() {
    let folder = kept();
    let place = "--place -31.4,139.2";
    let absolute = folder.path("sites/tank.toml").display().to_string();
    let output = |commands: &[&str], files: &[&str]| {
        for command in commands {
            for file in files {
                refused(&folder, &format!("{command} -o {file}"), READ);
            }
        }
    };
    // A site by its name, and what it names in turn.
    output(
        &[
            &format!("{SCAN} tank"),
            &format!("{SCAN} here.toml tank --together"),
            &format!("{SCAN} tank --by month"),
            &format!("{SCAN} tank --by year"),
            &format!("{SCAN} tank --explain"),
            "night tank --on 2027-05-10",
            "handout tank --on 2027-05-10",
            "sky tank --time 2027-05-10T12:00Z",
            "exposure tank --time 2027-05-10T12:00Z",
            "chart night tank --on 2027-05-10 --format svg",
            "chart season tank --from 2027-05-01 --to 2027-05-20 --format svg",
            "chart frame tank --time 2027-05-10T12:00Z --format png",
        ],
        &[
            "sites/tank.toml",
            "./sites/../sites/tank.toml",
            &absolute,
            "sites/ridge.csv",
            "sites/far.txt",
        ],
    );
    output(
        &["tripod tank --time 2027-05-10T12:00Z"],
        &["sites/tank.toml", "sites/far.txt"],
    );
    // A table by name, by path, by standard input; the files of its rows.
    output(
        &[&format!("{SCAN} table"), &format!("{SCAN} sites/table.csv")],
        &["sites/table.csv", "sites/ridge.csv", "sites/far.txt"],
    );
    // Rules in a file of any name.
    output(
        &[
            &format!("{SCAN} {place} --brief rules"),
            &format!("night {place} --on 2027-05-10 --brief rules"),
        ],
        &["rules"],
    );
    // A skyline that is none, at a site that is left out for it.
    output(
        &[&format!("{SCAN} tank broken --keep-going")],
        &["sites/broken.txt"],
    );
}

#[cfg(unix)]
#[test]
fn links_are_the_files_that_they_lead_to() {
    let folder = kept();
    for (file, to) in [
        ("soft.csv", "sites/far.txt"),
        ("soft.txt", "sites/tank.toml"),
        ("soft", "rules"),
    ] {
        std::os::unix::fs::symlink(to, folder.path(file)).expect("a link");
    }
    for (file, to) in [
        ("hard.csv", "sites/far.txt"),
        ("hard.txt", "sites/tank.toml"),
        ("hard", "rules"),
    ] {
        fs::hard_link(folder.path(to), folder.path(file)).expect("a link");
    }
    for kind in ["soft", "hard"] {
        for ending in [".csv", ".txt", ""] {
            let typed = format!("{SCAN} tank --brief rules -o {kind}{ending}");
            refused(&folder, &typed, READ);
        }
        // The site read by its link.
        let typed = format!("sky {kind}.txt --time 2027-05-10T12:00Z -o sites/tank.toml");
        refused(&folder, &typed, "rakelight: ");
    }
}

#[cfg(unix)]
#[test]
fn a_table_from_standard_input_and_what_it_names_stay() {
    let folder = kept();
    folder.file(
        "table",
        "name,latitude_deg,longitude_deg,time_zone\nOne,-31,139,UTC\n",
    );
    let piped = TABLE
        .replace("ridge.csv", "sites/ridge.csv")
        .replace("far.txt", "sites/far.txt");
    folder.file("piped", &piped);
    for (input, output) in [
        ("table", "table"),
        ("piped", "sites/ridge.csv"),
        ("piped", "sites/far.txt"),
    ] {
        let before = contents(&folder.path("."));
        let input = fs::File::open(folder.path(input)).expect("a file");
        let args: Vec<&str> = SCAN.split(' ').chain(["-", "-o", output]).collect();
        let ended = Run::at(&folder).command().args(args).stdin(input).output();
        let ended = ended.expect("the program runs");
        let told = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(2), "{output}: {told}");
        assert!(told.contains(READ), "{output}: {told}");
        assert!(contents(&folder.path(".")) == before, "{output}");
    }
}

/// The first sites of a long table are done before its last are read.
#[test]
fn what_the_last_row_of_a_long_table_names_stays_too() {
    let folder = kept();
    let mut table = "name,latitude_deg,longitude_deg,time_zone,skyline.file\n".to_owned();
    for row in 0..600 {
        table += &format!("Site {row},-31,139,UTC,\n");
    }
    table += "Last,-31,139,UTC,sites/last\n";
    folder.file("long.csv", &table);
    folder.file(
        "sites/last",
        RIDGE.replace("azimuth_deg", "azimuth").as_str(),
    );
    let typed = "scan long.csv --from 2027-05-10 --to 2027-05-10 --keep-going --quiet";
    let before = contents(&folder.path("."));
    let args: Vec<&str> = typed.split(' ').chain(["-o", "sites/last"]).collect();
    let ended = Run::at(&folder).of(&args);
    assert_eq!(ended.code, 2, "{}", ended.err);
    assert!(ended.err.contains(READ), "{}", ended.err);
    assert!(contents(&folder.path(".")) == before);
}

#[test]
fn other_files_that_are_made_to_be_read_stay_too() {
    let folder = kept();
    folder.file("S32E139.hgt", "a tile");
    folder.file(
        "badly.csv",
        "# seen from the tank\nazimuth_deg,altitude_deg,ridge\n0,high,\n",
    );
    folder.file(
        "slips.csv",
        "name,latitude_deg,longitud_deg,bortel\nTank,-31.4,139.2,2\n",
    );
    // A list of one's own may say how long one stays, and what the house has.
    folder.file(
        "inns.csv",
        "place,latitude_deg,longitude_deg,nights,windows\nAlder Inn,-31.4,139.2,2,9\n",
    );
    for (output, what) in [
        ("sites/tank.toml", "a site or a brief"),
        ("sites/table.csv", "a table of sites"),
        ("slips.csv", "a table of sites"),
        ("inns.csv", "a table of sites"),
        ("sites/ridge.csv", "a skyline"),
        ("sites/far.txt", "a skyline"),
        ("badly.csv", "a skyline"),
        ("S32E139.hgt", "an elevation tile"),
    ] {
        let told = format!(
            "rakelight: {output}: found {what}, expected a file that may be written over; \
             give another after -o, or take this one away first"
        );
        refused(&folder, &format!("{SCAN} here.toml -o {output}"), &told);
        let phases = format!("phases --from 2027-05-01 --to 2027-05-20 -o {output}");
        refused(&folder, &phases, &told);
    }
}

/// Answers of before give way, as they always did.
#[test]
fn results_are_written_over() {
    let folder = kept();
    let night = "night here.toml --on 2027-05-10 --format csv";
    let scan = format!("{SCAN} here.toml --light any --format csv");
    for typed in [
        format!("{scan} -o old.csv"),
        format!("{night} -o old.csv"),
        format!("{scan} --by month -o old.csv"),
        "chart night here.toml --on 2027-05-10 -o night.svg".to_owned(),
        "handout here.toml --on 2027-05-10 -o night.html".to_owned(),
    ] {
        let args: Vec<&str> = typed.split(' ').collect();
        let output = args.last().expect("a name");
        for _ in 0..2 {
            folder.file(output, "the one before\n");
            Run::at(&folder).of(&args).good();
            let now = fs::read_to_string(folder.path(output)).expect("a file");
            assert_ne!(now, "the one before\n", "{typed}");
            // And once more over what was written.
            Run::at(&folder).of(&args).good();
        }
    }
}

/// As every tool takes it; a file of that name is `./-`.
#[test]
fn a_dash_is_standard_output() {
    let folder = kept();
    let run = |more: &str| {
        let typed = format!("chart night here.toml --on 2027-05-10{more}");
        let args: Vec<&str> = typed.split(' ').collect();
        let output = Run::at(&folder).command().args(args).output();
        let output = output.expect("the program runs");
        assert!(output.status.success(), "{more}: {output:?}");
        output.stdout
    };
    for format in ["", " --format png"] {
        assert!(run(&format!("{format} -o -")) == run(format), "{format}");
    }
    let typed = format!("{SCAN} here.toml --light any --format csv");
    let scan: Vec<&str> = typed.split(' ').collect();
    let plain = Run::at(&folder).of(&scan).good();
    let dash = Run::at(&folder).of(&[&scan[..], &["-o", "-"]].concat());
    assert_eq!(dash.good(), plain);
    assert!(!folder.path("-").exists());
    Run::at(&folder)
        .of(&[&scan[..], &["-o", "./-"]].concat())
        .good();
    let file = fs::read_to_string(folder.path("-")).expect("a file");
    assert_eq!(file, plain);
}

#[test]
fn a_skyline_gives_way_to_one_and_a_tile_never() {
    let folder = kept();
    folder.file("old.csv", RIDGE);
    fs::write(folder.path("S32E139.hgt"), vec![0; 2 * 1201 * 1201]).expect("a tile");
    let typed = "sites skyline S32E139.hgt --place -31.5,139.5 --step 30 --distance-km 2 -o";
    let args = |output| -> Vec<&str> { typed.split(' ').chain([output]).collect() };
    Run::at(&folder).of(&args("old.csv")).good();
    let now = fs::read_to_string(folder.path("old.csv")).expect("a file");
    assert!(
        now.starts_with("azimuth_deg,altitude_deg,distance_m"),
        "{now}"
    );
    refused(&folder, &format!("{typed} S32E139.hgt"), READ);
    refused(
        &folder,
        &format!("{typed} sites/table.csv"),
        "found a table of sites",
    );
}

/// A result is written over by the next one, though its columns of place are
/// those of a table of sites.
#[test]
fn an_earlier_result_makes_room() {
    for asked in [
        "--light any",
        "--light raking,dark",
        "--light any --season",
        "--light any --by month",
        "--light any --by year",
        "--light any --csv-style semicolon",
        "--light any --season --csv-style tab",
        "--light any --by site",
        "--light any --by site --columns latitude_deg,longitude_deg,nights_any",
        "--light any --columns site,latitude_deg,longitude_deg,night",
    ] {
        let folder = kept();
        let typed = format!("{SCAN} here.toml {asked} -o out.csv");
        let args: Vec<&str> = typed.split(' ').collect();
        for _ in 0..2 {
            let ended = Run::at(&folder).of(&args);
            assert_eq!(ended.code, 0, "{typed}\n{}", ended.err);
        }
    }
}
