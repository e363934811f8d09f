//! The same rules with other values, and nights side by side.

use super::loosening::Loosening;
use crate::search::{PlanError, Planner, Window};
use crate::{
    rule::{Brief, NoCamera, NoSubject, Rules, RulesError},
    scene::{ValueError, limits::FOCAL_LENGTHS_MM, number_within},
};
use chrono::NaiveDate;
use std::{borrow::Cow, collections::BTreeSet, sync::Arc};

/// The result of one value of a rule, or of one value of each of several rules.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Variant {
    /// Rules by key with the values tried, as they are typed.
    pub values: Vec<(String, String)>,
    /// Nights with a window.
    pub nights: usize,
    /// Windows.
    pub windows: usize,
    /// Nights with a window in which one frame holds land and target for some
    /// time; `None` where the site's camera is not known or faces the arch.
    pub framed_nights: Option<usize>,
    /// The best window's score and night.
    #[serde(serialize_with = "crate::serial::scored_date")]
    pub best: Option<(f64, NaiveDate)>,
}

/// One night of a comparison: its best window, or what it would need.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Compared {
    /// The night.
    #[serde(serialize_with = "crate::serial::date")]
    pub night: NaiveDate,
    /// Its best window; `None` where it has none.
    pub window: Option<Window>,
    /// If it has none, the smallest loosening that admits it.
    pub needs: Option<Loosening>,
}

/// Why a variant has no answer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum VaryError {
    /// A value that its rule does not accept.
    #[error(transparent)]
    Value(#[from] ValueError),
    /// A camera that faces the subject of a site without one.
    #[error(transparent)]
    NoSubject(#[from] NoSubject),
    /// A rule about the frame of a camera that is not known.
    #[error(transparent)]
    NoCamera(#[from] NoCamera),
}

impl From<RulesError> for VaryError {
    fn from(error: RulesError) -> Self {
        match error {
            RulesError::Value { error, .. } => Self::Value(error),
            RulesError::NoSubject(error) => Self::NoSubject(error),
            RulesError::NoCamera(error) => Self::NoCamera(error),
        }
    }
}

/// What can be varied besides the rules: the focal length of the site's lens,
/// millimetres.
pub const FOCAL_LENGTH: &str = "focal_mm";

/// A focal length as it is typed, millimetres.
///
/// # Errors
///
/// A text that is no possible focal length.
pub fn focal_length_mm(text: &str) -> Result<f64, ValueError> {
    let (shortest, longest) = FOCAL_LENGTHS_MM;
    number_within(text, shortest, longest)
}

/// The most combinations of values that are tried (the project's choice: each
/// is a search of its own).
const MOST_COMBINATIONS: usize = 400;

/// Every combination of the values of some rules, each a key with its values,
/// the last rule's changing fastest; `None` if there are more than 400.
pub fn combinations(rules: &[(String, Vec<String>)]) -> Option<Vec<Vec<(String, String)>>> {
    let count = rules.iter().try_fold(1_usize, |count, (_, values)| {
        count.checked_mul(values.len())
    })?;
    if count > MOST_COMBINATIONS {
        return None;
    }
    let mut all: Vec<Vec<(String, String)>> = vec![Vec::new()];
    for (key, values) in rules {
        all = all
            .iter()
            .flat_map(|before| {
                values.iter().map(move |value| {
                    let mut next = before.clone();
                    next.push((key.clone(), value.clone()));
                    next
                })
            })
            .collect();
    }
    Some(all)
}

impl Planner {
    /// The results for the site's nights if `brief` has other values, or the
    /// site's camera another [`FOCAL_LENGTH`].
    ///
    /// # Errors
    ///
    /// A value that its rule does not accept, or one that faces a subject which
    /// the site does not have.
    pub fn vary(&self, brief: &Brief, values: Vec<(String, String)>) -> Result<Variant, VaryError> {
        let mut varied = Brief::default();
        let mut site = Cow::Borrowed(self.site());
        for (key, text) in &values {
            if key == FOCAL_LENGTH {
                let camera = site.to_mut().camera.get_or_insert_default();
                camera.focal_mm = focal_length_mm(text)?;
            } else {
                varied.set(key, text)?;
            }
        }
        let rules = Rules::new(&varied.or(brief), &site)?;
        let planner = match site {
            Cow::Borrowed(_) => self.with_rules(&rules),
            Cow::Owned(site) => {
                let season = self.season().clone();
                Self::unchecked(season, Arc::new(site), Arc::new(rules))
            }
        };
        let windows = planner.windows();
        let nights = |windows: &mut dyn Iterator<Item = &Window>| {
            let nights: BTreeSet<_> = windows.map(|window| window.night).collect();
            nights.len()
        };
        let mut framed = windows.iter().filter(|window| window.framed.is_some());
        Ok(Variant {
            values,
            nights: nights(&mut windows.iter()),
            windows: windows.len(),
            framed_nights: planner.has_frames().then(|| nights(&mut framed)),
            best: windows.first().map(|window| (window.score, window.night)),
        })
    }

    /// Nights of the season side by side: the best window of each, or what it
    /// would need.
    ///
    /// # Errors
    ///
    /// A night outside the season.
    pub fn compare(&self, nights: &[NaiveDate]) -> Result<Vec<Compared>, PlanError> {
        nights
            .iter()
            .map(|night| {
                let alone = self.of_night(*night)?;
                let window = alone.windows().into_iter().next();
                let needs = match window {
                    Some(_) => None,
                    None => alone.study().and_then(|study| {
                        let miss = alone.near_misses(&study, 1).into_iter().next()?;
                        miss.loosenings.into_iter().next()
                    }),
                };
                Ok(Compared {
                    night: *night,
                    window,
                    needs,
                })
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rule(key: &str, values: &[&str]) -> (String, Vec<String>) {
        let values = values.iter().map(|value| (*value).to_owned());
        (key.to_owned(), values.collect())
    }

    #[test]
    fn the_last_rule_runs_fastest() {
        let rules = [
            rule("tilt", &["..30", "30.."]),
            rule("facing", &["arch", "90"]),
        ];
        let all = combinations(&rules).expect("few");
        let texts: Vec<String> = all
            .iter()
            .map(|values| {
                let texts: Vec<&str> = values.iter().map(|(_, text)| text.as_str()).collect();
                texts.join(" ")
            })
            .collect();
        assert_eq!(texts, ["..30 arch", "..30 90", "30.. arch", "30.. 90"]);
    }

    #[test]
    fn too_many_are_none() {
        let twenty: Vec<String> = (1..=20).map(|least| format!("{least}..")).collect();
        let rules = |count: usize| {
            let keys = ["tilt", "target_altitude", "moon_altitude"].into_iter();
            let rules = keys.take(count).map(|key| (key.to_owned(), twenty.clone()));
            rules.collect::<Vec<_>>()
        };
        assert_eq!(combinations(&rules(2)).map(|all| all.len()), Some(400));
        assert_eq!(combinations(&rules(3)), None);
    }
}
