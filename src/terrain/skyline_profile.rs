//! The skyline around a place, from elevation tiles.

use super::{
    CoordinateError, CurvedEarth, ElevationMosaic, GroundPoint, SkylineError, SkylineSettings,
    geodesic::full_circle,
    raster_set::Hand,
    ray::{Knot, Stretch},
};
use crate::{Figure, csv_style::CsvStyle, parallel};
use std::io;

/// Distance between the points of a line of sight that are set on the geodesic
/// itself, metres; see [`SkylineProfile::compute`] for the points between.
const KNOT_M: f64 = 1000.0;
/// Beyond this latitude a straight line in latitude and longitude is no longer
/// a good stand-in for a kilometre of geodesic.
const MOST_LATITUDE_DEG: f64 = 85.0;

/// The ground that forms the skyline in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ridge {
    /// Apparent altitude over the level of the eye, degrees.
    pub altitude_deg: f64,
    /// Distance over the ground, metres; the nearest of several equally high.
    pub distance_m: f64,
    /// Its height above the sea, metres.
    pub elevation_m: f64,
}

/// The skyline in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SkylinePoint {
    /// True azimuth, degrees, 0 to 360.
    pub azimuth_deg: f64,
    /// The ground that forms it; `None` if none is known in that direction.
    pub ridge: Option<Ridge>,
    /// Length of the line without known ground (voids, outside the tiles),
    /// metres. If it is not 0, the true skyline may be higher.
    pub missing_m: f64,
}

/// The skyline all around a place.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SkylineProfile {
    /// Height of the eye above the sea, metres.
    pub eye_m: f64,
    /// The directions from north through east.
    pub points: Vec<SkylinePoint>,
}

impl SkylineProfile {
    /// The skyline around `camera` over the surface that lies bilinearly
    /// between the tiles' posts.
    ///
    /// There is no step to choose: each line of sight is followed from one grid
    /// line to the next, and the highest point within a cell is solved for, so
    /// no part of the surface can be stepped over. What remains: the line is
    /// set on the geodesic every kilometre and is straight in latitude and
    /// longitude in between (0.02 m times the tangent of the latitude aside),
    /// and the Earth is a sphere (0.002 degrees at 60 km). The tiles' own error
    /// is far greater.
    ///
    /// Directions are shared among the threads; the result is the same for any
    /// number of them.
    ///
    /// # Errors
    ///
    /// A setting out of its range, a camera beyond 85 degrees of latitude, on
    /// ground of unknown height or below the ground, and a file that cannot be
    /// read on.
    pub fn compute(
        mosaic: &ElevationMosaic,
        camera: GroundPoint,
        settings: &SkylineSettings,
    ) -> Result<Self, SkylineError> {
        settings.check()?;
        if camera.latitude_deg().abs() > MOST_LATITUDE_DEG {
            return Err(SkylineError::Polar(camera.latitude_deg()));
        }
        let eye_m = settings.eye_above_sea(mosaic, camera)?;
        let count = (360.0 / settings.azimuth_step_deg - 1e-9).ceil() as usize;
        let points = parallel::map(count, 1, |k| {
            let azimuth_deg = full_circle(k as f64 * settings.azimuth_step_deg);
            toward(mosaic, camera, eye_m, azimuth_deg, settings)
        });
        let points = points.into_iter().collect::<Result<_, SkylineError>>()?;
        Ok(Self { eye_m, points })
    }

    /// Writes it as CSV: `azimuth_deg,altitude_deg,distance_m,elevation_m,
    /// missing_m`, one row per direction.
    ///
    /// If nothing is known, altitude, distance and elevation are empty, so that
    /// no reader takes the direction for a level horizon.
    ///
    /// # Errors
    ///
    /// Those of the writer.
    pub fn write_csv(&self, writer: &mut impl io::Write) -> io::Result<()> {
        self.write_csv_as(writer, CsvStyle::Comma)
    }

