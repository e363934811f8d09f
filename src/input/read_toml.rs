//! Sites and briefs from TOML.

use super::fault::{Fault, Faults, Place};
use super::line_index::LineIndex;
use super::own_column::OWN;
use super::read_glow::{GLOW_KEYS, GlowDraft, no_dome};
use super::read_views::{VIEW, finish_views, read_views};
use super::site_defaults::SiteDefaults;
use super::site_draft::{Context, SiteDraft};
use super::site_files::SiteFiles;
use super::site_keys::{TABLES, site_key};
use super::toml_words::{Break, form_error};
use super::value::{Kind, Value};
use crate::scene::Site;
use crate::scene::ValueError;
use std::borrow::Cow;
use std::collections::BTreeSet;
use toml::Spanned;
use toml::de::{DeTable, DeValue, Error};

/// More faults of form than this in one file do not help.
const MOST_FORM_FAULTS: usize = 50;

/// A TOML text, parsed as far as possible.
pub(super) struct Document<'a> {
    pub file: &'a str,
    text: &'a str,
    pub lines: LineIndex<'a>,
    pub form_faults: Vec<Fault>,
    /// Lines that have a fault of form: what was read there means nothing.
    broken_lines: BTreeSet<usize>,
}

impl<'a> Document<'a> {
    pub fn parse(file: &'a str, text: &'a str) -> (Self, Spanned<DeTable<'a>>) {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let (table, errors) = DeTable::parse_recoverable(text);
        let mut document = Self {
            file,
            text,
            lines: LineIndex::new(text),
            form_faults: Vec::new(),
            broken_lines: BTreeSet::new(),
        };
        for error in &errors {
            if document.form_faults.len() == MOST_FORM_FAULTS {
                break;
            }
            // The next fault on the same line is mostly the same slip, and
            // describing it takes time in the length of the line.
            let start = error.span().unwrap_or(0..0).start;
            let line = document.lines.place(start).line;
            if document.broken_lines.insert(line) {
                let fault = document.form_fault(error);
                document.form_faults.push(fault);
            }
        }
        (document, table)
    }

    fn form_fault(&self, error: &Error) -> Fault {
        let span = error.span().unwrap_or(0..0);
        let place = self.lines.place(span.start);
        let rest = self.text.get(span.start..).unwrap_or_default();
        let mut found = self.text.get(span).unwrap_or_default();
        if found.is_empty() {
            found = rest.lines().next().unwrap_or_default();
        }
        let line = self.lines.line(place.line);
        let error = form_error(&Break {
            message: error.message(),
            found,
            line,
            at_end: rest.is_empty(),
        });
        Fault::at(self.file, place, None, error)
    }

    pub fn key_place(&self, key: &Spanned<Cow<'_, str>>) -> Place {
        self.lines.place(key.span().start)
    }

    /// The value with the text it was written as.
    pub fn value<'v>(&'v self, value: &'v Spanned<DeValue<'_>>) -> (Value<'v>, Place) {
        let place = self.lines.place(value.span().start);
        (self.written_value(value), place)
    }

    fn written_value<'v>(&'v self, value: &'v Spanned<DeValue<'_>>) -> Value<'v> {
        let written = self.text.get(value.span()).unwrap_or_default();
        let (written, kind) = match value.get_ref() {
            DeValue::String(text) => (written, Kind::Text(text)),
            DeValue::Integer(integer) => {
                let number = i64::from_str_radix(integer.as_str(), integer.radix());
                (
                    written,
                    Kind::Number(number.map_or(f64::INFINITY, |n| n as f64)),
                )
            }
            DeValue::Float(float) => (
                written,
                Kind::Number(float.as_str().parse().unwrap_or(f64::NAN)),
            ),
            DeValue::Array(items) => {
                let items = items.iter().map(|item| self.written_value(item)).collect();
                (written, Kind::List(items))
            }
            DeValue::Table(_) => ("a table", Kind::Table),
            DeValue::Boolean(_) | DeValue::Datetime(_) => (written, Kind::Other),
        };
        Value { written, kind }
    }

    /// Where to point when `key` is refused: an unknown key and one with a
    /// table as its value are shown at the key itself.
    pub fn complaint_place(
        &self,
        name: &str,
        key: &Spanned<Cow<'_, str>>,
        value: &Value<'_>,
        value_place: Place,
    ) -> Place {
        if site_key(name).is_some() && !matches!(value.kind, Kind::Table) {
            value_place
        } else {
            self.key_place(key)
        }
    }

    pub fn is_broken(&self, place: Place) -> bool {
        self.broken_lines.contains(&place.line)
    }
}

/// The sites in a TOML text: one, or one for each view of the place. The
/// files that they refer to are read by `files`.
///
/// A site without a name gets `default_name`.
pub(crate) fn parse_sites_with(
    file: &str,
    text: &str,
    default_name: Option<String>,
    defaults: &SiteDefaults,
    files: &dyn SiteFiles,
) -> Result<Vec<Site>, Faults> {
    let (mut document, root) = Document::parse(file, text);
    let mut draft = SiteDraft::default();
    let mut views = Vec::new();
    for (key, value) in root.get_ref() {
        if key.get_ref() == VIEW {
            views = read_views(&document, &mut draft, key, value);
        } else {
            read_key(&document, &mut draft, "", &TABLES, key, value);
        }
    }
    let context = Context {
        file,
        default_name,
        well_formed: document.form_faults.is_empty(),
        start: Place::START,
        files,
        defaults,
    };
    for fault in std::mem::take(&mut document.form_faults) {
        draft.fault(fault);
    }
    if views.is_empty() {
        return Ok(vec![draft.finish(&context)?]);
    }
    finish_views(draft, views, &context)
}

