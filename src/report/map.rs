//! GeoJSON (RFC 7946): where camera, subject, sky and shadow lie on the ground,
//! for any map, without style properties.

use super::{
    cell::Cell,
    geo_shapes,
    json::rounded,
    map_role::MapRole,
    record_id::SiteId,
    row::Field,
    rows::{
        site_nights::{BEST, COUNTS, SiteCounts, SiteNights},
        window::Record,
    },
};
use crate::{
    input::PointsForm,
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
    role: MapRole,
    geometry: Geometry,
    more: Vec<(&str, Value)>,
) -> Feature {
    let mut properties = Map::new();
    properties.insert("role".to_string(), Value::from(role.word()));
    properties.insert("meaning".to_string(), Value::from(role.meaning()));
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

/// Properties from a list of fields.
fn of_fields<'a>(
    fields: &'static [Field<SiteNights>],
    counts: &'a SiteCounts<'_>,
) -> impl Iterator<Item = (&'static str, Value)> + 'a {
    let value = move |field: &'static Field<SiteNights>| field.cell(&counts).to_json();
    fields.iter().map(move |field| (field.name, value(field)))
}

/// The camera of a site, with how many nights were found there and the best.
pub fn camera_feature(
    site: &Site,
    id: &SiteId,
    camera: GroundPoint,
    counts: &SiteCounts<'_>,
) -> Feature {
    let mut more = named(site).to_vec();
    more.push(("elevation_m", Value::from(site.elevation_m)));
    more.extend(of_fields(BEST, counts));
    more.extend(of_fields(COUNTS, counts));
    feature(
        site,
        id.feature("camera"),
        MapRole::Camera,
        geo_shapes::point(camera),
        more,
    )
}

/// The camera and, if its place is known, the subject of a site.
pub fn site_features(
    site: &Site,
    id: &SiteId,
    camera: GroundPoint,
    subject: Option<GroundPoint>,
    counts: &SiteCounts<'_>,
) -> Vec<Feature> {
    let mut features = vec![camera_feature(site, id, camera, counts)];
    if let Some(point) = subject {
        let subject = site.subject.as_ref();
        let called = subject.and_then(|subject| subject.name.as_deref());
        let mut more = named(site).to_vec();
        more.push(("name", called.map_or(Value::Null, Value::from)));
        more.push((
            "height_m",
            subject
                .and_then(|subject| subject.height_m)
                .map_or(Value::Null, Value::from),
        ));
        more.extend(of_fields(BEST, counts));
        features.push(feature(
            site,
            id.feature("subject"),
            MapRole::Subject,
            geo_shapes::point(point),
            more,
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
        common.push(("score", rounded(window.score, 1)));
        common.push(("light", Value::from(window.light.word())));
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
        MapRole::Sector,
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
            MapRole::Shadow,
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
            MapRole::Moon,
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
            MapRole::Tripod,
            geo_shapes::point(stand.point),
            common(),
        ),
        feature(
            site,
            id("subject"),
            MapRole::Subject,
            geo_shapes::point(stand.subject),
            common(),
        ),
        feature(
            site,
            id("sight"),
            MapRole::Sight,
            geo_shapes::line(&[stand.point, stand.subject]),
            line,
        ),
    ]
}

/// Features as text, joined by commas.
pub fn joined(features: &[Feature]) -> String {
    let mut text = Vec::new();
    for feature in features {
        if !text.is_empty() {
            text.extend_from_slice(b",\n");
        }
        let written = serde_json::to_writer(&mut text, feature);
        debug_assert!(written.is_ok(), "a vector takes all");
    }
    String::from_utf8(text).unwrap_or_default()
}
