//! What the sky does to land, sky and exposure.
//!
//! Pure arithmetic: no sites, files, output or sky positions. Where the Moon,
//! the Sun and the target stand comes in; lux, candela per square metre,
//! magnitudes per square arcsecond, stops, seconds and pixels go out.
//!
//! `assess` answers for one instant; `plan_exposure` turns its answer into
//! settings; the modules hold the single formulas with their sources. The
//! reasons, the rival values and what is left out are in `docs/model.md`.

pub mod air_mass;
mod assess;
pub mod balance;
mod contrast_between;
pub mod dark_sky;
pub mod eclipse;
mod error;
pub mod exposure;
pub mod framing;
mod held_frame;
mod held_frames;
mod interpolation;
pub mod land_frame;
pub mod land_light;
pub mod land_range;
pub mod milky_way;
pub mod moon_below;
pub mod moon_disc;
pub mod moonlight;
pub mod moonlit_sky;
mod optics;
pub mod panorama;
mod panorama_reach;
mod parts;
pub mod photometry;
pub mod scattered;
mod scored_light;
mod seen;
mod series;
pub mod shadow;
pub mod sheet;
mod sky_behind;
pub mod sky_glow;
pub mod snow;
pub mod star_trails;
pub mod starlight;
pub mod subject_frames;
pub mod time_lapse;
mod town_dome_table;
pub mod town_domes;
pub mod town_glow;
mod tracked;
pub mod trail;
pub mod twilight;
mod ways;
pub mod zodiacal;

pub use assess::{Assessment, LightInput, NO_SKYLINE_DEG, assess, land_light, sky_behind};
pub(crate) use contrast_between::Within;
pub use eclipse::eclipse_drop_mag;
pub use error::LightError;
pub use exposure::{
    Exposure, ExposureAims, IsoRange, Reach, exposure_at, exposure_within, plan_exposure,
};
pub use framing::{FramePosition, Orientation, Pointing, View};
pub use land_frame::{LandAims, LandFrame, plan_land_frame};
pub use land_range::{LandRange, OneExposure};
pub use optics::Optics;
pub use panorama::{Panorama, PanoramaSpan};
pub(crate) use parts::Balances;
pub(crate) use scored_light::ScoredLight;
pub use seen::Seen;
pub use shadow::LitSide;
pub use sheet::{ExposureQuestion, ExposureSheet};
pub use sky_behind::SkyBehind;
pub use star_trails::{StarTrails, TrailLength, plan_star_trails};
pub use subject_frames::{Aim, LandInFrame, NotOneFrame, SubjectFrames};
pub use time_lapse::{TimeLapse, TimeLapseAims, plan_time_lapse};
pub use tracked::{Tracked, plan_tracked};
pub use trail::TrailLimit;
pub(crate) use ways::PlaceLight;
