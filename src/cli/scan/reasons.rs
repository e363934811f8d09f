//! What `scan` adds to a site's windows: near misses, advice, spare nights.

use super::{ahead::Ahead, question::ReasonsAsked};
use crate::cli::{explain::BLEND, manners::say};
use rakelight::{
    report::{self, Record},
    rule::Rules,
    scene::{LightKind, Site},
    search::{PlanError, Planner, SitePlanners, Window, spare_nights},
    why::{Advice, Hindrance, NearMiss},
};
use serde_json::Value;
use std::io::{self, Write};

/// What comes after a range of evenings in which a site has no window.
#[derive(Default)]
pub struct NextWindow {
    /// The best window of the first night that has one.
    pub window: Option<Window>,
    /// The nights looked at; none after 2099, or where none can be found.
    pub nights: i64,
}

/// What was asked in addition to the windows, and the answers.
pub struct Reasons {
    near_misses: Option<Vec<NearMiss>>,
    advice: Option<Advice>,
    /// Whether the advice is shown under the table.
    shown: bool,
    spare: Option<u32>,
    /// The option that has no answer here.
    unanswered: Option<&'static str>,
    /// Without a window: the best score of those that keep all rules but the
    /// lowest score.
    too_low: Option<f64>,
    /// The first of several kinds of light, which the advice is about.
    about: Option<LightKind>,
    /// Without a window: what comes after the range.
    pub next: Option<NextWindow>,
}

impl Reasons {
    /// Computes what is asked for.
    pub fn of(asked: ReasonsAsked, planners: &SitePlanners) -> Self {
        let planner = planners.first();
        let wanted = asked.near_misses > 0;
        let advise = asked.advise;
        let study = if wanted || advise {
            planner.study()
        } else {
            None
        };
        let unanswered = match (&study, wanted, asked.advise) {
            (None, true, _) => Some("near-misses"),
            (None, false, true) => Some("advise"),
            _ => None,
        };
        let near_misses = study
            .as_ref()
            .filter(|_| wanted)
            .map(|study| planner.near_misses_by(study, asked.near_misses, asked.failing_rules));
        Self {
            near_misses,
            advice: study.filter(|_| advise).map(|study| planner.advice(&study)),
            shown: asked.advise,
            spare: asked.spare,
            unanswered,
            too_low: None,
            about: planners.are_several().then(|| planner.rules().light),
            next: None,
        }
    }

    /// Whether the place of the site leaves no window, in any year.
    pub fn is_never(&self) -> bool {
        let too_low = |hindrance: &Hindrance| matches!(hindrance, Hindrance::TargetTooLow { .. });
        let advice = self.advice.as_ref();
        advice.is_some_and(|advice| advice.hindrances.iter().any(too_low))
    }

    /// Finds what is said unasked where there is no window.
    pub fn find_unasked(
        &mut self,
        planners: &SitePlanners,
        ahead: &Ahead,
    ) -> Result<(), PlanError> {
        self.too_low = planners.best_score_below();
        if self.advice.is_none() {
            let planner = planners.first();
            self.advice = planner.study().map(|study| planner.advice(&study));
        }
        self.next = Some(match self.is_never() {
            true => NextWindow::default(),
            false => ahead.next(planners)?,
        });
        Ok(())
    }

    /// Says on standard error why a site has no window, briefly if the table
    /// shows the reason anyway, and when the next one is.
    pub fn say_nothing_found(&self, site: &Site, rules: &Rules, table: bool) {
        say(&format!(
            "{}:{}",
            site.title(),
            self.why_nothing(site, rules, table)
        ));
        if let Some(next) = self.next.as_ref().filter(|next| next.nights > 0) {
            let window = next.window.as_ref();
            let words = report::words::next_window_words(site, window, next.nights);
            say(&format!("{}: {words}", site.title()));
        }
    }

    fn why_nothing(&self, site: &Site, rules: &Rules, table: bool) -> String {
        if let Some(best) = self.too_low {
            let least = format!("{:.1}", (10.0 * best).floor() / 10.0);
            return format!(
                " No window scores {} or more; the best has {best:.1} (--min-score {least}).",
                rules.min_score(),
            );
        }
        let text = match &self.advice {
            Some(_) if self.shown && table => "No window.".to_string(),
            Some(advice) => report::words::sentences(advice, site, rules).join(" "),
            None => format!("No window keeps every rule. What stands in the way {BLEND}."),
        };
        let about = self.about.map_or_else(String::new, |kind| {
            format!(" No window of any kind. {kind}:")
        });
        format!("{about} {text}")
    }

    /// Says that what was asked has no answer at a site whose own brief asks
    /// for a blend; if the rules for all sites do, it was refused earlier.
    pub fn say_unanswered(&self, site: &Site) {
        if let Some(asked) = self.unanswered {
            say(&format!(
                "{}: --{asked} has no answer for a blend, which the site's own brief asks for; \
                 ask with --light any and --light dark by themselves",
                site.title()
            ));
        }
    }

    /// Writes what stands under a site's table; `keyed` with what its columns
    /// mean.
    pub fn write_table(
        &self,
        out: &mut impl Write,
        planner: &Planner,
        chosen: &[&Window],
        windows: &[Window],
        width: usize,
        keyed: bool,
    ) -> io::Result<()> {
        let (site, rules) = (planner.site(), planner.rules());
        if let Some(days) = self.spare.filter(|_| !chosen.is_empty()) {
            writeln!(out)?;
            let nights = spare_nights(chosen, windows, days);
            report::spare::write_table(out, &nights, days)?;
        }
        if let Some(misses) = &self.near_misses {
            writeln!(out)?;
            report::near_misses::write_table(out, site, misses, width, keyed)?;
        }
        if let Some(advice) = self.advice.as_ref().filter(|_| self.shown) {
            writeln!(out)?;
            report::advice::write_table(out, advice, site, rules, width, keyed)?;
        }
        Ok(())
    }

    /// What goes with a site's windows in JSON, but for spare nights.
    pub fn json(&self, site: &Site, rules: &Rules) -> Vec<(&'static str, Value)> {
        let empty = || Value::Array(Vec::new());
        let misses = self.near_misses.as_ref();
        let advice = self.advice.as_ref();
        let mut extra = vec![
            (
                "near_misses",
                misses.map_or_else(empty, |misses| report::near_misses::array(site, misses)),
            ),
            (
                "advice",
                advice.map_or_else(empty, |advice| report::advice::array(advice, site, rules)),
            ),
        ];
        if let Some(next) = &self.next {
            let window = next.window.as_ref();
            let object = |window| report::json::unranked_object(&Record { site, window });
            extra.push(("next_window", window.map_or(Value::Null, object)));
        }
        extra
    }

    /// The spare nights at the site itself in JSON, if they are asked for.
    pub fn spare_json(&self, chosen: &[&Window], windows: &[Window]) -> Option<Value> {
        let nights = spare_nights(chosen, windows, self.spare?);
        Some(report::spare::array(&nights))
    }
}
