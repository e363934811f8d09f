//! `scan --resume`: a run that is cut short, and the one that goes on.
#![cfg(unix)]

use crate::program;

use program::{Ended, Folder, Run};
use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};
use std::{
    fmt::Write as _,
    fs,
    os::unix::process::ExitStatusExt,
    process::{Child, Stdio},
    time::{Duration, Instant},
};

/// Numbers without a pattern, the same in each run of the tests.
struct Random(TestRng);

impl Random {
    fn new(seed: u8) -> Self {
        Self(TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]))
    }

    fn below(&mut self, end: u64) -> u64 {
        self.0.next_u64() % end
    }
}

/// Places around the Earth; those beyond `empty` are where no core rises.
fn table(rows: usize, empty: usize) -> String {
    let mut table = "name,latitude_deg,longitude_deg,elevation_m,time_zone\n".to_owned();
    for row in 0..rows {
        let latitude = match row < empty {
            true => -50.0 + 80.0 * (row as f64 * 0.618_034).fract(),
            false => 80.0,
        };
        let longitude = -30.0 + 60.0 * (row as f64 * 0.754_878).fract();
        writeln!(table, "place {row},{latitude:.4},{longitude:.4},100,UTC").expect("a string");
    }
    table
}

/// Computed in some twelve parts, three at once.
const SITES: usize = 36;
const YEARS: [&str; 4] = ["--from", "2020-01-01", "--to", "2039-12-31"];

fn scan<'a>(more: &[&'a str]) -> Vec<&'a str> {
    let mut args = vec!["scan", "sites.csv", "--jobs", "2"];
    args.extend(YEARS);
    args.extend(more);
    args
}

fn resumed<'a>(more: &[&'a str]) -> Vec<&'a str> {
    let mut args = scan(more);
    args.extend(["--resume", "-o", "w.csv"]);
    args
}

fn start(folder: &Folder, args: &[&str]) -> Child {
    let mut command = Run::at(folder).command();
    command
        .args(args)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command.spawn().expect("it starts")
}

fn record(folder: &Folder) -> String {
    fs::read_to_string(folder.path("w.csv.progress")).unwrap_or_default()
}

/// Lets a run go on until it has put something more on the disk, then a random
/// while. Gives its exit code if it came to its end before.
fn cut_short(folder: &Folder, args: &[&str], random: &mut Random) -> Option<i32> {
    cut_after(folder, args, Duration::from_micros(random.below(300_000)))
}

/// The same with a while that is given.
fn cut_after(folder: &Folder, args: &[&str], more: Duration) -> Option<i32> {
    let before = record(folder);
    let mut child = start(folder, args);
    let patience = Instant::now() + Duration::from_secs(120);
    let is_none_done = |record: &str| record.is_empty() || record.contains("\nsites 0 ");
    loop {
        let now = record(folder);
        if now != before && !is_none_done(&now) {
            break;
        }
        if let Some(ended) = child.try_wait().expect("a process") {
            return ended.code();
        }
        assert!(Instant::now() < patience, "it does something");
        std::thread::sleep(Duration::from_millis(2));
    }
    std::thread::sleep(more);
    let _ = child.kill();
    child.wait().expect("it ends").code()
}

/// A folder with a table and what is left of a run over it.
fn begun(more: &[&str]) -> Folder {
    let folder = Folder::new();
    folder.file("sites.csv", table(SITES, SITES));
    // At once: a fast machine soon has the rest.
    let ended = cut_after(&folder, &resumed(more), Duration::ZERO);
    assert_eq!(ended, None, "it was killed");
    assert_eq!(
        folder.names(),
        ["sites.csv", "w.csv.part", "w.csv.progress"]
    );
    folder
}

fn read(folder: &Folder, name: &str) -> Vec<u8> {
    fs::read(folder.path(name)).expect("a file")
}

/// What an undisturbed run writes over the table of a folder.
fn whole(folder: &Folder, more: &[&str]) -> Vec<u8> {
    let output = Run::at(folder).output(&scan(more));
    assert_eq!(output.status.code(), Some(0));
    output.stdout
}

