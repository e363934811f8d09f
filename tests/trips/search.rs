//! The best trips against a plain enumeration of small cases, and against an
//! integer programme solved by another program on larger ones
//! (`tests/reference/make/trips.py`).

use proptest::prelude::*;
use rakelight::plan::{MoveRules, Moves, TripNights, TripPath, TripRules};

/// What a trip is chosen from.
#[derive(Debug, Clone)]
struct Case {
    /// By night, then by place.
    worth: Vec<Vec<Option<f64>>>,
    km: Vec<Vec<f64>>,
    most_km: f64,
    rules: TripRules,
}

impl Case {
    fn places(&self) -> usize {
        self.km.len()
    }

    fn moves(&self) -> Moves {
        let rules = MoveRules {
            most_km: self.most_km,
            most_hours: 1e6,
            detour: 1.0,
            speed_kmh: 1.0,
        };
        Moves::of_km(rules, &self.km)
    }

    fn best(&self, most: usize) -> Vec<TripPath> {
        let mut nights = TripNights::new(self.worth.len());
        for (night, places) in self.worth.iter().enumerate() {
            for (place, worth) in places.iter().enumerate() {
                if let Some(worth) = worth {
                    nights.offer(night, place, *worth);
                }
            }
        }
        nights.best_trips(&self.moves(), &self.rules, most)
    }

    /// What a plan is worth, and its kilometres; `None` if it breaks a rule.
    /// Written from the words of the rules alone.
    fn value(&self, first: usize, plan: &[Option<usize>]) -> Option<(f64, f64)> {
        if plan.first()?.is_none() || plan.last()?.is_none() {
            return None;
        }
        if plan.iter().filter(|place| place.is_none()).count() > self.rules.free {
            return None;
        }
        let (mut worth, mut length) = (0.0, 0.0);
        let mut before: Option<(usize, usize)> = None;
        let mut row = 0;
        for (night, place) in plan.iter().enumerate() {
            let Some(place) = place else { continue };
            worth += self.worth[first + night][*place]?;
            row = match before {
                Some((_, known)) if known == *place => row + 1,
                _ => 1,
            };
            if self.rules.stay.is_some_and(|stay| row > stay) {
                return None;
            }
            if let Some((left, from)) = before
                && from != *place
            {
                let km = self.km[from][*place];
                if km > self.most_km * (night - left) as f64 {
                    return None;
                }
                worth -= self.rules.cost_per_km * km;
                length += km;
            }
            before = Some((night, *place));
        }
        Some((worth, length))
    }

    /// The best value of each first night, by trying every plan.
    fn enumerated(&self) -> Vec<Option<(f64, f64)>> {
        let nights = self.rules.nights;
        let starts = (self.worth.len() + 1).saturating_sub(nights);
        let choices = self.places() + 1;
        (0..starts)
            .map(|first| {
                let mut best: Option<(f64, f64)> = None;
                for mut number in 0..choices.pow(nights as u32) {
                    let mut plan = Vec::new();
                    for _ in 0..nights {
                        plan.push((number % choices).checked_sub(1));
                        number /= choices;
                    }
                    let Some(value) = self.value(first, &plan) else {
                        continue;
                    };
                    let better = best.is_none_or(|best| {
                        value.0 > best.0 || (value.0 == best.0 && value.1 < best.1)
                    });
                    if better {
                        best = Some(value);
                    }
                }
                best
            })
            .collect()
    }
}

/// Whole numbers, so that sums are exact and equal ones are equal.
fn cases() -> impl Strategy<Value = Case> {
    (1_usize..=5, 1_usize..=4, 1_usize..=9).prop_flat_map(|(nights, places, range)| {
        let worth = prop::option::weighted(0.7, (0..12_u32).prop_map(f64::from));
        let worth = prop::collection::vec(prop::collection::vec(worth, places), range);
        let km = prop::collection::vec(
            prop::collection::vec((0..10_u32).prop_map(|km| f64::from(km) * 50.0), places),
            places,
        );
        let stay = prop::option::of(1_usize..=3);
        let cost = prop_oneof![Just(0.0), Just(0.02)];
        (worth, km, 1..6_u32, 0_usize..=3, stay, cost).prop_map(
            move |(worth, km, most, free, stay, cost_per_km)| Case {
                worth,
                km,
                most_km: f64::from(most) * 80.0,
                rules: TripRules {
                    nights,
                    free,
                    stay,
                    cost_per_km,
                },
            },
        )
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    /// Every trip is one that the rules allow, its value is what it says, and
    /// each is the best of its first night; their order and choice are those of
    /// the enumeration.
    #[test]
    fn the_best_trips_are_those_of_an_enumeration(case in cases()) {
        let best_of = case.enumerated();
        let found = case.best(usize::MAX);
        for path in &found {
            let (worth, km) = case.value(path.first, &path.places).expect("an allowed trip");
            prop_assert!((worth - path.worth).abs() < 1e-9);
            prop_assert!((km - path.km).abs() < 1e-9);
            let (best, shortest) = best_of[path.first].expect("a trip");
            prop_assert!((worth - best).abs() < 1e-9, "{path:?} {best}");
            // With a cost sums are not exact, and equal ones may differ.
            if case.rules.cost_per_km == 0.0 {
                prop_assert_eq!(km, shortest);
            }
        }
        // Of those that share a night the best alone is there.
        let mut starts: Vec<(usize, (f64, f64))> = best_of
            .iter()
            .enumerate()
            .filter_map(|(first, best)| Some((first, (*best)?)))
            .collect();
        starts.sort_by(|(_, a), (_, b)| b.0.total_cmp(&a.0).then(a.1.total_cmp(&b.1)));
        let mut chosen: Vec<(usize, f64)> = Vec::new();
        for (first, (worth, _)) in starts {
            if chosen.iter().all(|(other, _)| first.abs_diff(*other) >= case.rules.nights) {
                chosen.push((first, worth));
            }
        }
        if case.rules.cost_per_km == 0.0 {
            let found: Vec<(usize, f64)> = found.iter().map(|p| (p.first, p.worth)).collect();
            prop_assert_eq!(found, chosen);
        } else {
            prop_assert_eq!(found.is_empty(), chosen.is_empty());
        }
    }
}

#[test]
fn a_free_night_allows_a_move_of_two_days() {
    let case = |free| Case {
        worth: vec![
            vec![Some(50.0), None],
            vec![Some(1.0), Some(1.0)],
            vec![None, Some(90.0)],
        ],
        km: vec![vec![0.0, 500.0], vec![500.0, 0.0]],
        most_km: 300.0,
        rules: TripRules {
            nights: 3,
            free,
            stay: None,
            cost_per_km: 0.0,
        },
    };
    assert_eq!(case(0).best(9), []);
    let found = case(1).best(9);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].places, [Some(0), None, Some(1)]);
    assert_eq!((found[0].worth, found[0].km), (140.0, 500.0));
}

