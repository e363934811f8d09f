//! A season as CSV, NDJSON and JSON: a record per night.

use super::{
    csv,
    csv_layout::CsvLayout,
    json,
    rows::season::{NIGHT, SeasonNight},
    season::unmet_letter,
    words::unmet_words,
};
use crate::{
    scene::{LightKind, Site},
    search::NightMark,
};
use serde_json::{Value, json};
use std::io::{self, Write};

/// The nights of one site, and the names that their records need.
#[derive(Debug, Clone, Copy)]
pub struct SeasonData<'a> {
    /// The site.
    pub site: &'a Site,
    /// What the target is called.
    pub target: &'a str,
    /// The kinds of night asked for, in order of preference.
    pub kinds: &'a [LightKind],
    /// Its nights.
    pub nights: &'a [NightMark],
}

/// Writes the header line of the CSV.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_csv_header(out: &mut impl Write, layout: &CsvLayout) -> io::Result<()> {
    csv::write_header(out, NIGHT, layout)
}

impl SeasonData<'_> {
    /// Writes a line of CSV per night.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_csv(&self, out: &mut impl Write, layout: &CsvLayout) -> io::Result<()> {
        self.each(|record| csv::write_record(out, NIGHT, record, self.site, layout))
    }

    /// Writes an object per night, each on a line.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_lines(&self, out: &mut impl Write, layout: &CsvLayout) -> io::Result<()> {
        self.each(|record| json::write_line(out, NIGHT, record, &self.site.own, layout))
    }

    /// Writes the site's part of the JSON document.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_block(&self, out: &mut impl Write) -> io::Result<()> {
        let site = json::site_object(self.site);
        let kinds: Vec<String> = self.kinds.iter().map(ToString::to_string).collect();
        writeln!(out, "    {{\n      \"site\": {site},")?;
        write!(
            out,
            "      \"kinds\": {},\n      \"season\": [",
            json!(kinds)
        )?;
        let mut between = "";
        self.each(|record| {
            let object = Value::Object(json::object(NIGHT, record));
            write!(out, "{between}\n        {object}")?;
            between = ",";
            Ok(())
        })?;
        let close = if between.is_empty() { "" } else { "\n      " };
        write!(out, "{close}]\n    }}")
    }

    fn each(&self, mut write: impl FnMut(&SeasonNight<'_>) -> io::Result<()>) -> io::Result<()> {
        for mark in self.nights {
            let letter = mark.unmet.map(unmet_letter).map(String::from);
            let text = mark.unmet.map(|rule| unmet_words(rule, self.target));
            write(&SeasonNight {
                site: self.site,
                mark,
                letter: letter.as_deref().unwrap_or_default(),
                text: text.as_deref().unwrap_or_default(),
            })?;
        }
        Ok(())
    }
}
