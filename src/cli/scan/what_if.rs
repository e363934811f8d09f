//! `scan --vary`, `--compare` and `--by bearing`: other questions about the same
//! rules.

use super::{circumstances::Circumstances, pages::Page, question::WhatIfAsked};
use crate::cli::{
    asked_rules::{AskedRules, no_camera, no_subject},
    batch::Ready,
    explain::asked_words,
    manners::Failure,
};
use chrono::NaiveDate;
use rakelight::{
    ephemeris::Direction,
    report::{Key, by_bearing, compare, grid::STRONG, json, vary, words::plural},
    rule::{Rules, TARGET},
    scene::Site,
    search::{PlanError, Planner, Season, SitePlanners},
    why::{Compared, Variant, VaryError},
};
use serde_json::Value;
use std::io::Write;

/// Answers the question at each site.
pub struct WhatIf<'a> {
    asked: WhatIfAsked,
    json: bool,
    quiet: bool,
    width: usize,
    season: Season,
    asked_rules: &'a AskedRules,
}

/// One site's part of the JSON document, under one of several rules.
pub(super) fn block(site: &Site, rules: Option<&Rules>, key: &str, value: Value) -> Vec<u8> {
    let mut object = serde_json::json!({"site": json::site_object(site), key: value});
    if let Some(rules) = rules {
        object["light"] = rules.light.word().into();
        object["brief"] = rules.brief.as_deref().into();
    }
    format!("    {object}").into_bytes()
}

/// Nights, each with the best window of all rules.
pub(super) fn best_of_all(
    planners: &SitePlanners,
    nights: &[NaiveDate],
) -> Result<Vec<Compared>, PlanError> {
    let mut best = planners.first().compare(nights)?;
    for planner in planners.iter().skip(1) {
        let others = planner.compare(nights)?;
        for (night, other) in best.iter_mut().zip(others) {
            let score = |night: &Compared| night.window.as_ref().map_or(-1.0, |w| w.score);
            if score(&other) > score(night) {
                *night = other;
            }
        }
    }
    Ok(best)
}

impl<'a> WhatIf<'a> {
    pub fn new(asked: WhatIfAsked, json: bool, width: usize, at: &Circumstances<'a>) -> Self {
        Self {
            asked,
            json,
            quiet: at.quiet,
            width,
            season: Season::new(at.dates),
            asked_rules: at.asked_rules,
        }
    }

    /// Whether all sites are asked about the Moon.
    fn of_moon(&self) -> bool {
        let target: Option<Direction> = self.asked_rules.first_common().get(&TARGET);
        target.is_some_and(|target| target.is_moon())
    }

    /// What the columns of its tables mean, unless nobody wants notes.
    pub fn key(&self) -> Result<Vec<u8>, Failure> {
        let key = match self.asked {
            WhatIfAsked::Vary(_) => Key::Vary,
            WhatIfAsked::Compare(_) if self.of_moon() => Key::CompareMoons,
            WhatIfAsked::Compare(_) => Key::Compare,
            WhatIfAsked::ByBearing => Key::ByBearing,
        };
        let mut note = Vec::new();
        if !self.quiet {
            key.write(&mut note, self.width)?;
        }
        Ok(note)
    }

    /// The answer at a site.
    pub fn page(&self, Ready { site, rules, .. }: Ready) -> Result<Page, Failure> {
        let planners = self.season.site_planners(site, rules)?;
        if let WhatIfAsked::Compare(nights) = &self.asked {
            return self.compared(&planners, nights);
        }
        let mut page = Page {
            text: Vec::new(),
            found: false,
        };
        for planner in planners.iter() {
            if !page.text.is_empty() {
                page.text
                    .extend(if self.json { &b",\n"[..] } else { b"\n" });
            }
            let of_planner = self.page_of(planner, planners.are_several())?;
            page.text.extend(of_planner.text);
            page.found |= of_planner.found;
        }
        Ok(page)
    }

    /// Nights side by side, each with the best window of all rules.
    fn compared(&self, planners: &SitePlanners, nights: &[NaiveDate]) -> Result<Page, Failure> {
        let (site, weights) = (planners.site(), &planners.first().rules().weights);
        let best = best_of_all(planners, nights)?;
        let mut text = Vec::new();
        if self.json {
            let object = compare::object(site, &best, weights);
            text = block(site, None, "compare", object);
        } else {
            compare::write_table(&mut text, site, &best, weights, self.width)?;
        }
        let found = best.iter().any(|night| night.window.is_some());
        Ok(Page { text, found })
    }

    /// The answer under some rules, which may be one of several.
    fn page_of(&self, planner: &Planner, several: bool) -> Result<Page, Failure> {
        let (site, rules) = (planner.site(), planner.rules());
        let evenings = planner.dates().count();
        let (json, width) = (self.json, self.width);
        let of = several.then_some(rules);
        let mut text = Vec::new();
        if let (Some(rules), false) = (of, json) {
            writeln!(text, "{}:", asked_words(rules))?;
        }
        let found = match &self.asked {
            WhatIfAsked::Compare(_) => false,
            WhatIfAsked::Vary(combinations) => {
                let variants = self.variants(planner, combinations)?;
                if json {
                    text = block(site, of, "vary", vary::array(&variants));
                } else {
                    let evenings = plural(evenings, "evening", "evenings");
                    writeln!(text, "{STRONG}{}{STRONG:#}: {evenings}", site.title())?;
                    vary::write_table(&mut text, &variants, width)?;
                }
                variants.iter().any(|variant| variant.windows > 0)
            }
            WhatIfAsked::ByBearing => {
                let sectors = planner.by_bearing();
                if json {
                    text = block(site, of, "by_bearing", by_bearing::array(&sectors));
                } else {
                    by_bearing::write_table(&mut text, site, &sectors, evenings, width)?;
                }
                sectors.iter().any(|sector| sector.best.nights > 0)
            }
        };
        Ok(Page { text, found })
    }

    fn variants(
        &self,
        planner: &Planner,
        combinations: &[Vec<(String, String)>],
    ) -> Result<Vec<Variant>, Failure> {
        let brief = self.asked_rules.brief_of(planner.site(), planner.rules());
        let combinations = combinations.iter().cloned();
        combinations
            .map(|values| match planner.vary(&brief, values) {
                Err(VaryError::Value(error)) => Err(Failure::option("vary", &error)),
                Err(VaryError::NoSubject(error)) => Err(no_subject(&error).into()),
                Err(VaryError::NoCamera(error)) => Err(no_camera(&error).into()),
                Err(error) => Err(Failure::Reported(error.into())),
                Ok(variant) => Ok(variant),
            })
            .collect()
    }
}
