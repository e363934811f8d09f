//! A window of a site: its fields, in the order of the CSV.

pub use super::window_record::{Record, Windows};
use super::{
    framing::of_window as framing,
    instant, moonlit,
    site::{NO_VIEW, VIEW_DOC},
    weather, window_asked as asked, window_score as score,
    window_texts::{self as texts, SCORE, azimuth, degrees, optional, percent},
};
use crate::{
    Figure,
    report::{
        grid::{FAINT, STRONG},
        row::{Field, Importance, InBlend, Range, Shown},
        words::{
            clock, clocks, doubt_phrases, doubt_words, eclipse_word, one_exposure_word, stops,
        },
    },
};
use Importance::{Elsewhere, Further, Key, Must, Usual};

type F = Field<Windows>;
type S = Shown<Windows>;

/// The field with the name of the site, which a table of one site leaves out.
pub const SITE: &str = "site";
/// The field with the name of the view.
pub const VIEW: &str = "view";

/// The fields that people see of some records: that of the frame is left out
/// where no site has a camera, those of the weather where nothing is known of it.
pub(in crate::report) fn fields_of<'a>(
    records: &'a [Record<'a>],
) -> impl Iterator<Item = &'static F> + use<'a> {
    let framed = records.iter().any(|record| framing::plan(record).is_some());
    FIELDS
        .iter()
        .filter(move |field| framed || field.name != framing::FRAMING.name)
        .filter(|field| weather::is_known(field, records))
}

