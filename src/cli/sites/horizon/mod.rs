//! `rakelight sites horizon`.

mod elevations;
mod row_files;
mod row_skylines;
mod site_text;
mod table;

use super::land::{self, LandArgs};
use crate::cli::{
    args::{EyeArgs, PRINT},
    manners::{
        Failure, Outcome, Output, overwrite_guard, say,
        typed::{PATH_SIGNS, quoted},
        write_error::refused,
    },
    site_folders,
};
use anyhow::anyhow;
use clap::Args;
use rakelight::{
    Figure,
    input::{Fault, SiteReading, parse_sites, read_sites_at},
    plain_words::printable_path,
    plan::WindowMap,
    scene::{Site, ValueError},
    terrain::{ElevationMosaic, GroundPoint, SkylineProfile, SkylineSettings},
};
use site_text::{SiteText, Table};
use std::{
    collections::BTreeSet,
    io::Write,
    path::{Path, PathBuf},
};

#[derive(Debug, Args)]
pub struct HorizonArgs {
    /// The site: its name or its file (.toml); or a table of sites (.csv)
    #[arg(value_name = "SITE")]
    pub site: PathBuf,

    /// Elevation files (.hgt, GeoTIFF) or folders of them
    #[arg(required = true, value_name = "TILE")]
    pub tiles: Vec<PathBuf>,

    #[command(flatten)]
    pub eye: EyeArgs,

    #[command(flatten)]
    pub how: LandArgs,

    /// Of a table: the completed table, a new file
    ///
    /// The skylines go into a folder beside it: completed.skylines beside
    /// completed.csv.
    #[arg(short, long, value_name = "FILE", help_heading = PRINT)]
    pub output: Option<PathBuf>,

    /// Of a table: leave out sites without ground
    ///
    /// Each is reported. The exit code is then 3, or 4 if none is left.
    #[arg(long, help_heading = PRINT)]
    pub keep_going: bool,

    /// Write over the skylines that the site has
    #[arg(long, help_heading = PRINT)]
    pub replace: bool,

    /// Print only errors on standard error
    #[arg(long, hide_short_help = true, help_heading = PRINT)]
    pub quiet: bool,
}

/// A skyline to compute and where it goes.
struct Wanted {
    /// The table of the site file that takes its name, and the key there.
    table: Table,
    key: &'static str,
    file: PathBuf,
    from: GroundPoint,
    eye_m: f64,
    words: String,
}

/// Computes the skylines of a site and puts them into its file.
pub fn run(args: &HorizonArgs) -> Result<Outcome, Failure> {
    let path = site_file(args)?;
    if is_table(&path) {
        return table::run(args, &path);
    }
    for (option, given) in [
        ("output", args.output.is_some()),
        ("keep-going", args.keep_going),
    ] {
        if given {
            let error = ValueError::new("it for a site file", "a table of sites (.csv)")
                .with_remedy(format!("give a table, or leave --{option} out"));
            return Err(Failure::option(option, &error));
        }
    }
    // The skylines that the site has may be replaced: they are not noted.
    let sites =
        read_sites_at(&path, None, &SiteReading::default())?.collect::<Result<Vec<Site>, _>>()?;
    let mut text = SiteText::read(&path)?;
    let first = sites.first().ok_or_else(|| anyhow!("found no site"))?;
    let camera = GroundPoint::new(first.latitude_deg, first.longitude_deg)
        .map_err(|error| anyhow!("{error}"))?;
    let (wanted, left_out) = wanted(&path, &sites, &text, camera, args.eye.eye_height_m)?;
    for skyline in &wanted {
        check_free(&path, &text, skyline, args.replace)?;
    }
    let files = land::files(&args.tiles)?;
    overwrite_guard::note(&path);
    let distance = |to: &Wanted| camera.line_to(to.from).map_or(0.0, |line| line.distance_m);
    let farthest_m = wanted.iter().map(distance).fold(0.0, f64::max);
    let land = land::around(&files, camera, args.how.reach_m() + farthest_m)?;
    let heights = elevations::fill(&land, &sites, &mut text, camera)?;
    let mut told = Vec::new();
    let mut written = Vec::new();
    let mut made = Vec::new();
    for skyline in &wanted {
        let settings = args.how.settings(skyline.eye_m);
        let profile = compute(&land, skyline.from, &settings, &skyline.words)?;
        let name = skyline
            .file
            .file_name()
            .unwrap_or_default()
            .to_string_lossy();
        text.set_text(skyline.table, &["skyline", skyline.key], &name);
        told.push(format!(
            "{}, {}: {}",
            printable_path(&skyline.file),
            skyline.words,
            land::profile_words(&profile)
        ));
        if !skyline.file.exists() {
            made.push(skyline.file.clone());
        }
        let mut out = Output::open_skyline(Some(&skyline.file))?;
        profile.write_csv(&mut out)?;
        written.push(out.written()?);
    }
    let put = || -> Result<(), Failure> {
        for skyline in written {
            skyline.put()?;
        }
        put_site(&path, &text)
    };
    if let Err(failure) = put() {
        // Without the site's new text they would stand in the way next time.
        for file in made {
            let _ = std::fs::remove_file(file);
        }
        return Err(failure);
    }
    if !args.quiet {
        land::say_facts(&land.height_facts());
        told.into_iter()
            .chain(heights)
            .chain(left_out)
            .for_each(|line| say(&line));
        say(&format!("{} is completed", printable_path(&path)));
    }
    Ok(Outcome::Done)
}