/// The names of the user's own values in a TOML text, those of the place before
/// those of its views.
pub(super) fn own_keys(text: &str) -> Vec<String> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let (root, _) = DeTable::parse_recoverable(text);
    let own_of = |table: &DeTable<'_>| {
        let own = table.get(OWN).map(Spanned::get_ref);
        let mut keys: Vec<_> = match own {
            Some(DeValue::Table(own)) => own.keys().collect(),
            _ => Vec::new(),
        };
        keys.sort_by_key(|key| key.span().start);
        let names = keys.into_iter().map(|key| key.get_ref().to_string());
        names.collect::<Vec<String>>()
    };
    let mut names = own_of(root.get_ref());
    if let Some(DeValue::Array(views)) = root.get_ref().get(VIEW).map(Spanned::get_ref) {
        for view in views {
            if let DeValue::Table(view) = view.get_ref() {
                names.extend(own_of(view));
            }
        }
    }
    names
}

/// The only site in a TOML text.
pub(crate) fn parse_site_with(
    file: &str,
    text: &str,
    default_name: Option<String>,
    files: &dyn SiteFiles,
) -> Result<Site, Faults> {
    let defaults = SiteDefaults::default();
    let mut sites = parse_sites_with(file, text, default_name, &defaults, files)?;
    match (sites.pop(), sites.len()) {
        (Some(site), 0) => Ok(site),
        (_, others) => {
            let error = ValueError::new(
                &format!("{} views", others + 1),
                "a site of at most one view",
            )
            .with_remedy("parse_sites gives a site for each view");
            Err(Fault::of_file(file, error).into())
        }
    }
}

/// Reads a key of the file, or of the table that `within` names with a dot
/// behind it; `tables` are those which it may hold.
pub(super) fn read_key(
    document: &Document<'_>,
    draft: &mut SiteDraft,
    within: &str,
    tables: &[&str],
    key: &Spanned<Cow<'_, str>>,
    value: &Spanned<DeValue<'_>>,
) {
    let file = document.file;
    let name: &str = key.get_ref();
    let is_table = tables.contains(&name);
    match value.get_ref() {
        DeValue::Table(table) if is_table => {
            draft.begin_table(name.to_owned(), document.key_place(key));
            // The user's own values keep the order in which they are written.
            let mut keys: Vec<_> = table.iter().collect();
            if name == OWN {
                keys.sort_by_key(|(key, _)| key.span().start);
            }
            for (inner, value) in keys {
                if let ("sky", "glow", DeValue::Array(domes)) =
                    (name, inner.get_ref().as_ref(), value.get_ref())
                {
                    read_glow(document, draft, domes);
                    continue;
                }
                let (value, place) = document.value(value);
                let key = format!("{name}.{}", inner.get_ref());
                let place = document.complaint_place(&key, inner, &value, place);
                if !document.is_broken(place) {
                    draft.set(file, &key, &value, place);
                }
            }
        }
        _ if is_table => {
            let (value, place) = document.value(value);
            if !document.is_broken(place) {
                let error = ValueError::new(value.written, format!("a table [{within}{name}]"))
                    .with_remedy(format!(
                        "write [{within}{name}] on a line, its keys below it"
                    ));
                draft.fault(Fault::at(file, place, Some(name), error));
            }
        }
        _ => set_plain(document, draft, name, key, value),
    }
}

/// Reads the tables `[[sky.glow]]`.
fn read_glow(document: &Document<'_>, draft: &mut SiteDraft, domes: &[Spanned<DeValue<'_>>]) {
    let mut read = Vec::new();
    for dome in domes {
        let start = document.lines.place(dome.span().start);
        let mut fault = |place: Place, key: &str, error: ValueError| {
            let key = format!("sky.glow.{key}");
            draft.fault(Fault::at(document.file, place, Some(&key), error));
        };
        let DeValue::Table(keys) = dome.get_ref() else {
            let (value, place) = document.value(dome);
            draft.fault(Fault::at(
                document.file,
                place,
                Some("sky.glow"),
                no_dome(&value),
            ));
            continue;
        };
        let mut glow = GlowDraft::default();
        let mut whole = true;
        for (key, value) in keys {
            let name: &str = key.get_ref();
            let (value, value_place) = document.value(value);
            let known = GLOW_KEYS.contains(&name);
            let place = if known {
                value_place
            } else {
                document.key_place(key)
            };
            if document.is_broken(place) {
                whole = false;
            } else if let Err(error) = glow.set(name, &value) {
                whole = false;
                fault(place, name, error);
            }
        }
        match glow.finish() {
            Ok(glow) => read.push(glow),
            // What is there but wrong was said already.
            Err((key, error)) if whole => fault(start, key, error),
            Err(_) => {}
        }
    }
    draft.sky_glow = Some(read);
}

fn set_plain(
    document: &Document<'_>,
    draft: &mut SiteDraft,
    name: &str,
    key: &Spanned<Cow<'_, str>>,
    value: &Spanned<DeValue<'_>>,
) {
    let (value, value_place) = document.value(value);
    let place = document.complaint_place(name, key, &value, value_place);
    if !document.is_broken(place) {
        draft.set(document.file, name, &value, place);
    }
}
