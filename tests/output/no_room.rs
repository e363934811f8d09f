//! Disks without room: what is to be whole is whole or not there.
#![cfg(unix)]
#![allow(clippy::print_stderr, reason = "says what was not looked at")]

use crate::program;

use program::{Folder, Run};
use std::{
    fs,
    path::Path,
    process::{Command, Output},
};

/// The program with a limit on the size of files, in blocks of 512 bytes.
fn limited(folder: &Path, blocks: u32, args: &[&str]) -> Output {
    Run::after(&format!("ulimit -f {blocks}"), folder)
        .env("LLVM_PROFILE_FILE", "/dev/null")
        .output(args)
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let name = |entry: fs::DirEntry| entry.file_name().to_string_lossy().into_owned();
    entries
        .map(|entry| name(entry.expect("an entry")))
        .collect()
}

/// A disk of so many KiB, where this user may have one; it goes with the value.
struct Disk(Folder);

impl Disk {
    fn of(kib: u32) -> Option<Self> {
        let folder = Folder::new();
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &format!("size={kib}k"), "tmpfs"])
            .arg(folder.path("."))
            .output();
        if !mounted.is_ok_and(|ended| ended.status.success()) {
            eprintln!("skipped: this user can have no small disk (mount -t tmpfs)");
            return None;
        }
        Some(Self(folder))
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(self.0.path(".")).output();
    }
}

#[test]
fn a_site_file_that_finds_no_room_leaves_nothing_in_the_way() {
    let folder = Folder::new();
    let path = folder.path(".");
    let ended = limited(&path, 1, &["sites", "new", "tank.toml"]);
    let told = String::from_utf8_lossy(&ended.stderr);
    assert_eq!(ended.status.code(), Some(2), "{told}");
    assert_eq!(
        told,
        "rakelight: tank.toml: found a limit on the size of files, expected a place to write to; \
         raise it (ulimit -f), or write less\n"
    );
    assert_eq!(names(&path), [""; 0]);
    // The next attempt has its way.
    Run::at(&folder).of(&["sites", "new", "tank.toml"]).good();
}

#[test]
fn a_site_file_on_a_full_disk_leaves_nothing_in_the_way() {
    let Some(disk) = Disk::of(8) else { return };
    let fill = disk.0.path("full");
    // As much as goes in.
    let _ = fs::write(&fill, vec![0; 1 << 16]);
    let ended = Run::at(&disk.0).of(&["sites", "new", "tank.toml"]);
    assert_eq!(ended.code, 2, "{}", ended.err);
    assert!(ended.err.contains("tank.toml: found no room left"));
    assert_eq!(names(&disk.0.path(".")), ["full"]);
    fs::remove_file(fill).expect("it goes");
    let disk = Disk::of(256).expect("as before");
    Run::at(&disk.0).of(&["sites", "new", "tank.toml"]).good();
}

#[test]
fn manual_pages_come_all_or_none() {
    // The page of `scan` is the longest; it is not the first.
    let folder = Folder::new();
    let path = folder.path(".");
    for named in ["pages", "deep/er/pages", "pages/"] {
        let ended = limited(&path, 8, &["man", named]);
        let told = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(2), "{named}: {told}");
        assert!(
            told.contains("found a limit on the size of files"),
            "{told}"
        );
        assert_eq!(names(&path), [""; 0], "{named}");
    }
    // A folder of before stays, as do its pages.
    fs::create_dir(folder.path("old")).expect("a folder");
    folder.file("old/rakelight.1", "the one before\n");
    let ended = limited(&path, 8, &["man", "old"]);
    assert_eq!(ended.status.code(), Some(2));
    assert_eq!(names(&folder.path("old")), ["rakelight.1"]);
    let page = fs::read_to_string(folder.path("old/rakelight.1"));
    assert_eq!(page.expect("it"), "the one before\n");
}

#[test]
fn manual_pages_on_a_small_disk_come_all_or_none() {
    let Some(disk) = Disk::of(48) else { return };
    let ended = Run::at(&disk.0).of(&["man", "pages"]);
    assert_eq!(ended.code, 2, "{}", ended.err);
    assert!(ended.err.contains("found no room left"), "{}", ended.err);
    assert_eq!(names(&disk.0.path(".")), [""; 0]);
}

/// What cannot be written is not passed over in silence.
#[test]
fn a_standard_output_that_is_read_from_is_told() {
    let folder = Folder::new();
    folder.file("input", "");
    for typed in [
        "phases --from 2027-05-01 --to 2027-05-20",
        "sites new -",
        "chart night --on 2027-05-10 --quiet --format png",
        "man",
    ] {
        let args: Vec<&str> = typed.split(' ').collect();
        let input = fs::File::open(folder.path("input")).expect("a file");
        let command = Run::at(&folder).command().args(args).stdout(input).output();
        let ended = command.expect("it runs");
        assert_eq!(ended.status.code(), Some(2), "{typed}: {ended:?}");
        assert_eq!(
            String::from_utf8_lossy(&ended.stderr),
            "rakelight: standard output: found one that is open for reading only, expected a \
             place to write to; send it elsewhere (> FILE)\n"
        );
    }
}