/// The file of the site; refuses what has no file of its own to complete.
fn site_file(args: &HorizonArgs) -> Result<PathBuf, Failure> {
    let typed = args.site.as_path();
    let refuse = |found: &str, remedy: &str| {
        let expected = "a site file (.toml) or a table of sites (.csv) to complete";
        let error = ValueError::new(found, expected).with_remedy(remedy);
        let fault = Fault::of_file(&typed.display().to_string(), error);
        Failure::Reported(anyhow!("{fault}"))
    };
    if typed == Path::new("-") {
        return Err(refuse("standard input", "save the site as a file first"));
    }
    let (path, address) = site_folders::find(&site_folders::named(), typed)?;
    if !has_ending(&path, "toml") && !is_table(&path) {
        return Err(refuse(
            "a file of another kind",
            "put the sites into a table with the columns name, latitude_deg, longitude_deg",
        ));
    }
    if address.is_some() && is_table(&path) {
        return Err(refuse("a row of a table", "complete the whole table"));
    }
    if address.is_some() {
        let whole = path.to_str().and_then(|path| quoted(path, PATH_SIGNS));
        let whole = whole.map_or("give the site".to_owned(), |path| format!("write {path}"));
        return Err(refuse(
            "one view of a site",
            &format!("its views are completed together: {whole}"),
        ));
    }
    Ok(path)
}

fn has_ending(path: &Path, ending: &str) -> bool {
    let own = path.extension();
    own.is_some_and(|own| own.eq_ignore_ascii_case(ending))
}

fn is_table(path: &Path) -> bool {
    has_ending(path, "csv")
}

/// The skyline from a place, called so; refuses one that a site cannot use.
fn compute(
    land: &ElevationMosaic,
    from: GroundPoint,
    settings: &SkylineSettings,
    words: &str,
) -> Result<SkylineProfile, Failure> {
    let profile = SkylineProfile::compute(land, from, settings)
        .map_err(|error| anyhow!("{words}: {error}"))?;
    match unusable(words, &profile) {
        Some(error) => Err(Failure::Reported(error)),
        None => Ok(profile),
    }
}

/// Where the subject of a site stands, if that is known.
fn subject_place(site: &Site) -> Option<GroundPoint> {
    WindowMap::places(site).and_then(|(_, subject)| subject)
}

