//! How high the lens is.

use super::headings::WHERE;
use crate::cli::values;
use clap::Args;
use rakelight::scene::{LENS_HEIGHT_M, LengthUnit};

#[derive(Debug, Args)]
pub struct EyeArgs {
    /// Lens above ground, metres (or 5ft)
    #[arg(long, value_name = "M", default_value_t = LENS_HEIGHT_M, value_parser = values::length(LengthUnit::Metre, 0.0, 1000.0), help_heading = WHERE)]
    pub eye_height_m: f64,
}
