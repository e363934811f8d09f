//! The place and the photographer's wishes, and how they are read and checked.

mod azimuth_band;
mod band;
mod band_form;
mod choice;
mod clock_band;
mod coordinates;
mod csv_rows;
mod date;
mod dates;
mod demo;
mod direction;
mod facing;
mod fault;
mod files;
mod horizon;
mod light_kind;
mod limits;
mod line_index;
mod name;
mod nearest;
mod number;
mod read_csv;
mod read_toml;
mod site;
mod site_draft;
mod site_folders;
mod site_keys;
mod subject_line;
mod template;
mod time_text;
mod toml_words;
mod value;
mod value_error;
mod weekdays;
mod weights;
mod zone;

pub use azimuth_band::AzimuthBand;
pub use band::Band;
pub use clock_band::ClockBand;
pub use date::{YEARS, parse_date};
pub use dates::{DateError, Dates};
pub use demo::demo_site;
pub use direction::Direction;
pub use facing::{Facing, Side};
pub use fault::{Fault, Faults};
pub use files::{
    KeptFile, Opening, Sites, parse_site, read_brief_file, read_site_table,
    read_site_table_telling, read_sites, read_sites_telling,
};
pub use horizon::Horizon;
pub use light_kind::LightKind;
pub use limits::SiteError;
pub(crate) use nearest::nearest;
pub use number::number_within;
pub use read_csv::SiteTable;
pub use read_toml::read_brief;
pub use site::{Air, Camera, DarkSky, Site, Subject, SubjectPlace};
pub use site_folders::SiteFolders;
pub use site_keys::site_keys;
pub use template::site_template;
pub use value_error::{ValueError, shown};
pub(crate) use weekdays::{parse_weekdays, weekdays_text};
pub use weights::Weights;
pub use zone::{LocalReading, LocalTime, Zone, offset_text, zone_data_version};
