//! What a photograph says about itself: its Exif.

use super::fault::{Fault, Faults};
use super::opening::{Opening, read_beginning};
use crate::scene::limits::{ELEVATIONS_M, FOCAL_LENGTHS_MM, Limits};
use crate::scene::{Photo, ValueError, fixed_offset};
use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};
use exif::{Context, Exif, In, Reader, Tag, Value};
use std::io::Cursor;
use std::path::Path;

/// No more of a file is read: cameras write its Exif near the beginning.
const LARGEST_BEGINNING_BYTES: u64 = 16 << 20;

const EXPECTED: &str =
    "a photograph with Exif (JPEG, TIFF, DNG and most raw files, HEIF, PNG, WebP)";

/// Exposure times that a camera can note, seconds: an hour of bulb and more.
const SHUTTERS_S: Limits = (1e-6, 1e5);
const F_NUMBERS: Limits = (0.5, 64.0);

/// What the photograph in a file says about itself; `opening` gets the path
/// first.
///
/// # Errors
///
/// A file that isn't there or can't be read, and one without Exif in its first
/// 16 MiB.
pub fn read_photo(path: &Path, opening: &Opening) -> Result<Photo, Faults> {
    opening(path);
    let bytes = read_beginning(path, LARGEST_BEGINNING_BYTES, "a photograph")?;
    parse_photo(bytes).map_err(|error| {
        let name = path.display().to_string();
        Fault::of_file(&name, error).into()
    })
}

/// What a photograph says about itself, from the bytes of its file or from the
/// first of them. What no camera can mean is left out.
///
/// # Errors
///
/// No Exif.
pub fn parse_photo(bytes: Vec<u8>) -> Result<Photo, ValueError> {
    let mut reader = Reader::new();
    reader.continue_on_error(true);
    let exif = match reader.read_from_container(&mut Cursor::new(bytes)) {
        Ok(exif) => exif,
        // Of a file that was cut off, what is there.
        Err(exif::Error::PartialResult(partial)) => partial.into_inner().0,
        Err(exif::Error::NotFound(_)) => {
            return Err(ValueError::new("a picture without Exif", EXPECTED)
                .with_remedy("give the file as the camera wrote it"));
        }
        Err(_) => {
            return Err(
                ValueError::new("a file of another kind, or a damaged one", EXPECTED)
                    .with_remedy("give the file as the camera wrote it"),
            );
        }
    };
    let facts = Facts(&exif);
    Ok(Photo {
        clock: facts.clock(),
        offset_minutes: facts.offset_minutes(),
        gps_time: facts.gps_time(),
        place_deg: facts.place_deg(),
        elevation_m: facts.elevation_m(),
        focal_mm: facts.number(Tag::FocalLength, FOCAL_LENGTHS_MM),
        f_number: facts.number(Tag::FNumber, F_NUMBERS),
        shutter_s: facts.number(Tag::ExposureTime, SHUTTERS_S),
        iso: facts.iso(),
        ..Photo::default()
    })
}

/// The Exif of a file, each fact checked.
struct Facts<'a>(&'a Exif);

