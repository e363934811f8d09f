//! Where the system has few threads to give, or none: one serves, and what it
//! finds is the same.
#![cfg(target_os = "linux")]
#![allow(clippy::print_stderr, reason = "says what was not looked at")]

use crate::program;

use program::{Folder, PROGRAM, Run};
use std::{
    fs,
    os::unix::fs::PermissionsExt,
    path::Path,
    process::{Command, Output},
};

const SITE: &str = "latitude_deg = -31.4\nlongitude_deg = 139.2\ntime_zone = \"UTC\"\n[subject]\nbearing_deg = 128\ndistance_m = 400\nheight_m = 30\n";

/// A command of each kind.
const COMMANDS: [&str; 17] = [
    "sites check here.toml",
    "sites list .",
    "sites new -",
    "sites skyline S32E139.hgt --place -31.5,139.5 --step 30 --distance-km 2 --quiet",
    "scan here.toml --from 2027-05-01 --to 2027-06-01 --light any --format csv",
    "scan here.toml --from 2027-05-01 --to 2027-06-01 --light any --jobs 8 --format csv",
    "scan here.toml --from 2027-05-01 --to 2027-06-01 --light any --by month",
    "scan here.toml --from 2027-05-01 --to 2027-06-01 --light any --by year",
    "scan here.toml --from 2027-05-01 --to 2027-06-01 --season",
    "night here.toml --on 2027-05-10",
    "handout here.toml --on 2027-05-10",
    "tripod here.toml --time 2027-05-10T14:00Z",
    "sky here.toml --time 2027-05-10T12:00Z",
    "phases --from 2027-05-01 --to 2027-05-20",
    "exposure here.toml --time 2027-05-10T12:00Z",
    "chart season here.toml --from 2027-05-01 --to 2027-05-20",
    "man",
];

fn folder() -> Folder {
    let folder = Folder::new();
    folder.file("here.toml", SITE);
    fs::write(folder.path("S32E139.hgt"), vec![0; 2 * 1201 * 1201]).expect("a tile");
    folder
}

/// No stack of this size can be had, so that no thread can (2^60 bytes; a
/// process has 2^47 at most).
const NO_STACK: (&str, &str) = ("RUST_MIN_STACK", "1152921504606846976");

#[test]
fn every_command_does_its_work_where_every_thread_is_refused() {
    let folder = folder();
    let run = |typed: &str, refused: bool| -> Output {
        let run = Run::at(&folder);
        let run = match refused {
            true => run.env(NO_STACK.0, NO_STACK.1),
            false => run,
        };
        let args: Vec<&str> = typed.split(' ').collect();
        run.output(&args)
    };
    for typed in COMMANDS {
        let (usual, alone) = (run(typed, false), run(typed, true));
        assert!(matches!(usual.status.code(), Some(0 | 1)), "{typed}");
        assert_eq!(alone.status, usual.status, "{typed}: {alone:?}");
        assert!(alone.stdout == usual.stdout, "{typed}");
        assert!(alone.stderr == usual.stderr, "{typed}: {alone:?}");
    }
    // Into a file, with nothing left beside it.
    let run = Run::at(&folder).env(NO_STACK.0, NO_STACK.1);
    run.of(&[
        "sky",
        "here.toml",
        "--time",
        "2027-05-10T12:00Z",
        "-o",
        "sky",
    ])
    .good();
    let entries = fs::read_dir(folder.path(".")).expect("the folder");
    assert_eq!(entries.count(), 3);
}

/// The limit that containers and shared machines set (`ulimit -u`), with room
/// for no thread, for one and for two.
#[test]
fn a_limit_on_processes_is_no_hindrance() {
    let folder = folder();
    // Root heeds no such limit: another user, who has no process yet.
    let everybody = fs::Permissions::from_mode(0o777);
    fs::set_permissions(folder.path("."), everybody).expect("permissions");
    let program = folder.path("program");
    fs::copy(PROGRAM, &program).expect("a copy");
    let user = 40_000 + std::process::id() % 20_000;
    let limited = |limit: u32, program: &str, args: &[&str]| {
        let user = user.to_string();
        Command::new("setpriv")
            .args(["--reuid", &user, "--regid", &user, "--clear-groups"])
            .args(["prlimit", &format!("--nproc={limit}"), program])
            .args(args)
            .current_dir(folder.path("."))
            .env("SOURCE_DATE_EPOCH", "1800000000")
            .output()
    };
    let shell = limited(1, "sh", &["-c", "true & wait"]);
    // A shell that may start nothing: the limit is heeded.
    let heeded = shell.is_ok_and(|ended| !ended.stderr.is_empty());
    if !heeded {
        eprintln!("skipped: no user can be had who heeds a limit (setpriv, prlimit)");
        return;
    }
    for typed in COMMANDS {
        let args: Vec<&str> = typed.split(' ').collect();
        let usual = Run::at(&folder).command().args(&args).output();
        let usual = usual.expect("it runs");
        for limit in 1..=3 {
            let ended = limited(limit, "./program", &args).expect("it runs");
            assert_eq!(ended.status, usual.status, "{limit} {typed}: {ended:?}");
            assert!(ended.stdout == usual.stdout, "{limit} {typed}");
        }
    }
}

#[test]
fn a_number_of_threads_that_nobody_has_is_bounded() {
    let folder = folder();
    let typed = "scan here.toml --from 2027-05-10 --to 2027-05-12 --light any --format csv";
    let args: Vec<&str> = typed.split(' ').collect();
    let plain = Run::at(&folder).of(&args).good();
    for number in [
        "1025",
        "70000",
        "4294967296",
        "18446744073709551615",
        "18446744073709551616",
        "99999999999999999999999999999999999999999999",
        "0",
        "-1",
        "many",
        "",
    ] {
        let run = Run::at(&folder).env("RAYON_NUM_THREADS", number);
        let ended = run.of(&args);
        assert_eq!(ended.code, 0, "{number}: {}", ended.err);
        assert!(ended.out == plain, "{number}");
    }
}

/// The library by itself, in a program that makes no pool of threads.
#[test]
fn the_library_does_its_work_where_every_thread_is_refused() {
    let built = Path::new(PROGRAM).with_file_name("examples");
    let example = built.join("ten_lines");
    if !example.exists() {
        // `cargo test` builds the examples, `cargo test --test ...` does not.
        eprintln!("not looked at: {} is not built", example.display());
        return;
    }
    let run = |refused: bool| {
        let mut command = Command::new(&example);
        if refused {
            command.env(NO_STACK.0, NO_STACK.1);
        }
        command.output().expect("a run")
    };
    let (with, without) = (run(false), run(true));
    assert!(with.status.success() && !with.stdout.is_empty());
    let said = String::from_utf8_lossy(&without.stderr);
    assert!(without.status.success(), "{said}");
    assert_eq!(with.stdout, without.stdout);
}
