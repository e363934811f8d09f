//! Trips as tables, CSV and JSON.

use super::{
    cell::Cell,
    csv::{write_cells, write_names},
    csv_layout::CsvLayout,
    grid::Grid,
    json::{object, window_object},
    record_grid::{self, Column},
    row::{Common, Field, Importance, Shown},
    rows::{
        SCORE,
        trip::{EVENING, SHOWN_OF_WINDOW, SITE, SPARE_SITE, STOP, TRIP, TripRow, TripRows},
        window::{self, FIELDS, Record, Windows},
    },
    words::{
        CHANCES_NOTE, FORETOLD_NOTE, NAMED_BY_EVENING, caution_reason, caution_sentence,
        clear_chances_line, cloud_note, haze_note, is_marked, moves_note, target_of, trip_name,
        trip_words,
    },
    wrap::{shortened_apart, write_head, write_note, write_wrapped},
};
use crate::{
    plan::{MoveRules, Trip, TripStop, trip_cautions},
    scene::Site,
    search::Caveats,
};
use serde_json::{Value, json};
use std::{
    collections::BTreeSet,
    io::{self, Write},
};

/// Names are cut to this many characters, the longest that leave room for the
/// usual columns.
const NAME_LENGTHS: [usize; 5] = [usize::MAX, 24, 20, 16, 12];

/// Trips for people.
#[derive(Debug, Clone, Copy)]
pub struct TripTables<'a> {
    /// The trips, the best first.
    pub trips: &'a [Trip],
    /// How moves are worked out.
    pub moves: MoveRules,
    /// Whether some moves come from a table.
    pub any_given: bool,
    /// Whether nights are weighted by the chance of a clear one.
    pub is_weighted: bool,
    /// Columns of the terminal.
    pub width: usize,
    /// Whether notes say what columns mean.
    pub keyed: bool,
}

