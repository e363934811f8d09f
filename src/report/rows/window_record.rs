//! A window of a site, as a record.

use crate::{
    ephemeris::Moment,
    light::Optics,
    report::row::RowKind,
    rule::Conditions,
    scene::{Site, SkyGlow},
    search::{FrameSettings, MoonlitPeriod, Window},
};
use chrono::NaiveDateTime;

/// A window of a site.
#[derive(Debug, Clone, Copy)]
pub struct Record<'a> {
    /// The site.
    pub site: &'a Site,
    /// Its window.
    pub window: &'a Window,
}

/// The windows of sites.
#[derive(Debug, Clone, Copy)]
pub struct Windows;

impl RowKind for Windows {
    type Of<'a> = Record<'a>;
}

impl<'a> Record<'a> {
    pub(super) fn best(&self) -> &'a Conditions {
        &self.window.best
    }

    /// The instant whose moonlight counts: a blend has it in its moonlit period.
    pub(super) fn lit(&self) -> &'a Conditions {
        self.window.lit()
    }

    pub(super) fn land(&self) -> Option<&'a MoonlitPeriod> {
        self.window.land.as_ref()
    }

    pub(super) fn frame(&self) -> Option<&'a FrameSettings> {
        self.window.frame.as_ref()
    }

    /// Pixels across the disc of a Moon that is the target, in the middle of a
    /// frame of the site's own camera.
    pub(super) fn moon_diameter_px(&self) -> Option<f64> {
        let diameter_deg = self.best().moon_diameter_deg()?;
        let optics = Optics::try_from(self.site.camera.as_ref()?).ok()?;
        Some(optics.image_px(diameter_deg))
    }

    /// Whether the target stands in the dome of a town; `None` where the site
    /// has none.
    pub(in crate::report) fn in_town_glow(&self) -> Option<bool> {
        let domes = &self.site.sky_glow;
        let target = &self.best().sky.target;
        let is_in =
            |glow: &SkyGlow| glow.contains(target.azimuth_deg, target.apparent_altitude_deg);
        (!domes.is_empty()).then(|| domes.iter().any(is_in))
    }

    pub(super) fn local(&self, moment: Moment) -> NaiveDateTime {
        self.site.zone.local(moment)
    }
}
