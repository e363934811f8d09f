//! The answers as pictures: one drawing per kind, from the same records as the
//! tables. No drawing computes any astronomy.
//!
//! Line weight, texture and words give the meaning, in one ink on one ground.
//! So a picture reads the same in grey print, in red light and with any colour
//! vision. The same input gives the same bytes.

mod caption;
mod cluster;
mod cluster_words;
mod frame;
mod frame_above;
mod frame_above_words;
mod frame_band;
mod frame_course;
mod frame_lens;
mod frame_lens_moon;
mod frame_lens_words;
mod frame_marks;
mod frame_moon;
mod frame_strip;
mod head;
mod hours;
mod land;
mod look;
mod moon_shape;
mod night;
mod night_axes;
mod night_bars;
mod night_course;
mod night_course_words;
mod night_events;
mod night_frame;
mod night_head;
mod night_lanes;
mod night_view;
mod palette;
mod placer;
mod season;
mod season_blocks;
mod season_layout;
mod season_marks;
mod season_names;
mod season_words;
mod sheet;
mod skyline;
mod skyline_labels;
mod skyline_land;
mod skyline_names;
mod skyline_paths;
mod skyline_strip;
mod skyline_table;
mod stack;
mod text_width;
mod thinned;
mod year;
mod year_axes;
mod year_edges;
mod year_marks;
mod year_names;

pub use cluster::ClusterChart;
pub use frame::FrameChart;
pub use look::{Look, Size};
pub use night::NightChart;
pub use palette::Palette;
pub use placer::LabelBox;
pub use season::{SeasonChart, SeasonPanel};
pub use season_layout::most_season_height;
pub use season_names::places_with_views;
pub use skyline::{Around, SkylineChart};
pub use year::YearChart;

/// A finished picture.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Picture {
    /// The SVG document.
    pub svg: String,
    /// Width, pixels at 96 per inch.
    pub width: f64,
    /// Height, pixels.
    pub height: f64,
    /// Every text with the box reserved for it.
    pub labels: Vec<LabelBox>,
}