#[test]
fn a_run_that_is_killed_at_any_time_and_gone_on_with_has_the_same_bytes() {
    let mut random = Random::new(2);
    for more in [
        &["--format", "csv", "--quiet"][..],
        &["--format", "ndjson", "--quiet"],
        &["--format", "csv", "--no-header", "--quiet"],
        &["--by", "year", "--format", "csv", "--quiet"],
    ] {
        let folder = Folder::new();
        folder.file("sites.csv", table(SITES, SITES));
        let mut cuts = 0;
        while cut_short(&folder, &resumed(more), &mut random).is_none() {
            if folder.path("w.csv").exists() {
                // Killed after its last word: the file has its name, so it must
                // be whole, and a record that stands beside it counts for nothing.
                let _ = fs::remove_file(folder.path("w.csv.progress"));
                break;
            }
            cuts += 1;
        }
        assert!(cuts > 2, "{more:?} was killed {cuts} times");
        assert_eq!(folder.names(), ["sites.csv", "w.csv"], "{more:?}");
        assert!(read(&folder, "w.csv") == whole(&folder, more), "{more:?}");
    }
}

#[test]
fn whatever_a_crash_leaves_behind_the_record_is_cut_off() {
    let more = ["--format", "csv", "--quiet"];
    for rest in ["half a li", "a line\nand another\n", "\0\0\0\0"] {
        let folder = begun(&more);
        let mut part = read(&folder, "w.csv.part");
        part.extend_from_slice(rest.as_bytes());
        folder.file("w.csv.part", part);
        // That of a record which was not put in its place.
        folder.file("w.csv.progress.new", "rakel");
        assert_eq!(Run::at(&folder).of(&resumed(&more)).code, 0);
        assert!(read(&folder, "w.csv") == whole(&folder, &more));
        fs::remove_file(folder.path("w.csv.progress.new")).unwrap_or_default();
        assert_eq!(folder.names(), ["sites.csv", "w.csv"]);
    }
}

#[test]
fn an_interruption_says_what_stays() {
    let folder = Folder::new();
    folder.file("sites.csv", table(SITES, SITES));
    let more = ["--format", "csv"];
    let child = start(&folder, &resumed(&more));
    let patience = Instant::now() + Duration::from_secs(120);
    while !folder.path("w.csv.progress").exists() {
        assert!(Instant::now() < patience, "it begins");
        std::thread::sleep(Duration::from_millis(2));
    }
    let kill = std::process::Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(kill.expect("kill runs").success());
    let ended = child.wait_with_output().expect("it ends");
    assert_eq!(ended.status.signal(), Some(2));
    let told = String::from_utf8(ended.stderr).expect("UTF-8");
    let stays = "w.csv.part; the same command goes on\n";
    assert!(
        told.contains("rakelight: interrupted; what is done stays in "),
        "{told}"
    );
    assert!(told.ends_with(stays), "{told}");
    let again = Run::at(&folder).of(&resumed(&more));
    assert_eq!(again.code, 0, "{}", again.err);
    assert!(read(&folder, "w.csv") == whole(&folder, &more));
}

/// Refused, with a reason and a remedy, and nothing is changed.
fn refused(folder: &Folder, args: &[&str], reason: &str) {
    let before = (read(folder, "w.csv.part"), record(folder));
    let Ended { code, err, .. } = Run::at(folder).of(args);
    assert_eq!(code, 2, "{reason}: {err}");
    assert!(err.contains(reason), "{reason}: {err}");
    assert!(err.contains("take this file away to begin anew"), "{err}");
    assert_eq!(
        (read(folder, "w.csv.part"), record(folder)),
        before,
        "{reason}"
    );
}