/// Every field, in the order of the CSV.
pub static FIELDS: &[F] = &[
    F::text(SITE, |r| Some(&r.site.name))
        .doc("name of the site")
        .shown(
            S::new(99, ["", SITE, SITE], Must, texts::site)
                .apart()
                .left()
                .not_beside(),
        ),
    F::text(VIEW, |r| r.site.view.as_deref())
        .empty(NO_VIEW)
        .doc(VIEW_DOC),
    F::whole("rank", |r| Some(r.window.rank as i64))
        .range(Range::AtLeast(1.0))
        .empty("a near miss")
        .doc(
            "place among all windows of the site by score, from 1; with --together among all sites. \
             Kept when fewer are shown",
        )
        .shown(
            S::new(0, ["", "#", "#"], Must, |r, _| r.window.rank.to_string())
                .style(FAINT)
                .not_beside(),
        ),
    F::number(SCORE, 1, |r| Some(r.window.score))
        .range(Range::Within(0.0, 100.0))
        .doc("0 to 100")
        .shown(
            S::new(1, ["", SCORE, SCORE], Must, |r, _| {
                format!("{:.0}", r.window.score)
            })
            .style(STRONG)
            .good(|r| Some(r.window.score)),
        ),
    F::date("night", |r| Some(r.window.night))
        .doc("YYYY-MM-DD, the civil date of the evening (site's zone, at local mean solar noon)")
        .shown(
            S::new(2, ["", "evening", "night"], Must, |r, _| {
                r.window.night.format("%a %Y-%m-%d").to_string()
            })
            .left()
            .not_beside(),
        ),
    F::local("start_local", |r| Some(r.local(r.window.interval.first())))
        .doc("start of the window; YYYY-MM-DD HH:MM:SS, site's zone; rounded to the second")
        .shown(
            S::new(3, ["", "window", "window"], Must, |r, _| {
                clocks(r.site, r.window.interval)
            })
            .left()
            .blend(InBlend::Named("dark")),
        ),
    F::local("end_local", |r| Some(r.local(r.window.interval.last())))
        .doc("end of the window; YYYY-MM-DD HH:MM:SS, site's zone; rounded to the second"),
    F::local("best_local", |r| Some(r.local(r.best().moment())))
        .doc("best instant of the window; YYYY-MM-DD HH:MM:SS, site's zone; rounded to the second")
        .shown(
            S::new(4, ["", "best", "best at"], Key, |r, _| {
                clock(r.site, r.best().moment())
            })
            .left()
            .style(STRONG),
        ),
    F::offset("utc_offset", |r| {
        Some(r.site.zone.offset_seconds_at(r.best().moment()))
    })
    .doc("+HH:MM at the best instant (seconds added where a zone had some)")
    .shown(
        S::new(20, ["", "UTC", "UTC"], Further, texts::offset)
            .apart()
            .left()
            .style(FAINT)
            .not_beside(),
    ),
    F::utc("start_utc", |r| Some(r.window.interval.first()))
        .doc("start of the window; RFC 3339 with Z"),
    F::utc("end_utc", |r| Some(r.window.interval.last())).doc("end of the window; RFC 3339 with Z"),
    F::utc("best_utc", |r| Some(r.best().moment()))
        .doc("best instant of the window; RFC 3339 with Z"),
    F::number("minutes", 1, |r| Some(r.window.interval.minutes()))
        .range(Range::AtLeast(0.0))
        .doc("length, minutes")
        .shown(
            S::new(15, ["", "min", "minutes"], Further, |r, _| {
                format!("{:.0}", r.window.interval.minutes())
            })
            .apart()
            .off_page()
            .good(|r| Some(r.window.interval.minutes())),
        ),
    F::of_instant(&instant::TARGET_ALTITUDE, |r| Some(r.best())).shown(
        S::new(9, ["core", "alt", "core altitude"], Usual, |r, room| {
            degrees(r.best().sky.target.apparent_altitude_deg, room)
        }),
    ),
    F::of_instant(&instant::TARGET_AZIMUTH, |r| Some(r.best())).shown(
        S::new(10, ["", "az", "core azimuth"], Further, |r, room| {
            azimuth(r.site, r.best().sky.target.azimuth_deg, room)
        })
        .not_beside(),
    ),
    F::of_instant(&instant::TARGET_OFFSET, |r| Some(r.best())).shown(
        S::new(11, ["", "off", "core off centre"], Elsewhere, |r, _| {
            format!("{:+.0}°", Figure(r.best().target_offset_deg()))
        })
        .off_page()
        .good(|r| Some(-r.best().target_offset_deg().abs())),
    ),
    F::of_instant(&instant::MOON_ALTITUDE, |r| Some(r.best())).shown(
        S::new(7, ["", "alt", "Moon altitude"], Usual, |r, room| {
            degrees(r.lit().sky.moon.apparent_altitude_deg, room)
        })
        .of_stars(),
    ),
    F::of_instant(&instant::MOON_AZIMUTH, |r| Some(r.best())),
    F::of_instant(&instant::MOON_FRACTION, |r| Some(r.best())).shown(
        S::new(6, ["Moon", "lit", "Moon lit"], Key, |r, _| {
            percent(r.lit().sky.phase.illuminated_fraction)
        }),
    ),
    F::of_instant(&instant::MOON_WAXING, |r| Some(r.best())),
    F::of_instant(&instant::LIGHT_ANGLE, |r| Some(r.best())).shown(S::new(
        8,
        ["light", "from", "light from"],
        Key,
        texts::light,
    )),
    F::of_instant(&instant::LIGHT_SIDE, |r| Some(r.best())),
    F::of_instant(&instant::MOON_TARGET_SEPARATION, |r| Some(r.best())).shown(
        S::new(12, ["", "apart", "Moon to core"], Elsewhere, |r, _| {
            format!("{:.0}°", r.best().sky.moon_target_separation_deg)
        })
        .off_page()
        .of_stars()
        .good(|r| Some(r.best().sky.moon_target_separation_deg)),
    ),
    F::of_instant(&instant::SUN_ALTITUDE, |r| Some(r.best())),
    F::of_instant(&instant::MOONLIGHT, |r| Some(r.best())).shown(
        S::new(
            16,
            ["moonlight", "lux", "moonlight"],
            Further,
            texts::moonlight,
        )
        .off_page(),
    ),
    F::of_instant(&instant::SKY_MAG, |r| Some(r.best())).shown(
        S::new(
            17,
            ["sky mag", "/arcsec2", "sky mag/arcsec2"],
            Further,
            texts::sky_mag,
        )
        .off_page()
        .good(|r| Some(r.best().light.sky_mag_arcsec2)),
    ),
    F::of_instant(&instant::SKY_LOSS, |r| Some(r.best())),
    F::of_instant(&instant::MILKY_WAY_CONTRAST, |r| Some(r.best())).shown(
        S::new(
            13,
            ["Milky", "Way", "Milky Way contrast"],
            Key,
            texts::contrast,
        )
        .off_page()
        .of_stars()
        .good(|r| r.best().light.milky_way_contrast),
    ),
    F::of_instant(&instant::VISIBILITY, |r| Some(r.best())),
    F::of_instant(&instant::CONTRAST_KEPT, |r| Some(r.best())).shown(
        S::new(15, ["", "kept", "contrast kept"], Further, |r, _| {
            percent(r.best().light.contrast_kept)
        })
        .off_page()
        .blend(InBlend::Absent)
        .of_stars()
        .good(|r| Some(r.best().light.contrast_kept)),
    ),
    F::of_instant(&instant::BALANCE, |r| Some(r.best())).shown(
        S::new(14, ["land", "stops", "land vs sky, stops"], Usual, |r, _| {
            stops(r.best().light.land_vs_sky_stops)
        })
        .blend(InBlend::Absent)
        .good(|r| r.window.factors.balance),
    ),
    F::number("land_vs_sky_half_width_stops", 2, |r| {
        Some(r.window.land_range.half_width_stops)
    })
    .range(Range::AtLeast(0.0))
    .doc(
        "how far that may be off: half the range of 16 to 84 %, stops; by what is known of the \
         land's reflectance, the zenith sky and the air",
    ),
    F::word("one_exposure", &["likely", "perhaps", "no"], |r| {
        Some(one_exposure_word(r.window.land_range.one_exposure))
    })
    .doc(
        "whether one exposure holds land and sky, land within 3 stops darker and 1 brighter: likely \
         if three quarters of the range are, perhaps if one quarter is, else no",
    ),
    F::of_instant(&instant::LEVEL, |r| Some(r.best())),
    F::of_instant(&instant::TOWARD_MOON, |r| Some(r.best())),
    F::of_instant(&instant::AWAY, |r| Some(r.best())),
    F::flag("target_in_town_glow", |r| r.in_town_glow())
        .empty("site without `[[sky.glow]]` that does not use the list of towns")
        .doc("whether the target stands in the dome of a town, a given one or a bright one by the law of towns"),
    F::of_instant(&instant::ARCH_ALTITUDE, |r| Some(r.best())).shown(
        S::new(18, ["arch", "top", "arch top"], Further, texts::arch_top)
            .apart()
            .off_page()
            .of_stars(),
    ),
    F::of_instant(&instant::ARCH_AZIMUTH, |r| Some(r.best())),
    F::of_instant(&instant::TILT, |r| Some(r.best())),
    F::of_instant(&instant::SHADOW_LENGTH, |r| Some(r.best())).shown(
        S::new(
            19,
            ["shadow", "x height", "shadow x height"],
            Further,
            texts::shadow_length,
        )
        .off_page(),
    ),
    score::CONTRAST,
    score::BALANCE,
    score::RAKING,
    score::FRAMING,
    score::POSITION,
    score::LENGTH,
    score::PREFERENCE,
    asked::LIGHT,
    asked::BRIEF,
    asked::TIME_ZONE,
    asked::LATITUDE,
    asked::LONGITUDE,
    F::of_instant(&instant::FACING, |r| Some(r.best())),
    F::of_instant(&instant::LIT_SIDE, |r| Some(r.best())),
    F::of_instant(&instant::FACE_LUX, |r| Some(r.best())),
    F::of_instant(&instant::SHADOW_AZIMUTH, |r| Some(r.best())),
    framing::FRAMING.shown(framing::SHOWN),
    framing::HOLDING,
    framing::BEARING,
    framing::PITCH,
    framing::COLUMNS,
    framing::ROWS,
    framing::LEVEL,
    framing::WHY_NOT,
    framing::MOON,
    framing::START_LOCAL,
    framing::END_LOCAL,
    framing::START_UTC,
    framing::END_UTC,
    F::of_instant(&instant::MOON_DISC_VS_LAND, |r| Some(r.best())).shown(
        S::new(
            13,
            ["disc", "stops", "disc vs land, stops"],
            Key,
            |r, _| optional(r.best().moon_disc_vs_land_stops(), stops),
        )
        .of_moon(),
    ),
    F::of_instant(&instant::MOON_DISC_VS_SKY, |r| Some(r.best())).shown(
        S::new(
            15,
            ["disc", "vs sky", "disc vs sky, stops"],
            Further,
            |r, _| optional(r.best().moon_disc_vs_sky_stops(), stops),
        )
        .off_page()
        .of_moon()
        .good(|r| r.best().moon_disc_vs_sky_stops()),
    ),
    F::of_instant(&instant::MOON_DIAMETER, |r| Some(r.best())),
    F::number("moon_diameter_px", 1, |r| r.moon_diameter_px())
        .range(Range::Above(0.0))
        .empty("site without `[camera]`, or the Moon is not the target")
        .doc("diameter of the Moon's disc in the middle of a frame of the site's own camera, pixels")
        .shown(
            S::new(12, ["disc", "px", "disc across, px"], Usual, |r, _| {
                optional(r.moon_diameter_px(), |px| format!("{px:.0}"))
            })
            .of_moon(),
        ),
    F::number("shutter_s", 4, |r| {
        r.frame().map(|frame| frame.exposure.shutter_s)
    })
    .range(Range::Above(0.0))
    .empty("site without `[camera]`")
    .doc(
        "the site's own camera in that frame (else in landscape, half-way from the level in the \
             facing direction to the target): shutter by the full NPF rule with factor 1, seconds",
    ),
    F::whole("iso", |r| {
        r.frame().map(|frame| i64::from(frame.exposure.iso))
    })
    .range(Range::AtLeast(1.0))
    .empty("site without `[camera]`")
    .doc(instant::ISO),
    F::number("sky_placement_stops", 2, |r| {
        r.frame().map(|frame| frame.exposure.sky_placement_stops)
    })
    .empty("site without `[camera]`")
    .doc(instant::SKY_PLACEMENT),
    F::number("land_placement_stops", 2, |r| {
        r.frame()
            .map(|frame| frame.exposure.land_placement_stops)
    })
    .empty("site without `[camera]`")
    .doc(instant::LAND_PLACEMENT),
    F::word("eclipse", &["penumbral", "partial", "total"], |r| {
        r.window.eclipse.map(eclipse_word)
    })
    .empty("none")
    .doc("deepest lunar eclipse in the window with the Moon up: penumbral, partial, total"),
    moonlit::START_LOCAL,
    moonlit::END_LOCAL,
    moonlit::BEST_LOCAL,
    moonlit::START_UTC,
    moonlit::END_UTC,
    moonlit::BEST_UTC,
    moonlit::MINUTES,
    moonlit::MOON_ALTITUDE,
    moonlit::MOON_AZIMUTH,
    moonlit::MOON_FRACTION,
    moonlit::LIGHT_ANGLE,
    moonlit::LIGHT_SIDE,
    moonlit::MOONLIGHT,
    F::text("doubts", |r| doubt_words(r.window.doubts))
        .empty("no doubt")
        .doc(
            "what makes the row less sure than others, words separated by a space: moon_near_horizon \
             (the Moon's centre within 3° of the horizon, above or below, at the best instant or \
             for a quarter or more of the window or the moonlit period), target_low (the target \
             under 5° apparent, likewise, but not in the moonlit period), sky_guessed (the dark sky is a guess or from a Bortle class), cloud_forecast (the forecast has more than 50 percent of cloud over the window or the moonlit period)",
        )
        .shown(
            S::new(21, ["", "doubtful", "doubtful"], Elsewhere, |r, _| {
                doubt_phrases(r.window.doubts)
            })
            .left()
            .not_beside(),
        ),
    F::text("town_under_target", |r| {
        r.town_under_target().map(|dome| dome.town.name)
    })
    .empty("none, or a site that does not use the list of towns")
    .doc("name of the town by the law of towns in whose glow the target stands, the brightest of them"),
    weather::CLEAR_CHANCE,
    weather::CLOUD,
    weather::MOST_CLOUD,
];
