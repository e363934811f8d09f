//! How much memory a file of points takes, alone in its process: no other test may
//! hold any beside it.
#![cfg(target_os = "linux")]

#[path = "common/endless.rs"]
mod endless;
#[path = "common/memory.rs"]
mod memory;

use endless::Endless;
use memory::most_memory;
use rakelight::input::{Points, PointsForm};

/// Files of some thirty megabytes that are made as they are read: what is
/// no point is passed over without being kept.
#[test]
fn a_file_of_any_length_takes_little_memory() {
    let before = most_memory();
    for (form, begin, again, times, end) in [
        (
            PointsForm::Gpx,
            &b"<gpx><trk><trkseg>"[..],
            &b"<trkpt lat=\"1\" lon=\"2\"><ele>3</ele></trkpt>\n"[..],
            700_000,
            &b"</trkseg></trk><wpt lat=\"1\" lon=\"2\"/></gpx>"[..],
        ),
        (
            PointsForm::Kml,
            b"<kml><Placemark><LineString><coordinates>1,2</coordinates>",
            b"<when>2027</when>",
            1_800_000,
            b"</LineString></Placemark><Placemark><Point><coordinates>1,2</coordinates></Point>\
              </Placemark></kml>",
        ),
        (
            PointsForm::GeoJson,
            b"{\"more\":[0",
            b",{\"deep\":[1,[2,\"]\"]]}\n",
            1_300_000,
            b"],\"type\":\"Point\",\"coordinates\":[2,1]}",
        ),
    ] {
        let reader = Endless {
            begin,
            again,
            times,
            end,
            at: 0,
        };
        let sites: Vec<_> = Points::new("m", form, reader).collect();
        assert!(
            matches!(&sites[..], [Ok(site)] if site.latitude_deg == 1.0 || site.latitude_deg == 2.0)
        );
        let grown = most_memory().saturating_sub(before);
        assert!(grown < 16 << 20, "{form:?} took {} MB", grown >> 20);
    }
}
