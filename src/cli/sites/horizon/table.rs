//! `sites horizon` of a table: a skyline for each row, in a folder of their own,
//! and the table with their names.

use super::{
    HorizonArgs, has_ending,
    row_files::{FileNames, folder_of},
    row_skylines::{CAMERA, Found, Row, SUBJECT, Skyline, compute_all, lost},
    subject_place,
};
use crate::cli::{
    manners::{
        Failure, Outcome, Output, Share,
        output::Written,
        overwrite_guard,
        progress::Progress,
        say,
        write_error::{refused, write_error},
    },
    sites::land,
};
use anyhow::anyhow;
use rakelight::{
    input::{Faults, SiteReading, WrittenRow, WrittenTable, read_site_table},
    plain_words::printable_path,
    report::words::plural,
    scene::{Position, Site, SubjectPlace, ValueError},
    terrain::{ElevationShelf, GroundPoint},
};
use std::{
    collections::BTreeMap,
    fs,
    io::Write,
    path::{Path, PathBuf},
    sync::Arc,
};

/// The most notes about single sites that are said: nobody reads more.
const MOST_NOTES: usize = 10;

/// Completes a table of sites.
pub fn run(args: &HorizonArgs, path: &Path) -> Result<Outcome, Failure> {
    let Some(output) = args.output.as_deref() else {
        let error = ValueError::new(
            "no -o",
            "-o FILE, a new table with the skylines of this one",
        )
        .with_remedy("add for example -o completed.csv");
        return Err(Failure::Reported(refused(path, error)));
    };
    if !has_ending(output, "csv") {
        let found = output.display().to_string();
        let error = ValueError::new(&found, "the name of a new table, which ends in .csv")
            .with_remedy("give it such a name");
        return Err(Failure::option("output", &error));
    }
    overwrite_guard::note(path);
    let reading = SiteReading::new(overwrite_guard::noting(), Arc::default());
    let mut table = WrittenTable::read(path, &reading)?;
    let mut faults = Faults::default();
    for row in &table.rows {
        if let Err(wrong) = &row.site {
            faults.extend(wrong.clone());
        }
    }
    if !faults.0.is_empty() {
        if !args.keep_going {
            return Err(faults.into());
        }
        say(&faults.to_string());
    }
    let files = land::files(&args.tiles)?;
    let folder = folder_of(output)?;
    let rows = wanted(args, &table)?;
    if !args.replace {
        check_free(&folder, &rows)?;
    }
    let out = Output::open(Some(output))?;
    let shelf = ElevationShelf::of(&files).map_err(|error| anyhow!("{error}"))?;
    let made_folder = make(&folder)?;
    let mut made = Made {
        folder: made_folder.then(|| folder.clone()),
        files: Vec::new(),
    };
    let progress = Progress::begin(&[path.to_owned()], !args.quiet);
    let (mut found, facts) = compute_all(args, &shelf, &folder, &rows, &progress);
    drop(progress);
    let lost = lost(&rows, &found);
    if !lost.is_empty() && !args.keep_going {
        // What is written has no name yet, and goes with this.
        drop(found);
        made.undo();
        let count = plural(lost.len() as i64, "site has", "sites have");
        let told: Vec<String> = lost
            .iter()
            .map(|(row, why)| told(path, &table, *row, why))
            .collect();
        return Err(Failure::Reported(anyhow!(
            "{count} no skyline\n{}",
            told.join("\n")
        )));
    }
    for (row, why) in &lost {
        say(&told(path, &table, *row, why));
        if let Some(row) = table.rows.get_mut(*row) {
            row.site = Err(Faults::default());
        }
    }
    let share = Share {
        left_out: table.rows.iter().filter(|row| row.site.is_err()).count(),
        sites: table.rows.len(),
    };
    let outcome = share.outcome(Outcome::Done);
    if outcome == Outcome::NothingRead {
        drop(found);
        made.undo();
        out.give_up(args.quiet)?;
        say(&share.to_string());
        return Ok(outcome);
    }
    let notes = fill(&mut table, &rows, &found, &folder);
    let partial: usize = found.values().flatten().map(|found| found.partial).sum();
    let written = found.values_mut().flatten();
    let written = written.flat_map(|found| std::mem::take(&mut found.written));
    let written: Vec<(String, Written)> = written.collect();
    let count = written.len();
    let put = |made: &mut Made, mut out: Output| -> Result<(), Failure> {
        for (file, skyline) in written {
            let file = folder.join(file);
            if !file.exists() {
                made.files.push(file);
            }
            skyline.put()?;
        }
        let mut text = Vec::new();
        table.write(&mut text)?;
        check(output, &text)?;
        out.write_all(&text)?;
        out.finish()
    };
    if let Err(failure) = put(&mut made, out) {
        // Without the table they would stand in the way next time.
        made.undo();
        return Err(failure);
    }
    if !args.quiet {
        land::say_facts(&facts);
        notes.iter().take(MOST_NOTES).for_each(|note| say(note));
        match notes.len().saturating_sub(MOST_NOTES) {
            0 => {}
            more => say(&plural(
                more as i64,
                "more note of this kind",
                "more notes of this kind",
            )),
        }
        say(&format!(
            "{} in {}, {partial} with ground missing on the way (there the true skyline may be \
             higher)",
            plural(count as i64, "skyline", "skylines"),
            printable_path(&folder)
        ));
        say(&format!(
            "{} has {} with them",
            printable_path(output),
            plural((share.sites - share.left_out) as i64, "site", "sites")
        ));
        if share.left_out > 0 {
            say(&share.to_string());
        }
    }
    Ok(outcome)
}

