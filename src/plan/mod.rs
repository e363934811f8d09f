//! One night worked out for the field: what happens when, light and settings
//! through the night, what to shoot first, what can go wrong, and where to put
//! the tripod. It gives facts; `report::words` puts them in English.
//!
//! A [`NightPlan`] is what a photographer writes on a card; [`TripodPosition`]
//! answers where to put the tripod; a [`WindowMap`] shows a window on the
//! ground.

mod advice;
mod adviser;
mod body_path;
mod cautions;
mod chances;
mod darkness;
mod light_change;
mod light_turn;
mod night_now;
mod night_plan;
mod night_step;
mod no_tripod_position;
mod no_window;
mod periods;
mod photo_settings;
mod place_night;
mod planning;
mod ridge_crossings;
mod ridge_nights;
mod straight_above;
mod timetable;
mod trip;
mod trip_choice;
mod trip_found;
mod trip_moves;
mod trip_remedies;
mod trip_search;
mod trip_site;
mod tripod_position;
mod window_map;

pub use advice::{Advice, FrameOrder, LandAdvice, MoonlitFrames, ShadowWay, WindowAdvice};
pub use body_path::{BodyPath, Nearest, PathCrossing, PathPoint};
pub use cautions::{Because, Caution, CautionTopic, cautions, trip_cautions};
pub use chances::{chance_in_one_weather, chance_of_at_least};
pub use darkness::{Darkness, Depth};
pub use light_change::LightChange;
pub use night_now::{Gloom, NightNow, OpenWindow};
pub use night_plan::{NightPlan, PlanSettings};
pub use night_step::NightStep;
pub use no_tripod_position::NoTripodPosition;
pub use no_window::NoWindow;
pub use periods::Periods;
pub use photo_settings::PhotoSettings;
pub use place_night::{PlaceLine, place_lines};
pub use ridge_crossings::{RidgeCrossing, ridge_crossings};
pub use ridge_nights::{MOST_RIDGE_NIGHTS, RIDGE_NIGHTS_AROUND, RidgeNight, RidgeNights};
pub use straight_above::StraightAbove;
pub use timetable::{Body, NightEvent, TimetableEntry};
pub use trip::{Trip, TripAsked, TripNight, TripSearch, TripStop};
pub use trip_moves::{GivenMove, MOST_TRIP_PLACES, Move, MoveRules, Moves};
pub use trip_search::{MOST_TRIP_NIGHTS, TripNights, TripPath, TripRules};
pub use trip_site::TripSite;
pub use tripod_position::{DiscSize, TripodAims, TripodPosition};
pub use window_map::WindowMap;
