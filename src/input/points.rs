//! Sites from the points of a map: GPX, KML, GeoJSON. One point at a time is in
//! memory, however long the file is.

use super::address::{Layout, Picker};
use super::fault::{Fault, Faults, Place};
use super::plain_text::{fit_name, fit_notes};
use super::read_geojson::GeoJson;
use super::read_gpx::Gpx;
use super::read_kml::Kml;
use super::site_defaults::SiteDefaults;
use super::site_draft::{Context, SiteDraft};
use super::site_files::NoFiles;
use super::value::{Kind, Value};
use super::whence::Whence;
use crate::scene::number::number;
use crate::scene::{Site, ValueError};
use std::collections::BTreeMap;
use std::fmt::{self, Display, Formatter};
use std::io::Read;
use std::sync::Arc;

const OWN_GPX: &str =
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"rakelight ";
const OWN_KML: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- written by rakelight -->\n";
const OWN_GEOJSON: &str = "{\"type\":\"FeatureCollection\",\"features\":[";

/// What the property `meaning` says of a camera on a map that this program
/// wrote.
pub(crate) const CAMERA_MEANING: &str = "the camera";
/// And of the place of a tripod.
pub(crate) const TRIPOD_MEANING: &str = "where the tripod stands";

/// A form in which maps keep their points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum PointsForm {
    /// GPX 1.0 and 1.1.
    Gpx,
    /// KML 2.
    Kml,
    /// GeoJSON (RFC 7946).
    GeoJson,
}

impl PointsForm {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Gpx, Self::Kml, Self::GeoJson];

    /// The ending of its files.
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Gpx => "gpx",
            Self::Kml => "kml",
            Self::GeoJson => "geojson",
        }
    }

    /// The form of the files with this ending, in small or capital letters.
    pub fn of_ending(ending: &str) -> Option<Self> {
        let is_its = |form: &Self| form.ending().eq_ignore_ascii_case(ending);
        Self::ALL.into_iter().find(is_its)
    }

    /// The beginning of the files of this form that this program writes.
    pub const fn own_start(self) -> &'static str {
        match self {
            Self::Gpx => OWN_GPX,
            Self::Kml => OWN_KML,
            Self::GeoJson => OWN_GEOJSON,
        }
    }

    /// Whether a file that begins so was written by this program.
    pub(super) fn is_ours(self, start: &[u8]) -> bool {
        let Some(rest) = start.strip_prefix(self.own_start().as_bytes()) else {
            return false;
        };
        // The first line is that of any map in this form: the features tell.
        let has = |meaning: &str| {
            let sign = format!("\"meaning\":\"{meaning}\"");
            rest.windows(sign.len()).any(|part| part == sign.as_bytes())
        };
        let is_empty = rest.trim_ascii() == b"]}";
        self != Self::GeoJson || is_empty || has(CAMERA_MEANING) || has(TRIPOD_MEANING)
    }

    /// What a site is in such a file.
    const fn wanted(self) -> &'static str {
        match self {
            Self::Gpx => "a waypoint <wpt> for each site",
            Self::Kml => "a <Placemark> with a <Point> for each site",
            Self::GeoJson => "a feature with a Point for each site",
        }
    }

    /// What latitude, longitude and elevation are called there.
    const fn words(self) -> [&'static str; 3] {
        match self {
            Self::Gpx => ["lat", "lon", "ele"],
            Self::Kml => ["latitude", "longitude", "altitude"],
            Self::GeoJson => ["latitude", "longitude", "elevation_m"],
        }
    }
}

/// A text of a point and the line it stands on.
#[derive(Debug, Clone)]
pub(super) struct Written {
    pub line: usize,
    pub text: String,
}

/// A point as a file gives it, before anything is checked.
#[derive(Debug, Clone)]
pub(super) struct RawPoint {
    pub line: usize,
    /// Which one it is, where many stand on one line.
    pub of: Option<String>,
    pub name: Option<String>,
    pub notes: Option<String>,
    pub latitude: Written,
    pub longitude: Written,
    pub elevation: Option<Written>,
}

