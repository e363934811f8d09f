//! The subject as a wall that hides what lies behind it.

use super::{
    Limits,
    sector::{Bearing, Sector, around},
};
use crate::{
    ephemeris::{LocalVector, Reading, Refraction, Sky},
    scene::{Band, Site, SubjectShape},
};

/// The apparent altitude of a level horizon, degrees.
const HORIZON_DEG: f64 = 0.0;

/// An upright rectangle on the sky.
#[derive(Debug, Clone)]
pub(crate) struct Wall {
    bearing: Bearing,
    sector: Sector,
    top: Limits,
    horizon: Limits,
}

impl Wall {
    /// The subject, made wider to either side and higher by some degrees.
    pub fn new(shape: &SubjectShape, air: Refraction, wider_deg: f64, higher_deg: f64) -> Self {
        let half_deg = shape.half_width_deg + wider_deg;
        let above = |apparent_deg: f64| {
            let band = Band::from(apparent_deg.min(90.0));
            Limits::of_altitudes(band, |apparent_deg| air.true_deg(apparent_deg))
        };
        Self {
            bearing: Bearing::fixed(shape.bearing_deg),
            sector: Sector::new(-half_deg, 2.0 * half_deg),
            top: above(shape.top_deg + higher_deg),
            horizon: above(HORIZON_DEG.max(shape.foot_deg)),
        }
    }

    /// The subject of a site itself; `None` where it hides nothing.
    pub fn of(site: &Site) -> Option<Self> {
        let shape = site.subject_shape().filter(SubjectShape::is_solid)?;
        Some(Self::new(&shape, site.air.refraction(), 0.0, 0.0))
    }

    /// Whether a body stands between its sides, at any altitude.
    pub fn within(&self, sky: &Sky<'_>, t: f64, body: LocalVector) -> Reading {
        around(self.bearing, &[self.sector], sky, t, body)
    }

    /// Whether a body stands above its top, wherever it stands to the side.
    pub fn above(&self, body: LocalVector) -> Reading {
        self.top.read(body.up)
    }

    /// Whether a body is above the horizon and hidden.
    pub fn hides(&self, sky: &Sky<'_>, t: f64, body: LocalVector) -> Reading {
        let up = self.horizon.read(body.up);
        up.and(self.within(sky, t, body))
            .and(self.above(body).negated())
    }
}
