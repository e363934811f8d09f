//! Where the output goes: whole or not at all, the same bytes, no wider than
//! asked, plain into a pipe.

use super::{TANK, code, rakelight, scan, stderr, stdout};
use crate::program::{Folder, Run};
use std::{fs, io::Read, process::Stdio};

#[test]
fn whole_or_not_at_all() {
    let folder = Folder::new();
    let target = folder.path("out.csv");
    fs::write(&target, "old").expect("a file");
    let name = target.display().to_string();
    let good = rakelight(&scan(&[TANK, "--format", "csv", "-o", &name]));
    assert_eq!(code(&good), 0);
    assert!(good.stdout.is_empty());
    assert!(
        fs::read_to_string(&target)
            .expect("a file")
            .starts_with("site,view,rank")
    );
    fs::write(&target, "old").expect("a file");
    let bad = rakelight(&scan(&["no-such.toml", "--format", "csv", "-o", &name]));
    assert_eq!(code(&bad), 2);
    assert_eq!(fs::read_to_string(&target).expect("a file"), "old");
    let left: Vec<_> = fs::read_dir(folder.path(".")).expect("a folder").collect();
    assert_eq!(left.len(), 1, "no partial file stays");
    let nowhere = rakelight(&scan(&[TANK, "-o", "/no/such/folder/out.csv"]));
    assert_eq!(code(&nowhere), 2);
}

#[test]
fn the_same_bytes_for_any_number_of_threads() {
    let run = |jobs: &str| {
        let args = scan(&[
            TANK,
            "demo-sites/tinaja-mesa.toml",
            "demo-sites/gratalm-hut.toml",
            "--format",
            "ndjson",
            "--jobs",
            jobs,
        ]);
        rakelight(&args).stdout
    };
    let one = run("1");
    assert!(!one.is_empty());
    assert_eq!(one, run("2"));
    assert_eq!(one, run("8"));
}

#[test]
fn no_table_line_is_wider_than_80_columns() {
    for more in [
        &["--light", "raking"][..],
        &["--light", "dark"],
        &["--light", "blend"],
        &["--light", "any", "--all"],
        &["--together"],
    ] {
        let mut args = vec![
            "demo-sites/tinaja-mesa.toml",
            "demo-sites/saltbush-tank.toml",
        ];
        args.extend(more);
        let text = stdout(&rakelight(&scan(&args)));
        for line in text.lines() {
            assert!(
                line.chars().count() <= 80,
                "{}: {line}",
                line.chars().count()
            );
        }
        assert!(!text.contains('\u{1b}'), "no styles into a pipe");
    }
}

#[test]
fn colour_only_when_wanted() {
    let always = rakelight(&scan(&[TANK, "--color", "always"]));
    assert!(stdout(&always).contains("\u{1b}["));
    let never = rakelight(&scan(&[TANK, "--color", "never"]));
    assert!(!stdout(&never).contains('\u{1b}'));
}

#[cfg(unix)]
#[test]
fn a_closed_pipe_ends_the_program_quietly() {
    let mut child = Run::here()
        .command()
        .args([
            "scan", "--place", "-31,139", "--light", "any", "--format", "csv",
        ])
        .args(["--from", "2001-01-01", "--to", "2030-12-31", "--quiet"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut first = [0_u8; 100];
    let mut out = child.stdout.take().expect("its output");
    out.read_exact(&mut first).expect("it writes");
    drop(out);
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(stderr(&output), "");
    assert_eq!(code(&output), 0);
}