/// What reads the points of a form, one after the other.
pub(super) trait NextPoint {
    /// The next point; a fault of a point does not end the reading, one of the
    /// file does.
    fn next_point(&mut self) -> Option<Result<RawPoint, Box<Fault>>>;

    /// What was passed over so far.
    fn left_out(&self) -> &LeftOut;
}

/// What a file holds that is no site, counted: tracks, routes, lines, areas.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct LeftOut(BTreeMap<[&'static str; 2], u64>);

impl LeftOut {
    /// Counts one more thing, called so if it is alone and if there are several.
    pub(super) fn add(&mut self, words: [&'static str; 2]) {
        let count = self.0.entry(words).or_insert(0);
        *count = count.saturating_add(1);
    }

    /// Whether there was nothing else.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl Display for LeftOut {
    /// `1 route and 2 tracks`.
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let last = self.0.len().saturating_sub(1);
        for (index, ([one, many], count)) in self.0.iter().enumerate() {
            let parted = match index {
                0 => "",
                _ if index == last => " and ",
                _ => ", ",
            };
            let word = if *count == 1 { one } else { many };
            write!(f, "{parted}{count} {word}")?;
        }
        Ok(())
    }
}

/// The sites of a GPX, KML or GeoJSON file, read point by point; the file may be
/// of any length.
///
/// Each item is the site of one point or everything wrong with that point, with
/// its line. Reading goes on after a wrong point, but not after a fault of the
/// file's own form. A file without points is a fault too.
pub struct Points<R> {
    file: String,
    form: PointsForm,
    reader: Form<R>,
    defaults: Arc<SiteDefaults>,
    /// Points so far, good or not.
    count: usize,
    /// Where the last point stands.
    last: Whence,
    ended: bool,
}

enum Form<R> {
    Gpx(Gpx<R>),
    Kml(Kml<R>),
    GeoJson(GeoJson<R>),
}

impl<R: Read> Form<R> {
    fn reader(&self) -> &dyn NextPoint {
        match self {
            Self::Gpx(reader) => reader,
            Self::Kml(reader) => reader,
            Self::GeoJson(reader) => reader,
        }
    }

    fn next_point(&mut self) -> Option<Result<RawPoint, Box<Fault>>> {
        match self {
            Self::Gpx(reader) => reader.next_point(),
            Self::Kml(reader) => reader.next_point(),
            Self::GeoJson(reader) => reader.next_point(),
        }
    }
}

impl<R: Read> Points<R> {
    /// The points in `reader`, whose file is called `file` in errors.
    pub fn new(file: &str, form: PointsForm, reader: R) -> Self {
        Self {
            file: file.to_owned(),
            form,
            reader: match form {
                PointsForm::Gpx => Form::Gpx(Gpx::new(file, reader)),
                PointsForm::Kml => Form::Kml(Kml::new(file, reader)),
                PointsForm::GeoJson => Form::GeoJson(GeoJson::new(file, reader)),
            },
            defaults: Arc::default(),
            count: 0,
            last: Whence::default(),
            ended: false,
        }
    }

    /// The same points with what a brief file gives to sites that lack it.
    #[must_use]
    pub fn with_defaults(self, defaults: Arc<SiteDefaults>) -> Self {
        Self { defaults, ..self }
    }

    /// What was passed over so far, because it is no point.
    pub fn left_out(&self) -> &LeftOut {
        self.reader.reader().left_out()
    }

    /// Whether there was a point so far, good or not.
    pub fn has_points(&self) -> bool {
        self.count > 0
    }

    /// Passes over so many points, good or not; says how many there were.
    pub(super) fn pass_over(&mut self, most: usize) -> usize {
        let points = std::iter::from_fn(|| self.next_named());
        points.take(most).count()
    }

    /// Where the point stands that was read last.
    pub(super) fn whence(&self) -> Whence {
        self.last.clone()
    }

