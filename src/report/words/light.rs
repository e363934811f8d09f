//! The light: where it comes from, how bright the land is, and the settings for
//! it.

use crate::{
    Figure,
    ephemeris::EclipseKind,
    light::{
        Assessment, Exposure, LitSide, OneExposure,
        exposure::SHUTTER_SCALE_S,
        milky_way::{Visibility, visibility},
    },
    rule::Conditions,
    scene::LightKind,
    search::Window,
};

/// The side of the camera direction on which the Moon is.
pub fn side_word(signed_angle_deg: f64) -> &'static str {
    if signed_angle_deg < 0.0 {
        "left"
    } else {
        "right"
    }
}

/// The light as a photographer puts it, with its angle and the side it comes
/// from: `79° left`.
pub fn light_words(signed_angle_deg: f64) -> String {
    let side = side_word(signed_angle_deg);
    format!("{:.0}° {side}", signed_angle_deg.abs())
}

/// The same, short: `79°L`.
pub fn light_letters(signed_angle_deg: f64) -> String {
    let side = if side_word(signed_angle_deg) == "left" {
        "L"
    } else {
        "R"
    };
    format!("{:.0}°{side}", signed_angle_deg.abs())
}

/// How bright the land is against the sky: `1.6 stops darker than`.
pub fn land_words(land_vs_sky_stops: f64) -> String {
    let size = format!("{:.1}", land_vs_sky_stops.abs());
    match size.as_str() {
        "0.0" => "as bright as".to_owned(),
        _ if land_vs_sky_stops < 0.0 => format!("{size} stops darker than"),
        _ => format!("{size} stops brighter than"),
    }
}

/// The word for a contrast: clear, washed out or hopeless.
pub fn visibility_word(visibility: Visibility) -> &'static str {
    match visibility {
        Visibility::Clear => "clear",
        Visibility::WashedOut => "washed_out",
        Visibility::Hopeless => "hopeless",
    }
}

/// Whether one exposure holds land and sky: likely, perhaps or no.
pub fn one_exposure_word(one_exposure: OneExposure) -> &'static str {
    match one_exposure {
        OneExposure::Likely => "likely",
        OneExposure::Perhaps => "perhaps",
        OneExposure::No => "no",
    }
}

/// How the sky and what stands before it are: the Milky Way, or the Moon's disc
/// where that is the target.
pub(in crate::report) fn target_light_words(instant: &Conditions) -> String {
    let target = instant.target_name();
    let (light, mag) = (&instant.light, instant.light.sky_mag_arcsec2);
    if !instant.target.is_moon() {
        let contrast = contrast_words(light);
        return format!("Sky behind the {target} {mag:.2} mag/arcsec2, {contrast}");
    }
    let over = instant.moon_disc_vs_land_stops();
    let disc = match over.zip(instant.moon_disc_vs_sky_stops()) {
        Some((over_land, over_sky)) => format!(
            "; its disc {} that and {} the land",
            land_words(over_sky),
            land_words(over_land)
        ),
        None => String::new(),
    };
    format!("Sky beside the {target} {mag:.2} mag/arcsec2{disc}")
}

/// How the Milky Way stands out: `Milky Way contrast 0.61, clear (53% kept)`.
fn contrast_words(light: &Assessment) -> String {
    let kept = format!("{:.0}% kept", 100.0 * light.contrast_kept);
    match light.milky_way_contrast {
        Some(contrast) => {
            let word = visibility_word(visibility(contrast)).replace('_', " ");
            format!("Milky Way contrast {contrast:.2}, {word} ({kept})")
        }
        None => format!("Milky Way contrast not known ({kept})"),
    }
}

/// How bright a tone is: `1.9 stops below mid-tone`.
pub fn mid_tone_words(placement_stops: f64) -> String {
    let size = format!("{:.1}", placement_stops.abs());
    match size.as_str() {
        "0.0" => "at mid-tone".to_owned(),
        _ if placement_stops < 0.0 => format!("{size} stops below mid-tone"),
        _ => format!("{size} stops above mid-tone"),
    }
}

/// Moonlight in lux, to a tenth of a millilux.
pub fn lux(value: f64) -> String {
    format!("{value:.4}")
}

/// The light of an instant in these `words`; a dash if no moonlight reaches the
/// land.
pub(in crate::report) fn light_cell(instant: &Conditions, words: fn(f64) -> String) -> String {
    if instant.is_moonlit() {
        words(instant.signed_light_angle_deg())
    } else {
        "-".to_string()
    }
}

