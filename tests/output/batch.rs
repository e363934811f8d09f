//! Many sites in one run: order, bytes, bad rows, interruption, full disks.

use crate::program;

use chrono::{Days, NaiveDate};
use program::{Folder, HERE, Run};
use proptest::test_runner::{RngAlgorithm, TestRng};
use rakelight::{
    report::{Cell, Record, WINDOW_FIELDS},
    rule::Brief,
    rule::Rules,
    scene::{Dates, Site, Zone},
    search::Season,
};
use rayon::prelude::*;
use std::{
    collections::BTreeMap,
    fmt::Write as _,
    fs,
    io::Write as _,
    path::Path,
    process::{Command, Output, Stdio},
};

fn program() -> Command {
    Run::here().command()
}

fn rakelight(args: &[&str]) -> Output {
    Run::here().output(args)
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// Invented places all over the Earth, poles and antimeridian among them.
fn table(rows: usize) -> String {
    let mut table =
        "name,latitude_deg,longitude_deg,elevation_m,time_zone,subject.bearing_deg\n".to_owned();
    let zone_at = |longitude: f64| match longitude {
        ..-120.0 => "Pacific/Apia",
        ..-80.0 => "America/Denver",
        ..5.0 => "America/St_Johns",
        ..45.0 => "Africa/Johannesburg",
        ..130.0 => "Asia/Kathmandu",
        _ => "Australia/Lord_Howe",
    };
    for row in 0..rows {
        let latitude = -90.0 + 180.0 * (row as f64 * 0.618_034).fract();
        let longitude = -180.0 + 360.0 * (row as f64 * 0.754_878).fract();
        let zone = match row % 4 {
            0 => "UTC",
            _ => zone_at(longitude),
        };
        let bearing = row * 37 % 360;
        writeln!(
            table,
            "place {row},{latitude:.4},{longitude:.4},{},{zone},{bearing}",
            row % 3000
        )
        .expect("a string takes all");
    }
    table
}

const MONTH: [&str; 4] = ["--from", "2027-05-20", "--to", "2027-06-10"];

#[test]
fn the_same_bytes_for_1_2_and_8_threads_in_every_format() {
    let folder = Folder::new();
    // More than two chunks, and the last one not full.
    let sites = folder.file("sites.csv", table(530));
    let ways: [&[&str]; 14] = [
        &["--format", "csv"],
        &["--format", "ndjson"],
        &["--format", "json"],
        &["--format", "ical"],
        &["--format", "geojson"],
        &["--format", "gpx"],
        &["--format", "kml"],
        &["--format", "markdown"],
        &["--format", "table"],
        &["--by", "month", "--format", "csv"],
        &["--by", "month"],
        &["--by", "year", "--format", "csv"],
        &["--by", "year"],
        &["--together", "--format", "csv"],
    ];
    for way in ways {
        let run = |jobs: &str| {
            let mut args = vec!["scan", &*sites, "--light", "any", "--jobs", jobs];
            args.extend(MONTH);
            args.extend(way);
            let output = rakelight(&args);
            assert_eq!(output.status.code(), Some(0), "{way:?}");
            (output.stdout, output.stderr)
        };
        let one = run("1");
        assert!(one.0.len() > 1000, "{way:?} prints something");
        assert!(one == run("2"), "{way:?} differs with 2 threads");
        assert!(one == run("8"), "{way:?} differs with 8 threads");
    }
}

#[test]
fn a_batch_is_the_scans_one_by_one() {
    let demos: Vec<String> = fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-sites"))
        .expect("demo sites")
        .map(|entry| entry.expect("an entry").path().display().to_string())
        .filter(|path| path.ends_with(".toml"))
        .collect();
    let folder = Folder::new();
    let table = table(40);
    let whole_table = folder.file("sites.csv", &table);
    let mut lines = table.lines();
    let header = lines.next().expect("a header");
    let mut alone: Vec<String> = demos.clone();
    for (index, line) in lines.enumerate() {
        alone.push(folder.file(&format!("{index}.csv"), format!("{header}\n{line}\n")));
    }
    let mut batch: Vec<&str> = demos.iter().map(String::as_str).collect();
    batch.push(&whole_table);
    for format in ["csv", "ndjson"] {
        let run = |sites: &[&str]| {
            let mut args = vec!["scan", "--format", format, "--quiet"];
            args.extend(MONTH);
            args.extend(sites);
            rakelight(&args).stdout
        };
        let together = text(&run(&batch));
        let header_length = if format == "csv" {
            together.find('\n').expect("a header") + 1
        } else {
            0
        };
        let mut one_by_one = together[..header_length].to_owned();
        for site in &alone {
            one_by_one.push_str(&text(&run(&[site]))[header_length..]);
        }
        assert!(one_by_one == together, "{format}");
        assert!(together.lines().count() > 10, "{format} finds windows");
    }
}

#[test]
fn bad_rows_are_told_and_the_good_ones_are_as_if_they_stood_alone() {
    let folder = Folder::new();
    let good = table(600);
    let mut mixed = String::new();
    for (index, line) in good.lines().enumerate() {
        writeln!(mixed, "{line}").expect("a string");
        if index % 2 == 1 {
            writeln!(mixed, "bad {index},95,10,0,UTC,0").expect("a string");
        }
    }
    let good = folder.file("good.csv", &good);
    let mixed = folder.file("mixed.csv", &mixed);
    let run = |sites: &str, more: &[&str]| {
        let mut args = vec!["scan", sites, "--format", "csv", "--quiet"];
        args.extend(MONTH);
        args.extend(more);
        rakelight(&args)
    };
    let stopped = run(&mixed, &[]);
    assert_eq!(stopped.status.code(), Some(2));
    let told = text(&stopped.stderr);
    assert!(told.starts_with("rakelight: 300 errors in the input\n"));
    let found = told.matches("mixed.csv:").count();
    assert_eq!(found, 300, "every bad row is told");
    assert!(
        told.contains("mixed.csv:3:2: latitude_deg: found 95"),
        "{told}"
    );

    let went_on = run(&mixed, &["--keep-going"]);
    assert_eq!(went_on.status.code(), Some(3));
    assert_eq!(text(&went_on.stderr).matches("mixed.csv:").count(), 300);
    assert!(went_on.stdout == run(&good, &[]).stdout);
}

#[test]
fn a_table_of_nothing_but_bad_rows_neither_floods_nor_fills_memory() {
    let folder = Folder::new();
    let mut rows = "name,latitude_deg,longitude_deg\n".to_owned();
    for row in 0..5000 {
        writeln!(rows, "bad {row},95,10").expect("a string");
    }
    let bad = folder.file("bad.csv", &rows);
    let stopped = rakelight(&["scan", &bad]);
    assert_eq!(stopped.status.code(), Some(2));
    let told = text(&stopped.stderr);
    assert!(told.starts_with("rakelight: 5000 errors in the input\n"));
    assert!(told.ends_with("... and 4000 more; mend these first\n"));
    let went_on = rakelight(&["scan", &bad, "--keep-going", "--format", "csv", "--quiet"]);
    assert_eq!(went_on.status.code(), Some(4));
    assert_eq!(text(&went_on.stderr).lines().count(), 5000);
    assert_eq!(text(&went_on.stdout).lines().count(), 1, "the header alone");
}

/// Every value of a window is a number that is one, in the order of time.
fn check(site: &Site, rules: &Rules, season: &Season) -> usize {
    let windows = season
        .planner(site.clone(), rules.clone())
        .expect("a planner")
        .windows();
    for window in &windows {
        let name = &site.name;
        assert!(window.interval.start < window.interval.end, "{name}");
        let best = window.best.moment().seconds();
        assert!(
            window.interval.start <= best && best <= window.interval.end,
            "{name}: best outside the window"
        );
        assert!(season.dates().contains(window.night), "{name}");
        let record = Record { site, window };
        for column in WINDOW_FIELDS {
            match column.cell(&record) {
                Cell::Number(number, _) => {
                    assert!(
                        number.is_finite(),
                        "{name} {}: {}",
                        window.night,
                        column.name
                    );
                }
                Cell::Empty | Cell::Text(_) | Cell::Whole(_) | Cell::Flag(_) => {}
                cell => assert!(!cell.to_text().is_empty(), "{name}: {}", column.name),
            }
        }
    }
    windows.len()
}

#[test]
fn ten_thousand_random_sites_without_a_number_that_is_none() {
    const SEASONS: u64 = 40;
    const SITES: usize = 250;
    let mut random = TestRng::from_seed(RngAlgorithm::ChaCha, &[11; 32]);
    let mut uniform = |from: f64, to: f64| {
        use proptest::prelude::Rng as _;
        from + (to - from) * (random.next_u32() as f64 / f64::from(u32::MAX))
    };
    let first = NaiveDate::from_ymd_opt(1900, 1, 1).expect("a date");
    let lights = ["raking", "dark", "blend", "any"];
    let mut windows = 0;
    for season in 0..SEASONS {
        // 73,048 days from 1900-01-01 to 2099-12-31; the ends are among them.
        let day = match season {
            0 => 0,
            1 => 73_048 - 20,
            _ => uniform(0.0, 73_000.0) as u64,
        };
        let from = first + Days::new(day);
        let season = Season::new(Dates::new(from, from + Days::new(20)).expect("dates"));
        let sites: Vec<(Site, Rules)> = (0..SITES)
            .map(|index| {
                let latitude = match index {
                    0 => 90.0,
                    1 => -90.0,
                    _ => uniform(-90.0, 90.0),
                };
                let longitude = match index {
                    0 | 2 => 180.0,
                    3 => -180.0,
                    _ => uniform(-180.0, 180.0),
                };
                let elevation = uniform(-400.0, 8000.0);
                let place = format!("{latitude},{longitude},{elevation}");
                // Near a border the place does not tell its zone.
                let site = Site::at_place(&place, None)
                    .or_else(|_| Site::at_place(&place, Some(Zone::UTC)))
                    .expect("a place on Earth");
                let mut brief = Brief::default();
                let mut rule = |key: &str, text: &str| {
                    brief.set(key, text).expect("a rule that can be read");
                };
                rule("light", lights[index % lights.len()]);
                rule("sun_altitude", "..-12");
                rule("target_altitude", "2..");
                rule("min_minutes", "5");
                rule("facing", ["target", "arch", "217"][index % 3]);
                let rules = Rules::new(&brief, &site).expect("rules");
                (site, rules)
            })
            .collect();
        windows += sites
            .par_iter()
            .map(|(site, rules)| check(site, rules, &season))
            .sum::<usize>();
    }
    assert!(windows > 10_000, "{windows} windows were looked at");
}

#[test]
fn a_summary_is_the_best_night_of_each_month() {
    let sites = [
        "demo-sites/tinaja-mesa.toml",
        "demo-sites/witkopje-pan.toml",
    ];
    let year = ["--from", "2027-02-10", "--to", "2028-01-05", "--quiet"];
    let run = |more: &[&str]| {
        let mut args = vec!["scan"];
        args.extend(sites);
        args.extend(year);
        args.extend(more);
        let output = rakelight(&args);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        text(&output.stdout)
    };
    let rows = |text: &str| -> Vec<BTreeMap<String, String>> {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        reader
            .deserialize()
            .map(|row| row.expect("a row"))
            .collect()
    };
    let all = rows(&run(&["--format", "csv"]));
    let summary = rows(&run(&["--by", "month", "--format", "csv"]));
    assert_eq!(
        summary.len(),
        2 * 12,
        "a row a site and month, empty ones too"
    );
    for row in &summary {
        let of_month: Vec<_> = all
            .iter()
            .filter(|window| {
                window["site"] == row["site"] && window["night"].starts_with(&row["month"])
            })
            .collect();
        let nights: std::collections::BTreeSet<_> =
            of_month.iter().map(|window| &window["night"]).collect();
        assert_eq!(row["nights"], nights.len().to_string());
        let rank =
            |window: &BTreeMap<String, String>| window["rank"].parse::<usize>().expect("a rank");
        match of_month.iter().min_by_key(|window| rank(window)) {
            None => assert!(row["night"].is_empty() && row["score"].is_empty()),
            Some(best) => {
                for (column, value) in best.iter() {
                    assert_eq!(&row[column], value, "{column} in {}", row["month"]);
                }
            }
        }
    }
    let table = run(&["--by", "month"]);
    for line in table.lines() {
        assert!(line.chars().count() <= 80, "{line}");
        assert!(!line.ends_with(' '), "{line}");
    }
    // The best of all is the best of its month, too.
    let score = |window: &BTreeMap<String, String>| window["score"].parse::<f64>().expect("it");
    let best = all.iter().max_by(|a, b| score(a).total_cmp(&score(b)));
    let best = best.expect("a window");
    let night: chrono::NaiveDate = best["night"].parse().expect("a date");
    let best = format!("{} ({:.0})", night.format("%a %-d"), score(best));
    assert!(table.contains(&format!("*{best}")), "{best}: {table}");
    let markdown = run(&["--by", "month", "--format", "markdown"]);
    assert!(markdown.contains("| Tinaja Mesa | - |"), "{markdown}");
    assert!(markdown.contains(&format!("**{best}**")), "{markdown}");
}

#[test]
fn a_summary_of_nothing_says_so_and_other_formats_are_refused() {
    let none = rakelight(&[
        "scan",
        "--by",
        "month",
        "--target-altitude",
        "89..",
        "--from",
        "2027-01-01",
        "--to",
        "2027-02-01",
    ]);
    assert_eq!(none.status.code(), Some(1));
    assert!(text(&none.stderr).contains("No window at any site in these evenings"));
    let refused = rakelight(&["scan", "--by", "month", "--format", "ical"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(refused.stdout.is_empty());
    assert_eq!(
        text(&refused.stderr).lines().last(),
        Some(
            "rakelight: --by month is printed as a table, csv or markdown; for another format \
             --per-month 1 gives the best window of each month"
        )
    );
}

#[cfg(unix)]
mod unix {
    use super::*;
    use std::{
        io::{BufRead, BufReader, Read},
        os::unix::{
            fs::{FileTypeExt, PermissionsExt},
            process::ExitStatusExt,
        },
        time::{Duration, Instant},
    };

    /// A scan that would go on for many minutes.
    fn endless(sites: &str, more: &[&str]) -> Command {
        // No image of its memory, which some signals leave.
        let mut command = Run::after("ulimit -c 0", Path::new(HERE)).command();
        command
            .args(["scan", sites, "--from", "1990-01-01", "--to", "2099-12-31"])
            .args(["--format", "csv", "--quiet"])
            .args(more)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        command
    }

    fn send(signal: &str, process: u32) {
        let sent = Command::new("kill")
            .args([format!("-{signal}"), process.to_string()])
            .status()
            .expect("kill runs");
        assert!(sent.success());
    }

    /// What people, systems and batch queues send to end a program, by the
    /// numbers of Linux.
    #[cfg(target_os = "linux")]
    const ENDING: [(&str, i32); 10] = [
        ("INT", 2),
        ("TERM", 15),
        ("HUP", 1),
        ("QUIT", 3),
        ("XCPU", 24),
        ("USR1", 10),
        ("USR2", 12),
        ("ALRM", 14),
        ("VTALRM", 26),
        ("PROF", 27),
    ];
    #[cfg(not(target_os = "linux"))]
    const ENDING: [(&str, i32); 4] = [("INT", 2), ("TERM", 15), ("HUP", 1), ("QUIT", 3)];

    #[test]
    fn an_interrupted_file_is_as_it_was() {
        for (signal, number) in ENDING {
            let folder = Folder::new();
            let sites = folder.file("sites.csv", table(20_000));
            let old = folder.file("nights.csv", "the old one\n");
            let child = endless(&sites, &["-o", &old]).spawn().expect("it starts");
            let patience = Instant::now() + Duration::from_secs(60);
            while folder.names().len() < 3 {
                assert!(Instant::now() < patience, "it begins to write");
                std::thread::sleep(Duration::from_millis(20));
            }
            send(signal, child.id());
            let ended = child.wait_with_output().expect("it ends");
            assert_eq!(
                ended.status.signal(),
                Some(number),
                "as any program ends by it"
            );
            assert_eq!(
                folder.names(),
                ["nights.csv", "sites.csv"],
                "nothing half-written"
            );
            assert_eq!(fs::read_to_string(&old).expect("the file"), "the old one\n");
            let told = text(&ended.stderr);
            assert!(told.contains("nights.csv is as it was before"), "{told}");
        }
    }

    /// A signal may come at any moment of the start too: the file is then not
    /// yet there, or known to be taken away.
    #[test]
    fn an_interruption_at_the_start_leaves_nothing() {
        let folder = Folder::new();
        let sites = folder.file("sites.csv", table(20_000));
        let old = folder.file("nights.csv", "the old one\n");
        for run in 0..120 {
            let child = endless(&sites, &["-o", &old]).spawn().expect("it starts");
            // The moment that a file appears beside the others, or a little
            // after: what is done then must not be half done.
            let patience = Instant::now() + Duration::from_secs(60);
            while folder.names().len() < 3 {
                assert!(Instant::now() < patience, "it begins to write");
                std::hint::spin_loop();
            }
            std::thread::sleep(Duration::from_micros(20 * (run % 10)));
            send("TERM", child.id());
            let ended = child.wait_with_output().expect("it ends");
            assert_eq!(ended.status.signal(), Some(15));
            assert_eq!(folder.names(), ["nights.csv", "sites.csv"], "run {run}");
        }
    }

    /// The signals that this process was made to ignore, and its children.
    fn ignored_here() -> u64 {
        let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
        let set = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
        set.map_or(0, |set| {
            u64::from_str_radix(set.trim(), 16).expect("a set of signals")
        })
    }

    /// Whoever starts a run under `nohup`, or a script that starts it in the
    /// background, has it ignore a signal: it must not end by that one.
    #[cfg(target_os = "linux")]
    #[test]
    fn a_signal_that_is_ignored_from_the_start_stays_ignored() {
        let scan = |folder: &Folder, before: &str, output: &str| {
            let sites = folder.file("sites.csv", table(600));
            let before = format!("ulimit -c 0{before}");
            let mut command = Run::after(&before, Path::new(HERE)).command();
            command.args(["scan", &sites, "-o", output]);
            command.args(["--from", "2020-01-01", "--to", "2026-12-31"]);
            command.args(["--format", "csv", "--quiet"]);
            command.stderr(Stdio::piped());
            command
        };
        let whole = {
            let folder = Folder::new();
            let output = folder.path("nights.csv").display().to_string();
            let ended = scan(&folder, "", &output).status().expect("it runs");
            assert!(ended.success());
            fs::read(output).expect("the file")
        };
        let some = ["INT", "TERM", "HUP", "XCPU", "USR1"];
        for (signal, number) in ENDING.into_iter().filter(|(name, _)| some.contains(name)) {
            if ignored_here() & (1 << (number - 1)) != 0 {
                // Then no child can be made to heed it.
                continue;
            }
            for ignored in [true, false] {
                let folder = Folder::new();
                let output = folder.path("nights.csv").display().to_string();
                let before = if ignored {
                    format!("; trap '' {signal}")
                } else {
                    String::new()
                };
                let child = scan(&folder, &before, &output).spawn().expect("it starts");
                let patience = Instant::now() + Duration::from_secs(60);
                while folder.names().len() < 2 {
                    assert!(Instant::now() < patience, "it begins to write");
                    std::thread::sleep(Duration::from_millis(5));
                }
                send(signal, child.id());
                let ended = child.wait_with_output().expect("it ends");
                let told = text(&ended.stderr);
                if ignored {
                    assert_eq!(ended.status.code(), Some(0), "{signal}: {told}");
                    assert!(fs::read(&output).expect("the file") == whole, "{signal}");
                } else {
                    assert_eq!(ended.status.signal(), Some(number), "{told}");
                    assert_eq!(folder.names(), ["sites.csv"], "{signal}");
                    assert!(told.contains("nights.csv was not made"), "{told}");
                }
            }
        }
    }

    #[test]
    fn an_interrupted_stream_ends_with_a_whole_line() {
        let folder = Folder::new();
        let sites = folder.file("sites.csv", table(20_000));
        let mut child = endless(&sites, &[]).spawn().expect("it starts");
        let mut out = BufReader::new(child.stdout.take().expect("its output"));
        let mut header = String::new();
        out.read_line(&mut header).expect("a header");
        send("INT", child.id());
        let mut rest = String::new();
        out.read_to_string(&mut rest).expect("what follows");
        child.wait().expect("it ends");
        assert!(rest.is_empty() || rest.ends_with("\r\n"));
        let fields = header.split(',').count();
        let mut reader = csv::Reader::from_reader(rest.as_bytes());
        for row in reader.records() {
            assert_eq!(row.expect("a whole row").len(), fields);
        }
    }

    #[test]
    fn a_limit_on_file_size_is_told_and_the_old_file_stays() {
        let folder = Folder::new();
        let sites = folder.file("sites.csv", table(300));
        let old = folder.file("nights.csv", "the old one\n");
        let ended = Run::at(&folder).output(&["--version"]);
        assert!(ended.status.success());
        let ended = Run::after("ulimit -f 8", &folder.path("."))
            .command()
            // A build that measures coverage writes its counts at the end, and
            // they would meet the limit too.
            .env("LLVM_PROFILE_FILE", "/dev/null")
            .args([
                "scan", &sites, "--light", "any", "--format", "csv", "--quiet",
            ])
            .args(MONTH)
            .args(["-o", "nights.csv"])
            .output()
            .expect("it runs");
        assert_eq!(ended.status.code(), Some(2), "{}", text(&ended.stderr));
        let told = text(&ended.stderr);
        assert_eq!(
            told,
            "rakelight: nights.csv: found a limit on the size of files, expected a place to \
             write to; raise it (ulimit -f), or write less\n"
        );
        assert_eq!(told.lines().count(), 1);
        assert_eq!(folder.names(), ["nights.csv", "sites.csv"]);
        assert_eq!(fs::read_to_string(&old).expect("the file"), "the old one\n");
    }

    #[test]
    fn a_full_device_is_told_and_never_replaced() {
        if !Path::new("/dev/full").exists() {
            return;
        }
        let full = fs::File::options()
            .write(true)
            .open("/dev/full")
            .expect("it opens");
        let ended = program()
            .args(["scan", "demo-sites/tinaja-mesa.toml", "--quiet"])
            .args(MONTH)
            .stdout(full)
            .output()
            .expect("it runs");
        assert_eq!(ended.status.code(), Some(2));
        assert_eq!(
            text(&ended.stderr),
            "rakelight: the output: found no room left, expected a place to write to; \
             make room, or name another place\n"
        );
        let ended = rakelight(&[
            "scan",
            "demo-sites/tinaja-mesa.toml",
            "--quiet",
            "--from",
            "2027-05-20",
            "--to",
            "2027-06-10",
            "-o",
            "/dev/full",
        ]);
        assert_eq!(ended.status.code(), Some(2));
        assert_eq!(
            text(&ended.stderr),
            "rakelight: /dev/full: found no room left, expected a place to write to; \
             make room, or name another place\n"
        );
        let kind = fs::metadata("/dev/full").expect("still there").file_type();
        assert!(kind.is_char_device(), "a device stays one");
    }

    #[test]
    fn a_link_stays_a_link_and_permissions_stay() {
        let folder = Folder::new();
        let old = folder.file("nights.txt", "the old one\n");
        fs::set_permissions(&old, fs::Permissions::from_mode(0o640)).expect("permissions");
        let link = folder.path("link.txt");
        std::os::unix::fs::symlink("nights.txt", &link).expect("a link");
        let ended = program()
            .args(["scan", "demo-sites/tinaja-mesa.toml", "--quiet", "-o"])
            .arg(&link)
            .args(MONTH)
            .output()
            .expect("it runs");
        assert_eq!(ended.status.code(), Some(0));
        assert!(fs::symlink_metadata(&link).expect("it").is_symlink());
        assert!(
            fs::read_to_string(&old)
                .expect("it")
                .starts_with("Tinaja Mesa")
        );
        let mode = fs::metadata(&old).expect("it").permissions().mode();
        assert_eq!(mode & 0o777, 0o640);
    }

    #[test]
    fn a_hundred_thousand_rows_from_a_pipe_in_little_memory() {
        // A limit on the address space far below what holding them would take.
        let mut child = Run::after("ulimit -v 400000", Path::new(HERE))
            .command()
            .args(["scan", "-", "--from", "2027-06-01", "--to", "2027-06-01"])
            .args([
                "--light", "any", "--format", "ndjson", "--quiet", "--jobs", "2",
            ])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("it starts");
        let mut input = child.stdin.take().expect("its input");
        let feeder = std::thread::spawn(move || {
            input
                .write_all(table(100_000).as_bytes())
                .expect("all is read");
        });
        let out = BufReader::new(child.stdout.take().expect("its output"));
        let lines = out.lines().map_while(Result::ok).count();
        feeder.join().expect("all was written");
        assert!(child.wait().expect("it ends").success());
        assert!(lines > 10_000, "{lines} windows");
    }
}
