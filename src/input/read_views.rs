//! The views of a site in TOML: the tables `[[view]]`, each of which says what
//! is different about one picture of the place.

use super::fault::{Fault, Faults, Place};
use super::own_column::OWN;
use super::read_toml::{Document, read_key};
use super::site_draft::{Context, SiteDraft};
use super::site_keys::{TABLES, site_key, site_keys};
use super::value::Kind;
use crate::rule::FACING;
use crate::scene::bearing::Bearing;
use crate::scene::nearest;
use crate::scene::{Facing, Site, ValueError};
use std::borrow::Cow;
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The key of the views in a site file, and the column in a table of sites.
pub(super) const VIEW: &str = "view";
/// What a view has besides tables.
const KEYS: [&str; 3] = ["name", BEARING, "notes"];
/// The key of a camera that faces one bearing, whatever stands there.
const BEARING: &str = "bearing_deg";
/// The tables of a view; the other ones are about the place.
const OWN_TABLES: [&str; 5] = ["subject", "camera", "skyline", "brief", OWN];

/// A view while it is being read.
pub(super) struct ViewDraft {
    /// Where its table begins.
    start: Place,
    /// What it gives; its name is that of the view.
    own: SiteDraft,
    bearing: Option<Bearing>,
}

/// Reads the tables `[[view]]`; what is no such table is a fault of `site`.
pub(super) fn read_views(
    document: &Document<'_>,
    site: &mut SiteDraft,
    key: &Spanned<Cow<'_, str>>,
    value: &Spanned<DeValue<'_>>,
) -> Vec<ViewDraft> {
    let mut refuse = |value: &Spanned<DeValue<'_>>, remedy: &str| {
        let (value, place) = document.value(value);
        let place = match value.kind {
            Kind::Table => document.key_place(key),
            _ => place,
        };
        if !document.is_broken(place) {
            let error = ValueError::new(value.written, "tables [[view]]").with_remedy(remedy);
            site.fault(Fault::at(document.file, place, Some(VIEW), error));
        }
    };
    let below = "write [[view]] on a line, its keys below it";
    match value.get_ref() {
        DeValue::Array(items) => items
            .iter()
            .filter_map(|item| match item.get_ref() {
                DeValue::Table(table) => {
                    let start = document.lines.place(item.span().start);
                    Some(read_view(document, start, table))
                }
                _ => {
                    refuse(item, below);
                    None
                }
            })
            .collect(),
        DeValue::Table(_) => {
            refuse(value, "write [[view]], with two brackets on each side");
            Vec::new()
        }
        _ => {
            refuse(value, below);
            Vec::new()
        }
    }
}

fn read_view(document: &Document<'_>, start: Place, table: &DeTable<'_>) -> ViewDraft {
    let mut view = ViewDraft {
        start,
        own: SiteDraft::default(),
        bearing: None,
    };
    let own = &mut view.own;
    for (key, value) in table {
        let name: &str = key.get_ref();
        if name == BEARING {
            let (value, place) = document.value(value);
            let place = match value.kind {
                Kind::Table => document.key_place(key),
                _ => place,
            };
            if document.is_broken(place) {
                continue;
            }
            own.places.put(BEARING.into(), place);
            match value.bearing() {
                Ok(bearing) => view.bearing = Some(bearing),
                Err(error) => own.fault(Fault::at(document.file, place, Some(BEARING), error)),
            }
        } else if KEYS.contains(&name) || OWN_TABLES.contains(&name) {
            read_key(document, own, "view.", &OWN_TABLES, key, value);
        } else {
            let place = document.key_place(key);
            if !document.is_broken(place) {
                let error = unknown_key(name);
                own.fault(Fault::at(document.file, place, Some(name), error));
            }
        }
    }
    if let (Some(place), true) = (own.places.get(BEARING), own.has("subject")) {
        let error = ValueError::new("", "a subject or a bearing, not both")
            .with_remedy("keep one of the two");
        let error = ValueError {
            found: "it beside [view.subject]".to_owned(),
            ..error
        };
        own.fault(Fault::at(document.file, place, Some(BEARING), error));
    }
    view
}

/// The error for a key that no view has; what it offers can be typed there.
fn unknown_key(name: &str) -> ValueError {
    let error = ValueError::new(name, "a key of a view");
    if TABLES.contains(&name) {
        return error.with_remedy(format!(
            "it is the same for every view: [{name}] belongs above the views"
        ));
    }
    if site_key(name).is_some() {
        return error.with_remedy(
            "it is the same for every view: it belongs above the first table of the file",
        );
    }
    let is_own = |key: &String| {
        let (table, last) = key.split_once('.').unwrap_or_default();
        last == name && OWN_TABLES.contains(&table)
    };
    let near = nearest(name, KEYS.into_iter().chain(OWN_TABLES));
    if let Some(meant) = site_keys().find(is_own) {
        let table = meant.split('.').next().unwrap_or_default();
        return error.with_remedy(format!(
            "did you mean {meant}? It belongs below a line [view.{table}]"
        ));
    }
    match near {
        Some(meant) => error.with_remedy(format!("did you mean {meant}?")),
        None => error.with_remedy(format!(
            "known here: {} and the tables {}",
            KEYS.join(", "),
            OWN_TABLES.join(", ")
        )),
    }
}

