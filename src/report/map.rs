//! GeoJSON (RFC 7946): where camera, subject, sky and shadow lie on the ground,
//! for any map, without style properties.

use super::{cell::Cell, geo_shapes, json::rounded, record_id::SiteId, rows::window::Record};
use crate::{
    input::{CAMERA_ROLE, PointsForm, TRIPOD_ROLE},
    plan::{TripodPosition, WindowMap},
    scene::Site,
    terrain::GroundPoint,
};
use geojson::{Feature, Geometry, feature::Id};
use serde_json::{Map, Value};

/// What comes before the features.
pub const BEGIN: &str = PointsForm::GeoJson.own_start();
/// What comes after the features.
pub const END: &str = "]}\n";

/// A feature of a site. The user's own values are properties one by one: maps
/// filter and label by properties, not by what an object in one of them holds.
fn feature(
    site: &Site,
    id: String,
    role: String,
    geometry: Geometry,
    more: Vec<(&str, Value)>,
) -> Feature {
    let mut properties = Map::new();
    properties.insert("role".to_string(), Value::from(role));
    for (key, value) in more {
        properties.insert(key.to_string(), value);
    }
    for (name, value) in site.own.iter() {
        properties.insert(format!("own.{name}"), Value::from(value));
    }
    Feature {
        id: Some(Id::String(id)),
        geometry: Some(geometry),
        properties: Some(properties),
        ..Feature::default()
    }
}

/// The names that every feature of a site has.
fn named(site: &Site) -> [(&'static str, Value); 2] {
    [
        ("site", Value::from(site.name.as_str())),
        (
            "view",
            site.view.as_deref().map_or(Value::Null, Value::from),
        ),
    ]
}

/// The camera and, if its place is known, the subject of a site.
pub fn site_features(
    site: &Site,
    id: &SiteId,
    camera: GroundPoint,
    subject: Option<GroundPoint>,
) -> Vec<Feature> {
    let with = |more: Vec<(&'static str, Value)>| named(site).into_iter().chain(more).collect();
    let mut features = vec![feature(
        site,
        id.feature("camera"),
        CAMERA_ROLE.to_string(),
        geo_shapes::point(camera),
        with(vec![("elevation_m", Value::from(site.elevation_m))]),
    )];
    if let Some(point) = subject {
        let subject = site.subject.as_ref();
        let called = subject.and_then(|subject| subject.name.as_deref());
        features.push(feature(
            site,
            id.feature("subject"),
            "the subject".to_string(),
            geo_shapes::point(point),
            with(vec![
                ("name", called.map_or(Value::Null, Value::from)),
                (
                    "height_m",
                    subject
                        .and_then(|subject| subject.height_m)
                        .map_or(Value::Null, Value::from),
                ),
            ]),
        ));
    }
    features
}

/// The sector, the shadow and the line toward the Moon of a window.
pub fn window_features(record: &Record<'_>, id: &SiteId, map: &WindowMap) -> Vec<Feature> {
    let Record { site, window } = *record;
    let id = |what: &str| {
        let start = Cell::Utc(window.interval.first()).to_text();
        id.feature(&format!("{}/{start}/{what}", window.night))
    };
    let lit = window.lit();
    let common = || {
        let mut common = named(site).to_vec();
        common.push(("night", Cell::Date(window.night).to_json()));
        common.push(("rank", Value::from(window.rank)));
        common
    };
    let at_best = || {
        let moment = lit.moment();
        vec![
            ("time_utc", Cell::Utc(moment).to_json()),
            ("time_local", Cell::Local(site.zone.local(moment)).to_json()),
            (
                "utc_offset",
                Cell::Offset(site.zone.offset_seconds_at(moment)).to_json(),
            ),
        ]
    };
    let mut sector = common();
    for (key, moment) in [
        ("start_utc", window.interval.first()),
        ("end_utc", window.interval.last()),
        ("best_utc", window.best.moment()),
    ] {
        sector.push((key, Cell::Utc(moment).to_json()));
    }
    let to_deg = (map.sector_from_deg + map.sector_width_deg).rem_euclid(360.0);
    sector.push(("azimuth_from_deg", rounded(map.sector_from_deg, 2)));
    sector.push(("azimuth_to_deg", rounded(to_deg, 2)));
    sector.push(("radius_m", rounded(map.sector_radius_m, 1)));
    let mut ring = map.sector_rim.clone();
    if map.sector_width_deg < 360.0 {
        ring.push(map.camera);
    }
    let mut features = vec![feature(
        site,
        id("sector"),
        "the directions from the camera in which the target stands through the window".to_string(),
        geo_shapes::area(&ring),
        sector,
    )];
    if let (Some(subject), Some((tip, length_m))) = (map.subject, map.shadow) {
        let mut more = common();
        more.extend(at_best());
        more.push(("length_m", rounded(length_m, 2)));
        more.push((
            "azimuth_deg",
            lit.light
                .shadow_azimuth_deg
                .map_or(Value::Null, |azimuth| rounded(azimuth, 2)),
        ));
        features.push(feature(
            site,
            id("shadow"),
            "the subject's moonlight shadow on level ground, from its foot, at its real length"
                .to_string(),
            geo_shapes::line(&[subject, tip]),
            more,
        ));
    }
    if let Some(end) = map.moon {
        let mut more = common();
        more.extend(at_best());
        more.push(("azimuth_deg", rounded(lit.sky.moon.azimuth_deg, 2)));
        more.push((
            "altitude_deg",
            rounded(lit.sky.moon.apparent_altitude_deg, 2),
        ));
        features.push(feature(
            site,
            id("moon"),
            "a short stroke from the camera toward the Moon".to_string(),
            geo_shapes::line(&[map.camera, end]),
            more,
        ));
    }
    features
}

/// The tripod position, the subject and the line of sight between them.
pub fn stand_features(site: &Site, stand: &TripodPosition) -> Vec<Feature> {
    let time = Cell::Utc(stand.moment);
    let site_id = SiteId::of(site);
    let id = |what: &str| site_id.feature(&format!("{}/{what}", time.to_text()));
    let common = || {
        let mut common = named(site).to_vec();
        common.push(("time_utc", time.to_json()));
        common
    };
    let mut line = common();
    line.push(("bearing_deg", rounded(stand.subject_bearing_deg, 3)));
    line.push(("distance_m", rounded(stand.subject_distance_m, 2)));
    vec![
        feature(
            site,
            id("tripod"),
            TRIPOD_ROLE.to_string(),
            geo_shapes::point(stand.point),
            common(),
        ),
        feature(
            site,
            id("subject"),
            "the subject".to_string(),
            geo_shapes::point(stand.subject),
            common(),
        ),
        feature(
            site,
            id("sight"),
            "the line of sight to the subject".to_string(),
            geo_shapes::line(&[stand.point, stand.subject]),
            line,
        ),
    ]
}

/// Features as text, joined by commas.
pub fn joined(features: &[Feature]) -> String {
    let texts: Vec<String> = features.iter().map(Feature::to_string).collect();
    texts.join(",\n")
}