/// What was made beside the table.
struct Made {
    folder: Option<PathBuf>,
    files: Vec<PathBuf>,
}

impl Made {
    /// Takes it away again. Nobody needs it, so it does no harm if it stays.
    fn undo(&self) {
        for file in &self.files {
            let _ = fs::remove_file(file);
        }
        if let Some(folder) = &self.folder {
            let _ = fs::remove_dir(folder);
        }
    }
}

/// Makes the folder of the skylines; whether it was not there.
fn make(folder: &Path) -> Result<bool, Failure> {
    if folder.is_dir() {
        return Ok(false);
    }
    let made = fs::create_dir(folder);
    made.map_err(|error| write_error(folder, &error))?;
    Ok(true)
}

/// The skylines that the rows lack.
fn wanted(args: &HorizonArgs, table: &WrittenTable) -> Result<Vec<Row>, Failure> {
    let mut names = FileNames::of(table.rows.len());
    let mut rows = Vec::new();
    for (number, row) in table.rows.iter().enumerate() {
        let Ok(site) = &row.site else { continue };
        let camera = GroundPoint::new(site.latitude_deg, site.longitude_deg)
            .map_err(|error| anyhow!("{error}"))?;
        let lacks = |column: &str| args.replace || field(table, row, column).is_empty();
        let mut skylines = Vec::new();
        let mut farthest_m = 0.0;
        let mut add = |column, from, eye_m: f64, words| {
            let title = site.title();
            let (file, is_known) = names.of_place(number, &title, column == SUBJECT, from, eye_m);
            skylines.push(Skyline {
                column,
                file,
                from,
                eye_m,
                words,
                is_known,
            });
        };
        if lacks(CAMERA) {
            add(
                CAMERA,
                camera,
                args.eye.eye_height_m,
                "from the camera".to_owned(),
            );
        }
        if let (Some(subject), Some(from)) = (&site.subject, subject_place(site))
            && lacks(SUBJECT)
        {
            let words = format!("from {}", subject.within_sentence());
            farthest_m = camera.line_to(from).map_or(0.0, |line| line.distance_m);
            add(SUBJECT, from, land::subject_eye_m(site), words);
        }
        rows.push(Row {
            number,
            camera,
            reach_m: args.how.reach_m() + farthest_m,
            skylines,
        });
    }
    Ok(rows)
}

