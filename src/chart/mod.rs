//! The answers as pictures: one drawing a kind, each over the same records as
//! the tables; none computes any astronomy.
//!
//! Line weight, texture and words carry the meaning, in one ink on one ground,
//! so that a picture says the same in grey print, in red light and to any eye.
//! The same input gives the same bytes.

mod caption;
mod frame;
mod frame_land;
mod frame_sky;
mod frame_view;
mod moon_shape;
mod night;
mod night_axes;
mod night_lanes;
mod night_lines;
mod night_ticks;
mod palette;
mod placer;
mod season;
mod sheet;
mod text_width;

pub use frame_view::FrameChart;
pub use night_axes::NightChart;
pub use palette::Palette;
pub use placer::LabelBox;
pub use season::{SeasonChart, SeasonPanel};

/// A finished picture.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Picture {
    /// The SVG document.
    pub svg: String,
    /// Width, pixels at 96 an inch.
    pub width: f64,
    /// Height, pixels.
    pub height: f64,
    /// Every text with the box kept free for it.
    pub labels: Vec<LabelBox>,
}
