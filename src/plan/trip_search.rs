//! The best trips over places and nights, by dynamic programming.

use super::{
    trip_choice::{choose, is_better},
    trip_moves::Moves,
};

/// The most evenings of a trip.
pub const MOST_TRIP_NIGHTS: usize = 30;

/// What a trip must be, and what a drive costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TripRules {
    /// Consecutive evenings, 1 to [`MOST_TRIP_NIGHTS`].
    pub nights: usize,
    /// The most of them that may be free.
    pub free: usize,
    /// The most sessions in a row at one place, 1 or more; `None` for any
    /// number. A free night between does not end a row.
    pub stay: Option<usize>,
    /// What a kilometre of driving costs, in the unit of the worth of a night,
    /// 0 or more.
    pub cost_per_km: f64,
}

/// What each place is worth on each night.
#[derive(Debug, Clone, Default)]
pub struct TripNights {
    /// For each night the places that have something, in order, with its worth.
    nights: Vec<Vec<(usize, f64)>>,
}

/// A trip as numbers of nights and places.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TripPath {
    /// Number of its first night, from 0.
    pub first: usize,
    /// The place of each night; `None` for a free one.
    pub places: Vec<Option<usize>>,
    /// The sum of what its nights are worth, less the cost of driving.
    pub worth: f64,
    /// Kilometres of driving.
    pub km: f64,
}

/// The best way to be at a place on a night, having used some free nights and
/// stayed there for some nights.
#[derive(Debug, Clone, Copy)]
struct Node {
    worth: f64,
    km: f64,
    /// Where it comes from; `None` on the first night.
    from: Option<Step>,
}

/// A step back to the place before.
#[derive(Debug, Clone, Copy)]
struct Step {
    /// Nights since that place.
    gap: usize,
    /// Its index on that night.
    index: usize,
    /// Sessions before that one in its row, if rows are counted.
    row: usize,
}

impl Node {
    /// Worth more, or as much for a shorter drive.
    fn is_better(&self, other: &Self) -> bool {
        is_better([self.worth, self.km], [other.worth, other.km])
    }
}

/// Takes the better of two nodes, the first of equals.
fn improve(best: &mut Option<Node>, node: Node) {
    if best.is_none_or(|best| node.is_better(&best)) {
        *best = Some(node);
    }
}

/// The nodes of one night for one number of free nights.
#[derive(Debug, Default)]
struct Layer {
    /// By sessions before in the row (one number for all, if rows are not
    /// counted), then by index of the place.
    rows: Vec<Vec<Option<Node>>>,
    /// The best node of each place, with its row.
    best: Vec<Option<(usize, Node)>>,
    /// The places that can be reached, from the most worth to the least.
    order: Vec<Reached>,
}

/// A place of a layer, with what its best node is worth.
#[derive(Debug, Clone, Copy)]
struct Reached {
    worth: f64,
    place: usize,
    index: usize,
}

impl Layer {
    fn new(rows: Vec<Vec<Option<Node>>>, places: &[(usize, f64)]) -> Self {
        let best_of = |index: usize| {
            let mut best: Option<(usize, Node)> = None;
            for (row, nodes) in rows.iter().enumerate() {
                if let Some(node) = nodes.get(index).copied().flatten()
                    && best.is_none_or(|(_, best)| node.is_better(&best))
                {
                    best = Some((row, node));
                }
            }
            best
        };
        let best: Vec<Option<(usize, Node)>> = (0..places.len()).map(best_of).collect();
        let mut order: Vec<Reached> = Vec::with_capacity(places.len());
        for (index, ((place, _), best)) in places.iter().zip(&best).enumerate() {
            order.extend(best.map(|(_, node)| Reached {
                worth: node.worth,
                place: *place,
                index,
            }));
        }
        order.sort_by(|a, b| b.worth.total_cmp(&a.worth));
        Self { rows, best, order }
    }

    fn node(&self, row: usize, index: usize) -> Option<&Node> {
        self.rows.get(row)?.get(index)?.as_ref()
    }
}

impl TripNights {
    /// So many nights without anything.
    pub fn new(nights: usize) -> Self {
        Self {
            nights: vec![Vec::new(); nights],
        }
    }

