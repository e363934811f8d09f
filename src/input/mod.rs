//! How places and rules are read: TOML, tables, skylines, folders, with all
//! their faults reported in one run.

mod address;
mod csv_head;
mod csv_lines;
mod csv_rows;
mod decimal;
mod demo;
mod draft_zone;
mod fault;
mod files;
mod line_index;
mod opening;
mod own_column;
mod read_csv;
mod read_glow;
mod read_photo;
mod read_skyline;
mod read_toml;
mod read_views;
mod site_draft;
mod site_folders;
mod site_keys;
mod table_template;
mod template;
mod toml_words;
mod value;

pub use address::address_of;
pub use demo::demo_site;
pub use fault::{Fault, Faults};
pub use files::{
    KeptFile, Sites, own_columns, parse_site, parse_sites, read_brief_file, read_site_table,
    read_site_table_at, read_sites, read_sites_at,
};
pub use opening::Opening;
pub use read_csv::SiteTable;
pub use read_photo::{parse_photo, read_photo};
pub use read_toml::read_brief;
pub use site_folders::SiteFolders;
pub use site_keys::site_keys;
pub use table_template::site_table_template;
pub use template::site_template;
