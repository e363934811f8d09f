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
pub mod dark_sky;
pub mod eclipse;
mod error;
pub mod exposure;
pub mod framing;
mod interpolation;
pub mod land_light;
pub mod land_range;
pub mod milky_way;
pub mod moon_below;
pub mod moonlight;
pub mod moonlit_sky;
mod optics;
pub mod panorama;
pub mod photometry;
pub mod scattered;
pub mod shadow;
mod sheet;
pub mod sky_glow;
pub mod snow;
pub mod starlight;
pub mod trail;
pub mod twilight;
pub mod zodiacal;

pub use assess::{Assessment, LightInput, NO_SKYLINE_DEG, SkyBehind, assess, sky_behind};
pub use eclipse::eclipse_drop_mag;
pub use error::LightError;
pub use exposure::{Exposure, ExposureAims, IsoRange, Reach, plan_exposure};
pub use framing::{FramePosition, Orientation, Pointing, View};
pub use land_range::{LandRange, OneFrame};
pub use optics::Optics;
pub use panorama::Panorama;
pub use shadow::LitSide;
pub use sheet::{Sheet, SheetQuestion, TrailLimit};
