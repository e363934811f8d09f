//! The place and the photographer's wishes, and how they are read and checked.

mod band;
mod brief;
mod site;
mod zone;

pub use band::{AzimuthBand, Band, ClockBand};
pub use brief::{Brief, Direction, Facing, LightKind, Side};
pub use site::{Air, Camera, DarkSky, Site, Subject, SubjectPlace};
pub use zone::Zone;
