//! Lines and areas on the ground as GeoJSON geometries, cut where they cross
//! the antimeridian (RFC 7946, section 3.1.9).

use crate::terrain::GroundPoint;
use geojson::{Geometry, GeometryValue, Position};

/// Steps per degree that are written: 7 decimals, about a centimetre.
const DECIMALS: f64 = 1e7;

/// A corner: longitude, which may run on beyond 180, and latitude, degrees.
type Corner = [f64; 2];

/// A coordinate rounded to the decimals that are written, without a negative
/// zero.
fn written(degrees: f64) -> f64 {
    (degrees * DECIMALS).round() / DECIMALS + 0.0
}

fn position(corner: Corner) -> Position {
    Position::from(corner.map(written))
}

/// A point.
pub(super) fn point(point: GroundPoint) -> Geometry {
    let coordinates = position([point.longitude_deg(), point.latitude_deg()]);
    Geometry::new(GeometryValue::Point { coordinates })
}

/// A line, cut in two where it crosses the antimeridian.
pub(super) fn line(points: &[GroundPoint]) -> Geometry {
    let corners = unwound(points);
    let mut parts: Vec<Vec<Position>> = strips(&corners)
        .map(|turn| clipped_line(&corners, turn))
        .filter(|part| part.len() > 1)
        .map(|part| part.into_iter().map(position).collect())
        .collect();
    Geometry::new(match parts.len() {
        1 => GeometryValue::LineString {
            coordinates: parts.remove(0),
        },
        _ => GeometryValue::MultiLineString { coordinates: parts },
    })
}

/// An area within a ring of corners (not closed), cut where it crosses the
/// antimeridian. Rings run counterclockwise; a ring that goes round a pole or
/// touches it runs along the map's edge there.
pub(super) fn area(points: &[GroundPoint]) -> Geometry {
    let corners = flat_ring(points);
    let mut parts: Vec<Vec<Vec<Position>>> = strips(&corners)
        .map(|turn| clipped_ring(&corners, turn))
        .map(|mut ring| {
            // Rounded as written: a ring that rounding leaves without area
            // has no direction and is dropped.
            for corner in &mut ring {
                *corner = corner.map(written);
            }
            ring.dedup();
            if ring.len() > 1 && ring.first() == ring.last() {
                ring.pop();
            }
            ring
        })
        .filter(|ring| ring.len() > 2 && doubled_area(ring) != 0.0)
        .map(|mut ring| {
            if doubled_area(&ring) < 0.0 {
                ring.reverse();
            }
            let closed = ring.first().copied();
            vec![ring.into_iter().chain(closed).map(position).collect()]
        })
        .collect();
    Geometry::new(match parts.len() {
        1 => GeometryValue::Polygon {
            coordinates: parts.remove(0),
        },
        _ => GeometryValue::MultiPolygon { coordinates: parts },
    })
}

/// A ring as corners of the map whose longitudes run on without a jump. All
/// longitudes meet at a pole: there the ring runs along the map's edge, from
/// the longitude before to the longitude after.
fn flat_ring(points: &[GroundPoint]) -> Vec<Corner> {
    let is_pole = |point: &GroundPoint| point.latitude_deg().abs() >= 90.0;
    let pole = |latitude: f64| 90.0_f64.copysign(latitude);
    // Put a pole last, so that the rest runs on without it.
    let apex = points.iter().position(is_pole);
    let mut ring: Vec<GroundPoint> = points.to_vec();
    if let Some(index) = apex {
        ring.rotate_left(index + 1);
    }
    let touched: Vec<GroundPoint> = ring.iter().copied().filter(is_pole).collect();
    ring.retain(|point| !is_pole(point));
    let mut corners = unwound(&ring);
    let (Some(first), Some(last)) = (corners.first().copied(), corners.last().copied()) else {
        return corners;
    };
    if let Some(point) = touched.first() {
        let edge = pole(point.latitude_deg());
        corners.extend([[last[0], edge], [first[0], edge]]);
        return corners;
    }
    // If the ring comes back to its first corner a full turn away, a pole lies
    // inside.
    let back = run_on(last[0], first[0]);
    if (back - first[0]).abs() > 180.0 {
        let edge = pole(first[1]);
        corners.extend([[back, first[1]], [back, edge], [first[0], edge]]);
    }
    corners
}