impl TripTables<'_> {
    /// Writes a table for each trip, and what is to be known of them below.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write(&self, out: &mut impl Write) -> io::Result<()> {
        for (index, trip) in self.trips.iter().enumerate() {
            if index > 0 {
                writeln!(out)?;
            }
            self.write_trip(out, trip)?;
        }
        self.write_notes(out)
    }

    fn write_trip(&self, out: &mut impl Write, trip: &Trip) -> io::Result<()> {
        let Some(head) = trip_name(trip) else {
            return Ok(());
        };
        write_head(out, &head, &trip_words(trip, self.is_weighted), self.width)?;
        if let Some(chances) = clear_chances_line(trip) {
            write_wrapped(out, "", &chances, self.width)?;
        }
        self.grid(trip).write(out)
    }

    fn grid(&self, trip: &Trip) -> Grid {
        let rows: Vec<TripRow<'_>> = TripRow::all(trip).collect();
        let stops = || rows.iter().filter_map(TripRow::session);
        let titles: Vec<_> = stops()
            .chain(rows.iter().filter_map(TripRow::spare_place))
            .map(|stop| stop.site().title())
            .collect();
        let names: Vec<&str> = titles.iter().map(|title| &**title).collect();
        let marks = stops().any(|stop| is_marked(stop.window.doubts));
        let columns = self.columns();
        let usual = |of: &[Column<TripRows>]| {
            let usual = of.iter().filter(|(_, s)| s.importance <= Importance::Usual);
            usual.count()
        };
        let mut made = Grid::new([]);
        for length in NAME_LENGTHS {
            let short = shortened_apart(&names, length);
            let dress = |field: &Field<TripRows>,
                         shown: &Shown<TripRows>,
                         row: &TripRow<'_>,
                         mut text: String| {
                let stop = match field.name {
                    SITE => row.session(),
                    SPARE_SITE => row.spare_place(),
                    _ => None,
                };
                if let Some(title) = stop.map(|stop| stop.site().title())
                    && let Some(name) = short.get(&*title)
                {
                    text = text.replace(&*title, name);
                }
                if field.name == SCORE && marks {
                    let doubts = row.session().map(|stop| stop.window.doubts);
                    text.push(if doubts.is_some_and(is_marked) {
                        '~'
                    } else {
                        ' '
                    });
                }
                (text, shown.style)
            };
            let (few, grid) = record_grid::fitting(columns.clone(), self.width, |columns| {
                record_grid::grid(columns, &rows, false, str::to_owned, dress)
            });
            made = grid;
            if usual(&few) == usual(&columns) {
                break;
            }
        }
        made
    }

    fn columns(&self) -> Vec<Column<TripRows>> {
        let fields = EVENING.iter().chain(SHOWN_OF_WINDOW);
        let mut columns = record_grid::columns(fields, Importance::Further, Common::default());
        let several = self.are_moves();
        let sessions = self.trips.iter().flat_map(Trip::sessions);
        let kinds: BTreeSet<&str> = sessions.map(|stop| stop.window.light.word()).collect();
        columns.retain(|(field, _)| match field.name {
            "chance" => self.is_weighted,
            "light" => kinds.len() > 1,
            "move_km" | "move_hours" => several,
            _ => true,
        });
        columns
    }

    fn write_notes(&self, out: &mut impl Write) -> io::Result<()> {
        if self.keyed {
            for note in self.key(self.are_moves()) {
                write_note(out, &note, self.width)?;
            }
        }
        if let Some(note) = self.mark_note() {
            write_note(out, &note, self.width)?;
        }
        let cautions = self.trips.iter().flat_map(trip_cautions).next();
        if let Some(caution) = cautions {
            write_wrapped(out, "", caution_sentence(&caution), self.width)?;
        }
        Ok(())
    }

    fn stops(&self) -> impl Iterator<Item = &TripStop> {
        self.trips.iter().flat_map(Trip::sessions)
    }

    /// What the mark behind a score means, if there is one.
    pub(super) fn mark_note(&self) -> Option<String> {
        let doubts = self
            .stops()
            .fold(Caveats::default(), |all, stop| all.or(stop.window.doubts));
        let target = target_of(self.stops().map(|stop| &stop.window));
        let notes = [haze_note(doubts, target), cloud_note(doubts)];
        let notes: Vec<String> = notes.into_iter().flatten().collect();
        (!notes.is_empty()).then(|| notes.join(" "))
    }

    fn are_moves(&self) -> bool {
        self.trips.iter().any(|trip| trip.moves() > 0)
    }

    /// What the columns mean; `drives` are among them or not.
    pub(super) fn key(&self, drives: bool) -> Vec<String> {
        let Some(first) = self.stops().next() else {
            return Vec::new();
        };
        let units = first.site().conventions.units;
        let mut key = vec![NAMED_BY_EVENING.to_owned()];
        let ranked = match self.is_weighted {
            true => {
                "Trips are ranked by the sum of score times chance of a clear night; no two \
                 share an evening."
            }
            false => {
                "Trips are ranked by the sum of the nights' best scores, as if every night were \
                 clear; no two share an evening."
            }
        };
        key.push(ranked.to_owned());
        key.push(
            "Spare place: its score, and another place within a day's drive that night; spare \
             night: a later evening at the same place without a session."
                .to_owned(),
        );
        if self.is_weighted {
            key.push(CHANCES_NOTE.to_owned());
            let mut sessions = self.trips.iter().flat_map(Trip::sessions);
            if sessions.any(|stop| stop.window.cloud_foretold(stop.site()).is_some()) {
                key.push(FORETOLD_NOTE.to_owned());
            }
        }
        if drives {
            let mut trips = self.trips.iter();
            let any_free = trips.any(|trip| trip.sessions().count() < trip.nights.len());
            key.push(moves_note(self.moves, units, self.any_given, any_free));
        }
        key
    }
}