/// `12° up`, or that the Moon is down.
pub(in crate::report) fn moon_height_words(instant: &Conditions) -> String {
    if instant.moon_is_up() {
        format!("{:.0}° up", Figure(instant.sky.moon.apparent_altitude_deg))
    } else {
        "below the horizon".to_string()
    }
}

/// The light of a window, in a few words.
pub(in crate::report) fn window_light_words(window: &Window) -> String {
    match &window.land {
        Some(_) if window.moonlight_is_first() => "moonlit land, then dark sky".to_string(),
        Some(_) => "dark sky, then moonlit land".to_string(),
        None if window.best.target.is_moon() => {
            let altitude_deg = window.best.sky.moon.apparent_altitude_deg;
            format!("Moon {:.0}° up in the picture", Figure(altitude_deg))
        }
        None if window.best.is_moonlit() => {
            let angle = window.best.signed_light_angle_deg();
            format!("moonlight {}", light_words(angle))
        }
        None => "dark sky".to_string(),
    }
}

/// Stops with their sign.
pub fn stops(value: f64) -> String {
    format!("{:+.1}", Figure(value))
}

/// The word for an eclipse.
pub fn eclipse_word(kind: EclipseKind) -> &'static str {
    match kind {
        EclipseKind::Penumbral => "penumbral",
        EclipseKind::Partial => "partial",
        EclipseKind::Total => "total",
    }
}

/// An eclipse in a window, and how sure its light is.
pub fn eclipse_phrase(kind: EclipseKind) -> String {
    let phrase = format!("{} lunar eclipse in the window", eclipse_word(kind));
    match kind {
        EclipseKind::Penumbral => phrase,
        EclipseKind::Partial | EclipseKind::Total => format!(
            "{phrase}; its moonlight may be off by a magnitude, and by more after a large volcanic \
             eruption"
        ),
    }
}

/// The word for the side of the subject that is lit, as seen from the camera.
pub fn lit_side_word(side: LitSide) -> Option<&'static str> {
    match side {
        LitSide::Left => Some("left"),
        LitSide::Right => Some("right"),
        LitSide::Front => Some("front"),
        LitSide::Back => Some("back"),
        LitSide::Unlit => None,
    }
}

/// A shutter speed as a camera shows it: `15 s`, `1/4 s`.
pub fn shutter_text(seconds: f64) -> String {
    if seconds >= 0.3 {
        let text = format!("{seconds:.1}");
        format!("{} s", text.trim_end_matches('0').trim_end_matches('.'))
    } else {
        format!("1/{:.0} s", 1.0 / seconds)
    }
}

/// Settings as a photographer writes them: `f/2.8, 13 s, ISO 3200`.
pub(in crate::report) fn settings_text(exposure: &Exposure) -> String {
    settings_of(exposure.f_number, exposure.shutter_s, exposure.iso)
}

/// The same of an f-number, a shutter time in seconds and an ISO; a time that
/// no camera measures itself is bulb.
pub(in crate::report) fn settings_of(f_number: f64, shutter_s: f64, iso: u32) -> String {
    let shutter = if shutter_s > SHUTTER_SCALE_S[0] {
        format!("{} (bulb)", duration_text(shutter_s))
    } else {
        shutter_text(shutter_s)
    };
    format!("f/{f_number}, {shutter}, ISO {iso}")
}

/// A time that something takes: `3 s`, `2 min 5 s`, `1 h 30 min`; seconds are
/// left out from an hour on.
pub(in crate::report) fn duration_text(seconds: f64) -> String {
    let both = |whole: f64, unit: &str, rest: f64, small: &str| match rest {
        none if none < 1.0 => format!("{whole:.0} {unit}"),
        rest => format!("{whole:.0} {unit} {rest:.0} {small}"),
    };
    if seconds < 60.0 {
        return shutter_text(seconds);
    }
    let whole = seconds.round();
    if whole < 3600.0 {
        return both((whole / 60.0).floor(), "min", whole % 60.0, "s");
    }
    let minutes = (seconds / 60.0).round();
    both((minutes / 60.0).floor(), "h", minutes % 60.0, "min")
}

/// A night of one kind of light with its article: `a dark night`, `any night`.
pub fn a_kind_of_night(kind: LightKind) -> String {
    match kind {
        LightKind::Any => "any night".to_owned(),
        kind => format!("a {kind} night"),
    }
}