/// The longitude nearest to `last` that equals `longitude` up to full turns.
fn run_on(last: f64, longitude: f64) -> f64 {
    last + (longitude - last + 180.0).rem_euclid(360.0) - 180.0
}

/// Corners whose longitudes run on through 180 without a jump.
fn unwound(points: &[GroundPoint]) -> Vec<Corner> {
    let mut last: Option<f64> = None;
    points
        .iter()
        .map(|point| {
            let longitude = point.longitude_deg();
            let on = last.map_or(longitude, |last| run_on(last, longitude));
            last = Some(on);
            [on, point.latitude_deg()]
        })
        .collect()
}

/// The turns of 360 degrees that corners reach into: 0 for those within -180
/// to 180.
fn strips(corners: &[Corner]) -> impl Iterator<Item = f64> {
    let turn = |longitude: f64| ((longitude + 180.0) / 360.0).floor();
    let lows = corners.iter().map(|c| c[0]).fold(f64::INFINITY, f64::min);
    let highs = corners
        .iter()
        .map(|c| c[0])
        .fold(f64::NEG_INFINITY, f64::max);
    // A corner on 180 itself belongs to the strip before.
    let last = (-turn(-highs)).max(turn(lows));
    (turn(lows) as i32..=last as i32).map(|turn| 360.0 * f64::from(turn))
}

/// Where the line from `a` to `b` meets a meridian.
fn meet(a: Corner, b: Corner, meridian: f64) -> Corner {
    let share = (meridian - a[0]) / (b[0] - a[0]);
    [meridian, a[1] + share * (b[1] - a[1])]
}

/// The part of a ring within one strip, shifted to -180..180 (Sutherland &
/// Hodgman, Communications of the ACM 17, 32, 1974, for two parallel edges).
fn clipped_ring(corners: &[Corner], turn: f64) -> Vec<Corner> {
    let cut = |ring: Vec<Corner>, meridian: f64, keep: fn(f64, f64) -> bool| {
        let mut kept = Vec::new();
        for (index, corner) in ring.iter().enumerate() {
            let before = ring[(index + ring.len() - 1) % ring.len()];
            let (is_in, was_in) = (keep(corner[0], meridian), keep(before[0], meridian));
            if is_in != was_in {
                kept.push(meet(before, *corner, meridian));
            }
            if is_in {
                kept.push(*corner);
            }
        }
        kept
    };
    let ring = cut(corners.to_vec(), turn - 180.0, |x, m| x >= m);
    let ring = cut(ring, turn + 180.0, |x, m| x <= m);
    let mut ring: Vec<Corner> = ring.into_iter().map(|[x, y]| [x - turn, y]).collect();
    ring.dedup();
    ring
}

fn clipped_line(corners: &[Corner], turn: f64) -> Vec<Corner> {
    let (west, east) = (turn - 180.0, turn + 180.0);
    let mut part = Vec::new();
    for pair in corners.windows(2) {
        let [a, b] = [pair[0], pair[1]];
        let hold = |c: Corner| {
            if c[0] < west {
                (b[0] > west || a[0] > west).then(|| meet(a, b, west))
            } else if c[0] > east {
                (b[0] < east || a[0] < east).then(|| meet(a, b, east))
            } else {
                Some(c)
            }
        };
        part.extend([hold(a), hold(b)].into_iter().flatten());
    }
    part.dedup();
    part.into_iter().map(|[x, y]| [x - turn, y]).collect()
}

