//! The tables that the program writes as lines of records, and their columns.

use super::{
    calendar_csv,
    rows::{
        calendar::{MONTH, MONTH_OF_YEAR, YEAR},
        night, season,
        site_nights::ROW,
        window,
    },
    trip,
};

/// A table of the program, whichever lines it is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CsvTable {
    /// The windows of sites.
    Windows,
    /// The months of sites, each with its best window.
    Months,
    /// The years of sites, each with its best window.
    Years,
    /// The counts of sites.
    Sites,
    /// The months of several years or sites side by side.
    MonthsBeside,
    /// The nights of a season, found or not.
    Season,
    /// The evenings of trips.
    Trip,
    /// The timetable and the steps of one night.
    Night,
}

impl CsvTable {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Windows,
        Self::Months,
        Self::Years,
        Self::Sites,
        Self::MonthsBeside,
        Self::Season,
        Self::Trip,
        Self::Night,
    ];

    /// What it is called.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Windows => "windows",
            Self::Months => "months",
            Self::Years => "years",
            Self::Sites => "sites",
            Self::MonthsBeside => "months beside",
            Self::Season => "season",
            Self::Trip => "trip",
            Self::Night => "night",
        }
    }

    /// The names of its columns, in their order, without those of the user's
    /// own.
    pub fn columns(self) -> Vec<&'static str> {
        match self {
            Self::Windows => window::FIELDS.iter().map(|field| field.name).collect(),
            Self::Months => calendar_csv::names(MONTH).collect(),
            Self::Years => calendar_csv::names(YEAR).collect(),
            Self::Sites => ROW.iter().map(|field| field.name).collect(),
            Self::MonthsBeside => calendar_csv::names(MONTH_OF_YEAR).collect(),
            Self::Season => season::NIGHT.iter().map(|field| field.name).collect(),
            Self::Trip => trip::csv_names().collect(),
            Self::Night => {
                let fields = night::ALL.into_iter().flatten();
                fields.map(|field| field.name).collect()
            }
        }
    }

    /// Whether one of them has a column of this name, in whatever capitals.
    pub(super) fn have(name: &str) -> bool {
        let mut taken = Self::ALL.into_iter().flat_map(Self::columns);
        taken.any(|taken| taken.eq_ignore_ascii_case(name))
    }
}
