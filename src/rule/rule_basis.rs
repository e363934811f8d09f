//! Which sites have the same rules.

use super::{Brief, FACING, TARGET_PLACE};
use crate::scene::{Facing, Site};

/// What of a site decides the rules that a brief makes there: those of sites
/// that are alike in it are the same, but for a brief that
/// [asks the place](Brief::asks_place).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleBasis {
    standing_rules: Vec<(&'static str, String)>,
    has_subject: bool,
    has_camera: bool,
}

impl RuleBasis {
    /// That of a site. `None` if its standing rules name files: to tell whether
    /// these are the same takes longer than to make the rules.
    pub fn of(site: &Site) -> Option<Self> {
        site.calendars.is_empty().then(|| Self {
            standing_rules: site.standing_rules.clone(),
            has_subject: site.subject.is_some(),
            has_camera: site.camera.is_some(),
        })
    }
}

impl Brief {
    /// Whether the rules that it makes depend on more of a site than its
    /// [`RuleBasis`]: magnetic north is another at each place, and some places of
    /// the target need a subject of known size.
    pub fn asks_place(&self) -> bool {
        let facing = self.get(&FACING);
        matches!(facing, Some(Facing::Magnetic(_))) || self.value_of(&TARGET_PLACE).is_some()
    }
}
