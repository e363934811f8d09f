//! Names in the sky of the picture of the skyline.

use super::{
    placer::Spot,
    sheet::{Sheet, Type},
    skyline::{HALF_DEG, SkylineChart},
    skyline_land::{frame_edge, is_sky},
    skyline_paths::{drawn, hidden, pieces, tick, whole_hours, within},
    skyline_strip::Strip,
};
use crate::{
    report::words::{clock, eclipse_label, evening_words},
    search::Interval,
};

/// Writes the date of each Moon, the target's name and the eclipse beside their
/// paths.
pub fn write_paths(chart: &SkylineChart<'_>, sheet: &mut Sheet, strip: &Strip) {
    let mut paths = drawn(chart);
    // The night asked for has the first choice of room.
    paths.sort_by_key(|path| !path.asked);
    for path in paths {
        let evening = evening_words(path.night.night.date);
        if let Some(part) = hidden(&path) {
            let points = pieces(strip, &part).concat();
            let text = format!("Moon {evening}, behind the ridge");
            let spots = beside(strip, (&text, Type::SMALL), &points, &NEAR);
            let land = sheet.palette.land();
            sheet.write_over(&text, Type::SMALL, Some(land), spots);
            continue;
        }
        let parts = path.body.clear_parts();
        let points: Vec<(f64, f64)> = parts
            .iter()
            .flat_map(|part| pieces(strip, part).concat())
            .collect();
        let (text, style) = match (path.of_moon, path.asked) {
            (true, true) => (format!("Moon {evening}"), Type::SMALL_STRONG),
            (true, false) => (evening, Type::SMALL),
            (false, _) => (chart.rules.target_name().to_owned(), Type::SMALL_STRONG),
        };
        let at_ridge = path
            .body
            .crossings
            .iter()
            .any(|crossing| crossing.dark && strip.reaches(crossing.place.azimuth_deg));
        // A Moon's date, or the name, stands at the edge of the land already.
        let needed = !at_ridge;
        let spots = beside(strip, (&text, style), &points, &NEAR);
        write_beside(chart, sheet, strip, (&text, style), spots, needed);
        if let Some(eclipse) = path.night.eclipse.as_ref().filter(|_| path.of_moon)
            && let Some(text) = eclipse_label(chart.site, eclipse)
        {
            let [from, to] = eclipse
                .total
                .or(eclipse.partial)
                .unwrap_or([eclipse.greatest; 2]);
            let times = Interval::new(from.seconds(), to.seconds());
            let points: Vec<(f64, f64)> = parts
                .iter()
                .flat_map(|part| pieces(strip, &within(part, times)).concat())
                .collect();
            let words = (text.as_str(), Type::SMALL_STRONG);
            let spots = beside(strip, words, &points, &FARTHER);
            write_beside(chart, sheet, strip, words, spots, true);
        }
    }
}

/// Distances of a text from its line, pixels; an eclipse's, whose line has others
/// close by, may be farther.
const NEAR: [f64; 2] = [6.0, 14.0];
const FARTHER: [f64; 5] = [6.0, 14.0, 22.0, 30.0, 38.0];

/// Rooms for a text beside the points of a line, the nearest and of these the
/// last ones first, within the strip.
fn beside(
    strip: &Strip,
    (text, style): (&str, Type),
    points: &[(f64, f64)],
    distances: &[f64],
) -> Vec<Spot> {
    let room = strip.room();
    let spots = distances.iter().flat_map(|away| {
        points.iter().rev().flat_map(move |(x, y)| {
            [
                style.room(text, x + away, y + 4.0),
                style.ending(text, x - away, y + 4.0),
                style.centred(text, *x, y - away - 2.0),
                style.centred(text, *x, y + away + 11.0),
                // Up the slope of a line at the edge of the strip.
                style.ending(text, x + 6.0, y - away),
                style.room(text, x - 6.0, y - away),
            ]
        })
    });
    spots.filter(|spot| room.holds(&spot.room)).collect()
}

/// Writes a text in the first of some rooms in the sky that meets no line; if there
/// is none and it is `needed`, over the fewest lines, which end at the letters.
fn write_beside(
    chart: &SkylineChart<'_>,
    sheet: &mut Sheet,
    strip: &Strip,
    (text, style): (&str, Type),
    mut spots: Vec<Spot>,
    needed: bool,
) {
    spots.retain(|spot| is_sky(chart, strip, &spot.room));
    let clear = spots
        .iter()
        .copied()
        .find(|spot| sheet.placer.is_clear(&spot.room));
    if let Some(clear) = clear {
        sheet.write(text, style, [clear]);
    } else if needed && let Some(spot) = sheet.placer.place(text, spots) {
        let middle = spot.room.left + 0.5 * spot.room.width;
        let offset = (middle - strip.left) / strip.across - strip.half_deg;
        let from_camera = chart.right_of_camera_deg(strip.middle_deg + offset);
        let ground = match from_camera.abs() > HALF_DEG {
            true => sheet.palette.behind(),
            false => sheet.palette.paper(),
        };
        sheet.set(text, style, Some(ground), spot);
    }
}

/// Writes the name of the camera's frame at its edge.
pub fn write_frame(chart: &SkylineChart<'_>, sheet: &mut Sheet, strip: &Strip) {
    let Some(camera) = &chart.site.camera else {
        return;
    };
    if !strip.reaches(chart.facing_deg()) {
        return;
    }
    let text = format!("frame, {} mm", camera.focal_mm);
    let room = strip.room();
    let points: Vec<(f64, f64)> = strip.pieces(&frame_edge(chart)).concat();
    let style = Type::SMALL;
    let spots = points
        .iter()
        .flat_map(|(x, y)| {
            let (above, below) = (y - 5.0, y + 13.0);
            [
                style.room(&text, x + 5.0, below),
                style.ending(&text, x - 5.0, below),
                style.room(&text, x + 5.0, above),
                style.ending(&text, x - 5.0, above),
            ]
        })
        .filter(|spot| room.holds(&spot.room) && is_sky(chart, strip, &spot.room));
    let clear: Vec<_> = spots
        .filter(|spot| sheet.placer.is_clear(&spot.room))
        .collect();
    sheet.write(&text, style, clear);
}

/// Writes the whole hours at the paths of the night asked for, where there is
/// room.
pub fn write_hours(chart: &SkylineChart<'_>, sheet: &mut Sheet, strip: &Strip) {
    let room = strip.room();
    let style = Type::SMALL;
    for path in drawn(chart).into_iter().filter(|path| path.asked) {
        for part in path.body.clear_parts() {
            for moment in whole_hours(chart, &part) {
                let Some(((x, y), _)) = tick(strip, &part, moment) else {
                    continue;
                };
                let text = clock(chart.site, moment);
                let spots = [
                    style.centred(&text, x, y - 8.0),
                    style.centred(&text, x, y + 17.0),
                    style.room(&text, x + 8.0, y + 4.0),
                    style.ending(&text, x - 8.0, y + 4.0),
                    style.room(&text, x + 6.0, y + 12.0),
                    style.ending(&text, x - 6.0, y - 4.0),
                    style.room(&text, x + 6.0, y - 4.0),
                    style.ending(&text, x - 6.0, y + 12.0),
                ];
                let clear = spots
                    .into_iter()
                    .filter(|spot| room.holds(&spot.room) && is_sky(chart, strip, &spot.room))
                    .find(|spot| sheet.placer.is_clear(&spot.room));
                sheet.write(&text, style, clear);
            }
        }
    }
}
