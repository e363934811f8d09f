//! The shell scripts in `examples/` run, and write what they say.
#![cfg(unix)]

use crate::program;

use program::{Folder, HERE, PROGRAM};
use std::{
    fs,
    process::{Command, Stdio},
};

/// Runs a line of shell and gives its exit code and standard output.
fn sh(line: &str) -> (i32, String) {
    let output = Command::new("sh")
        .args(["-c", line])
        .current_dir(HERE)
        .env("RAKELIGHT", PROGRAM)
        .env("COLUMNS", "80")
        .env_remove("RAKELIGHT_SITES")
        .stdin(Stdio::null())
        .output()
        .expect("a shell");
    let code = output.status.code().expect("no signal ended it");
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(code < 2 || told.is_empty(), "{line}: {told}");
    (code, String::from_utf8(output.stdout).expect("UTF-8"))
}

fn lines(folder: &Folder, name: &str) -> Vec<String> {
    let text = fs::read_to_string(folder.path(name)).expect("a file");
    text.lines().map(str::to_owned).collect()
}

#[test]
fn the_season_batch_writes_a_summary_a_csv_and_the_best_of_all() {
    let folder = Folder::new();
    let (code, out) = sh(&format!("sh examples/season-batch.sh '{}'", folder.text()));
    assert_eq!(code, 0, "{out}");
    assert!(
        out.starts_with("Best night of each month at 16 sites"),
        "{out}"
    );
    assert!(out.contains("67 windows at 16 sites"), "{out}");
    let rows = lines(&folder, "season.csv");
    assert!(rows[0].starts_with("site,view,rank,score,night,"));
    assert!(rows.len() > 20);
}

#[test]
fn the_map_has_a_row_for_each_point_however_many_parts_share_it() {
    let map = |parts: u32| {
        let folder = Folder::new();
        let grid = "WEST=-112 EAST=-110 SOUTH=36 NORTH=37";
        let run = format!(
            "{grid} PARTS={parts} sh examples/map/map.sh '{}'",
            folder.text()
        );
        let (code, out) = sh(&run);
        assert_eq!(code, 0, "{out}");
        assert!(out.starts_with("6 points in "), "{out}");
        lines(&folder, "nights.csv")
    };
    let rows = map(1);
    assert_eq!(
        rows[0],
        "row,column,latitude_deg,longitude_deg,nights_raking,nights_dark"
    );
    assert!(rows[1].starts_with("0,0,36,-112,"), "{}", rows[1]);
    assert_eq!(rows, map(4));
}

/// A stand-in for the program ends the scans with each code, and counts them.
#[test]
fn the_season_batch_goes_on_where_there_is_an_answer() {
    for (code, scans) in [(0, 3), (1, 3), (2, 1), (3, 3), (4, 1)] {
        let folder = Folder::new();
        let counted = folder.path("counted").display().to_string();
        let ends = folder.file("ends.sh", format!("echo >> '{counted}'; exit {code}"));
        let run = format!("RAKELIGHT='sh {ends}' sh examples/season-batch.sh");
        assert_eq!(sh(&run).0, code);
        assert_eq!(lines(&folder, "counted").len(), scans, "{code}");
    }
}

#[test]
fn parts_put_together_are_the_whole() {
    let folder = Folder::new();
    let script = "sh examples/split-over-machines.sh";
    let (code, out) = sh(&format!("{script} '{}'", folder.text()));
    assert_eq!(code, 0, "{out}");
    assert_eq!(out, "two parts put together are the whole\n");
    let whole = lines(&folder, "whole.ndjson");
    for part in ["part-0.ndjson", "part-1.ndjson"] {
        let part = lines(&folder, part).len();
        assert!(part > 0 && part < whole.len());
    }

    // The lines for a Slurm array, as they stand in the script, with the number
    // of the task set by hand: 12 tasks, so that two have no site.
    let text = include_str!("../../examples/split-over-machines.sh");
    let from = text.find("#   sed -n").expect("the lines for Slurm");
    let two: Vec<&str> = text[from..].lines().take(2).collect();
    let line = two.join("\n").replace("#   ", "");
    // GNU's first~step and -d: other systems lack them.
    if !cfg!(target_os = "linux") {
        return;
    }
    let mut all = Vec::new();
    for task in 0..12 {
        let folder = folder.text();
        let (code, _) = sh(&format!(
            "ls {HERE}/demo-sites/*.toml > '{folder}/sites.txt'; cd '{folder}'; \
             PATH='{}':$PATH; SLURM_ARRAY_TASK_ID={task}; {line}",
            PROGRAM.trim_end_matches("/rakelight"),
        ));
        assert!(code == 0 || code == 123, "task {task} ended with {code}");
        all.push(format!("part-{task}.ndjson"));
    }
    let mut parts: Vec<String> = all.iter().flat_map(|part| lines(&folder, part)).collect();
    assert!(
        lines(&folder, "part-11.ndjson").is_empty(),
        "no site, no line"
    );
    let mut whole = whole;
    parts.sort();
    whole.sort();
    assert_eq!(parts, whole);
}
