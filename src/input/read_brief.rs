//! Briefs from TOML.

use super::fault::{Fault, Faults, Place};
use super::read_toml::{Document, read_key};
use super::site_defaults::{DEFAULT_KEY, DEFAULT_TABLES, SiteDefaults};
use super::site_draft::SiteDraft;
use super::site_files::{SiteFiles, calendar_for};
use crate::rule::{Brief, Rule, given_twice};
use crate::scene::ValueError;
use std::{collections::BTreeMap, convert::Infallible};

/// A brief file: rules, and what it gives to sites that lack it.
#[derive(Debug, Clone, Default)]
#[non_exhaustive]
pub struct BriefFile {
    /// The rules.
    pub rules: Brief,
    /// Time zone, subject, sky, air and camera for sites that say nothing of
    /// them.
    pub defaults: SiteDefaults,
}

/// The rules of the brief in a TOML text: the keys of a site's `[brief]`,
/// without a table. What it gives to sites is checked and left out; see
/// [`BriefFile::parse`].
///
/// `file` is its name in errors. The files that its rules name are not read:
/// [`load_rule_files`](super::load_rule_files) does that.
///
/// # Errors
///
/// Everything wrong in the text.
///
/// # Example
///
/// ```
/// use rakelight::read_brief;
/// let faults = read_brief("winter.toml", "target_altitude = 12\n").unwrap_err();
/// assert_eq!(
///     faults.to_string(),
///     "winter.toml:1:19: target_altitude: found 12, expected a band A..B, A.. or ..B; \
///      write 12.. or ..12"
/// );
/// ```
pub fn read_brief(file: &str, text: &str) -> Result<Brief, Faults> {
    BriefFile::parse(file, text).map(|brief| brief.rules)
}

impl BriefFile {
    /// The brief in a TOML text; `file` is its name in errors.
    ///
    /// # Errors
    ///
    /// Everything wrong in the text.
    pub fn parse(file: &str, text: &str) -> Result<Self, Faults> {
        parse_brief(file, text, None)
    }

    /// The same, with the files that its rules name.
    pub(super) fn parse_beside(
        file: &str,
        text: &str,
        files: &dyn SiteFiles,
    ) -> Result<Self, Faults> {
        parse_brief(file, text, Some(files))
    }
}

fn parse_brief(file: &str, text: &str, files: Option<&dyn SiteFiles>) -> Result<BriefFile, Faults> {
    let (mut document, root) = Document::parse(file, text);
    let mut brief = Brief::default();
    let mut given = SiteDraft::default();
    let mut places: BTreeMap<String, Place> = BTreeMap::new();
    let mut faults = std::mem::take(&mut document.form_faults);
    for (key, value) in root.get_ref() {
        let name: &str = key.get_ref();
        if name == DEFAULT_KEY || DEFAULT_TABLES.contains(&name) {
            read_key(&document, &mut given, "", &DEFAULT_TABLES, key, value);
            continue;
        }
        let known = Rule::of_key(name).is_some();
        let (value, value_place) = document.value(value);
        let place = if known {
            value_place
        } else {
            document.key_place(key)
        };
        if document.is_broken(place) {
            continue;
        }
        let twice = root.get_ref().iter().find(|(other, _)| {
            let other: &str = other.get_ref();
            known && other != name && Rule::key_of(other) == Rule::key_of(name)
        });
        let set = if let Some((other, _)) = twice.filter(|_| Rule::key_of(name) != name) {
            Err(given_twice(name, other.get_ref()))
        } else if known {
            value.brief_text().and_then(|text| brief.set(name, &text))
        } else if name == "brief" {
            Err(
                ValueError::new("a table [brief]", "the keys at the top of the file")
                    .with_remedy("take the line [brief] out"),
            )
        } else {
            brief.set(name, "")
        };
        if let Err(error) = set {
            faults.push(Fault::at(file, place, Some(name), error));
        }
        places.insert(Rule::key_of(name).to_owned(), place);
    }
    if let Some(files) = files {
        let loaded = brief.with_files(|key, name| match calendar_for(key, name, files) {
            Ok(calendar) => Ok(Some(calendar)),
            Err(wrong) => {
                let place = places.get(key).copied().unwrap_or(Place::START);
                faults.extend(wrong.into_iter().map(|fault| match fault.line {
                    Some(_) => fault,
                    None => fault.at_key(file, place, key),
                }));
                Ok::<_, Infallible>(None)
            }
        });
        brief = match loaded {
            Ok(brief) => brief,
            Err(never) => match never {},
        };
    }
    let defaults = SiteDefaults::of(file, given).unwrap_or_else(|wrong| {
        faults.extend(wrong);
        SiteDefaults::default()
    });
    faults.sort_by_key(|fault| (fault.file != file, fault.line, fault.column));
    let rules = brief;
    Faults::of(faults).or_value(BriefFile { rules, defaults })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A long line with a thousand slips hides no line below it.
    #[test]
    fn a_line_is_told_once_however_many_slips_it_has() {
        let text = format!("name = [{}\n]\nlatitude_deg = x\n", "a,".repeat(1000));
        let faults = read_brief("b.toml", &text).expect_err("slips");
        let lines: Vec<_> = faults.0.iter().map(|fault| fault.line).collect();
        assert_eq!(lines, [Some(1), Some(3)], "{faults}");
    }
}
