//! Directions that a camera is turned to: among the stars, or the Moon.

use glam::DVec3;

/// What a picture is about: a fixed direction among the stars, or the Moon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Direction {
    /// The centre of the Galaxy, Sgr A*, with its proper motion.
    Core,
    /// Galactic longitude and latitude (IAU 1958 frame in its ICRS form).
    Galactic {
        /// Galactic longitude, degrees.
        longitude_deg: f64,
        /// Galactic latitude, degrees.
        latitude_deg: f64,
    },
    /// Right ascension and declination.
    Icrs {
        /// ICRS right ascension, degrees.
        right_ascension_deg: f64,
        /// ICRS declination, degrees.
        declination_deg: f64,
    },
    /// The Moon, which moves among the stars.
    Moon,
}

impl Direction {
    /// What it is called: `core`, `Moon`, or `target` for any other.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Core => "core",
            Self::Moon => Self::MOON_NAME,
            _ => "target",
        }
    }

    /// What the Moon is called.
    pub const MOON_NAME: &'static str = "Moon";

    /// Whether it is the Moon, which no fixed direction among the stars is.
    pub fn is_moon(&self) -> bool {
        *self == Self::Moon
    }
}

// Sgr A*: Reid & Brunthaler, ApJ 616, 872 (2004): J2000 17h45m40.0409s,
// -29d00'28.118", proper motion -3.151 and -5.547 mas a year (along right
// ascension on the sky, and declination).
const CORE_RIGHT_ASCENSION_DEG: f64 = 15.0 * (17.0 + 45.0 / 60.0 + 40.0409 / 3600.0);
const CORE_DECLINATION_DEG: f64 = -(29.0 + 28.118 / 3600.0);
const CORE_MOTION_MAS: [f64; 2] = [-3.151, -5.547];
const MAS_RAD: f64 = std::f64::consts::PI / (180.0 * 3600.0 * 1000.0);
const JULIAN_YEAR_SECONDS: f64 = 365.25 * 86_400.0;

impl Direction {
    /// Whether it is made of finite numbers.
    pub fn is_finite(&self) -> bool {
        match *self {
            Self::Core | Self::Moon => true,
            Self::Galactic {
                longitude_deg: a,
                latitude_deg: b,
            }
            | Self::Icrs {
                right_ascension_deg: a,
                declination_deg: b,
            } => a.is_finite() && b.is_finite(),
        }
    }

    /// The ICRS unit vector, with proper motion to `tt_seconds` since J2000;
    /// `None` for the Moon.
    pub(crate) fn icrs(&self, tt_seconds: f64) -> Option<DVec3> {
        Some(match *self {
            Self::Moon => return None,
            Self::Core => {
                let years = tt_seconds / JULIAN_YEAR_SECONDS;
                let (ra, dec) = (
                    CORE_RIGHT_ASCENSION_DEG.to_radians(),
                    CORE_DECLINATION_DEG.to_radians(),
                );
                let east = DVec3::new(-ra.sin(), ra.cos(), 0.0);
                let north = DVec3::new(-dec.sin() * ra.cos(), -dec.sin() * ra.sin(), dec.cos());
                let moved = unit(ra, dec)
                    + (east * CORE_MOTION_MAS[0] + north * CORE_MOTION_MAS[1]) * MAS_RAD * years;
                moved.normalize()
            }
            Self::Galactic {
                longitude_deg,
                latitude_deg,
            } => {
                let (ra, dec) =
                    sofars::coords::g2icrs(longitude_deg.to_radians(), latitude_deg.to_radians());
                unit(ra, dec)
            }
            Self::Icrs {
                right_ascension_deg,
                declination_deg,
            } => unit(
                right_ascension_deg.to_radians(),
                declination_deg.to_radians(),
            ),
        })
    }

    /// ICRS declination at J2000, degrees; `None` for the Moon.
    pub fn declination_deg(&self) -> Option<f64> {
        Some(self.icrs(0.0)?.z.clamp(-1.0, 1.0).asin().to_degrees())
    }

    /// Ecliptic latitude at J2000, degrees; for the Moon, which keeps within
    /// 5.3 degrees of the ecliptic, 0.
    pub fn ecliptic_latitude_deg(&self) -> f64 {
        // IAU 2006 obliquity at J2000, 84381.406 arcseconds.
        let (sin, cos) = (84_381.406_f64 / 3600.0).to_radians().sin_cos();
        self.icrs(0.0).map_or(0.0, |v| {
            (cos * v.z - sin * v.y).clamp(-1.0, 1.0).asin().to_degrees()
        })
    }

    /// Galactic longitude and latitude at J2000, degrees; `None` for the Moon.
    pub fn galactic_deg(&self) -> Option<(f64, f64)> {
        let v = self.icrs(0.0)?;
        let (l, b) = sofars::coords::icrs2g(v.y.atan2(v.x), v.z.clamp(-1.0, 1.0).asin());
        Some((l.to_degrees(), b.to_degrees()))
    }
}

/// The unit vector at longitude and latitude, radians.
pub(crate) fn unit(longitude: f64, latitude: f64) -> DVec3 {
    DVec3::new(
        latitude.cos() * longitude.cos(),
        latitude.cos() * longitude.sin(),
        latitude.sin(),
    )
}

/// The angle between two vectors, degrees, 0 to 180, well-conditioned at both
/// ends.
pub fn separation_deg(a: DVec3, b: DVec3) -> f64 {
    a.cross(b).length().atan2(a.dot(b)).to_degrees()
}