/// Twice the area of a ring, positive where it runs counterclockwise.
fn doubled_area(ring: &[Corner]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter()
        .zip(next)
        .map(|(a, b)| a[0] * b[1] - b[0] * a[1])
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(latitude: f64, longitude: f64) -> GroundPoint {
        GroundPoint::new(latitude, longitude).expect("coordinates")
    }

    #[test]
    fn what_keeps_to_one_side_stays_whole_and_runs_counterclockwise() {
        let clockwise = [at(0.0, 0.0), at(1.0, 0.0), at(0.0, 1.0)];
        let GeometryValue::Polygon { coordinates } = area(&clockwise).value else {
            panic!("no polygon");
        };
        let ring: Vec<Vec<f64>> = coordinates[0]
            .iter()
            .map(|p| p.as_slice().to_vec())
            .collect();
        assert_eq!(ring, [[1.0, 0.0], [0.0, 1.0], [0.0, 0.0], [1.0, 0.0]]);
    }

    /// Exterior rings of an area, without their closing corners.
    fn rings(points: &[GroundPoint]) -> Vec<Vec<Corner>> {
        let polygons = match area(points).value {
            GeometryValue::Polygon { coordinates } => vec![coordinates],
            GeometryValue::MultiPolygon { coordinates } => coordinates,
            other => panic!("no area: {other:?}"),
        };
        polygons
            .iter()
            .map(|polygon| polygon[0][1..].iter().map(|p| [p[0], p[1]]).collect())
            .collect()
    }

    /// A sector of a cone of directions at a pole has the width in longitude
    /// times the height in latitude on the map, and runs counterclockwise
    /// (RFC 7946, section 3.1.6).
    #[test]
    fn a_sector_at_a_pole_keeps_its_area_and_runs_counterclockwise() {
        for (edge, camera) in [(-90.0, 0.0), (-90.0, 139.2), (90.0, -180.0), (90.0, 45.0)] {
            let rim_latitude = edge * (1.0 - 1e-4);
            for (from, width) in [(-10_i32, 30_i32), (100, 200), (170, 20), (-180, 350)] {
                let mut points: Vec<GroundPoint> = (0..=width / 2)
                    .map(|step| {
                        let longitude = f64::from(from + 2 * step);
                        at(rim_latitude, (longitude + 180.0).rem_euclid(360.0) - 180.0)
                    })
                    .collect();
                points.push(at(edge, camera));
                let doubled: f64 = rings(&points)
                    .iter()
                    .map(|ring| {
                        let area = doubled_area(ring);
                        assert!(area > 0.0, "{edge} {camera} {from}: {ring:?}");
                        assert!(
                            ring.iter()
                                .all(|c| c[0].abs() <= 180.0 && c[1].abs() <= 90.0)
                        );
                        area
                    })
                    .sum();
                let expected = 2.0 * f64::from(width) * 90.0 * 1e-4;
                assert!((doubled - expected).abs() < 1e-4, "{doubled} {expected}");
            }
            // A full circle near the pole has the pole inside.
            let circle: Vec<GroundPoint> = (0..36)
                .map(|step| at(rim_latitude, f64::from(10 * step) - 175.0))
                .collect();
            let doubled: f64 = rings(&circle).iter().map(|ring| doubled_area(ring)).sum();
            assert!(
                (doubled - 2.0 * 360.0 * 90.0 * 1e-4).abs() < 1e-4,
                "{doubled}"
            );
        }
    }

    #[test]
    fn what_crosses_the_antimeridian_is_cut_there() {
        let square = [
            at(0.0, 179.9),
            at(0.0, -179.9),
            at(0.1, -179.9),
            at(0.1, 179.9),
        ];
        let GeometryValue::MultiPolygon { coordinates } = area(&square).value else {
            panic!("not cut");
        };
        assert_eq!(coordinates.len(), 2);
        for ring in coordinates.iter().map(|polygon| &polygon[0]) {
            let corners: Vec<Corner> = ring[1..].iter().map(|p| [p[0], p[1]]).collect();
            assert!((doubled_area(&corners) - 0.02).abs() < 1e-9);
            let east = corners.iter().all(|c| (179.9..=180.0).contains(&c[0]));
            let west = corners.iter().all(|c| (-180.0..=-179.9).contains(&c[0]));
            assert!(east || west, "{corners:?}");
        }
        let GeometryValue::MultiLineString { coordinates } =
            line(&[at(10.0, -179.9), at(12.0, 179.9)]).value
        else {
            panic!("not cut");
        };
        let parts: Vec<Vec<[f64; 2]>> = coordinates
            .iter()
            .map(|part| part.iter().map(|p| [p[0], p[1]]).collect())
            .collect();
        assert_eq!(
            parts,
            [
                vec![[180.0, 11.0], [179.9, 12.0]],
                vec![[-179.9, 10.0], [-180.0, 11.0]],
            ]
        );
    }

    #[test]
    fn a_corner_on_the_antimeridian_cuts_nothing() {
        let touching = [at(0.0, 179.0), at(0.0, 180.0), at(1.0, 179.5)];
        assert!(matches!(
            area(&touching).value,
            GeometryValue::Polygon { .. }
        ));
        let leaving = [at(0.0, 179.0), at(0.0, 180.0)];
        assert!(matches!(
            line(&leaving).value,
            GeometryValue::LineString { .. }
        ));
    }
}
