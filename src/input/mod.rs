//! How places and rules are read: TOML, tables, skylines, folders, with all
//! their faults reported in one run.

mod address;
mod content_lines;
mod csv_head;
mod csv_lines;
mod csv_rows;
mod decimal;
mod demo;
mod draft_bearing;
mod draft_files;
mod draft_position;
mod draft_zone;
mod elevation_folders;
mod fault;
mod files;
mod geojson_parts;
mod ical_event;
mod ical_expansion;
mod ical_lines;
mod ical_time;
mod json_scan;
mod kept_file;
mod line_index;
mod meant_key;
mod metered;
mod named_columns;
mod opening;
mod own_column;
mod places;
mod plain_skyline;
mod plain_text;
mod points;
mod read_brief;
mod read_climate;
mod read_csv;
mod read_forecast;
mod read_geojson;
mod read_glow;
mod read_gpx;
mod read_ical;
mod read_kml;
mod read_log;
mod read_moves;
mod read_old_calendar;
mod read_photo;
mod read_skyline;
mod read_times;
mod read_toml;
mod read_views;
mod recurrence;
mod share;
mod site_defaults;
mod site_draft;
mod site_files;
mod site_folders;
mod site_keys;
mod table_template;
mod template;
mod toml_words;
mod value;
mod whence;
mod written_table;
mod xml;

pub use address::{Addressed, address_of};
pub use demo::demo_site;
pub use elevation_folders::elevation_files;
pub use fault::{Fault, Faults};
pub use files::{
    SiteReading, Sites, count_sites, own_columns, parse_site, parse_sites, read_brief_file,
    read_site_table, read_site_table_at, read_sites, read_sites_at,
};
pub use kept_file::KeptFile;
pub use opening::Opening;
pub(crate) use points::{CAMERA_MEANING, TRIPOD_MEANING};
pub use points::{LeftOut, Points, PointsForm};
pub use read_brief::{BriefFile, read_brief};
pub use read_climate::read_climate;
pub use read_csv::SiteTable;
pub use read_forecast::{ForecastFile, read_forecast};
pub use read_log::read_log;
pub use read_moves::{
    MOST_MOVE_HOURS, MOST_MOVE_KM, MoveRow, MoveTable, Named, read_moves, read_moves_file,
};
pub use read_old_calendar::{OldCalendar, OldEntry, read_old_calendar, read_old_calendar_file};
pub use read_photo::{parse_photo, read_photo};
pub use site_defaults::SiteDefaults;
pub use site_files::{load_rule_files, read_calendar, read_climate_file, read_forecast_file};
pub use site_folders::SiteFolders;
pub use site_keys::site_keys;
pub use table_template::site_table_template;
pub use template::site_template;
pub use whence::Whence;
pub use written_table::{WrittenRow, WrittenTable};