impl Facts<'_> {
    fn value(&self, tag: Tag) -> Option<&Value> {
        self.0.get_field(tag, In::PRIMARY).map(|field| &field.value)
    }

    /// The characters of a text, as far as they are ASCII.
    fn text(&self, tag: Tag) -> Option<&str> {
        let Value::Ascii(texts) = self.value(tag)? else {
            return None;
        };
        let text = std::str::from_utf8(texts.first()?).ok()?;
        Some(text.trim_matches(|c: char| c == '\0' || c.is_ascii_whitespace()))
    }

    /// The numbers of a tag, as far as they are finite.
    fn numbers(&self, tag: Tag) -> Option<Vec<f64>> {
        let numbers: Vec<f64> = match self.value(tag)? {
            Value::Rational(all) => all.iter().take(3).map(|one| one.to_f64()).collect(),
            Value::SRational(all) => all.iter().take(3).map(|one| one.to_f64()).collect(),
            _ => return None,
        };
        numbers.iter().all(|one| one.is_finite()).then_some(numbers)
    }

    fn number(&self, tag: Tag, (low, high): Limits) -> Option<f64> {
        let number = *self.numbers(tag)?.first()?;
        (low..=high).contains(&number).then_some(number)
    }

    fn clock(&self) -> Option<NaiveDateTime> {
        let text = [Tag::DateTimeOriginal, Tag::DateTimeDigitized];
        let text = text.into_iter().find_map(|tag| self.text(tag))?;
        let clock = NaiveDateTime::parse_from_str(text, "%Y:%m:%d %H:%M:%S").ok()?;
        clock.checked_add_signed(TimeDelta::milliseconds(self.milliseconds()))
    }

    /// The part of the clock's second.
    fn milliseconds(&self) -> i64 {
        let digits = self.text(Tag::SubSecTimeOriginal).unwrap_or_default();
        let digits = digits.get(..digits.len().min(3)).unwrap_or_default();
        let is_number = !digits.is_empty() && digits.bytes().all(|digit| digit.is_ascii_digit());
        match digits.parse::<i64>() {
            Ok(number) if is_number => number * 10_i64.pow(3 - digits.len() as u32),
            _ => 0,
        }
    }

    fn offset_minutes(&self) -> Option<i32> {
        let tags = [
            Tag::OffsetTimeOriginal,
            Tag::OffsetTimeDigitized,
            Tag::OffsetTime,
        ];
        let text = tags.into_iter().find_map(|tag| self.text(tag))?;
        let minutes = fixed_offset(if text == "Z" { "+00:00" } else { text })?;
        (minutes.abs() <= 14 * 60).then_some(minutes)
    }

    fn gps_time(&self) -> Option<NaiveDateTime> {
        let date = NaiveDate::parse_from_str(self.text(Tag::GPSDateStamp)?, "%Y:%m:%d").ok()?;
        let numbers = self.numbers(Tag::GPSTimeStamp)?;
        let [hours, minutes, seconds] = numbers[..] else {
            return None;
        };
        let time = NaiveTime::from_hms_opt(hours as u32, minutes as u32, seconds as u32)?;
        let signed = [hours, minutes, seconds]
            .iter()
            .all(|number| *number >= 0.0);
        signed.then(|| date.and_time(time))
    }

    /// The place, if the receiver had one: 0, 0 is what it writes without.
    fn place_deg(&self) -> Option<(f64, f64)> {
        let degrees = |tag: Tag, reference: Tag, negative: &str, most: f64| {
            let numbers = self.numbers(tag)?;
            let [degrees, minutes, seconds] = numbers[..] else {
                return None;
            };
            let size = degrees + minutes / 60.0 + seconds / 3600.0;
            // A hundred-millionth of a degree is a millimetre.
            let size = (size * 1e8).round() / 1e8;
            let sign = match self.text(reference)? {
                text if text.eq_ignore_ascii_case(negative) => -1.0,
                _ => 1.0,
            };
            (0.0..=most).contains(&size).then_some(sign * size)
        };
        let latitude_deg = degrees(Tag::GPSLatitude, Tag::GPSLatitudeRef, "S", 90.0)?;
        let longitude_deg = degrees(Tag::GPSLongitude, Tag::GPSLongitudeRef, "W", 180.0)?;
        let known = latitude_deg != 0.0 || longitude_deg != 0.0;
        known.then_some((latitude_deg, longitude_deg))
    }

    fn elevation_m(&self) -> Option<f64> {
        let height_m = *self.numbers(Tag::GPSAltitude)?.first()?;
        let below = matches!(self.value(Tag::GPSAltitudeRef), Some(Value::Byte(sign)) if sign.first() == Some(&1));
        let elevation_m = if below { -height_m } else { height_m };
        let (low, high) = ELEVATIONS_M;
        (low..=high).contains(&elevation_m).then_some(elevation_m)
    }

    /// The ISO speed; 65535 there means that another tag has it.
    fn iso(&self) -> Option<u32> {
        let index = Tag(Context::Exif, 0x8832);
        let tags = [Tag::PhotographicSensitivity, index, Tag::ISOSpeed];
        tags.into_iter().find_map(|tag| {
            let iso = self.value(tag)?.get_uint(0)?;
            (1..65_535).contains(&iso).then_some(iso)
        })
    }
}
