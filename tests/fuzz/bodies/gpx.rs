//! The text of a map in GPX.

use super::points;
use rakelight::input::PointsForm;

pub fn run(data: &[u8]) {
    points::run(PointsForm::Gpx, data);
}
