//! Which nights keep every rule, and how good they are.
//!
//! A [`Season`] is a range of nights with its sky; a [`Planner`] is a site with
//! its rules through a season, and gives its [`Window`]s, nights and instants.

mod best_instant;
mod blends;
mod calendar;
mod caveats;
mod cluster;
mod constraint;
mod course;
mod find_windows;
mod fraction_spells;
mod frame_plan;
mod frame_settings;
mod instants;
mod interval;
mod lunations;
mod narrowing;
mod next_window;
mod night;
mod night_hours;
mod night_series;
mod picture_frames;
mod plan_error;
mod planner;
mod ranking;
mod recent;
mod sampling;
mod score;
mod score_curve;
mod season;
mod selection;
mod site_planners;
mod spans;
mod spare;
mod spare_places;
mod sweep;
mod window;

pub use calendar::{CalendarPeriod, months, years};
pub use caveats::{CaveatWatch, Caveats, DOUBTFUL_SHARE, MOON_NEAR_HORIZON_DEG, TARGET_LOW_DEG};
pub use cluster::{
    BestAndSpare, CLUSTER_NIGHTS, best_and_spare, cluster_around, evenings_in_a_row,
    windows_of_nights,
};
pub use course::Course;
pub use frame_plan::{FramePlan, FramedAs};
pub use frame_settings::{FrameSettings, Lens, exposure_aims, frame_centre_declination_deg};
pub use interval::{Interval, Intervals};
pub use lunations::{LUNATION_DAYS, Lunation, NightMark, best_shown, lunations, season_nights};
pub use night::{Night, nights};
pub use night_hours::NightHours;
pub use night_series::NightSeries;
pub use picture_frames::{InPicture, PictureFrames};
pub use plan_error::PlanError;
pub use planner::Planner;
pub use ranking::{order_together, rank_together};
pub use score::{Factors, balance_quality, contrast_quality, raking_quality, shadow_quality};
pub use season::Season;
pub use selection::{Order, Selection};
pub use site_planners::{SitePlanners, kinds_of};
pub use spans::{NightCount, WindowSpan};
pub use spare::{SpareNights, spare_nights};
pub use spare_places::{SparePlace, SparePlaces, places_that_stand_in, spare_places};
pub use sweep::Sweep;
pub use window::{MoonlitPeriod, Window};

pub(crate) use constraint::{Constraint, whole};
pub(crate) use sweep::AnyFacing;
