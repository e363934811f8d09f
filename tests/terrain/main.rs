//! Skylines from elevation data.

#[path = "../common/mod.rs"]
mod common;
mod geotiff;
mod real_ground;
mod skyline;
