//! A scan as a part of a script: a pipe is answered as it comes, a JSON document
//! is one wherever the run ends, and what was left out is told.

use crate::program;

use program::{Folder, Run};
use serde_json::Value;
use std::{
    fmt::Write as _,
    io::{BufRead, BufReader, Read, Write},
    process::{Child, ChildStdin, Command, Output, Stdio},
    sync::mpsc::{self, Receiver},
    thread,
    time::Duration,
};

const HEADER: &str = "name,latitude_deg,longitude_deg,time_zone\n";
const MONTH: [&str; 6] = [
    "--from",
    "2027-06-02",
    "--to",
    "2027-06-06",
    "--light",
    "any",
];
/// Far more than an answer takes, far less than for ever.
const PATIENCE: Duration = Duration::from_secs(90);

fn rows(count: usize) -> String {
    let mut table = HEADER.to_owned();
    for row in 0..count {
        let latitude = -60.0 + 60.0 * (row as f64 * 0.618_034).fract();
        writeln!(table, "place {row},{latitude:.4},139,UTC").expect("a string takes all");
    }
    table
}

fn scan(args: &[&str]) -> Command {
    let mut command = Run::here().command();
    command.arg("scan").args(args).args(MONTH);
    command
}

fn run(args: &[&str]) -> Output {
    scan(args).output().expect("it runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// A scan with a pipe that stays open, and the lines that it writes.
fn piped(args: &[&str]) -> (Child, ChildStdin, Receiver<String>) {
    let mut child = scan(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    let input = child.stdin.take().expect("its input");
    let out = BufReader::new(child.stdout.take().expect("its output"));
    let (give, lines) = mpsc::channel();
    thread::spawn(move || {
        for line in out.lines().map_while(Result::ok) {
            if give.send(line).is_err() {
                break;
            }
        }
    });
    (child, input, lines)
}

/// Waits for a line with that part.
fn wait_for(lines: &Receiver<String>, part: &str) {
    loop {
        let line = lines.recv_timeout(PATIENCE);
        let line = line.unwrap_or_else(|_| panic!("no answer for {part} while the pipe is open"));
        if line.contains(part) {
            return;
        }
    }
}

#[test]
fn a_row_in_a_pipe_is_answered_before_the_next_is_written() {
    for format in ["csv", "ndjson", "json", "table", "markdown", "geojson"] {
        let (mut child, mut input, lines) =
            piped(&["-", "--format", format, "--top", "1", "--quiet"]);
        input.write_all(HEADER.as_bytes()).expect("a header");
        for name in ["Alder Ford", "Birch Weir", "Cedar Quay"] {
            writeln!(input, "{name},-31.4,139.2,UTC").expect("a row");
            wait_for(&lines, name);
        }
        drop(input);
        assert!(child.wait().expect("it ends").success(), "{format}");
    }
}

/// Sites of the file are read while others are computed, and the pipe behind it
/// is not waited for.
#[test]
fn a_file_before_a_pipe_is_answered_while_the_pipe_rests() {
    let folder = Folder::new();
    for count in [1, 256, 300] {
        let file = folder.file("sites.csv", rows(count));
        let (mut child, mut input, lines) = piped(&[&file, "-", "--format", "csv", "--quiet"]);
        // The columns of all tables are known before the first line.
        input.write_all(HEADER.as_bytes()).expect("a header");
        wait_for(&lines, &format!("place {},", count - 1));
        writeln!(input, "Alder Ford,-31.4,139.2,UTC").expect("a row");
        wait_for(&lines, "Alder Ford");
        drop(input);
        assert!(child.wait().expect("it ends").success(), "{count}");
    }
}

/// Years and months are written site by site in CSV.
#[test]
fn a_row_in_a_pipe_gets_its_months_and_years_at_once() {
    for by in ["month", "year"] {
        let (mut child, mut input, lines) = piped(&["-", "--by", by, "--format", "csv", "--quiet"]);
        input.write_all(HEADER.as_bytes()).expect("a header");
        for name in ["Alder Ford", "Birch Weir"] {
            writeln!(input, "{name},-31.4,139.2,UTC").expect("a row");
            wait_for(&lines, name);
        }
        drop(input);
        assert!(child.wait().expect("it ends").success(), "{by}");
    }
}

#[test]
fn a_wrong_row_in_a_pipe_is_told_while_the_pipe_is_open() {
    // Without the option the run ends.
    let (mut child, mut input, _lines) = piped(&["-", "--format", "csv"]);
    writeln!(input, "{HEADER}Alder Ford,95,139,UTC").expect("a row");
    let (give, ended) = mpsc::channel();
    let mut told = child.stderr.take().expect("its messages");
    thread::spawn(move || {
        let mut all = String::new();
        told.read_to_string(&mut all).expect("text");
        give.send(all).expect("somebody waits");
    });
    let told = ended.recv_timeout(PATIENCE).expect("it ends by itself");
    assert!(
        told.ends_with(
            "standard input:2:2: latitude_deg: found 95, expected a number from -90 to 90\n"
        ),
        "{told}"
    );
    assert_eq!(child.wait().expect("it ends").code(), Some(2));
    drop(input);

    // With it the run goes on, and the zone is that of the first good site.
    let (mut child, mut input, lines) = piped(&["-", "--format", "csv", "--keep-going", "--quiet"]);
    let mut told = BufReader::new(child.stderr.take().expect("its messages")).lines();
    writeln!(input, "{HEADER}Alder Ford,95,139,UTC").expect("a row");
    let line = told.next().expect("a line").expect("text");
    assert!(line.starts_with("standard input:2:2: "), "{line}");
    writeln!(input, "Birch Weir,-31.4,139.2,UTC").expect("a row");
    wait_for(&lines, "Birch Weir");
    drop(input);
    assert_eq!(child.wait().expect("it ends").code(), Some(3));
}

#[test]
fn a_pipe_gets_the_bytes_of_a_file() {
    let folder = Folder::new();
    let table = rows(300);
    let file = folder.file("sites.csv", &table);
    let beside = folder.file(
        "beside.csv",
        "name,latitude_deg,longitude_deg,time_zone\nBeside,-31,139,UTC\n",
    );
    for format in ["csv", "ndjson", "json"] {
        let more = ["--format", format, "--quiet"];
        let from_file = run(&[&[&*file, &*beside], &more[..]].concat());
        let mut child = scan(&[&["-", &*beside], &more[..]].concat())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("it starts");
        let mut input = child.stdin.take().expect("its input");
        let whole = table.clone();
        thread::spawn(move || {
            // In two pieces, so that a chunk ends in the middle of the table.
            let (first, rest) = whole.split_at(whole.len() / 3);
            input.write_all(first.as_bytes()).expect("it is read");
            thread::sleep(Duration::from_millis(400));
            input.write_all(rest.as_bytes()).expect("it is read");
        });
        let ended = child.wait_with_output().expect("it ends");
        assert_eq!(ended.status.code(), Some(0));
        assert!(ended.stdout.len() > 10_000);
        assert!(ended.stdout == from_file.stdout, "{format}");
    }
}

#[test]
fn a_json_document_is_one_where_an_error_stops_it() {
    let folder = Folder::new();
    let bad = folder.file("bad.csv", rows(600) + "bad,95,139,UTC\n");
    let ended = run(&[&bad, "--format", "json", "--quiet"]);
    assert_eq!(ended.status.code(), Some(2));
    let document: Value = serde_json::from_slice(&ended.stdout).expect("JSON");
    let sites = document["sites"].as_array().expect("sites");
    assert!(!sites.is_empty() && sites.len() < 600, "{}", sites.len());
    assert!(sites.iter().all(|site| site["windows"].is_array()));
    let why = document["stopped"].as_str().expect("why");
    assert!(why.contains("bad.csv:602:2: latitude_deg"), "{why}");
    assert!(text(&ended.stderr).ends_with(&format!("rakelight: {why}\n")));

    // Nothing has gone out yet: nothing is written.
    let bad = folder.file("few.csv", rows(3) + "bad,95,139,UTC\n");
    let ended = run(&[&bad, "--format", "json", "--quiet"]);
    assert_eq!(ended.status.code(), Some(2));
    assert!(ended.stdout.is_empty());

    // A complete one says nothing of it.
    let good = folder.file("good.csv", rows(3));
    let ended = run(&[&good, "--format", "json", "--quiet"]);
    let document: Value = serde_json::from_slice(&ended.stdout).expect("JSON");
    assert_eq!(document.get("stopped"), None);
    assert_eq!(document.get("left_out"), None);
}

#[cfg(unix)]
#[test]
fn a_json_document_is_one_where_a_signal_stops_it() {
    use std::os::unix::process::ExitStatusExt;
    let folder = Folder::new();
    let sites = folder.file("sites.csv", rows(20_000));
    for (signal, number) in [("INT", 2), ("TERM", 15)] {
        let mut child = Run::after("ulimit -c 0", std::path::Path::new("."))
            .command()
            .args(["scan", &sites, "--format", "json", "--quiet"])
            .args(["--from", "2027-06-01", "--to", "2027-06-30"])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let mut out = child.stdout.take().expect("its output");
        let mut document = vec![0; 4096];
        out.read_exact(&mut document).expect("the first bytes");
        // Whoever reads slowly is waited for.
        let reader = thread::spawn(move || {
            out.read_to_end(&mut document).expect("the rest");
            document
        });
        thread::sleep(Duration::from_millis(200));
        let sent = Command::new("kill")
            .args([format!("-{signal}"), child.id().to_string()])
            .status();
        assert!(sent.expect("kill runs").success());
        let ended = child.wait().expect("it ends");
        assert_eq!(ended.signal(), Some(number));
        let document = reader.join().expect("it is read");
        let document: Value = serde_json::from_slice(&document).expect("JSON");
        assert_eq!(document["stopped"], "interrupted");
        let sites = document["sites"].as_array().expect("sites");
        assert!(!sites.is_empty() && sites.len() < 20_000);
    }
}

#[test]
fn json_tells_what_was_left_out() {
    let folder = Folder::new();
    let table = folder.file(
        "sites.csv",
        HEADER.to_owned() + "Alder Ford,-31,139,UTC\nBirch Weir,95,139,UTC\nCedar Quay,-31,x,UTC\n",
    );
    let bad = folder.file(
        "bad.toml",
        "name = \"Bad\"\nlatitude_deg = 95\nlongitude_deg = 1\nelevaton_m = 3\n",
    );
    let gone = folder.path("gone.toml").display().to_string();
    let args = [&table, &bad, &gone, "--keep-going", "--format", "json"];
    let ended = run(&args);
    assert_eq!(ended.status.code(), Some(3));
    let document: Value = serde_json::from_slice(&ended.stdout).expect("JSON");
    assert_eq!(document["sites"].as_array().map(Vec::len), Some(1));
    let left_out = document["left_out"].as_array().expect("a list");
    let seen: Vec<(&str, Option<u64>, Option<&str>)> = left_out
        .iter()
        .map(|site| {
            let file = site["file"].as_str().expect("a file");
            (file, site["line"].as_u64(), site["name"].as_str())
        })
        .collect();
    assert_eq!(
        seen,
        [
            (&*table, Some(3), Some("Birch Weir")),
            (&*table, Some(4), Some("Cedar Quay")),
            (&*bad, Some(2), None),
            (&*gone, None, None),
        ]
    );
    // The messages are those on standard error, and no others.
    let told = text(&ended.stderr);
    let messages: Vec<&str> = left_out
        .iter()
        .map(|site| site["message"].as_str().expect("a message"))
        .collect();
    assert!(messages[2].lines().count() >= 2, "{}", messages[2]);
    assert!(told.contains(&messages.join("\n")), "{told}");
    assert!(told.ends_with("4 of 5 sites left out.\n"), "{told}");

    // Asked to go on with nothing left out, it says so.
    let good = folder.file("good.csv", rows(2));
    let ended = run(&[&good, "--keep-going", "--format", "json"]);
    assert_eq!(ended.status.code(), Some(0));
    let document: Value = serde_json::from_slice(&ended.stdout).expect("JSON");
    assert_eq!(document["left_out"], Value::Array(Vec::new()));
}

#[test]
fn the_first_ten_sites_without_a_window_get_advice_unasked() {
    let folder = Folder::new();
    // The core never rises there.
    let mut table = HEADER.to_owned();
    for row in 0..14 {
        writeln!(table, "north {row},7{}.5,20,UTC", row % 8).expect("a string");
    }
    let table = folder.file("sites.csv", table);
    let advised = |more: &[&str]| {
        let args = [&[&*table, "--format", "json", "--quiet"], more].concat();
        let ended = run(&args);
        assert_eq!(ended.status.code(), Some(1));
        let document: Value = serde_json::from_slice(&ended.stdout).expect("JSON");
        let sites = document["sites"].as_array().expect("sites").iter();
        sites
            .map(|site| !site["advice"].as_array().expect("a list").is_empty())
            .collect::<Vec<bool>>()
    };
    for jobs in ["1", "8"] {
        let ten = [vec![true; 10], vec![false; 4]].concat();
        assert_eq!(advised(&["--jobs", jobs]), ten);
    }
    assert_eq!(advised(&["--advise"]), vec![true; 14]);
}

#[test]
fn sites_of_the_same_name_are_told_once() {
    let folder = Folder::new();
    let same = folder.file(
        "same.csv",
        HEADER.to_owned() + &"Tank,-31,139,UTC\n".repeat(2000),
    );
    let one = folder.file("one.csv", HEADER.to_owned() + "Tank,-32,139,UTC\n");
    let two = folder.file(
        "two.csv",
        HEADER.to_owned() + "Other,-31,139,UTC\nTank,-33,139,UTC\nOther,-34,139,UTC\n",
    );
    let told = |args: &[&str]| {
        let more = ["--top", "1", "--format", "csv"];
        let night = ["--from", "2027-06-01", "--to", "2027-06-01"];
        let mut command = Run::here().command();
        command.arg("scan").args(args).args(more).args(night);
        let ended = command.output().expect("it runs");
        assert!(ended.status.code() <= Some(1), "{}", text(&ended.stderr));
        let told = text(&ended.stderr);
        let of_names =
            |line: &&str| line.contains("sites are called") || line.contains("names are");
        let lines = told.lines().filter(of_names);
        lines.map(|line| format!("{line}\n")).collect::<String>()
    };
    assert_eq!(
        told(&[&same]),
        format!("2000 sites are called Tank: {same}:2, {same}:3, {same}:4, ...\n")
    );
    assert_eq!(
        told(&[&one, &two]),
        format!(
            "2 sites are called Tank: {one}:2, {two}:3\n\
             2 sites are called Other: {two}:2, {two}:4\n"
        )
    );
    assert_eq!(told(&[&one]), "");
    assert_eq!(told(&[&one, &two, "--quiet"]), "");
    // Ten names are enough to see what is wrong.
    let many: String = (0..30).map(|row| format!("n{row},-31,139,UTC\n")).collect();
    let many = folder.file("many.csv", format!("{HEADER}{many}{many}"));
    let many = told(&[&many]);
    assert_eq!(many.lines().count(), 11, "{many}");
    assert!(
        many.ends_with("\n20 more names are those of several sites\n"),
        "{many}"
    );
    // The views of a place are not the same picture.
    let views = told(&["demo-sites/tamarisk-halt.toml"]);
    assert!(!views.contains("sites are called"), "{views}");
}
