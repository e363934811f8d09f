//! The folders of sites that the environment gives.

use rakelight::input::{Faults, SiteFolders};
use std::path::{Path, PathBuf};

/// The environment variable with the folders, separated as in `PATH`.
pub const VARIABLE: &str = "RAKELIGHT_SITES";

/// The folders that the environment gives.
pub fn named() -> SiteFolders {
    let text = std::env::var_os(VARIABLE).unwrap_or_default();
    SiteFolders::new(std::env::split_paths(&text))
}

/// The file that an address means and what stands behind its `#`, or what to do
/// if there is none.
pub fn find(folders: &SiteFolders, named: &Path) -> Result<(PathBuf, Option<String>), Faults> {
    folders.find_address(named).map_err(|mut faults| {
        for fault in &mut faults.0 {
            fault.remedy.get_or_insert_with(|| {
                if named.components().count() > 1 {
                    "check the path".to_owned()
                } else if folders.is_empty() {
                    format!("check the path, or put the folder of your sites in {VARIABLE}")
                } else {
                    format!("`rakelight sites list` tells what is in {VARIABLE}")
                }
            });
        }
        faults
    })
}
