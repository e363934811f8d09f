//! The text of a map in KML.

use super::points;
use rakelight::input::PointsForm;

pub fn run(data: &[u8]) {
    points::run(PointsForm::Kml, data);
}
