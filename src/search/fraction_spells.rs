//! When the Moon's fraction is within limits, which is the same for all places.

use super::interval::Intervals;
use crate::{
    ephemeris::{Ephemeris, Moment},
    rule::Limits,
};

const DAY_SECONDS: f64 = 86_400.0;

/// The periods in which the Moon's fraction is within some limits, from one time
/// to another at least. Each day is searched alone, from noon UTC to noon, so
/// that an edge does not depend on the span.
pub(super) fn fraction_spells(
    ephemeris: &Ephemeris,
    limits: Limits,
    [from, to]: [f64; 2],
) -> Intervals {
    let [first, last] = [ephemeris.from(), ephemeris.to()].map(Moment::seconds);
    let edge = |day: i32| (f64::from(day) * DAY_SECONDS).clamp(first, last);
    let days = (from / DAY_SECONDS).floor() as i32..(to / DAY_SECONDS).ceil() as i32;
    let spells = days.flat_map(|day| {
        let (start, end) = (edge(day), edge(day + 1));
        let whole = Intervals::one(start, end);
        // Bounds tell most days, which need no search.
        let spells = whole.where_known(
            |start, end| limits.of_all(ephemeris.moon_fraction_between(start, end)),
            |t| limits.read(ephemeris.moon_fraction(t)),
        );
        spells.into_iter()
    });
    spells.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        scene::{Band, Dates},
        search::Season,
    };
    use chrono::NaiveDate;

    #[test]
    fn the_fraction_is_searched_for_a_season_as_for_each_night() {
        let day = |year, month| NaiveDate::from_ymd_opt(year, month, 1).expect("a date");
        let dates = Dates::new(day(2027, 3), day(2028, 5)).expect("dates");
        let season = Season::new(dates);
        let ephemeris = season.ephemeris();
        let mut found = 0;
        for band in [
            Band::new(0.03, 0.5),
            Band::from(0.97),
            Band::up_to(0.002),
            // For a minute or so.
            Band::new(0.2, 0.2001),
            Band::new(0.0, 1.0),
        ] {
            let limits = Limits::of_fractions(band);
            let span = [ephemeris.from(), ephemeris.to()].map(Moment::seconds);
            let spells = fraction_spells(ephemeris, limits, span);
            let mut start = ephemeris.from().seconds() + 1.0;
            while start + DAY_SECONDS < ephemeris.to().seconds() {
                let night = Intervals::one(start, start + DAY_SECONDS);
                let alone = night.where_holds(|t| limits.read(ephemeris.moon_fraction(t)));
                let of_season = night.and(&spells);
                // To the last bit, whatever span was searched.
                let span = [start, start + DAY_SECONDS];
                assert_eq!(
                    of_season,
                    night.and(&fraction_spells(ephemeris, limits, span))
                );
                let [alone, of_season] = [&alone, &of_season].map(Intervals::as_slice);
                assert_eq!(alone.len(), of_season.len(), "{band:?} {start}");
                for (a, b) in alone.iter().zip(of_season) {
                    let off = (a.start - b.start).abs().max((a.end - b.end).abs());
                    assert!(off < 1e-3, "{band:?} {a:?} {b:?}");
                }
                found += alone.len();
                start += DAY_SECONDS + 777.0;
            }
        }
        assert!(found > 600, "{found}");
    }
}
