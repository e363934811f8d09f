//! `scan --vary`, `--compare` and `--by bearing`: other questions about the same
//! rules.

use super::{circumstances::Circumstances, pages::Page, question::WhatIfAsked};
use crate::cli::{
    asked_rules::{AskedRules, no_camera, no_subject},
    batch::Ready,
    manners::Failure,
};
use rakelight::{
    ephemeris::Direction,
    report::{Key, by_bearing, compare, grid::STRONG, json, vary, words::plural},
    rule::TARGET,
    scene::Site,
    search::{Planner, Season},
    why::{Variant, VaryError},
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

/// One site's part of the JSON document.
fn block(site: &Site, key: &str, value: Value) -> Vec<u8> {
    let object = serde_json::json!({"site": json::site_object(site), key: value});
    format!("    {object}").into_bytes()
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
        let target: Option<Direction> = self.asked_rules.common().get(&TARGET);
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
        let planner = self.season.planner(site, rules)?;
        let (site, weights) = (planner.site(), &planner.rules().weights);
        let evenings = planner.dates().count();
        let (json, width) = (self.json, self.width);
        let mut text = Vec::new();
        let found = match &self.asked {
            WhatIfAsked::Vary(combinations) => {
                let variants = self.variants(&planner, combinations)?;
                if json {
                    text = block(site, "vary", vary::array(&variants));
                } else {
                    let evenings = plural(evenings, "evening", "evenings");
                    writeln!(text, "{STRONG}{}{STRONG:#}: {evenings}", site.title())?;
                    vary::write_table(&mut text, &variants, width)?;
                }
                variants.iter().any(|variant| variant.windows > 0)
            }
            WhatIfAsked::Compare(nights) => {
                let nights = planner.compare(nights)?;
                if json {
                    text = block(site, "compare", compare::object(site, &nights, weights));
                } else {
                    compare::write_table(&mut text, site, &nights, weights, width)?;
                }
                nights.iter().any(|night| night.window.is_some())
            }
            WhatIfAsked::ByBearing => {
                let sectors = planner.by_bearing();
                if json {
                    text = block(site, "by_bearing", by_bearing::array(&sectors));
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
        let brief = self.asked_rules.at(planner.site());
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
