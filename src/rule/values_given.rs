//! The values of those rules that have one.

use super::{RULES, Rule, RuleValue};

/// Each value with the place of its rule in [`RULES`], in that order. Most sites
/// give none, and to give none costs nothing.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct ValuesGiven(Vec<(usize, RuleValue)>);

impl ValuesGiven {
    /// The value of a rule.
    pub fn get(&self, rule: &Rule) -> Option<&RuleValue> {
        let slot = self.slot(rule.index()?).ok()?;
        self.0.get(slot).map(|(_, value)| value)
    }

    /// Sets the value of a rule, or removes it.
    pub fn put(&mut self, rule: &Rule, value: Option<RuleValue>) {
        let Some(place) = rule.index() else { return };
        match (self.slot(place), value) {
            (Ok(slot), Some(value)) => {
                if let Some((_, old)) = self.0.get_mut(slot) {
                    *old = value;
                }
            }
            (Ok(slot), None) => {
                self.0.remove(slot);
            }
            (Err(slot), Some(value)) => self.0.insert(slot, (place, value)),
            (Err(_), None) => {}
        }
    }

    /// Adds the values of others for the rules that have none.
    pub fn fill(&mut self, others: Self) {
        for (place, value) in others.0 {
            if let Err(slot) = self.slot(place) {
                self.0.insert(slot, (place, value));
            }
        }
    }

    /// Where the value of the rule at a place in [`RULES`] is, or would be.
    fn slot(&self, place: usize) -> Result<usize, usize> {
        self.0.binary_search_by_key(&place, |(of, _)| *of)
    }

    /// The rules that have one, with their values.
    pub fn given(&self) -> impl Iterator<Item = (&'static Rule, &RuleValue)> {
        let given = self.0.iter();
        given.filter_map(|(place, value)| Some((*RULES.get(*place)?, value)))
    }

    /// The same, to change the values.
    pub fn given_mut(&mut self) -> impl Iterator<Item = (&'static Rule, &mut RuleValue)> {
        let given = self.0.iter_mut();
        given.filter_map(|(place, value)| Some((*RULES.get(*place)?, value)))
    }

    /// Every rule with its value, if it has one.
    pub fn all(&self) -> impl Iterator<Item = (&'static Rule, Option<&RuleValue>)> {
        let mut given = self.0.iter().peekable();
        RULES.iter().enumerate().map(move |(place, rule)| {
            let value = given.next_if(|(of, _)| *of == place);
            (*rule, value.map(|(_, value)| value))
        })
    }
}
