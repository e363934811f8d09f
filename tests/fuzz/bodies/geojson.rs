//! The text of a map in GeoJSON.

use super::points;
use rakelight::input::PointsForm;

pub fn run(data: &[u8]) {
    points::run(PointsForm::GeoJson, data);
}