/// A column of the CSV of trips.
#[derive(Clone, Copy)]
enum CsvColumn {
    Trip(&'static Field<Trip>),
    Evening(&'static Field<TripRows>),
    Window(&'static Field<Windows>),
}

impl CsvColumn {
    fn name(self) -> &'static str {
        match self {
            Self::Trip(field) => field.name,
            Self::Evening(field) => field.name,
            Self::Window(field) => field.name,
        }
    }

    /// The columns: those of the trip, those of the evening, and those of a
    /// window that do not come first anyway.
    fn all() -> impl Iterator<Item = Self> {
        let ours = |name: &str| EVENING.iter().any(|field| field.name == name);
        let others = FIELDS.iter();
        let window = others.filter(move |field| !ours(field.name) && field.name != window::VIEW);
        let trip = TRIP.iter().map(Self::Trip);
        trip.chain(EVENING.iter().map(Self::Evening))
            .chain(window.map(Self::Window))
    }
}

/// The names of the columns of a CSV of trips.
pub(super) fn csv_names() -> impl Iterator<Item = &'static str> {
    CsvColumn::all().map(CsvColumn::name)
}

/// Writes the header of a CSV of trips.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_csv_header(out: &mut impl Write, layout: &CsvLayout) -> io::Result<()> {
    write_names(out, csv_names(), layout)
}

/// Writes a trip as CSV: a line for each evening, with every column of its
/// window, empty for a free one.
///
/// # Errors
///
/// Any error of `out`.
pub fn write_csv(out: &mut impl Write, trip: &Trip, layout: &CsvLayout) -> io::Result<()> {
    for row in TripRow::all(trip) {
        let stop = row.session();
        let record = stop.map(record);
        let cell = |column| match (column, &record) {
            (CsvColumn::Trip(field), _) => field.cell(&trip),
            (CsvColumn::Evening(field), _) => field.cell(&row),
            (CsvColumn::Window(field), Some(record)) => field.cell(record),
            (CsvColumn::Window(_), None) => Cell::Empty,
        };
        let site = stop.or_else(|| trip.sessions().next()).map(TripStop::site);
        let Some(site) = site else { continue };
        match stop {
            Some(_) => write_cells(out, CsvColumn::all(), cell, site, layout)?,
            None => write_cells(out, CsvColumn::all(), cell, &without_own(site), layout)?,
        }
    }
    Ok(())
}

/// A free evening has no values of the user's own.
fn without_own(site: &Site) -> Site {
    Site {
        own: Default::default(),
        ..site.clone()
    }
}

fn record(stop: &TripStop) -> Record<'_> {
    Record {
        site: stop.site(),
        window: &stop.window,
    }
}

/// A trip in JSON.
pub fn trip_object(trip: &Trip) -> Value {
    let mut whole = object(TRIP, &trip);
    let nights = TripRow::all(trip).map(|row| {
        let named = ["evening_number", "night", "role"];
        let own = EVENING.iter().filter(|field| named.contains(&field.name));
        let mut night = object(own, &row);
        let stops = [
            ("session", &row.night.session),
            ("spare_place", &row.night.spare_place),
            ("spare_night", &row.night.spare_night),
        ];
        for (name, stop) in stops {
            let stop = stop.as_ref().map_or(Value::Null, stop_object);
            night.insert(name.to_owned(), stop);
        }
        Value::Object(night)
    });
    whole.insert("nights".to_owned(), nights.collect());
    let cautions = trip_cautions(trip).map(|caution| {
        json!({
            "topic": caution.topic.key(),
            "text": caution_sentence(&caution),
            "because": caution_reason(&caution),
        })
    });
    whole.insert("cautions".to_owned(), cautions.collect());
    Value::Object(whole)
}

fn stop_object(stop: &TripStop) -> Value {
    let mut whole = object(STOP, &stop);
    whole.insert("window".to_owned(), window_object(&record(stop)));
    Value::Object(whole)
}
