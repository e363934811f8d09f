//! The lines of a night's timetable and its steps: their fields.

pub use super::night_record::{NightRow, NightRows};
use super::{
    instant,
    site::VIEW_DOC,
    step_texts::{self as texts, bearing, degrees},
    weather,
};
use crate::{
    plan::{Body, NightPlan},
    report::{
        row::{Field, Importance, Range, Shown},
        words::{shutter_text, stops},
    },
};
use Importance::{Further, Key, Must, Usual};

/// The word for a body.
fn body_word(body: Body) -> &'static str {
    match body {
        Body::Sun => "sun",
        Body::Moon => "moon",
        Body::Target => "target",
    }
}

type F = Field<NightRows>;
type S = Shown<NightRows>;

/// The fields of a step with its time that people see of a plan, not in the
/// order of their columns: that of cloud is left out where nothing is foretold.
pub fn step_fields(plan: &NightPlan<'_>) -> impl Iterator<Item = &'static F> + use<> {
    let mut rows = plan.steps.iter().map(|step| NightRow::of_step(plan, step));
    let cloud = rows.any(|row| row.cloud_percent().is_some());
    let fields = TIME.iter().chain(STEP);
    fields.filter(move |field| cloud || field.name != weather::CLOUD_AT.name)
}

/// The fields of a night's CSV, in its order.
pub static ALL: [&[F]; 6] = [WHOSE, WHICH, EVENING, TIME, LINE, STEP];

/// Which view: what a line of a place with several views has besides.
pub static WHICH: &[F] = &[F::text("view", |r| r.view())
    .empty("site without views; about the place, whatever the view")
    .doc(VIEW_DOC)];

/// Which site and view, before the night and what every row of the CSV has.
pub static WHOSE: &[F] = &[F::text("site", |r| Some(&r.plan.site.name)).doc("name of the site")];

/// The night of a row of the CSV.
pub static EVENING: &[F] =
    &[F::date("night", |r| Some(r.plan.night.date))
        .doc("YYYY-MM-DD, the civil date of the evening")];

/// When.
pub static TIME: &[F] = &[
    F::local("time_local", |r| {
        Some(r.site().zone.local(r.step.instant.moment()))
    })
    .doc("YYYY-MM-DD HH:MM:SS, site's zone")
    .shown(S::new(0, ["", "time", "time"], Must, texts::time).left()),
    F::offset("utc_offset", |r| {
        Some(r.site().zone.offset_seconds_at(r.step.instant.moment()))
    })
    .doc("+HH:MM (seconds added where a zone had some)"),
    F::utc("time_utc", |r| Some(r.step.instant.moment())).doc("RFC 3339 with Z"),
];

/// What a line of the timetable has and a step does not.
pub static LINE: &[F] = &[
    F::text("what", |r| {
        Some(r.entry.map_or("step", |entry| entry.event.key()))
    })
    .doc("what happens; the words stand in docs/night.md and may grow"),
    F::whole("window", |r| Some(r.entry?.event.window()? as i64))
        .range(Range::AtLeast(1.0))
        .empty("not of a window")
        .doc("number of the window, from 1"),
    F::word("body", &["sun", "moon", "target"], |r| {
        r.entry?.event.body().map(body_word)
    })
    .empty("none")
    .doc("the body whose place is given"),
    F::number("altitude_deg", 2, |r| {
        Some(r.entry?.place()?.apparent_altitude_deg)
    })
    .range(Range::Within(-90.0, 90.0))
    .empty("no body")
    .doc("apparent, degrees"),
    F::number("azimuth_deg", 2, |r| r.azimuth_deg())
        .range(Range::Within(0.0, 360.0))
        .empty("no body")
        .doc("true, degrees"),
    F::number("magnetic_azimuth_deg", 2, |r| {
        let field = r.plan.compass.as_ref().ok()?;
        Some(field.magnetic_bearing_deg(r.azimuth_deg()?))
    })
    .range(Range::Within(0.0, 360.0))
    .empty("no body, or outside 2025.0 to 2030.0")
    .doc("azimuth less the declination of WMM2025, degrees"),
];

/// Sky, light and settings.
pub static STEP: &[F] = &[
    F::of_instant(&instant::SUN_ALTITUDE, |r| Some(&r.step.instant)).shown(S::new(
        1,
        ["Sun", "", "Sun"],
        Usual,
        |r, _| degrees(r.step.instant.sky.sun.altitude_deg),
    )),
    F::of_instant(&instant::MOON_ALTITUDE, |r| Some(&r.step.instant))
        .shown(S::new(2, ["Moon", "alt", "Moon altitude"], Usual, texts::moon_up).apart()),
    F::of_instant(&instant::MOON_AZIMUTH, |r| Some(&r.step.instant)).shown(S::new(
        3,
        ["", "az", "Moon azimuth"],
        Usual,
        texts::moon_azimuth,
    )),
    F::of_instant(&instant::MOON_FRACTION, |r| Some(&r.step.instant)),
    F::flag("moon_clear", |r| Some(r.view_step()?.moon_clear))
        .doc("whether the Moon is above horizon and terrain at the subject"),
    F::of_instant(&instant::LIGHT_ANGLE, |r| Some(&r.view_step()?.instant)).shown(S::new(
        4,
        ["light", "from", "light from"],
        Usual,
        texts::light,
    )),
    F::of_instant(&instant::LIGHT_SIDE, |r| Some(&r.view_step()?.instant)),
    F::of_instant(&instant::LIT_SIDE, |r| Some(&r.view_step()?.instant)),
    F::of_instant(&instant::TARGET_ALTITUDE, |r| Some(&r.view_step()?.instant)).shown(
        S::new(6, ["core", "alt", "core altitude"], Usual, texts::target_up)
            .apart()
            .of_stars(),
    ),
    F::of_instant(&instant::TARGET_AZIMUTH, |r| Some(&r.view_step()?.instant)).shown(
        S::new(7, ["", "az", "core azimuth"], Usual, |r, _| {
            bearing(r.site(), r.step.instant.sky.target.azimuth_deg)
        })
        .of_stars(),
    ),
    F::of_instant(&instant::TARGET_OFFSET, |r| Some(&r.view_step()?.instant)).shown(
        S::new(
            13,
            ["core", "off", "core off centre"],
            Further,
            texts::target_offset,
        )
        .apart(),
    ),
    F::flag("target_clear", |r| Some(r.view_step()?.target_clear))
        .doc("whether the target is above horizon and terrain"),
    F::of_instant(&instant::FACING, |r| Some(&r.view_step()?.instant)),
    F::of_instant(&instant::ARCH_ALTITUDE, |r| Some(&r.view_step()?.instant))
        .shown(S::new(8, ["arch", "top", "arch top"], Usual, texts::arch_up).of_stars()),
    F::of_instant(&instant::ARCH_AZIMUTH, |r| Some(&r.view_step()?.instant)).shown(
        S::new(
            17,
            ["arch", "az", "arch azimuth"],
            Further,
            texts::arch_azimuth,
        )
        .apart()
        .of_stars(),
    ),
    F::of_instant(&instant::MOONLIGHT, |r| Some(&r.view_step()?.instant)).shown(S::new(
        5,
        ["", "lux", "moonlight, lux"],
        Usual,
        texts::moonlight,
    )),
    F::of_instant(&instant::SHADOW_AZIMUTH, |r| Some(&r.view_step()?.instant)).shown(S::new(
        16,
        ["", "toward", "shadow toward"],
        Further,
        texts::shadow_toward,
    )),
    F::of_instant(&instant::SHADOW_LENGTH, |r| Some(&r.view_step()?.instant)).shown(
        S::new(
            15,
            ["shadow", "x height", "shadow x height"],
            Further,
            texts::shadow_length,
        )
        .apart(),
    ),
    F::of_instant(&instant::SKY_MAG, |r| Some(&r.view_step()?.instant)).shown(
        S::new(9, ["sky", "mag", "sky mag/arcsec2"], Usual, |r, _| {
            format!("{:.1}", r.step.instant.light.sky_mag_arcsec2)
        })
        .apart(),
    ),
    F::of_instant(&instant::SKY_LOSS, |r| Some(&r.view_step()?.instant)),
    F::of_instant(&instant::MILKY_WAY_CONTRAST, |r| {
        Some(&r.view_step()?.instant)
    })
    .shown(
        S::new(
            14,
            ["Milky", "Way", "Milky Way contrast"],
            Further,
            |r, _| {
                let contrast = r.step.instant.light.milky_way_contrast;
                contrast.map_or_else(|| "-".to_owned(), |contrast| format!("{contrast:.2}"))
            },
        )
        .of_stars(),
    ),
    F::of_instant(&instant::CONTRAST_KEPT, |r| Some(&r.view_step()?.instant)),
    F::of_instant(&instant::BALANCE, |r| Some(&r.view_step()?.instant)).shown(S::new(
        10,
        ["land", "stops", "land vs sky, stops"],
        Usual,
        |r, _| stops(r.step.instant.light.land_vs_sky_stops),
    )),
    F::number("longest_shutter_s", 2, |r| {
        Some(r.view_step()?.frame.longest_shutter_s)
    })
    .range(Range::AtLeast(0.0))
    .doc("limit by the NPF rule, seconds"),
    F::number("f_number", 1, |r| {
        Some(r.view_step()?.frame.exposure.f_number)
    })
    .range(Range::AtLeast(0.0))
    .doc("f-number"),
    F::number("shutter_s", 5, |r| {
        Some(r.view_step()?.frame.exposure.shutter_s)
    })
    .range(Range::Above(0.0))
    .doc("shutter, seconds: the longest printed one within the limit")
    .shown(
        S::new(11, ["", "shutter", "shutter"], Key, |r, _| {
            shutter_text(r.step.frame.exposure.shutter_s)
        })
        .apart(),
    ),
    F::whole("iso", |r| Some(r.view_step()?.frame.exposure.iso.into()))
        .range(Range::AtLeast(1.0))
        .doc(instant::ISO)
        .shown(S::new(12, ["", "ISO", "ISO"], Key, |r, _| {
            r.step.frame.exposure.iso.to_string()
        })),
    F::number("sky_placement_stops", 2, |r| {
        Some(r.view_step()?.frame.exposure.sky_placement_stops)
    })
    .doc(instant::SKY_PLACEMENT),
    F::number("land_placement_stops", 2, |r| {
        Some(r.view_step()?.frame.exposure.land_placement_stops)
    })
    .doc(instant::LAND_PLACEMENT),
    F::of_instant(&instant::MOON_DISC_VS_LAND, |r| {
        Some(&r.view_step()?.instant)
    })
    .shown(
        S::new(
            8,
            ["disc", "stops", "disc vs land, stops"],
            Usual,
            |r, _| {
                let over_land = r.step.instant.moon_disc_vs_land_stops();
                over_land.map_or_else(|| "-".to_owned(), stops)
            },
        )
        .of_moon(),
    ),
    F::of_instant(&instant::MOON_DISC_VS_SKY, |r| {
        Some(&r.view_step()?.instant)
    }),
    F::of_instant(&instant::MOON_DIAMETER, |r| Some(&r.view_step()?.instant)),
    weather::CLOUD_AT,
];
