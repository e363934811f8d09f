//! What would give a trip where there is none.

use super::{
    trip::{TripAsked, TripSearch},
    trip_moves::{GivenMove, MoveRules, Moves},
    trip_search::{TripPath, TripRules},
};

/// So long a drive a day reaches every place in any number of days.
const ANY: f64 = 1e9;

impl TripSearch {
    fn best(&self, moves: &Moves, rules: &TripRules) -> Option<TripPath> {
        self.worths().best_trips(moves, rules, 1).pop()
    }

    /// The least number of free evenings, more than asked for, with which there
    /// is a trip; `None` if there is none with any.
    pub fn free_needed(&self, asked: &TripAsked, given: &[GivenMove]) -> Option<usize> {
        let moves = Moves::new(asked.moves, &self.places(), given);
        let most = asked.nights.saturating_sub(2);
        (asked.free + 1..=most).find(|free| {
            let free = *free;
            let rules = TripRules {
                free,
                ..asked.rules()
            };
            self.best(&moves, &rules).is_some()
        })
    }

    /// The least number of sessions in a row at one place, more than asked for,
    /// with which there is a trip.
    pub fn stay_needed(&self, asked: &TripAsked, given: &[GivenMove]) -> Option<usize> {
        let moves = Moves::new(asked.moves, &self.places(), given);
        let more = asked.stay? + 1;
        (more..=asked.nights).find(|stay| {
            let stay = Some(*stay);
            let rules = TripRules {
                stay,
                ..asked.rules()
            };
            self.best(&moves, &rules).is_some()
        })
    }

    /// The most evenings, fewer than asked for, with which there is a trip.
    pub fn nights_possible(&self, asked: &TripAsked, given: &[GivenMove]) -> Option<usize> {
        let moves = Moves::new(asked.moves, &self.places(), given);
        (1..asked.nights).rev().find(|nights| {
            let nights = *nights;
            let rules = TripRules {
                nights,
                ..asked.rules()
            };
            self.best(&moves, &rules).is_some()
        })
    }

    /// Kilometres and hours of a day with which there is a trip, whole ones;
    /// `None` if longer drives give none.
    pub fn moves_needed(&self, asked: &TripAsked, given: &[GivenMove]) -> Option<[f64; 2]> {
        let any = MoveRules {
            most_km: ANY,
            most_hours: ANY,
            ..asked.moves
        };
        let moves = Moves::new(any, &self.places(), given);
        let path = self.best(&moves, &asked.rules())?;
        let places = path.places.iter().enumerate();
        let stops: Vec<(usize, usize)> = places
            .filter_map(|(night, place)| Some((night, (*place)?)))
            .collect();
        let mut needed = [asked.moves.most_km, asked.moves.most_hours];
        for pair in stops.windows(2) {
            let [(left, from), (arrived, to)] = pair else {
                continue;
            };
            let days = (arrived - left) as f64;
            let way = moves.way(*from, *to)?;
            for (need, length) in needed.iter_mut().zip([way.km, way.hours]) {
                *need = need.max((length / days).ceil());
            }
        }
        Some(needed)
    }
}
