//! The rules of the sites of a run, made once for sites that have the same.

use super::asked_rules::AskedRules;
use rakelight::{
    input::Faults,
    rule::{RuleBasis, Rules},
    scene::Site,
};
use std::sync::Arc;

/// The most different rules that are kept: a table has few, or others in each
/// row.
const MOST: usize = 16;

/// The rules of site after site.
pub struct SharedRules<'a> {
    asked: &'a AskedRules,
    made: Vec<(RuleBasis, Vec<Arc<Rules>>)>,
}

impl<'a> SharedRules<'a> {
    /// Those that are asked for.
    pub fn new(asked: &'a AskedRules) -> Self {
        Self {
            asked,
            made: Vec::new(),
        }
    }

    /// The rules at a site, as [`AskedRules::all_rules`] makes them.
    pub fn at(&mut self, site: &Site) -> Result<Vec<Arc<Rules>>, Faults> {
        let basis = RuleBasis::of(site);
        let made = self.made.iter().find(|(of, _)| Some(of) == basis.as_ref());
        if let Some((_, rules)) = made {
            return Ok(rules.clone());
        }
        let briefs = self.asked.each_at(site);
        let asks_place = briefs.iter().any(|(_, brief)| brief.asks_place());
        let rules = self.asked.rules_of(briefs, site, Rules::of_kinds)?;
        let rules: Vec<Arc<Rules>> = rules.into_iter().map(Arc::new).collect();
        if let Some(basis) = basis.filter(|_| !asks_place) {
            if self.made.len() >= MOST {
                self.made.clear();
            }
            self.made.push((basis, rules.clone()));
        }
        Ok(rules)
    }
}