    /// The same in a style.
    ///
    /// # Errors
    ///
    /// Those of the writer.
    pub fn write_csv_as(&self, writer: &mut impl io::Write, style: CsvStyle) -> io::Result<()> {
        let mut table = csv::WriterBuilder::new()
            .delimiter(style.separator())
            .from_writer(writer);
        table.write_record([
            "azimuth_deg",
            "altitude_deg",
            "distance_m",
            "elevation_m",
            "missing_m",
        ])?;
        for point in &self.points {
            let of = |number: fn(&Ridge) -> f64, digits: usize| {
                point
                    .ridge
                    .as_ref()
                    .map(|ridge| style.number(&format!("{:.digits$}", Figure(number(ridge)))))
                    .unwrap_or_default()
            };
            table.write_record([
                style.number(&format!("{:.2}", point.azimuth_deg)),
                of(|ridge| ridge.altitude_deg, 3),
                of(|ridge| ridge.distance_m, 0),
                of(|ridge| ridge.elevation_m, 1),
                format!("{:.0}", point.missing_m),
            ])?;
        }
        table.flush()
    }
}

fn toward(
    mosaic: &ElevationMosaic,
    camera: GroundPoint,
    eye_m: f64,
    azimuth_deg: f64,
    settings: &SkylineSettings,
) -> Result<SkylinePoint, SkylineError> {
    let knot = |distance_m: f64| -> Result<Knot, CoordinateError> {
        let point = camera.destination(azimuth_deg, distance_m)?.point;
        // Relative to the camera's meridian, so that it never jumps.
        let east = point.longitude_deg() - camera.longitude_deg();
        let east = (east + 180.0).rem_euclid(360.0) - 180.0;
        Ok(Knot {
            latitude_deg: point.latitude_deg(),
            longitude_deg: camera.longitude_deg() + east,
            distance_m,
        })
    };
    let mut search = Search {
        earth: settings.earth,
        eye_m,
        highest: None,
        missing_m: 0.0,
    };
    let mut hand = Hand::default();
    let mut from = knot(settings.nearest_m)?;
    while from.distance_m < settings.farthest_m {
        let to = knot((from.distance_m + KNOT_M).min(settings.farthest_m))?;
        mosaic
            .walk(&mut hand, settings.absent_tiles, from, to, &mut |stretch| {
                search.see(stretch);
            })
            .map_err(|error| SkylineError::File(error.to_string()))?;
        from = to;
    }
    Ok(SkylinePoint {
        azimuth_deg,
        ridge: search.highest.map(|seen| Ridge {
            altitude_deg: settings.earth.elevation_angle_deg(
                eye_m,
                seen.elevation_m,
                seen.distance_m,
            ),
            distance_m: seen.distance_m,
            elevation_m: seen.elevation_m,
        }),
        missing_m: search.missing_m,
    })
}

/// The highest ground seen so far along a line of sight.
struct Search {
    earth: CurvedEarth,
    eye_m: f64,
    highest: Option<Seen>,
    missing_m: f64,
}

#[derive(Clone, Copy)]
struct Seen {
    /// Tangent of the altitude.
    slope: f64,
    distance_m: f64,
    elevation_m: f64,
}

impl Search {
    fn see(&mut self, stretch: Stretch) {
        let Stretch {
            from_m,
            to_m,
            surface: Some(h),
        } = stretch
        else {
            self.missing_m += stretch.to_m - stretch.from_m;
            return;
        };
        let length = to_m - from_m;
        self.look(h, from_m, 0.0);
        // With the drop d^2/2R the slope of the line of sight is
        // (bend d^2 + tilt d + rest)/d: its only maximum is at the root of
        // rest/bend, where both are negative.
        let bend = h[2] - 0.5 / self.earth.effective_radius_m();
        let rest = h[0] - from_m * (h[1] - from_m * h[2]) - self.eye_m;
        if bend < 0.0 && rest < 0.0 {
            let inside = (rest / bend).sqrt() - from_m;
            if inside > 0.0 && inside < length {
                self.look(h, from_m, inside);
            }
        }
        self.look(h, from_m, length);
    }

    fn look(&mut self, h: [f64; 3], from_m: f64, inside_m: f64) {
        let distance_m = from_m + inside_m;
        let elevation_m = h[0] + inside_m * (h[1] + inside_m * h[2]);
        let (rise, run) = self.earth.rise_and_run(self.eye_m, elevation_m, distance_m);
        // At distance 0 there is only the ground under the camera.
        if run <= 0.0 {
            return;
        }
        let slope = rise / run;
        if self.highest.is_none_or(|seen| slope > seen.slope) {
            self.highest = Some(Seen {
                slope,
                distance_m,
                elevation_m,
            });
        }
    }
}
