//! The light against published values, rival sources and what must always hold.

mod camera;
#[path = "../common/conditions.rs"]
mod conditions;
mod continuity;
mod disagreements;
mod eclipses;
mod land_terms;
mod moon_disc;
mod moonlight;
mod properties;
mod series;
mod sky;
mod terms;
mod town_glow;