/// The skylines that a site needs, and what is said of those that it cannot
/// have.
fn wanted(
    path: &Path,
    sites: &[Site],
    text: &SiteText,
    camera: GroundPoint,
    lens_m: f64,
) -> Result<(Vec<Wanted>, Vec<String>), Failure> {
    let named = |middle: &str, ending: &str| {
        let stem = path.file_stem().unwrap_or_default();
        let mut name = stem.to_owned();
        name.push(middle);
        name.push(ending);
        path.with_file_name(name)
    };
    let mut skylines = vec![Wanted {
        table: Table::Site,
        key: "file",
        file: named("", ".skyline.csv"),
        from: camera,
        eye_m: lens_m,
        words: "from the camera".to_owned(),
    }];
    let mut left_out = Vec::new();
    let mut names = BTreeSet::new();
    let mut of_site = false;
    for (index, site) in sites.iter().enumerate() {
        let Some(subject) = &site.subject else {
            continue;
        };
        let own = text.has_own_subject(index);
        // The site's own subject is one for all views that have no other.
        if !own && std::mem::replace(&mut of_site, true) {
            continue;
        }
        let Some(from) = subject_place(site) else {
            left_out.push(format!(
                "{}: no skyline from the subject, whose distance is not known; give it with \
                 distance_m",
                site.title()
            ));
            continue;
        };
        let middle = match (own, &site.view) {
            (true, Some(view)) => file_part(view, &mut names),
            _ => String::new(),
        };
        skylines.push(Wanted {
            table: if own { Table::View(index) } else { Table::Site },
            key: "subject_file",
            file: named(&middle, ".subject-skyline.csv"),
            from,
            eye_m: land::subject_eye_m(site),
            words: format!("from {}", subject.within_sentence()),
        });
    }
    Ok((skylines, left_out))
}

/// A view's name as part of a file's: `.north-wall`.
fn file_part(view: &str, names: &mut BTreeSet<String>) -> String {
    let letters = view
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' });
    let plain: String = letters.flat_map(char::to_lowercase).collect();
    let mut part = format!(".{}", plain.trim_matches('-'));
    while !names.insert(part.clone()) {
        part.push('x');
    }
    part
}

/// Refuses to replace a skyline that the site has, or a file that is there,
/// without consent.
fn check_free(
    path: &Path,
    text: &SiteText,
    skyline: &Wanted,
    replace: bool,
) -> Result<(), Failure> {
    if replace {
        return Ok(());
    }
    let refuse = |file: &Path, found: String| Err(Failure::Reported(unasked(file, found)));
    if let Some(given) = text.text(skyline.table, &["skyline", skyline.key]) {
        let found = format!(
            "skyline.{} = {}",
            skyline.key,
            rakelight::scene::shown(&given)
        );
        return refuse(path, found);
    }
    match skyline.file.exists() {
        true => Err(Failure::Reported(occupied(&skyline.file))),
        false => Ok(()),
    }
}

/// The refusal to write a skyline where a file is.
fn occupied(file: &Path) -> anyhow::Error {
    unasked(file, "a file of that name".to_owned())
}

/// The refusal to replace something without consent.
fn unasked(file: &Path, found: String) -> anyhow::Error {
    let mut error = ValueError::new("", "a site without that skyline")
        .with_remedy("add --replace if the computed one shall take its place");
    // It was shortened already.
    error.found = found;
    refused(file, error)
}

/// Why a site could not use a skyline.
fn unusable(words: &str, profile: &SkylineProfile) -> Option<anyhow::Error> {
    let unknown = profile.points.iter().find(|point| point.ridge.is_none())?;
    Some(anyhow!(
        "{words}: found no ground at all toward {:.1} degrees, expected some in every direction; add \
         the elevation files there, or --sea if it is sea",
        Figure(unknown.azimuth_deg)
    ))
}

/// Puts the completed text in the place of the site file, once it reads well.
fn put_site(path: &Path, text: &SiteText) -> Result<(), Failure> {
    let whole = text.whole();
    let directory = path.parent().unwrap_or(Path::new(""));
    parse_sites(&path.display().to_string(), &whole, directory)?;
    let mut out = Output::open_site(path)?;
    out.write_all(whole.as_bytes())?;
    out.finish()
}
