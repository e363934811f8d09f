//! What a night's picture shows, and where time and altitude are on the sheet.

use super::{placer::Room, sheet::Sheet};
use crate::{
    ephemeris::{EventKind, Moment},
    rule::{Conditions, Rules},
    scene::{Site, Skyline},
    search::NightSeries,
};

/// One night of a site.
#[derive(Debug, Clone, Copy)]
pub struct NightChart<'a> {
    /// The site.
    pub site: &'a Site,
    /// The rules that made the windows.
    pub rules: &'a Rules,
    /// How the night goes.
    pub series: &'a NightSeries,
}

/// Width of the sheet, pixels.
pub const WIDTH: f64 = 1000.0;
/// Left and right edges of the diagram, pixels.
pub const LEFT: f64 = 64.0;
pub const RIGHT: f64 = 964.0;
/// Upper and lower edges of the diagram, pixels.
pub const TOP: f64 = 152.0;
pub const BOTTOM: f64 = 500.0;
/// Time shown before sunset and after sunrise, seconds.
pub const MARGIN_SECONDS: f64 = 2400.0;

/// Where time and altitude are on the sheet.
#[derive(Debug, Clone, Copy)]
pub struct Axes {
    /// First and last moment shown, seconds.
    pub from: f64,
    /// See `from`.
    pub to: f64,
    /// Altitude at the upper edge, degrees.
    pub top_deg: f64,
}

impl Axes {
    /// Position of a moment across the sheet, pixels.
    pub fn x(&self, seconds: f64) -> f64 {
        LEFT + (RIGHT - LEFT) * (seconds - self.from) / (self.to - self.from)
    }

    /// Position of an altitude down the sheet, pixels.
    pub fn y(&self, altitude_deg: f64) -> f64 {
        BOTTOM - (BOTTOM - TOP) * altitude_deg / self.top_deg
    }

    /// Whether a moment is shown.
    pub fn shows(&self, seconds: f64) -> bool {
        (self.from..=self.to).contains(&seconds)
    }

    /// The rectangle of the diagram.
    pub fn room(&self) -> Room {
        Room {
            left: LEFT,
            top: TOP,
            width: RIGHT - LEFT,
            height: BOTTOM - TOP,
        }
    }
}

impl NightChart<'_> {
    /// The instants shown.
    pub(super) fn shown(&self, axes: &Axes) -> Vec<&Conditions> {
        self.series
            .instants
            .iter()
            .filter(|instant| axes.shows(instant.moment().seconds()))
            .collect()
    }

    /// The terrain that hides the target (seen from the camera) or the Moon
    /// (seen from the subject, which it must light).
    pub(super) fn terrain(&self, of_moon: bool) -> Option<&Skyline> {
        let camera = self.site.skyline.as_ref();
        if of_moon {
            self.site.subject_skyline.as_ref().or(camera)
        } else {
            camera
        }
    }

    /// From before sunset to after sunrise; the whole night if the Sun does not
    /// set and then rise.
    pub(super) fn axes(&self) -> Axes {
        let (start, end) = (
            self.series.night.start.seconds(),
            self.series.night.end.seconds(),
        );
        let at = |kind: EventKind| {
            let events = self.series.events.iter();
            events
                .filter(|event| event.kind == kind)
                .map(|event| event.moment.seconds())
                .next()
        };
        let (from, to) = match (at(EventKind::Sunset), at(EventKind::Sunrise)) {
            (Some(set), Some(rise)) if set + 7200.0 < rise => {
                (set - MARGIN_SECONDS, rise + MARGIN_SECONDS)
            }
            _ => (start, end),
        };
        let (from, to) = (from.max(start), to.min(end));
        let highest = self
            .series
            .instants
            .iter()
            .filter(|instant| {
                let t = instant.moment().seconds();
                from <= t && t <= to
            })
            .flat_map(|instant| {
                [
                    instant.sky.moon.apparent_altitude_deg,
                    instant.sky.target.apparent_altitude_deg,
                ]
            })
            .fold(0.0, f64::max);
        Axes {
            from,
            to,
            top_deg: ((highest + 9.0) / 10.0).ceil().clamp(3.0, 9.5) * 10.0,
        }
    }

    /// The grey of the ground at `x`, for words over it.
    pub(super) fn ground_at(&self, sheet: &Sheet, axes: &Axes, x: f64) -> String {
        let nearest = self.shown(axes).into_iter().min_by(|a, b| {
            let off = |i: &Conditions| (axes.x(i.moment().seconds()) - x).abs();
            off(a).total_cmp(&off(b))
        });
        nearest.map_or_else(
            || sheet.palette.paper(),
            |instant| sheet.palette.sky(instant.light.sky_mag_arcsec2),
        )
    }
}

/// RFC 3339, whole seconds.
pub fn utc(seconds: f64) -> String {
    Moment::from_seconds(seconds)
        .to_utc()
        .format("%Y-%m-%dT%H:%M:%SZ")
        .to_string()
}
