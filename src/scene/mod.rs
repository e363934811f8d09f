//! The place and the values that describe it, checked; nothing here reads
//! files.

mod azimuth_band;
mod band;
mod band_form;
mod choice;
mod clock_band;
mod compass;
pub(crate) mod coordinates;
mod date;
mod dates;
mod direction;
mod facing;
mod light_kind;
pub(crate) mod limits;
pub(crate) mod name;
pub(crate) mod nearest;
pub(crate) mod number;
mod site;
mod site_check;
mod skyline;
mod subject_line;
mod time_text;
pub(crate) mod value_error;
mod weekdays;
mod weights;
mod zone;

pub use azimuth_band::AzimuthBand;
pub use band::Band;
pub use clock_band::ClockBand;
pub use date::{YEARS, parse_date};
pub use dates::{DateError, Dates};
pub use direction::Direction;
pub use facing::{Facing, Side};
pub use light_kind::LightKind;
pub use limits::SiteError;
pub(crate) use nearest::nearest;
pub use number::number_within;
pub use site::{Air, Camera, DarkSky, Site, Subject, SubjectPlace};
pub use skyline::Skyline;
pub use value_error::{ValueError, shown};
pub(crate) use weekdays::{parse_weekdays, weekdays_text};
pub use weights::Weights;
pub use zone::{LocalReading, LocalTime, Zone, offset_text, zone_data_version};