/// What a row has in a column; empty if there is no such column.
fn field<'a>(table: &WrittenTable, row: &'a WrittenRow, column: &str) -> &'a str {
    let place = table.header.iter().position(|name| name == column);
    let field = place.and_then(|place| row.fields.get(place));
    field.map_or("", String::as_str)
}

/// Refuses to write over files that are there.
fn check_free(folder: &Path, rows: &[Row]) -> Result<(), Failure> {
    let skylines = rows.iter().flat_map(|row| &row.skylines);
    let mut files = skylines.map(|skyline| folder.join(&skyline.file));
    match files.find(|file| file.exists()) {
        Some(file) => Err(Failure::Reported(super::occupied(&file))),
        None => Ok(()),
    }
}

/// A line about a site that has no skyline.
fn told(path: &Path, table: &WrittenTable, row: usize, why: &str) -> String {
    let row = table.rows.get(row);
    let line = row.map_or(0, |row| row.line);
    let title = row.and_then(|row| row.site.as_ref().ok()).map(Site::title);
    let title = rakelight::scene::shown(&title.unwrap_or_default());
    format!("{}:{line}: {title}: {why}", printable_path(path))
}

/// Puts the names of the skylines and the elevations that are missing into the
/// table, and says which elevations are off the ground.
fn fill(
    table: &mut WrittenTable,
    rows: &[Row],
    found: &BTreeMap<usize, Result<Found, String>>,
    folder: &Path,
) -> Vec<String> {
    let folder = folder.file_name().unwrap_or_default().to_string_lossy();
    let mut values: Vec<(usize, &'static str, String)> = Vec::new();
    let mut notes = Vec::new();
    for row in rows {
        let (Some(Ok(found)), Some(written)) = (found.get(&row.number), table.rows.get(row.number))
        else {
            continue;
        };
        let Ok(site) = &written.site else { continue };
        for skyline in &row.skylines {
            let file = format!("{folder}/{}", skyline.file);
            values.push((row.number, skyline.column, file));
        }
        let subject = site.subject.as_ref().map(|subject| subject.place);
        let subject_m = match subject {
            Some(SubjectPlace::Coordinates { elevation_m, .. }) => Some((
                "subject.elevation_m",
                "subject.position",
                elevation_m.unwrap_or(0.0),
            )),
            _ => None,
        };
        let camera = ("elevation_m", "position", site.elevation_m);
        let heights = [(Some(camera), found.camera_m), (subject_m, found.subject_m)];
        for (of, ground_m) in heights {
            let (Some((column, position, given_m)), Some(ground_m)) = (of, ground_m) else {
                continue;
            };
            let in_position = field(table, written, position).parse::<Position>();
            let is_given = !field(table, written, column).is_empty()
                || in_position.is_ok_and(|position| position.elevation_m.is_some());
            match is_given {
                true => notes.extend(land::off_ground(&site.title(), column, given_m, ground_m)),
                false => {
                    let metres = format!("{:.0}", rakelight::Figure(ground_m));
                    values.push((row.number, column, metres));
                }
            }
        }
    }
    for (row, column, value) in values {
        let place = table.column(column);
        let field = table
            .rows
            .get_mut(row)
            .and_then(|row| row.fields.get_mut(place));
        if let Some(field) = field {
            *field = value;
        }
    }
    notes
}

/// Reads the completed table as another command would.
fn check(output: &Path, text: &[u8]) -> Result<(), Failure> {
    let directory = output.parent().unwrap_or(Path::new(""));
    let text = std::io::Cursor::new(text.to_vec());
    let mut faults = Faults::default();
    for site in read_site_table(&output.display().to_string(), directory, text)? {
        if let Err(wrong) = site {
            faults.extend(wrong);
        }
    }
    match faults.0.is_empty() {
        true => Ok(()),
        false => Err(faults.into()),
    }
}