    /// Says what a place is worth on a night, 0 or more; of several values the
    /// highest counts. A value that is not finite is left out.
    pub fn offer(&mut self, night: usize, place: usize, worth: f64) {
        let Some(places) = self.nights.get_mut(night).filter(|_| worth.is_finite()) else {
            return;
        };
        match places.binary_search_by_key(&place, |(known, _)| *known) {
            Ok(at) => {
                if let Some((_, known)) = places.get_mut(at) {
                    *known = known.max(worth);
                }
            }
            Err(at) => places.insert(at, (place, worth)),
        }
    }

    /// How many nights there are.
    pub fn count(&self) -> usize {
        self.nights.len()
    }

    /// The places of a night, in order, with what they are worth.
    pub fn places(&self, night: usize) -> &[(usize, f64)] {
        self.nights.get(night).map_or(&[], Vec::as_slice)
    }

    /// What a place is worth on a night, if anything.
    pub fn worth(&self, night: usize, place: usize) -> Option<f64> {
        let places = self.places(night);
        let at = places.binary_search_by_key(&place, |(known, _)| *known);
        places.get(at.ok()?).map(|(_, worth)| *worth)
    }

    /// The best trips, the best first, no two of which share a night: each is
    /// the best of all that share a night with it and none with a better one
    /// before it. At most `most` of them.
    ///
    /// A trip is `rules.nights` consecutive nights. Its first and its last have
    /// a place, of the others at most `rules.free` have none. From one place to
    /// the next the group drives by day: so many days as nights lie between,
    /// each within the limits of a day. Among equals the one with the shorter
    /// drive counts, then the earlier.
    ///
    /// This is exact. For each first night the best way to stand at each place
    /// on each night, with each number of free nights used and each number of
    /// sessions in a row there, follows from the best ways to stand at the places of earlier nights.
    pub fn best_trips(&self, moves: &Moves, rules: &TripRules, most: usize) -> Vec<TripPath> {
        let starts = (self.count() + 1).saturating_sub(rules.nights.max(1));
        let bounds = (0..starts).map(|first| self.most_worth(first, rules));
        choose(bounds, rules.nights, most, |first| {
            self.best_from(first, moves, rules)
        })
    }

    /// What no trip that begins on a night exceeds, if there may be one.
    fn most_worth(&self, first: usize, rules: &TripRules) -> Option<f64> {
        let nights = rules.nights;
        if !(1..=MOST_TRIP_NIGHTS).contains(&nights) || self.places(first).is_empty() {
            return None;
        }
        let last = first + nights - 1;
        if self.places(last).is_empty() {
            return None;
        }
        let empty = (first..last).filter(|night| self.places(*night).is_empty());
        if empty.count() > rules.free {
            return None;
        }
        // Added in the order of the search, so that no rounding takes it below
        // the sum that the search finds.
        let best = |night| {
            let worths = self.places(night).iter().map(|(_, worth)| *worth);
            worths.fold(0.0, f64::max)
        };
        Some((first..=last).map(best).fold(0.0, |sum, worth| sum + worth))
    }

    /// The best trip that begins on a night.
    fn best_from(&self, first: usize, moves: &Moves, rules: &TripRules) -> Option<TripPath> {
        let nights = rules.nights;
        // No more than all between the first and the last can be free.
        let free = rules.free.min(nights.saturating_sub(2));
        // By night, then by free nights used.
        let mut layers: Vec<Vec<Layer>> = Vec::with_capacity(nights);
        for since in 0..nights {
            let of_night = |used| match since {
                0 => self.first_layer(first, used, rules),
                _ => self.layer(first, &layers, used, moves, rules),
            };
            let layer = (0..=free).map(of_night).collect();
            layers.push(layer);
        }
        self.path(first, &layers)
    }

    /// How many lengths of a row are told apart.
    fn rows(rules: &TripRules) -> usize {
        let longest = rules.stay.map_or(1, |stay| stay.max(1));
        longest.min(MOST_TRIP_NIGHTS)
    }

    fn first_layer(&self, first: usize, used: usize, rules: &TripRules) -> Layer {
        let places = self.places(first);
        let mut rows = vec![vec![None; places.len()]; Self::rows(rules)];
        if let (Some(begun), 0) = (rows.first_mut(), used) {
            for (node, (_, worth)) in begun.iter_mut().zip(places) {
                *node = Some(Node {
                    worth: *worth,
                    km: 0.0,
                    from: None,
                });
            }
        }
        Layer::new(rows, places)
    }

