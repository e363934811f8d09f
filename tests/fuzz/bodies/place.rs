//! A place typed in any notation, and a name of a zone after a line break; a
//! place that is read is written in every notation and read again.

use super::{said, site, text};
use rakelight::{
    scene::{Notation, Position, Site, Zone, ZoneFrom},
    terrain::GroundPoint,
};

pub fn run(data: &[u8]) {
    let text = text(data);
    let (typed, zone) = text.split_once('\n').unwrap_or((text, ""));
    // Looking for the nearest name of a zone takes longer than all the rest.
    let zone = (!zone.is_empty()).then(|| Zone::named(zone).ok()).flatten();
    match Site::at_place(typed, zone) {
        Ok(place) => {
            site::check(&place);
            assert_eq!(place.zone_from == ZoneFrom::Given, zone.is_some());
            let shown = format!(
                "{},{},{}",
                place.latitude_deg, place.longitude_deg, place.elevation_m
            );
            assert_eq!(Site::at_place(&shown, zone).as_ref(), Ok(&place));
            for (_, notation) in Notation::ALL {
                let written = notation.text(place.latitude_deg, place.longitude_deg, 4);
                let read: Position = written.parse().expect("what is written is read");
                // At a pole every longitude is the same place.
                let off = (read.latitude_deg - place.latitude_deg).abs();
                assert!(off < 1e-4, "{written}");
            }
            let here = GroundPoint::new(place.latitude_deg, place.longitude_deg).expect("a place");
            if let Some(line) = here.line_to(GroundPoint::new(-31.4, 139.2).expect("a place")) {
                assert!(line.distance_m.is_finite() && (0.0..360.0).contains(&line.bearing_deg));
            }
        }
        Err(error) => said::check_error(&error),
    }
}
