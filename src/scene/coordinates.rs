//! Latitude and longitude as people type them, and mistakes that involve both.

use super::limits::SiteError;
use super::number::tidy;
use super::position::Position;
use super::site::Site;
use super::value_error::ValueError;
use super::zone::Zone;
use super::zone_at_place::check_zone;
use super::zone_of_place::{ZoneFrom, zone_of_place};

/// What is wrong with a latitude and with a longitude, seen together.
pub(crate) fn check_coordinates(
    latitude_deg: Option<f64>,
    longitude_deg: Option<f64>,
) -> (Option<ValueError>, Option<ValueError>) {
    let latitude_error = latitude_deg
        .filter(|latitude| !(-90.0..=90.0).contains(latitude))
        .map(|latitude| {
            let error = ValueError::new(&latitude.to_string(), "a number from -90 to 90");
            // Ask only if swapping the two would fix it.
            let swapped = latitude.abs() <= 180.0 && longitude_deg.is_some_and(|l| l.abs() <= 90.0);
            error.with_hint(swapped.then(|| "latitude and longitude may be swapped".to_owned()))
        });
    let longitude_error = longitude_deg
        .filter(|longitude| !(-180.0..=180.0).contains(longitude))
        .map(|longitude| {
            let error = ValueError::new(&longitude.to_string(), "a number from -180 to 180");
            let eastern = (180.0..=360.0).contains(&longitude);
            error.with_hint(
                eastern.then(|| format!("west is negative: write {}", tidy(longitude - 360.0))),
            )
        });
    (latitude_error, longitude_error)
}

/// What is wrong with a camera at 0, 0, where coordinates that nobody filled in
/// put it; `remedy` says how to write another place.
pub(crate) fn check_filled_in(
    latitude_deg: f64,
    longitude_deg: f64,
    remedy: &str,
) -> Result<(), SiteError> {
    if latitude_deg != 0.0 || longitude_deg != 0.0 {
        return Ok(());
    }
    let error = ValueError {
        found: "0, 0, a point of the Atlantic where unset coordinates land".to_owned(),
        ..ValueError::new("", "the place of the camera")
    };
    Err(SiteError {
        key: "latitude_deg",
        error: error.with_remedy(remedy),
    })
}

impl Site {
    /// A site known by its place alone, in any notation that [`Position`]
    /// reads; the elevation is 0 where none is given. It is named by its
    /// coordinates (`31.4 S 139.2 E`); without `zone` its civil time is that of
    /// the place, see [`zone_of_place`].
    ///
    /// # Errors
    ///
    /// Text that is no position or has several readings, numbers out of range, `0,0`, where unset
    /// coordinates land, a zone whose clocks are hours from the time by the Sun
    /// there, and, without `zone`, a place that does not tell it.
    ///
    /// # Example
    ///
    /// ```
    /// use rakelight::scene::Site;
    /// let site = Site::at_place("-34,-70.5,900", None)?;
    /// assert_eq!(site.name, "34 S 70.5 W");
    /// assert_eq!(site.elevation_m, 900.0);
    /// assert_eq!(site.zone.name(), "America/Santiago");
    /// # Ok::<(), rakelight::scene::ValueError>(())
    /// ```
    pub fn at_place(text: &str, zone: Option<Zone>) -> Result<Self, ValueError> {
        let place: Position = text.parse()?;
        let (latitude_deg, longitude_deg) = (place.latitude_deg, place.longitude_deg);
        let elevation_m = place.elevation_m.unwrap_or(0.0);
        let remedy =
            "fill in the camera's place; for one within a metre of it write 0.00001,0 for 0,0";
        check_filled_in(latitude_deg, longitude_deg, remedy).map_err(|wrong| wrong.error)?;
        let zone = match zone {
            Some(zone) => {
                check_zone(zone, latitude_deg, longitude_deg).map_err(|wrong| wrong.error)?;
                (zone, ZoneFrom::Given)
            }
            None => zone_of_place(latitude_deg, longitude_deg)
                .map_err(|unclear| unclear.to_error(|zone| format!("give {zone}")))?,
        };
        Ok(Self::bare(
            coordinate_name(latitude_deg, longitude_deg),
            latitude_deg,
            longitude_deg,
            elevation_m,
            zone,
        ))
    }
}

/// A name made of the coordinates: `31.4 S 139.2 E`.
pub(super) fn coordinate_name(latitude_deg: f64, longitude_deg: f64) -> String {
    let north = if latitude_deg < 0.0 { 'S' } else { 'N' };
    let east = if longitude_deg < 0.0 { 'W' } else { 'E' };
    let round = |value: f64| (value.abs() * 1e4).round() / 1e4;
    format!(
        "{} {north} {} {east}",
        round(latitude_deg),
        round(longitude_deg)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_read_with_their_limits() {
        let read = |text: &str| match Site::at_place(text, None) {
            Ok(site) => format!(
                "{}: {} {} {} {}",
                site.name,
                site.latitude_deg,
                site.longitude_deg,
                site.elevation_m,
                site.zone.name()
            ),
            Err(error) => error.to_string(),
        };
        let form = "expected a latitude and a longitude, with or without an elevation";
        for (text, result) in [
            (
                "-33.5,-70.1",
                "33.5 S 70.1 W: -33.5 -70.1 0 America/Santiago".to_owned(),
            ),
            ("0,180,-20", "0 N 180 E: 0 180 -20 +12:00".to_owned()),
            (
                "139.2,-31.4",
                "found 139.2, expected a number from -90 to 90; \
                 latitude and longitude may be swapped"
                    .to_owned(),
            ),
            (
                "40,250.5",
                "found 250.5, expected a number from -180 to 180; west is negative: write -109.5"
                    .to_owned(),
            ),
            (
                "400,500",
                "found 400, expected a number from -90 to 90".to_owned(),
            ),
            ("40", format!("found 40, {form}; for example -31.4,139.2")),
            (
                "40,10,5,6",
                "found 40,10,5,6, expected a position with one reading; \
                 write 40,10,5.6 m or 40,10.5,6 m or 40.1,5.6 or 40.1,5,6 m"
                    .to_owned(),
            ),
            (
                "here",
                format!("found here, {form}; for example -31.4,139.2"),
            ),
            (
                "nan,10",
                format!("found nan,10, {form}; nan and inf are not accepted"),
            ),
            (
                "1,2,1e5",
                "found 1e5, expected an elevation from -500 to 9000 metres".to_owned(),
            ),
        ] {
            assert_eq!(read(text), result);
        }
    }
}