    /// The next point with its name, which one without any gets by its number.
    fn next_named(&mut self) -> Option<Result<(String, RawPoint), Faults>> {
        if self.ended {
            return None;
        }
        let Some(next) = self.reader.next_point() else {
            self.ended = true;
            return (self.count == 0).then(|| Err(self.nothing_found().into()));
        };
        self.count = self.count.saturating_add(1);
        Some(match next {
            Ok(point) => {
                let name = point.name.as_deref().and_then(fit_name);
                let name = name.unwrap_or_else(|| format!("point {}", self.count));
                self.last = Whence {
                    line: Some(point.line),
                    name: Some(name.clone()),
                };
                Ok((name, point))
            }
            Err(fault) => {
                self.last = Whence {
                    line: fault.line,
                    name: None,
                };
                Err((*fault).into())
            }
        })
    }

    /// The sites of the points that an address means: by name, else by number in
    /// the file. The others are not checked, but where none is meant, points
    /// that can't be read are told.
    ///
    /// # Errors
    ///
    /// No such point, or several.
    pub(super) fn picked(mut self, address: &str) -> Result<Vec<Result<Site, Faults>>, Faults> {
        let file = self.file.clone();
        let mut picker = Picker::new(&file, Layout::Points, address);
        let mut broken = Faults::default();
        while let Some(next) = self.next_named() {
            match next {
                Ok((name, point)) => picker.offer(&name.clone(), None, (name, point)),
                Err(faults) => {
                    picker.pass();
                    broken.extend(faults);
                }
            }
        }
        match picker.end() {
            Ok(points) => {
                let sites = points.into_iter();
                Ok(sites.map(|(name, point)| self.site(name, &point)).collect())
            }
            Err(_) if self.count == 0 => Err(broken),
            Err(faults) => {
                broken.extend(faults);
                Err(broken)
            }
        }
    }

    /// The site of a point.
    fn site(&self, name: String, point: &RawPoint) -> Result<Site, Faults> {
        let mut draft = SiteDraft::default();
        let field = |draft: &mut SiteDraft, key: &str, written: &Written| {
            let text = written.text.trim();
            // A map has numbers, in no country's signs and in no other notation.
            let value = Value {
                written: text,
                kind: Kind::Number(number(text).unwrap_or(f64::NAN)),
            };
            draft.set(&self.file, key, &value, Place::line(written.line));
        };
        draft.zone_by_brief = true;
        draft.name = Some(name);
        draft.notes = point.notes.as_deref().and_then(fit_notes);
        field(&mut draft, "latitude_deg", &point.latitude);
        field(&mut draft, "longitude_deg", &point.longitude);
        if let Some(elevation) = &point.elevation {
            field(&mut draft, "elevation_m", elevation);
        }
        let read = draft.finish(&Context {
            file: &self.file,
            default_name: None,
            well_formed: true,
            start: Place::line(point.line),
            files: &NoFiles,
            defaults: &self.defaults,
        });
        read.map_err(|faults| self.in_own_words(faults, point))
    }

    /// The faults with the form's own names of what they are about.
    fn in_own_words(&self, mut faults: Faults, point: &RawPoint) -> Faults {
        let [latitude, longitude, elevation] = self.form.words();
        for fault in &mut faults.0 {
            let own = match fault.key.as_deref() {
                Some("latitude_deg") => latitude,
                Some("longitude_deg") => longitude,
                Some("elevation_m") => elevation,
                _ => continue,
            };
            if let Some(remedy) = &mut fault.remedy {
                *remedy = remedy.replace("latitude_deg", latitude);
                *remedy = remedy.replace("longitude_deg", longitude);
            }
            if fault.file == self.file {
                fault.key = Some(match &point.of {
                    Some(of) => format!("{of}: {own}"),
                    None => own.to_owned(),
                });
            }
        }
        faults
    }

    fn nothing_found(&self) -> Fault {
        let left_out = self.left_out();
        let (found, remedy) = match left_out.is_empty() {
            true => ("no point".to_owned(), "check that it is the right file"),
            false => (
                format!("no point, but {left_out}"),
                "save the places that you mean as points",
            ),
        };
        let error = ValueError::new(&found, self.form.wanted()).with_remedy(remedy);
        Fault::of_file(&self.file, error)
    }
}

impl<R: Read> Iterator for Points<R> {
    type Item = Result<Site, Faults>;

    fn next(&mut self) -> Option<Self::Item> {
        let next = self.next_named()?;
        Some(next.and_then(|(name, point)| self.site(name, &point)))
    }
}
