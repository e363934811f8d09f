//! GeoJSON (RFC 7946): where camera, subject, sky and shadow lie on the ground,
//! for any map, without style properties.

use super::{
    cell::Cell,
    geo_shapes,
    json_object::{Object, ObjectText},
    map_role::MapRole,
    record_id::SiteId,
    rows::{
        site_nights::{BEST, COUNTS, SiteCounts},
        window::Record,
    },
};
use crate::{
    input::PointsForm,
    plan::{TripodPosition, WindowMap},
    scene::Site,
    terrain::GroundPoint,
};
use geojson::Geometry;

/// What comes before the features.
pub const BEGIN: &str = PointsForm::GeoJson.own_start();
/// What comes after the features.
pub const END: &str = "]}\n";

/// The text of a feature of a site, with the properties that `fill` adds. The
/// user's own values are properties one by one: maps filter and label by
/// properties, not by what an object in one of them holds.
fn feature(
    site: &Site,
    id: &str,
    role: MapRole,
    geometry: &Geometry,
    fill: impl FnOnce(&mut ObjectText),
) -> String {
    let text = ObjectText::of(|feature| {
        feature.text("type", "Feature");
        feature.serialized("geometry", geometry);
        feature.text("id", id);
        feature.object("properties", |properties| {
            properties.text("role", role.word());
            properties.text("meaning", role.meaning());
            properties.text("site", &site.name);
            properties.cell("view", &text_or_empty(site.view.as_deref()));
            fill(properties);
            for (name, value) in site.own.iter() {
                properties.text(&format!("own.{name}"), value);
            }
        });
    });
    debug_assert!(text.is_ok(), "a vector takes all");
    String::from_utf8(text.unwrap_or_default()).unwrap_or_default()
}

fn text_or_empty(text: Option<&str>) -> Cell<'_> {
    text.map_or(Cell::Empty, Cell::Text)
}

/// The camera of a site, with how many nights were found there and the best.
pub fn camera_feature(
    site: &Site,
    id: &SiteId,
    camera: GroundPoint,
    counts: &SiteCounts<'_>,
) -> String {
    feature(
        site,
        &id.feature("camera"),
        MapRole::Camera,
        &geo_shapes::point(camera),
        |more| {
            more.cell("elevation_m", &Cell::Exact(site.elevation_m));
            more.fields(BEST, &counts);
            more.fields(COUNTS, &counts);
        },
    )
}

/// The camera and, if its place is known, the subject of a site.
pub fn site_features(
    site: &Site,
    id: &SiteId,
    camera: GroundPoint,
    subject: Option<GroundPoint>,
    counts: &SiteCounts<'_>,
) -> Vec<String> {
    let mut features = vec![camera_feature(site, id, camera, counts)];
    if let Some(point) = subject {
        let subject = site.subject.as_ref();
        let called = subject.and_then(|subject| subject.name.as_deref());
        let height_m = subject.and_then(|subject| subject.height_m);
        features.push(feature(
            site,
            &id.feature("subject"),
            MapRole::Subject,
            &geo_shapes::point(point),
            |more| {
                more.cell("name", &text_or_empty(called));
                more.cell("height_m", &height_m.map_or(Cell::Empty, Cell::Exact));
                more.fields(BEST, &counts);
            },
        ));
    }
    features
}

/// The sector, the shadow and the line toward the Moon of a window.
pub fn window_features(record: &Record<'_>, id: &SiteId, map: &WindowMap) -> Vec<String> {
    let Record { site, window } = *record;
    let [night, start] =
        [Cell::Date(window.night), Cell::Utc(window.interval.first())].map(|cell| cell.to_text());
    let begin = id.feature(&[&night, "/", &start, "/"].concat());
    let id = |what: &str| [&begin, what].concat();
    let lit = window.lit();
    let common = |more: &mut ObjectText| {
        more.cell("night", &Cell::Date(window.night));
        more.cell("rank", &Cell::Whole(window.rank as i64));
        more.cell("score", &Cell::Number(window.score, 1));
        more.text("light", window.light.word());
    };
    let at_best = |more: &mut ObjectText| {
        let moment = lit.moment();
        more.cell("time_utc", &Cell::Utc(moment));
        more.cell("time_local", &Cell::Local(site.zone.local(moment)));
        let offset = site.zone.offset_seconds_at(moment);
        more.cell("utc_offset", &Cell::Offset(offset));
    };
    let mut ring = map.sector_rim.clone();
    if map.sector_width_deg < 360.0 {
        ring.push(map.camera);
    }
    let mut features = vec![feature(
        site,
        &id("sector"),
        MapRole::Sector,
        &geo_shapes::area(&ring),
        |more| {
            common(more);
            more.cell("start_utc", &Cell::Utc(window.interval.first()));
            more.cell("end_utc", &Cell::Utc(window.interval.last()));
            more.cell("best_utc", &Cell::Utc(window.best.moment()));
            let to_deg = (map.sector_from_deg + map.sector_width_deg).rem_euclid(360.0);
            more.cell("azimuth_from_deg", &Cell::Number(map.sector_from_deg, 2));
            more.cell("azimuth_to_deg", &Cell::Number(to_deg, 2));
            more.cell("radius_m", &Cell::Number(map.sector_radius_m, 1));
        },
    )];
    if let (Some(subject), Some((tip, length_m))) = (map.subject, map.shadow) {
        let azimuth_deg = lit.light.shadow_azimuth_deg;
        features.push(feature(
            site,
            &id("shadow"),
            MapRole::Shadow,
            &geo_shapes::line(&[subject, tip]),
            |more| {
                common(more);
                at_best(more);
                more.cell("length_m", &Cell::Number(length_m, 2));
                let azimuth = azimuth_deg.map_or(Cell::Empty, |deg| Cell::Number(deg, 2));
                more.cell("azimuth_deg", &azimuth);
            },
        ));
    }
    if let Some(end) = map.moon {
        let moon = &lit.sky.moon;
        features.push(feature(
            site,
            &id("moon"),
            MapRole::Moon,
            &geo_shapes::line(&[map.camera, end]),
            |more| {
                common(more);
                at_best(more);
                more.cell("azimuth_deg", &Cell::Number(moon.azimuth_deg, 2));
                let altitude_deg = moon.apparent_altitude_deg;
                more.cell("altitude_deg", &Cell::Number(altitude_deg, 2));
            },
        ));
    }
    features
}

/// The tripod position, the subject and the line of sight between them.
pub fn stand_features(site: &Site, stand: &TripodPosition) -> Vec<String> {
    let time = Cell::Utc(stand.moment);
    let site_id = SiteId::of(site);
    let id = |what: &str| site_id.feature(&format!("{}/{what}", time.to_text()));
    let common = |more: &mut ObjectText| more.cell("time_utc", &time);
    vec![
        feature(
            site,
            &id("tripod"),
            MapRole::Tripod,
            &geo_shapes::point(stand.point),
            common,
        ),
        feature(
            site,
            &id("subject"),
            MapRole::Subject,
            &geo_shapes::point(stand.subject),
            common,
        ),
        feature(
            site,
            &id("sight"),
            MapRole::Sight,
            &geo_shapes::line(&[stand.point, stand.subject]),
            |more| {
                common(more);
                more.cell("bearing_deg", &Cell::Number(stand.subject_bearing_deg, 3));
                more.cell("distance_m", &Cell::Number(stand.subject_distance_m, 2));
            },
        ),
    ]
}

/// Features as text, joined by commas.
pub fn joined(features: &[String]) -> String {
    features.join(",\n")
}
