//! A window of a site, as a record.

use crate::{
    ephemeris::{Horizontal, Moment},
    light::Optics,
    report::row::RowKind,
    rule::Conditions,
    scene::{Site, SkyGlow, TownDome},
    search::{FrameSettings, MoonlitPeriod, Window},
};
use chrono::NaiveDateTime;

/// The brightest town by the law in whose glow a place of the sky stands.
pub(super) fn town_under<'a>(site: &'a Site, place: &Horizontal) -> Option<&'a TownDome> {
    let mut domes = site.town_domes().iter();
    domes.find(|dome| dome.is_under(place.azimuth_deg, place.apparent_altitude_deg))
}

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
        self.window.land.as_deref()
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

    /// Whether the target stands in the dome of a town, given or by the law;
    /// `None` where the site has none and does not use the towns.
    pub(in crate::report) fn in_town_glow(&self) -> Option<bool> {
        let domes = &self.site.sky_glow;
        let target = &self.best().sky.target;
        let is_in =
            |glow: &SkyGlow| glow.contains(target.azimuth_deg, target.apparent_altitude_deg);
        let known = !domes.is_empty() || self.site.towns.is_some();
        known.then(|| domes.iter().any(is_in) || self.town_under_target().is_some())
    }

    /// The town by the law in whose glow the target stands, the brightest of
    /// them.
    pub(in crate::report) fn town_under_target(&self) -> Option<&'a TownDome> {
        town_under(self.site, &self.best().sky.target)
    }

    pub(super) fn local(&self, moment: Moment) -> NaiveDateTime {
        self.site.zone.local(moment)
    }
}
