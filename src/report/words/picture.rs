//! A picture of one instant: what it holds, how it is framed, where the light
//! comes from.

use super::{
    clock::{clock, clocks},
    eclipse::moon_lit_words,
    framing::{orientation_word, pitch_words},
    light::side_word,
    measure::{bearing_words, height_words},
};
use crate::{
    Figure,
    ephemeris::{Moment, UmbraOnDisc},
    light::{LitSide, Orientation},
    rule::Conditions,
    scene::{LightKind, North, Site},
    search::{Course, InPicture, PictureFrames, Window},
};

/// What a picture holds, and where the rest is: `In the picture: core, juniper.
/// Outside: Moon.` Without frames, what is in sight.
pub fn in_picture_words(
    parts: &[(&str, InPicture)],
    frames: Option<&PictureFrames>,
    subject: &str,
) -> String {
    let in_sight = frames.map_or("In sight", |_| "In the picture");
    let behind_subject = format!("Behind {subject}");
    let groups = [
        (InPicture::Yes, in_sight),
        (InPicture::Outside, "Outside"),
        (InPicture::BehindRidge, "Behind the ridge"),
        (InPicture::BehindSubject, &behind_subject),
        (InPicture::Lost, "Lost in the bright sky"),
        (InPicture::BelowHorizon, "Below the horizon"),
    ];
    let said = groups.into_iter().filter_map(|(state, heading)| {
        let of_state = parts.iter().filter(|part| part.1 == state);
        let names: Vec<&str> = of_state.map(|part| part.0).collect();
        (!names.is_empty()).then(|| format!("{heading}: {}.", names.join(", ")))
    });
    said.collect::<Vec<_>>().join(" ")
}

/// A bearing from the site's north and, where it is known, from the other:
/// `174° (compass 164°)`.
pub fn both_bearings(north: North, declination_deg: Option<f64>, true_deg: f64) -> String {
    let whole = |degrees: f64| Figure(degrees.round().rem_euclid(360.0)).to_string();
    match (north, declination_deg) {
        (North::Magnetic { .. }, _) => format!(
            "{} ({}° true)",
            bearing_words(north, true_deg, 0),
            whole(true_deg)
        ),
        (North::True, Some(declination_deg)) => format!(
            "{}° (compass {}°)",
            whole(true_deg),
            whole(true_deg - declination_deg)
        ),
        (North::True, None) => format!("{}°", whole(true_deg)),
    }
}

/// Lens, holding, pitch and bearing of the frames of a picture.
pub fn frames_words(frames: &PictureFrames, site: &Site, declination_deg: Option<f64>) -> String {
    let held = orientation_word(frames.orientation);
    let focal_mm = frames.optics().focal_mm();
    let north = site.conventions.north;
    let toward = |deg: f64| both_bearings(north, declination_deg, deg);
    match (frames.one(), frames.bearings_deg.first()) {
        (Some(view), Some(bearing)) => {
            let pitch_deg = frames.pitches_deg.first().copied().unwrap_or(0.0);
            format!(
                "{focal_mm} mm in {held}, {:.0}° by {:.0}°, {}, toward {}",
                view.width_deg(),
                view.height_deg(),
                pitch_words(pitch_deg),
                toward(*bearing)
            )
        }
        _ => {
            let pitches = frames.pitches_deg.iter();
            let pitches: Vec<String> = pitches.map(|deg| pitch_words(deg.round())).collect();
            let rows = match pitches.len() {
                1 => String::new(),
                rows => format!(" in each of {rows} rows"),
            };
            format!(
                "Panorama: {focal_mm} mm in {held}, {} frames{rows}, {}",
                frames.bearings_deg.len(),
                pitches.join(", then ")
            )
        }
    }
}

/// The bearings of a panorama's frames: `Frame 1 toward 123°, 2 toward 148°`.
pub fn frame_bearings_words(frames: &PictureFrames, north: North) -> String {
    let each = frames.bearings_deg.iter().enumerate();
    let said: Vec<String> = each
        .map(|(index, deg)| format!("{} toward {}", index + 1, bearing_words(north, *deg, 0)))
        .collect();
    format!("Frame {}", said.join(", "))
}

/// Where the light comes from, and which side of the subject it lights.
pub fn light_from_words(
    instant: &Conditions,
    moon: InPicture,
    umbra: Option<&UmbraOnDisc>,
    site: &Site,
) -> String {
    let sky = &instant.sky;
    let angle = instant.signed_light_angle_deg();
    let altitude_deg = Figure(sky.moon.apparent_altitude_deg.round());
    let lit = format!("Moon {}", moon_lit_words(instant, umbra.is_some()));
    let size = format!("{:.0}°", angle.abs());
    let side = format!("{size} {}", side_word(angle));
    if moon == InPicture::BelowHorizon {
        return "No moonlight: the Moon is below the horizon".to_owned();
    }
    if !instant.is_moonlit() {
        return format!("No moonlight on the land: {lit}, {side}, {altitude_deg}° up, hidden");
    }
    if !instant.casts_shadow() {
        return format!(
            "Too little moonlight for a shadow that shows: {lit}, {side}, {altitude_deg}° up"
        );
    }
    let whose = site
        .subject
        .as_ref()
        .map_or_else(|| "the land".to_owned(), |s| s.within_sentence());
    let (from, lights) = match instant.light.lit_side {
        LitSide::Back => (
            format!("ahead, {side}"),
            format!("backlight, the near side of {whose} is dark"),
        ),
        LitSide::Front => (
            format!("behind you, {side}"),
            format!("flat light on the near side of {whose}"),
        ),
        LitSide::Left => (
            format!("the left, {size}"),
            format!("the left side of {whose} is lit"),
        ),
        LitSide::Right => (
            format!("the right, {size}"),
            format!("the right side of {whose} is lit"),
        ),
        LitSide::Unlit => (side, "no moonlight on the subject".to_owned()),
    };
    format!("Light from {from}, {altitude_deg}° up ({lit}): {lights}")
}

