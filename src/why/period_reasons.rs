//! Why a night has the periods it has, also where a blend's two periods keep
//! different rules.

use super::reasons::NightReasons;
use crate::search::{Constraint, Night, PlanError, Planner, whole};
use crate::{
    ephemeris::Moment,
    rule::{Bearing, Circumstances, MOON_ALTITUDE, NO_MOON, Part, Rules},
    scene::LightKind,
};
use chrono::NaiveDate;

/// What a period of a night is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PeriodKind {
    /// Land and sky at once.
    Both,
    /// The moonlit land of a blend.
    Moonlit,
    /// The dark sky of a blend.
    Dark,
}

/// One night under the rules of one kind of period.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PeriodReasons {
    /// The kind.
    pub kind: PeriodKind,
    /// The rules with the values that this kind has: no Moon in a dark sky.
    pub rules: Rules,
    /// The night rule by rule.
    pub reasons: NightReasons,
}

impl Planner {
    /// One night under the planner's rules; that of a blend twice, first under
    /// the rules of its moonlit land, then under those of its dark sky. The
    /// light of the land is measured from where the camera stands for the sky:
    /// at the best instant of the best window, else in the middle of the first
    /// dark period, else of the night. The best of each rule is left out.
    ///
    /// # Errors
    ///
    /// As [`Planner::night`].
    pub fn period_reasons(&self, date: NaiveDate) -> Result<Vec<PeriodReasons>, PlanError> {
        Ok(self.reasons_by_period(&self.night(date)?))
    }

    /// The same of a night that the planner's sky is known to reach.
    pub(crate) fn reasons_by_period(&self, night: &Night) -> Vec<PeriodReasons> {
        let rules = self.rules();
        if rules.light != LightKind::Blend {
            let constraints = self.constraints(rules);
            let instant = |moment| self.instant_at(moment);
            return vec![PeriodReasons {
                kind: PeriodKind::Both,
                rules: rules.clone(),
                reasons: NightReasons::under(self, rules, &constraints, night, &instant, false),
            }];
        }
        let facing_deg = self.blend_facing_deg(night);
        let dark_rules = rules.clone().with(&MOON_ALTITUDE, NO_MOON);
        let land = Circumstances {
            facing: Bearing::fixed(facing_deg),
            part: Part::Land,
            ..self.circumstances(rules)
        };
        let dark = Circumstances {
            part: Part::Dark,
            ..self.circumstances(rules)
        };
        let of = |kind, rules: &Rules, constraints: &[Constraint], fixed: bool| {
            let instant = |moment| match fixed {
                true => self.at_facing(moment, facing_deg),
                false => self.instant_at(moment),
            };
            PeriodReasons {
                kind,
                rules: rules.clone(),
                reasons: NightReasons::under(self, rules, constraints, night, &instant, false),
            }
        };
        let land = Constraint::all(rules, &land);
        let dark = Constraint::all(rules, &dark);
        vec![
            of(PeriodKind::Moonlit, rules, &land, true),
            of(PeriodKind::Dark, &dark_rules, &dark, false),
        ]
    }

    /// Where the camera of a blend stands.
    fn blend_facing_deg(&self, night: &Night) -> f64 {
        let windows = self.night_windows(night);
        let best = windows.iter().max_by(|a, b| a.score.total_cmp(&b.score));
        if let Some(window) = best {
            return window.best.facing_deg;
        }
        let dark = self.dark_periods(night);
        let all = whole(night);
        let period = dark.as_slice().first().or(all.as_slice().first());
        let middle = period.map_or(night.start.seconds(), |p| 0.5 * (p.start + p.end));
        self.instant_at(Moment::from_seconds(middle)).facing_deg
    }
}
