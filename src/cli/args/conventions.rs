//! How positions, lengths and bearings are written for people.

use super::headings::PRINT;
use crate::cli::site_stream::{SiteIter, Step};
use clap::{
    Args,
    builder::{PossibleValuesParser, TypedValueParser},
};
use rakelight::scene::{Conventions, North, Notation, Site, Units, asks_magnetic};

/// Position and length, for commands that print no bearing.
#[derive(Debug, Clone, Default, Args)]
pub struct PlaceWords {
    /// Positions as decimal, dm, dms, utm, mgrs, geo, iso6709
    ///
    /// Decimal degrees; degrees and minutes; with seconds; UTM; MGRS; a geo:
    /// address; ISO 6709. For people only: CSV, JSON and maps have decimal degrees.
    /// Each is read by --place too. [default: decimal]
    #[arg(long, value_name = "NOTATION", value_parser = notation(), hide_possible_values = true, hide_short_help = true, help_heading = PRINT)]
    pub coordinates: Option<Notation>,

    /// Lengths as metric or feet
    ///
    /// Metres and kilometres, or feet and miles. For people only: CSV, JSON and
    /// maps have metres. [default: metric]
    #[arg(long, value_name = "UNITS", value_parser = units(), hide_possible_values = true, hide_short_help = true, help_heading = PRINT)]
    pub units: Option<Units>,
}

#[derive(Debug, Clone, Default, Args)]
pub struct ConventionArgs {
    #[command(flatten)]
    pub place: PlaceWords,

    /// Bearings as true or magnetic
    ///
    /// From true north, or as a compass shows them, marked M, with the declination
    /// of the middle of 2027, which is told once. For people only: CSV, JSON and maps
    /// have true bearings. [default: true]
    #[arg(long, value_name = "NORTH", value_parser = north(), hide_possible_values = true, hide_short_help = true, help_heading = PRINT)]
    pub bearings: Option<bool>,
}

fn notation() -> impl TypedValueParser<Value = Notation> {
    let words = Notation::ALL.map(|(word, _)| word);
    PossibleValuesParser::new(words).try_map(|word| word.parse::<Notation>())
}

fn units() -> impl TypedValueParser<Value = Units> {
    let words = Units::ALL.map(|(word, _)| word);
    PossibleValuesParser::new(words).try_map(|word| word.parse::<Units>())
}

fn north() -> impl TypedValueParser<Value = bool> {
    let words = North::WORDS.map(|(word, _)| word);
    PossibleValuesParser::new(words).try_map(|word| asks_magnetic(&word))
}

impl PlaceWords {
    /// What is asked for.
    pub fn conventions(&self) -> Conventions {
        Conventions {
            coordinates: self.coordinates.unwrap_or_default(),
            units: self.units.unwrap_or_default(),
            north: North::True,
        }
    }
}

impl ConventionArgs {
    /// The sites with what is asked for.
    pub fn of_all(&self, sites: SiteIter) -> SiteIter {
        let asked = self.clone();
        Box::new(sites.map(move |mut step| {
            if let Step::Site(given) = &mut step
                && let Ok(site) = &mut given.site
            {
                asked.give(site);
            }
            step
        }))
    }

    /// The site with what is asked for.
    pub fn of(&self, mut site: Site) -> Site {
        self.give(&mut site);
        site
    }

    fn give(&self, site: &mut Site) {
        let north = match self.bearings {
            Some(true) => {
                North::magnetic_at(site.latitude_deg, site.longitude_deg, site.elevation_m)
            }
            _ => North::True,
        };
        site.conventions = Conventions {
            north,
            ..self.place.conventions()
        };
    }
}
