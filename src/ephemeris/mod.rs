//! Where the Sun, the Moon and the galaxy stand.
//!
//! An [`Ephemeris`] holds geocentric directions over a range of dates; a
//! [`Sky`] is that range over one [`Observer`]. Moments are UTC, altitudes say
//! whether they are geometric or apparent, azimuths run from true north through
//! east.

mod arch;
mod bounded;
mod bright_limb;
mod direction;
mod direction_track;
mod diurnal_circle;
mod eclipse;
mod equator_places;
mod events;
mod fit;
mod fraction_samples;
mod galaxy;
mod light_geometry;
mod lunation;
mod moment;
mod moon_phase;
mod observer;
mod refraction;
mod search;
mod sky;
mod sky_region;
mod sky_table;
mod time_scale;
mod track;

pub use arch::{Arch, Foot};
pub use bounded::Reading;
pub use direction::{Direction, separation_deg};
pub use direction_track::DirectionTrack;
pub use eclipse::{Eclipse, EclipseKind, ShadowMagnitudes, UmbraOnDisc};
pub use events::{Event, EventKind};
pub use fit::Ephemeris;
pub use galaxy::Galaxy;
pub use lunation::{Apsis, ApsisKind, Quarter};
pub use moment::Moment;
pub use moon_phase::MoonPhase;
pub use observer::{LocalFrame, Observer, SKY_RATE, altitude_deg, azimuth_deg};
pub use refraction::Refraction;
pub use sky::{Horizontal, Sky, SkyState};
pub use time_scale::{is_end_of_leap_second, last_leap_second, tt_minus_utc_seconds};

pub(crate) use bounded::Bounded;
pub(crate) use diurnal_circle::Body;
pub(crate) use light_geometry::{LandGeometry, LightGeometry, TWILIGHT_FROM_DEG};
pub(crate) use search::{Course, Foreseen, crossings, one_crossing};
pub(crate) use sky::{LocalVector, MOON_STRAY, STAR_STRAY, SUN_STRAY};
pub(crate) use sky_region::{NEAR_ZENITH_DEG, SkyRegion, product, sine_off, turning};

/// What is computed from what, for outputs that give it.
pub const EPHEMERIS: &str = "JPL DE423, precession-nutation IAU 2006/2000A, UT1 = UTC";

/// How good that is: the worst of 600 places and instants from 1972 to 2050
/// against JPL DE421, rounded up (`tests/ephemeris/positions.rs`,
/// `docs/accuracy.md`). The core's is the deflection of light by the Sun, which
/// is left out.
pub const EPHEMERIS_ERROR: &str = "Moon and Sun within 0.03\", core within 0.1\" of JPL DE421";