    /// The nodes of the night after those of `layers`.
    fn layer(
        &self,
        first: usize,
        layers: &[Vec<Layer>],
        used: usize,
        moves: &Moves,
        rules: &TripRules,
    ) -> Layer {
        let since = layers.len();
        let places = self.places(first + since);
        let mut rows = vec![vec![None; places.len()]; Self::rows(rules)];
        for (index, (place, worth)) in places.iter().enumerate() {
            // With a gap of one, the place before was that of the night before.
            for gap in 1..=(used + 1).min(since) {
                let of_gap = layers.get(since - gap);
                let Some(before) = of_gap.and_then(|of_night| of_night.get(used + 1 - gap)) else {
                    continue;
                };
                let begin = Arrival {
                    place: *place,
                    worth: *worth,
                    gap,
                    before,
                    earlier: self.places(first + since - gap),
                };
                if let Some(node) = rows.first_mut().and_then(|row| row.get_mut(index)) {
                    begin.coming(node, moves, rules);
                }
                for row in 1..rows.len() {
                    if let Some(node) = rows.get_mut(row).and_then(|row| row.get_mut(index)) {
                        begin.staying(node, row - 1);
                    }
                }
            }
        }
        Layer::new(rows, places)
    }

    /// The best way to the last night.
    fn path(&self, first: usize, layers: &[Vec<Layer>]) -> Option<TripPath> {
        let mut since = layers.len().checked_sub(1)?;
        let mut end: Option<(usize, usize, Node)> = None;
        for (used, layer) in layers.get(since)?.iter().enumerate() {
            for (index, best) in layer.best.iter().enumerate() {
                let Some((_, node)) = best else { continue };
                if end.is_none_or(|(.., end)| node.is_better(&end)) {
                    end = Some((used, index, *node));
                }
            }
        }
        let (mut used, mut index, end) = end?;
        let mut places = vec![None; layers.len()];
        let mut node = end;
        loop {
            let (place, _) = self.places(first + since).get(index)?;
            *places.get_mut(since)? = Some(*place);
            let Some(step) = node.from else { break };
            since -= step.gap;
            used = used + 1 - step.gap;
            index = step.index;
            node = *layers.get(since)?.get(used)?.node(step.row, index)?;
        }
        Some(TripPath {
            first,
            places,
            worth: end.worth,
            km: end.km,
        })
    }
}

/// A place that is reached on a night, from those of an earlier night.
struct Arrival<'a> {
    place: usize,
    worth: f64,
    /// Nights since the earlier night.
    gap: usize,
    before: &'a Layer,
    /// The places of the earlier night.
    earlier: &'a [(usize, f64)],
}

impl Arrival<'_> {
    /// Improves a node by the best way from any place; where rows are counted,
    /// from any other place.
    fn coming(&self, best: &mut Option<Node>, moves: &Moves, rules: &TripRules) {
        let days_from = moves.days_to(self.place);
        for reached in &self.before.order {
            // No later one can be better, whatever its drive.
            let worth = reached.worth + self.worth;
            if best.is_some_and(|best| worth < best.worth) {
                break;
            }
            let from = reached.place;
            let days = days_from.get(from).copied().map_or(usize::MAX, usize::from);
            if days > self.gap || (rules.stay.is_some() && from == self.place) {
                continue;
            }
            let index = reached.index;
            let Some((row, earlier)) = self.before.best.get(index).copied().flatten() else {
                continue;
            };
            let km = moves.km(from, self.place);
            let node = Node {
                worth: worth - rules.cost_per_km * km,
                km: earlier.km + km,
                from: Some(Step {
                    gap: self.gap,
                    index,
                    row,
                }),
            };
            improve(best, node);
        }
    }

    /// Improves a node by a row at the same place that was one shorter.
    fn staying(&self, best: &mut Option<Node>, row: usize) {
        let place = |(place, _): &(usize, f64)| *place;
        let Ok(index) = self.earlier.binary_search_by_key(&self.place, place) else {
            return;
        };
        if let Some(earlier) = self.before.node(row, index) {
            let node = Node {
                worth: earlier.worth + self.worth,
                km: earlier.km,
                from: Some(Step {
                    gap: self.gap,
                    index,
                    row,
                }),
            };
            improve(best, node);
        }
    }
}