/// One site for each view, if all of them and the place itself are good.
pub(super) fn finish_views(
    mut site: SiteDraft,
    views: Vec<ViewDraft>,
    context: &Context<'_>,
) -> Result<Vec<Site>, Faults> {
    let mut faults = std::mem::take(&mut site.faults);
    // What the site gives must be good even if every view replaces it.
    if let Err(wrong) = site.clone().finish(context) {
        faults.extend(wrong);
    }
    let mut sites = Vec::new();
    let mut names: BTreeMap<String, Place> = BTreeMap::new();
    for mut view in views {
        let own_faults = std::mem::take(&mut view.own.faults);
        faults.extend(own_faults.into_iter().map(of_view));
        faults.extend(view.name_fault(context, &mut names).map(of_view));
        let own = view.own.clone();
        match view.over(&site).finish(context) {
            Ok(site) => sites.push(site),
            Err(wrong) => {
                for fault in wrong {
                    let fault = match own.gives(&fault) {
                        true => of_view(fault),
                        false => fault,
                    };
                    if !faults.contains(&fault) {
                        faults.push(fault);
                    }
                }
            }
        }
    }
    faults.sort_by_key(|fault| (fault.file != context.file, fault.line, fault.column));
    Faults::of(faults).or_value(sites)
}

/// The fault with its key as that of a view.
fn of_view(mut fault: Fault) -> Fault {
    if let Some(key) = &mut fault.key {
        *key = format!("view.{key}");
    }
    fault
}

impl SiteDraft {
    /// Whether the key that a fault is about, or its table, is given here.
    fn gives(&self, fault: &Fault) -> bool {
        fault.key.as_deref().is_some_and(|key| {
            let table = key.split_once('.').map_or(key, |(table, _)| table);
            self.has(key) || self.has(table)
        })
    }
}

impl ViewDraft {
    /// What is wrong with having this name or none; `names` has those of the
    /// views before it.
    fn name_fault(
        &self,
        context: &Context<'_>,
        names: &mut BTreeMap<String, Place>,
    ) -> Option<Fault> {
        let place = self.own.places.get("name");
        let (place, error) = match (&self.own.name, place) {
            (Some(name), Some(place)) => {
                let first = names.get(name).copied();
                names.entry(name.clone()).or_insert(place);
                let first = first?;
                let error = ValueError::new(name, "a name that no other view of the site has")
                    .with_remedy(format!("the view of line {} has it too", first.line));
                (place, error)
            }
            // A name that is wrong was reported already.
            (_, Some(_)) => return None,
            (_, None) if context.well_formed => {
                let error =
                    ValueError::new("", "the name of the view").with_remedy("give the view a name");
                (self.start, error)
            }
            (_, None) => return None,
        };
        Some(Fault::at(context.file, place, Some("name"), error))
    }

    /// The site as it is in this view: a subject replaces the site's as a
    /// whole, with the skyline seen from it; other tables replace key by key.
    fn over(self, site: &SiteDraft) -> SiteDraft {
        let (own, mut whole) = (self.own, site.clone());
        whole.view = own.name;
        whole.notes = own.notes.or(whole.notes);
        whole.own = own.own.or(&whole.own);
        if own.places.get("subject").is_some() || self.bearing.is_some() {
            whole.places.retain(|key| {
                key != "subject" && !key.starts_with("subject.") && key != "skyline.subject_file"
            });
            whole.subject = own.subject;
            whole.subject_skyline_file = None;
        }
        whole.sensor_mm = own.sensor_mm.or(whole.sensor_mm);
        whole.pixels = own.pixels.or(whole.pixels);
        whole.focal_mm = own.focal_mm.or(whole.focal_mm);
        whole.f_number = own.f_number.or(whole.f_number);
        whole.skyline_file = own.skyline_file.or(whole.skyline_file);
        whole.subject_skyline_file = own.subject_skyline_file.or(whole.subject_skyline_file);
        let mut brief = own.brief;
        if let (Some(bearing), None) = (self.bearing, brief.get::<Facing>(&FACING)) {
            let facing = match bearing {
                Bearing::True(degrees) => Facing::Bearing(degrees),
                Bearing::Magnetic(degrees) => Facing::Magnetic(degrees),
            };
            brief = brief.with(&FACING, facing);
        }
        whole.brief = brief.or(&whole.brief);
        for (key, place) in own.places.all().filter(|(key, _)| key != "name") {
            whole.places.put(key, place);
        }
        whole
    }
}