/// The Sun, where it matters: a night that is not dark.
pub fn sun_height_words(instant: &Conditions) -> Option<String> {
    let below_deg = -instant.sky.sun.altitude_deg;
    let twilight = match below_deg {
        day if day < 0.0 => return Some(format!("Daylight: the Sun is {:.0}° up", -below_deg)),
        civil if civil < 6.0 => "civil twilight",
        nautical if nautical < 12.0 => "nautical twilight",
        astronomical if astronomical < 18.0 => "astronomical twilight",
        _ => return None,
    };
    Some(format!(
        "Not dark: {twilight}, the Sun is {below_deg:.0}° below the horizon"
    ))
}

/// How tall the subject is in a frame, and where its shadow falls; or what is
/// missing to know it.
pub fn subject_in_frame_words(
    instant: &Conditions,
    frames: Option<&PictureFrames>,
    site: &Site,
) -> Option<String> {
    let subject = site.subject.as_ref()?;
    let name = subject.at_sentence_start();
    let missing = match (site.subject_distance_m(), subject.height_m) {
        (None, None) => "distance and height",
        (None, Some(_)) => "distance",
        (Some(_), None) => "height",
        (Some(_), Some(_)) => "",
    };
    let shape = site.subject_shape()?;
    let Some(height_m) = subject.height_m.filter(|_| missing.is_empty()) else {
        return Some(format!(
            "{name}: its {missing} would give its size in the frame and its shadow"
        ));
    };
    let tall_deg = shape.top_deg - shape.foot_deg;
    let mut words = format!("{name} is {tall_deg:.1}° tall");
    if let Some(frames) = frames {
        let optics = frames.optics();
        let sensor_mm = match frames.orientation {
            Orientation::Landscape => optics.sensor_height_mm(),
            Orientation::Portrait => optics.sensor_width_mm(),
        };
        let share = optics.image_mm(tall_deg) / sensor_mm;
        words += &format!(", {} of the frame's height", share_words(share));
    }
    if shape.width_assumed {
        words += ", width assumed";
    }
    let light = &instant.light;
    let shadow = light.shadow_azimuth_deg.zip(light.shadow_length_per_height);
    if let Some((azimuth_deg, per_height)) = shadow.filter(|_| instant.casts_shadow()) {
        let length_m = per_height * height_m;
        let toward = bearing_words(site.conventions.north, azimuth_deg, 0);
        words += &format!(
            "; its shadow is {} long, toward {toward}",
            shadow_length_words(site, length_m)
        );
    }
    Some(words)
}

/// The length of a shadow; beyond a kilometre no ground is level.
pub fn shadow_length_words(site: &Site, length_m: f64) -> String {
    let units = site.conventions.units;
    match length_m {
        short if short < 1000.0 => height_words(units, short, usize::from(short < 10.0)),
        _ => format!("over {}", height_words(units, 1000.0, 0)),
    }
}

/// A share of a side: `1/20`, `40%`.
fn share_words(share: f64) -> String {
    match share {
        small if small < 0.1 => format!("1/{:.0}", 1.0 / small.max(1e-4)),
        large => format!("{:.0}%", 100.0 * large),
    }
}

/// Whether an instant is in a window of its night, else when the nearest opens
/// or closed; `None` in a night without a window.
pub fn window_at_words(site: &Site, course: &Course, moment: Moment) -> Option<String> {
    if let Some(window) = course.window_at(moment) {
        return Some(inside_words(site, window));
    }
    let gap = |window: &&Window| {
        let whole = window.whole();
        (whole.start - moment.seconds()).max(moment.seconds() - whole.end)
    };
    let windows = course.series.windows.iter();
    let window = windows.min_by(|a, b| gap(a).total_cmp(&gap(b)))?;
    let kind = kind_of_window(window);
    let hours: Vec<String> = window
        .intervals()
        .map(|period| clocks(site, period))
        .collect();
    let hours = hours.join(" and ");
    Some(match window.whole().end < moment.seconds() {
        true => format!("After the {kind} {hours}."),
        false if moment.seconds() < window.whole().start => {
            format!("Before the {kind} {hours}.")
        }
        false => format!("Between the periods of a {kind}: {hours}."),
    })
}

/// What a window is called: without a rule about the Moon, a window.
fn kind_of_window(window: &Window) -> String {
    match window.light {
        LightKind::Any => "window".to_owned(),
        kind => format!("{kind} window"),
    }
}

fn inside_words(site: &Site, window: &Window) -> String {
    let own = clocks(site, window.interval);
    let kind = kind_of_window(window);
    match &window.land {
        Some(land) => format!(
            "In a {kind}: dark sky {own}, moonlit land {}.",
            clocks(site, land.interval)
        ),
        None => format!(
            "In the {kind} {own}, best {}.",
            clock(site, window.best.moment())
        ),
    }
}