#[test]
fn another_question_table_or_file_is_refused_and_the_remedy_is_taken() {
    let more = ["--format", "csv", "--quiet"];
    let folder = begun(&more);
    let again = resumed(&more);
    for other in [
        &["--light", "dark"][..],
        &["--top", "3"],
        &["--columns", "night,score"],
        &["--csv-style", "tab"],
        &["--min-score", "10"],
    ] {
        let args: Vec<&str> = again.iter().chain(other).copied().collect();
        refused(&folder, &args, "found another question");
    }
    let mut args = again.clone();
    args[5] = "2020-01-02";
    refused(&folder, &args, "give --from 2020-01-01 --to 2039-12-31");
    args[5] = "2020-01-01";
    assert_eq!(args, again);

    let (sites, part) = (table(SITES, SITES), read(&folder, "w.csv.part"));
    for changed in [
        sites.replacen("place 0,", "place 00,", 1),
        sites.replacen(",100,UTC", ",101,UTC", 1),
        sites
            .lines()
            .take(2)
            .fold(String::new(), |all, line| all + line + "\n"),
    ] {
        folder.file("sites.csv", changed);
        refused(&folder, &again, "found other sites");
    }
    folder.file("sites.csv", &sites);

    let mut edited = part.clone();
    let middle = edited.len() / 2;
    edited[middle] ^= 1;
    for changed in [&part[..part.len() / 2], &edited] {
        folder.file("w.csv.part", changed);
        let shorter = read(&folder, "w.csv.part").len() < part.len() / 2 + 1;
        assert!(shorter || changed.len() == part.len());
        refused(&folder, &again, "found a file that was changed");
    }
    folder.file("w.csv.part", &part);

    let kept = record(&folder);
    fs::remove_file(folder.path("w.csv.progress")).expect("a file");
    refused(&folder, &again, "found a file without a record");
    for broken in ["", "rakelight", &kept[..kept.len() / 2], "\u{0}\u{0}"] {
        folder.file("w.csv.progress", broken);
        refused(&folder, &again, "found a file with a broken record");
    }
    folder.file(
        "w.csv.progress",
        kept.replacen("rakelight ", "rakelight 9", 1),
    );
    refused(&folder, &again, "found what another version began");
    folder.file("w.csv.progress", &kept);

    // The command as it was goes on; without the part it begins anew.
    let went_on = Run::at(&folder).of(&again);
    assert_eq!(went_on.code, 0, "{}", went_on.err);
    let expected = whole(&folder, &more);
    assert!(read(&folder, "w.csv") == expected);
    folder.file("w.csv.progress", &kept);
    let anew = Run::at(&folder).of(&again);
    assert_eq!(anew.code, 0, "{}", anew.err);
    assert!(read(&folder, "w.csv") == expected);
    assert_eq!(folder.names(), ["sites.csv", "w.csv"]);
}

#[test]
fn other_threads_and_more_sites_are_no_other_question() {
    let more = ["--format", "csv", "--quiet"];
    let folder = begun(&more);
    folder.file("sites.csv", table(SITES + 5, SITES + 5));
    let mut args = resumed(&["--format", "csv"]);
    args[3] = "1";
    let ended = Run::at(&folder).of(&args);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!(
        ended.err.contains("sites are done; going on\n"),
        "{}",
        ended.err
    );
    assert!(read(&folder, "w.csv") == whole(&folder, &more));
}

#[test]
fn two_runs_at_once_do_not_write_one_file() {
    let folder = Folder::new();
    folder.file("sites.csv", table(SITES, SITES));
    let args = resumed(&["--format", "csv", "--quiet"]);
    let mut first = start(&folder, &args);
    let patience = Instant::now() + Duration::from_secs(120);
    while !folder.path("w.csv.progress").exists() {
        assert!(Instant::now() < patience, "it begins");
        std::thread::sleep(Duration::from_millis(2));
    }
    let second = Run::at(&folder).of(&args);
    assert_eq!(second.code, 2);
    let told = "found a run that is writing it, expected one run at a time";
    assert!(second.err.contains(told), "{}", second.err);
    // The lock of a run that was killed goes with it.
    first.kill().expect("it runs");
    first.wait().expect("it ends");
    let third = Run::at(&folder).of(&args);
    assert_eq!(third.code, 0, "{}", third.err);
}

#[test]
fn what_was_found_and_left_out_before_counts() {
    let folder = Folder::new();
    // Windows at the first sites alone, and rows that cannot be read.
    let mut sites = String::new();
    for (row, line) in table(SITES, 8).lines().enumerate() {
        writeln!(sites, "{line}").expect("a string");
        if row % 10 == 1 {
            writeln!(sites, "bad {row},95,10,100,UTC").expect("a string");
        }
    }
    folder.file("sites.csv", &sites);
    let more = ["--format", "csv", "--keep-going"];
    let expected = Run::at(&folder).output(&scan(&more));
    let told = String::from_utf8(expected.stderr).expect("UTF-8");
    let closing = told.lines().last().expect("a line");
    assert_eq!(closing, "4 of 40 sites left out.");
    let at_once = Duration::ZERO;
    assert_eq!(cut_after(&folder, &resumed(&more), at_once), None);
    let ended = Run::at(&folder).of(&resumed(&more));
    assert_eq!(ended.code, 3, "{}", ended.err);
    assert_eq!(ended.err.lines().last(), Some(closing), "{}", ended.err);
    assert!(read(&folder, "w.csv") == expected.stdout);

    // Found before, and nothing after: the run has found something.
    folder.file("sites.csv", table(SITES, 8));
    let more = ["--format", "csv", "--quiet"];
    assert_eq!(cut_after(&folder, &resumed(&more), at_once), None);
    assert_eq!(Run::at(&folder).of(&resumed(&more)).code, 0);
    folder.file("sites.csv", table(SITES, 0));
    assert_eq!(Run::at(&folder).of(&resumed(&more)).code, 1);
}