#[test]
fn a_search_that_has_no_answer_gives_none() {
    let rules = TripRules {
        nights: 5,
        free: 9,
        stay: Some(0),
        cost_per_km: 0.0,
    };
    let moves = Moves::of_km(MoveRules::default(), &[vec![0.0]]);
    for nights in [0, 3, 5, 400] {
        assert_eq!(TripNights::new(nights).best_trips(&moves, &rules, 9), []);
    }
    let mut nights = TripNights::new(5);
    nights.offer(7, 0, 1.0);
    nights.offer(0, 0, f64::NAN);
    nights.offer(0, 3, 2.0);
    nights.offer(4, 3, 2.0);
    // More nights than a trip can have, and none.
    for asked in [0, 31, usize::MAX] {
        let rules = TripRules {
            nights: asked,
            ..rules
        };
        assert_eq!(nights.best_trips(&moves, &rules, 9), []);
    }
}

/// Whole numbers as `tests/reference/make/trips.py` makes them.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> u64 {
        self.0 = (self.0 * 1_103_515_245 + 12_345) % (1 << 31);
        self.0 >> 16
    }
}

/// A row of the table: its case, and what the best trip is worth.
fn reference(line: &str) -> (Case, Option<f64>) {
    let fields: Vec<&str> = line.split(',').collect();
    let [
        seed,
        nights,
        places,
        percent,
        length,
        free,
        stay,
        most_km,
        cost,
        worth,
    ] = fields[..]
    else {
        panic!("{line}");
    };
    let number = |text: &str| text.parse::<u64>().expect("a whole number");
    let mut numbers = Numbers(number(seed));
    let mut coordinate = || (numbers.next() % 1000) as f64;
    let at: Vec<[f64; 2]> = (0..number(places))
        .map(|_| {
            let x = coordinate();
            [x, coordinate()]
        })
        .collect();
    let km = |a: &[f64; 2], b: &[f64; 2]| (a[0] - b[0]).abs() + (a[1] - b[1]).abs();
    let km = at.iter().map(|a| at.iter().map(|b| km(a, b)).collect());
    let km = km.collect();
    let mut worth_of = || {
        let has = numbers.next() % 100 < number(percent);
        has.then(|| (1 + numbers.next() % 100) as f64)
    };
    let case = Case {
        worth: (0..number(nights))
            .map(|_| (0..number(places)).map(|_| worth_of()).collect())
            .collect(),
        km,
        most_km: number(most_km) as f64,
        rules: TripRules {
            nights: number(length) as usize,
            free: number(free) as usize,
            stay: match number(stay) {
                0 => None,
                stay => Some(stay as usize),
            },
            cost_per_km: number(cost) as f64 / 1000.0,
        },
    };
    let worth = (!worth.is_empty()).then(|| number(worth) as f64 / 1000.0);
    (case, worth)
}

#[test]
fn the_best_trip_is_worth_what_an_integer_programme_finds() {
    let table = include_str!("../reference/trips.csv");
    let rows = table.lines().filter(|line| !line.starts_with('#')).skip(1);
    let mut count = 0;
    for line in rows {
        let (case, worth) = reference(line);
        let found = case.best(1).pop();
        match (&found, worth) {
            (Some(path), Some(worth)) => {
                assert!((path.worth - worth).abs() < 1e-6, "{line}: {path:?}");
                let value = case.value(path.first, &path.places);
                let (own, _) = value.expect("an allowed trip");
                assert!((own - worth).abs() < 1e-6, "{line}: {path:?}");
            }
            (None, None) => {}
            _ => panic!("{line}: {found:?}"),
        }
        count += 1;
    }
    assert!(count >= 15, "{count} rows");
}
