//! `scan --season`: every night of a season, in characters, as records, or
//! counted on a map.

use super::{
    circumstances::Circumstances,
    pages::{Page, Pages},
};
use crate::cli::{
    args::{Format, Formats},
    asked_rules::AskedRules,
    batch::Ready,
    features::season_feature,
    manners::{Failure, Output},
};
use rakelight::{
    report::{
        CsvLayout,
        season::SeasonText,
        season_data::{self, SeasonData},
    },
    rule::Rules,
    scene::Dates,
    search::{LUNATION_DAYS, Planner, Season, kinds_of, lunations, season_nights},
};
use std::{io::Write, sync::Arc};

/// The format of a season.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeasonFormat {
    Text,
    Csv,
    Json,
    Ndjson,
    Map,
}

pub const FORMATS: Formats<SeasonFormat> = &[
    (Format::Table, SeasonFormat::Text),
    (Format::Csv, SeasonFormat::Csv),
    (Format::Json, SeasonFormat::Json),
    (Format::Ndjson, SeasonFormat::Ndjson),
    (Format::Geojson, SeasonFormat::Map),
];

/// Finds every night of a season.
pub struct SeasonPages<'a> {
    /// Covers whole lunar months, so more than the evenings asked for.
    season: Season,
    dates: Dates,
    asked_rules: &'a AskedRules,
    format: SeasonFormat,
    csv: &'a CsvLayout,
    width: usize,
}

impl<'a> SeasonPages<'a> {
    pub fn new(format: SeasonFormat, at: &Circumstances<'a>, width: usize) -> Self {
        Self {
            season: Season::new(at.dates.widened(LUNATION_DAYS)),
            dates: at.dates,
            asked_rules: at.asked_rules,
            format,
            csv: at.csv,
            width,
        }
    }

    /// What the pages of the sites stand in.
    pub fn pages<'o>(
        &self,
        out: &'o mut Output,
        at: &Circumstances<'_>,
    ) -> Result<Pages<'o>, Failure> {
        Ok(match self.format {
            SeasonFormat::Text => Pages::spaced(out),
            SeasonFormat::Csv => {
                season_data::write_csv_header(out, at.csv)?;
                Pages::Plain(out)
            }
            SeasonFormat::Json => Pages::document(out, at)?,
            SeasonFormat::Ndjson => Pages::Plain(out),
            SeasonFormat::Map => Pages::map(out)?,
        })
    }

    /// The season of a site.
    pub fn page(&self, Ready { site, id, .. }: &Ready) -> Result<Page, Failure> {
        let rules = self.asked_rules.season_rules(site)?.into_iter();
        let planner = |rules| self.season.planner(Arc::clone(site), rules);
        let planners: Vec<Planner> = rules.map(planner).collect::<Result<_, _>>()?;
        let rules = || planners.iter().map(Planner::rules);
        let target = rules().next().map_or("core", Rules::target_name);
        let kinds = kinds_of(&planners);
        let mut text = Vec::new();
        if self.format == SeasonFormat::Text {
            let rows = lunations(&planners, self.dates);
            SeasonText {
                site,
                target,
                kinds: &kinds,
                weighed: Rules::are_weighed(rules()),
                lunations: &rows,
                width: self.width,
            }
            .write(&mut text)?;
            let mut nights = rows.iter().flat_map(|lunation| &lunation.nights);
            let found = nights.any(|mark| mark.found.is_some());
            return Ok(Page { text, found });
        }
        let nights = season_nights(&planners, self.dates);
        let data = SeasonData {
            site,
            target,
            kinds: &kinds,
            nights: &nights,
        };
        match self.format {
            SeasonFormat::Csv => data.write_csv(&mut text, self.csv)?,
            SeasonFormat::Json => data.write_block(&mut text)?,
            SeasonFormat::Map => write!(text, "{}", season_feature(&planners, id, &nights))?,
            SeasonFormat::Ndjson | SeasonFormat::Text => data.write_lines(&mut text, self.csv)?,
        }
        Ok(Page {
            text,
            found: nights.iter().any(|mark| mark.found.is_some()),
        })
    }
}