#[test]
fn a_run_that_cannot_be_gone_on_with_is_refused() {
    let folder = Folder::new();
    folder.file("sites.csv", table(1, 1));
    for (more, told) in [
        (
            &["-o", "w.json"][..],
            "--resume: found it for what is no CSV or NDJSON, expected --format csv or --format \
             ndjson; choose --format csv or ndjson, or leave --resume out",
        ),
        (
            &["-o", "w.csv", "--together"],
            "--resume: found it for an answer about all sites together, expected lines in the order \
             of the sites; leave out --together and sort the lines, or leave --resume out",
        ),
        (
            &["--format", "csv"],
            "--resume: found no file to write to, expected a file, which keeps what is done; add -o \
             windows.csv",
        ),
        (
            &["--format", "csv", "-o", "-"],
            "--resume: found no file to write to, expected a file, which keeps what is done; add -o \
             windows.csv",
        ),
        (
            &["--format", "csv", "-o", "/dev/null"],
            "/dev/null: found a device or a named pipe, expected a file, of which a part can stay; \
             leave --resume out",
        ),
        (
            &["-o", "none/w.csv"],
            "none/w.csv.part: found no such directory, expected a place to write to; make it first, \
             or check the path",
        ),
        (
            &["-o", "taken.csv"],
            "taken.csv.part: found a directory, expected a place to write to; give a file in it",
        ),
        (
            &["-o", "theirs.csv"],
            "theirs.csv.part: found a file without a record of how far it is, expected",
        ),
    ] {
        fs::create_dir_all(folder.path("taken.csv.part")).expect("a folder");
        folder.file("theirs.csv.part", "a diary\n");
        let names = folder.names();
        let args = scan(&[&["--resume"], more].concat());
        let Ended { code, err, .. } = Run::at(&folder).of(&args);
        assert_eq!(code, 2, "{more:?}: {err}");
        assert!(err.contains(told), "{more:?}: {err}");
        assert_eq!(folder.names(), names, "{more:?}");
    }
    assert_eq!(read(&folder, "theirs.csv.part"), b"a diary\n");
}

/// An older file stays until all is done, and so do its permissions' bits.
#[test]
fn an_older_file_stays_as_it_was_until_all_is_done() {
    let more = ["--format", "csv", "--quiet"];
    let folder = begun(&more);
    folder.file("w.csv", "before\n");
    let mut random = Random::new(4);
    assert_eq!(cut_short(&folder, &resumed(&more), &mut random), None);
    assert_eq!(read(&folder, "w.csv"), b"before\n");
    assert_eq!(Run::at(&folder).of(&resumed(&more)).code, 0);
    assert!(read(&folder, "w.csv") == whole(&folder, &more));
}

/// Of a file system without room.
#[test]
fn a_file_that_may_grow_no_further_is_gone_on_with() {
    let more = ["--format", "csv", "--quiet"];
    let folder = Folder::new();
    folder.file("sites.csv", table(SITES, SITES));
    let expected = whole(&folder, &more);
    // Blocks of 512 bytes.
    let limit = format!("ulimit -f {}", expected.len() / 1024);
    let mut command = Run::after(&limit, &folder.path(".")).command();
    let ended = command.args(resumed(&more)).output().expect("it runs");
    let told = String::from_utf8(ended.stderr).expect("UTF-8");
    assert_eq!(ended.status.code(), Some(2), "{told}");
    assert!(told.contains("what is done stays in "), "{told}");
    assert!(
        told.contains("found a limit on the size of files"),
        "{told}"
    );
    assert!(!record(&folder).contains("\nsites 0 "));
    assert_eq!(Run::at(&folder).of(&resumed(&more)).code, 0);
    assert!(read(&folder, "w.csv") == expected);
}
