//! The sweep against a plain second-by-second sweep that works in angles.
//!
//! The yardstick shares no arithmetic with the sweep's margins: it takes
//! altitudes and azimuths from [`Sky::at`] and compares degrees with degrees.

use crate::common;

use chrono::{Days, NaiveDate, NaiveDateTime};
use common::Dice;
use rakelight::{
    ephemeris::{Direction, Ephemeris, Horizontal, Moment, Observer, Refraction, Sky, SkyState},
    light::{
        LightInput, dark_sky, eclipse_drop_mag,
        photometry::{luminance_cd_m2, s10_to_mag_arcsec2},
        sky_behind, sky_glow,
        starlight::{CORE_FIELD, CORE_FIELD_S10, Field, mean_s10},
        zodiacal::zodiacal_s10,
    },
    rule::Rules,
    rule::{
        ARCH_ALTITUDE, ARCH_OFFSET, Brief, CONTRAST, DATES, FACING, LIGHT, LIGHT_ANGLE, LIGHT_SIDE,
        MOON_ALTITUDE, MOON_FRACTION, NOT_DATES, SUN_ALTITUDE, TARGET, TARGET_ALTITUDE,
        TARGET_AZIMUTH, TARGET_OFFSET, TILT, TIMES,
    },
    scene::{
        AzimuthBand, Band, Calendar, CalendarPeriod, CalendarTime, DateItem, DateList, Facing,
        LightKind, Side, Site, SkyGlow, Skyline, Zone,
    },
    search::{Interval, Night, Sweep, nights},
};
use rayon::prelude::*;
use std::sync::Arc;

fn around(a: f64, b: f64) -> f64 {
    (a - b + 180.0).rem_euclid(360.0) - 180.0
}

/// The Milky Way's contrast at an instant, from angles.
fn contrast(site: &Site, ephemeris: &Ephemeris, target: Direction, s: &SkyState) -> f64 {
    let unit = |place: &Horizontal| {
        let (h, a) = (
            place.altitude_deg.to_radians(),
            place.azimuth_deg.to_radians(),
        );
        [h.cos() * a.sin(), h.cos() * a.cos(), h.sin()]
    };
    let cos: f64 = unit(&s.sun)
        .iter()
        .zip(unit(&s.target))
        .map(|(a, b)| a * b)
        .sum();
    // From the angle to the Sun, which stands on the ecliptic, and the latitude.
    let latitude_deg = target.ecliptic_latitude_deg();
    let turn = (cos / latitude_deg.to_radians().cos().max(1e-6))
        .clamp(-1.0, 1.0)
        .acos();
    let starlight_s10 = match target {
        Direction::Core => CORE_FIELD_S10,
        _ => {
            let (longitude_deg, latitude_deg) = target.galactic_deg().expect("a star");
            mean_s10(&Field {
                longitude_deg,
                latitude_deg,
                ..CORE_FIELD
            })
        }
    };
    let low_sky = luminance_cd_m2(site.sky.zenith_mag_arcsec2)
        * dark_sky::growth(5.0, site.sky.extinction_mag, dark_sky::AIRGLOW_PART);
    let (azimuth_deg, altitude_deg) = (s.target.azimuth_deg, s.target.apparent_altitude_deg);
    let dome = |glow| sky_glow::added_cd_m2(glow, low_sky, azimuth_deg, altitude_deg);
    let behind = sky_behind(&LightInput {
        sun_altitude_deg: s.sun.altitude_deg,
        sun_azimuth_deg: s.sun.azimuth_deg,
        moon_altitude_deg: s.moon.apparent_altitude_deg,
        moon_phase_angle_deg: s.phase.phase_angle_deg,
        moon_distance_km: s.moon.distance_km.expect("a distance"),
        target_altitude_deg: altitude_deg,
        target_azimuth_deg: azimuth_deg,
        moon_target_separation_deg: s.moon_target_separation_deg,
        zenith_mag_arcsec2: site.sky.zenith_mag_arcsec2,
        extinction_mag: site.sky.extinction_mag,
        milky_way_mag_arcsec2: Some(s10_to_mag_arcsec2(starlight_s10)),
        zodiacal_s10: zodiacal_s10(turn.to_degrees(), latitude_deg),
        glow_cd_m2: site.sky_glow.iter().map(dome).sum(),
        eclipse_drop_mag: eclipse_drop_mag(ephemeris.shadow_magnitudes(s.moment).umbral),
        ..LightInput::default()
    });
    behind.contrast().expect("a brightness")
}

/// Evenings and periods as the yardstick knows them.
#[derive(Default)]
struct Listed {
    evenings: Vec<NaiveDate>,
    clocks: Vec<[NaiveDateTime; 2]>,
    seconds: Vec<[f64; 2]>,
}

impl Listed {
    /// Some evenings and periods, of which the first has the instant or not.
    fn random(dice: &mut Dice, zone: Zone, instant: Moment, has: bool) -> Self {
        let mut listed = Self::default();
        let date = zone.local_date(instant);
        for _ in 0..dice.below(3) {
            let days = Days::new(dice.below(9) as u64);
            listed.evenings.push(date + days - Days::new(4));
        }
        for _ in 0..1 + dice.below(3) {
            let is_first = listed.clocks.len() + listed.seconds.len() == 0;
            let away = match (is_first, has) {
                (true, true) => dice.between(-30_000.0, -60.0),
                (true, false) => dice.between(60.0, 10_000.0),
                (false, _) => dice.between(-30_000.0, 10_000.0),
            };
            let from = instant.plus_seconds(away.round());
            let length = 10_f64.powf(dice.between(2.0, 5.5)).round();
            let to = match is_first && has {
                true => instant.plus_seconds(length),
                false => from.plus_seconds(length),
            };
            if dice.below(2) == 0 {
                listed.clocks.push([zone.local(from), zone.local(to)]);
            } else {
                listed.seconds.push([from.seconds(), to.seconds()]);
            }
        }
        listed
    }

    /// The list as a rule has it.
    fn list(&self) -> DateList {
        let local = |ends: &[NaiveDateTime; 2]| ends.map(CalendarTime::Local);
        let known = |ends: &[f64; 2]| ends.map(|t| CalendarTime::At(Moment::from_seconds(t)));
        let periods = self.clocks.iter().map(local);
        let periods = periods.chain(self.seconds.iter().map(known));
        let periods = periods.map(|[from, to]| CalendarPeriod { from, to });
        let evenings = self.evenings.iter().map(|date| [*date, *date]);
        let calendar = Calendar::new(evenings.collect(), periods.collect());
        DateList::new([DateItem::File {
            name: "file.csv".to_owned(),
            calendar: Some(Arc::new(calendar)),
        }])
    }

    fn has(&self, night: &Night, zone: Zone, moment: Moment) -> bool {
        let (local, t) = (zone.local(moment), moment.seconds());
        self.evenings.contains(&night.date)
            || self
                .clocks
                .iter()
                .any(|[from, to]| *from <= local && local <= *to)
            || self.seconds.iter().any(|[from, to]| *from <= t && t <= *to)
    }
}

/// The lists of a brief: what is allowed and what is taken.
#[derive(Default)]
struct Lists {
    dates: Option<Listed>,
    not: Option<Listed>,
    times: Option<Listed>,
}

impl Lists {
    fn random(dice: &mut Dice, zone: Zone, instant: Moment) -> Self {
        let mut one = |has| (dice.below(4) == 0).then(|| Listed::random(dice, zone, instant, has));
        Self {
            dates: one(true),
            not: one(false),
            times: one(true),
        }
    }

    fn put_into(&self, brief: &mut Brief) {
        let lists = [
            (&DATES, &self.dates),
            (&NOT_DATES, &self.not),
            (&TIMES, &self.times),
        ];
        for (rule, listed) in lists {
            if let Some(listed) = listed {
                brief.put(rule, Some(listed.list().into()));
            }
        }
    }

    fn hold(&self, night: &Night, zone: Zone, moment: Moment) -> bool {
        let has = |listed: &Listed| listed.has(night, zone, moment);
        self.dates.as_ref().is_none_or(has)
            && self.times.as_ref().is_none_or(has)
            && !self.not.as_ref().is_some_and(has)
    }
}

/// Whether every rule holds, in degrees.
fn holds(site: &Site, rules: &Rules, air: Refraction, ephemeris: &Ephemeris, s: &SkyState) -> bool {
    let arch = s.arch.expect("an arch");
    let facing = match rules.facing {
        // Rules at a site have true bearings alone.
        Facing::Bearing(bearing) | Facing::Magnetic(bearing) => bearing,
        Facing::Target | Facing::Subject => s.target.azimuth_deg,
        Facing::Arch => arch.top_azimuth_deg,
    };
    let within = |band: Option<Band>, value: f64| band.is_none_or(|band| band.contains(value));
    // A whole band of offsets holds everywhere, its seam at 180 included.
    let offset = |band: Option<Band>, azimuth: f64| {
        band.is_none_or(|band| {
            let turned = around(azimuth, facing);
            [turned, turned + 360.0, turned - 360.0]
                .iter()
                .any(|turned| band.contains(*turned))
        })
    };
    let light = around(s.moon.azimuth_deg, facing);
    let side = match rules.get(&LIGHT_SIDE) {
        Some(Side::Left) => light <= 0.0,
        Some(Side::Right) => light >= 0.0,
        Some(Side::Either) | None => true,
    };
    let apparent = |altitude: f64| air.apparent_deg(altitude);
    let above = |skyline: &Option<Skyline>, place: &Horizontal| {
        skyline.as_ref().is_none_or(|skyline| {
            apparent(place.altitude_deg) >= skyline.altitude_deg_at(place.azimuth_deg)
        })
    };
    within(rules.get(&SUN_ALTITUDE), s.sun.altitude_deg)
        && within(rules.get(&MOON_FRACTION), s.phase.illuminated_fraction)
        && within(rules.get(&MOON_ALTITUDE), apparent(s.moon.altitude_deg))
        && within(rules.get(&TARGET_ALTITUDE), apparent(s.target.altitude_deg))
        && rules.get(&TARGET_AZIMUTH).is_none_or(|band: AzimuthBand| {
            (s.target.azimuth_deg - band.from_deg).rem_euclid(360.0) <= band.width_deg
        })
        && offset(rules.get(&TARGET_OFFSET), s.target.azimuth_deg)
        && within(rules.get(&ARCH_ALTITUDE), arch.top_altitude_deg)
        && offset(rules.get(&ARCH_OFFSET), arch.top_azimuth_deg)
        && s.tilt_deg
            .is_none_or(|tilt_deg| within(rules.get(&TILT), tilt_deg))
        && within(rules.get(&LIGHT_ANGLE), light.abs())
        && side
        && above(&site.skyline, &s.target)
        && (rules.light != LightKind::Raking || above(&site.subject_skyline, &s.moon))
        && rules
            .get(&CONTRAST)
            .is_none_or(|band: Band| band.contains(contrast(site, ephemeris, rules.target, s)))
}

fn brute_force(
    sky: &Sky<'_>,
    site: &Site,
    rules: &Rules,
    air: Refraction,
    ephemeris: &Ephemeris,
    night: &Night,
    lists: &Lists,
) -> Vec<Interval> {
    let start = night.start.seconds();
    let mut windows: Vec<Interval> = Vec::new();
    let mut held = false;
    for second in 0..=86_400 {
        let t = start + f64::from(second);
        let moment = Moment::from_seconds(t);
        let now = lists.hold(night, site.zone, moment)
            && holds(site, rules, air, ephemeris, &sky.at(moment));
        match (held, now) {
            (false, true) => windows.push(Interval::new(t, t)),
            (true, true) => {
                if let Some(last) = windows.last_mut() {
                    last.end = t;
                }
            }
            _ => {}
        }
        held = now;
    }
    windows
}

/// The target and the facing direction of a random brief.
fn random_frame(dice: &mut Dice) -> (Direction, Facing) {
    let target = match dice.below(4) {
        3 => Direction::Moon,
        0 => Direction::Galactic {
            longitude_deg: dice.between(0.0, 360.0),
            latitude_deg: dice.between(-20.0, 20.0),
        },
        1 => Direction::Icrs {
            right_ascension_deg: dice.between(0.0, 360.0),
            declination_deg: dice.between(-80.0, 80.0),
        },
        _ => Direction::Core,
    };
    let facing = match dice.below(3) {
        0 => Facing::Bearing(dice.between(0.0, 360.0)),
        1 => Facing::Target,
        _ => Facing::Arch,
    };
    (target, facing)
}

/// A brief whose rules all hold at one instant of the night, some barely and
/// not for long.
fn random_brief(dice: &mut Dice, target: Direction, facing: Facing, s: &SkyState) -> Brief {
    let band = |dice: &mut Dice, value: f64, low: f64, high: f64| {
        // From a hair to most of the range to either side.
        let mut reach = || (high - low) * 10_f64.powf(dice.between(-3.0, 0.0));
        Band::new((value - reach()).max(low), (value + reach()).min(high))
    };
    let arch = s.arch.expect("an arch");
    let looks_to = match facing {
        // Rules at a site have true bearings alone.
        Facing::Bearing(bearing) | Facing::Magnetic(bearing) => bearing,
        Facing::Target | Facing::Subject => s.target.azimuth_deg,
        Facing::Arch => arch.top_azimuth_deg,
    };
    let offset = |azimuth: f64| around(azimuth, looks_to);
    let mut brief = Brief::default()
        .with(&LIGHT, LightKind::Any)
        .with(&TARGET, target)
        .with(&FACING, facing)
        .with(
            &TARGET_ALTITUDE,
            band(dice, s.target.apparent_altitude_deg, -90.0, 90.0),
        )
        .with(
            &SUN_ALTITUDE,
            Band::up_to(s.sun.altitude_deg + 10_f64.powf(dice.between(-2.0, 1.3))),
        );
    let wanted = |dice: &mut Dice| dice.below(3) == 0;
    if wanted(dice) {
        let around = band(dice, 0.0, -180.0, 180.0);
        brief.put(
            &TARGET_AZIMUTH,
            Some(
                AzimuthBand {
                    from_deg: (s.target.azimuth_deg + around.low).rem_euclid(360.0),
                    width_deg: around.high - around.low,
                }
                .into(),
            ),
        );
    }
    if wanted(dice) && facing != Facing::Target {
        brief.put(
            &TARGET_OFFSET,
            Some(band(dice, offset(s.target.azimuth_deg), -180.0, 180.0).into()),
        );
    }
    // The default of a fixed bearing would leave out most of what is asked.
    if brief.value_of(&TARGET_OFFSET).is_none() {
        brief.put(&TARGET_OFFSET, Some(Band::new(-180.0, 180.0).into()));
    }
    if wanted(dice) {
        brief.put(
            &ARCH_ALTITUDE,
            Some(band(dice, arch.top_altitude_deg, 0.0, 90.0).into()),
        );
    }
    if wanted(dice) && facing != Facing::Arch {
        brief.put(
            &ARCH_OFFSET,
            Some(band(dice, offset(arch.top_azimuth_deg), -180.0, 180.0).into()),
        );
    }
    // The Moon has no tilt, and its picture no rule about it.
    if let Some(tilt_deg) = s.tilt_deg
        && wanted(dice)
    {
        brief.put(&TILT, Some(band(dice, tilt_deg, 0.0, 90.0).into()));
    }
    if wanted(dice) {
        brief.put(
            &MOON_ALTITUDE,
            Some(band(dice, s.moon.apparent_altitude_deg, -90.0, 90.0).into()),
        );
    }
    if wanted(dice) {
        brief.put(
            &MOON_FRACTION,
            Some(band(dice, s.phase.illuminated_fraction, 0.0, 1.0).into()),
        );
    }
    if dice.below(2) == 0 {
        let light = offset(s.moon.azimuth_deg);
        brief.put(
            &LIGHT_ANGLE,
            Some(
                match dice.below(4) {
                    0 => Band::new(0.0, dice.between(light.abs(), 180.0)),
                    1 => Band::new(dice.between(0.0, light.abs()), 180.0),
                    _ => band(dice, light.abs(), 0.0, 180.0),
                }
                .into(),
            ),
        );
        brief.put(
            &LIGHT_SIDE,
            Some(
                match dice.below(2) {
                    0 => Side::Either,
                    _ if light < 0.0 => Side::Left,
                    _ => Side::Right,
                }
                .into(),
            ),
        );
    }
    brief
}

/// Random mountains that leave a body free where it stands, barely.
fn skyline(dice: &mut Dice, body: &Horizontal) -> Option<Skyline> {
    let free = body.apparent_altitude_deg - 10_f64.powf(dice.between(-2.0, 1.0));
    let points = (0..12).map(|k| {
        let altitude = free + dice.between(-4.0, 8.0);
        (
            f64::from(k) * 30.0 + dice.between(0.0, 20.0),
            altitude.clamp(-5.0, 85.0),
        )
    });
    let points: Vec<(f64, f64)> = points
        .filter(|(azimuth, _)| around(*azimuth, body.azimuth_deg).abs() > 1.0)
        .chain([(body.azimuth_deg, free.clamp(-5.0, 85.0))])
        .collect();
    Skyline::new(points).ok()
}

/// One brief at one place over a night: windows found, seconds held, and
/// every disagreement in words.
fn compare(seed: u64) -> (usize, usize, Vec<String>) {
    let mut dice = Dice::new(seed);
    // The hard places come again and again.
    let latitude = [
        -90.0,
        90.0,
        0.0,
        69.0,
        -29.008,
        dice.between(-89.0, 89.0),
        dice.between(-66.0, 68.0),
        dice.between(-66.0, 68.0),
    ][dice.below(8)];
    let longitude = [180.0, -180.0, 179.9, dice.between(-180.0, 180.0)][dice.below(4)];
    let mut site = Site::new(latitude, longitude).expect("a place");
    let year = 1900 + dice.below(199) as i32;
    let (month, day) = (1 + dice.below(12) as u32, 1 + dice.below(28) as u32);
    let date = chrono::NaiveDate::from_ymd_opt(year, month, day).expect("a date");
    // A dice of its own, so that the other rules stay what they were.
    let mut of_lists = Dice::new(seed ^ 0x5eed);
    let zones = [
        "UTC",
        "Australia/Lord_Howe",
        "America/Denver",
        "Asia/Kathmandu",
    ];
    site.zone = Zone::named(zones[of_lists.below(4)]).expect("a zone");
    let nights: Vec<Night> = nights(longitude, site.zone, date, date).collect();
    let ephemeris = Ephemeris::covering(nights[0].start, nights[0].end);
    let (target, facing) = random_frame(&mut dice);
    let star = ephemeris.star(target);
    let observer = Observer::new(latitude, longitude, dice.between(0.0, 4000.0));
    let air = Refraction::new(dice.between(600.0, 1010.0), dice.between(-20.0, 30.0));
    let sky = Sky::new(&ephemeris, &star, observer, air);
    let instant = nights[0]
        .start
        .plus_seconds(dice.between(30_000.0, 56_400.0));
    let s = sky.at(instant);
    for _ in 0..dice.below(3) {
        site.sky_glow.push(SkyGlow {
            bearing_deg: dice.between(0.0, 360.0),
            half_width_deg: dice.between(1.0, 60.0),
            top_altitude_deg: dice.between(2.0, 60.0),
            mag_arcsec2: dice.between(17.0, 22.0),
        });
    }
    let mut brief = random_brief(&mut dice, target, facing, &s);
    // A third ask for a contrast, a third for none, and a third for the usual;
    // the Moon has none.
    match dice.below(3) {
        _ if target == Direction::Moon => {}
        0 => {
            let now = contrast(&site, &ephemeris, target, &s);
            let factor = 1.0 + 10_f64.powf(dice.between(-3.0, 1.0));
            let band = match dice.below(3) {
                0 => Band::from(now / factor),
                1 => Band::new(0.0, (now * factor).min(100.0)),
                _ => Band::new(now / factor, (now * factor).min(100.0)),
            };
            brief.put(&CONTRAST, Some(band.into()));
        }
        1 => brief.put(&CONTRAST, Some(Band::new(0.0, 100.0).into())),
        _ => {}
    }
    let lists = Lists::random(&mut of_lists, site.zone, instant);
    lists.put_into(&mut brief);
    let mut rules = Rules::new(&brief, &site).expect("no subject is asked for");
    if dice.below(3) == 0 {
        // A skyline that both bodies just clear at the instant, with the Moon
        // bound to light the land.
        rules.light = LightKind::Raking;
        let s = sky.at(instant);
        site.skyline = skyline(&mut dice, &s.target);
        site.subject_skyline = skyline(&mut dice, &s.moon);
    }
    let sweep = Sweep::new(&sky, &site, &rules);
    let (mut found, mut short) = (0, 0);
    let mut wrong = Vec::new();
    for night in &nights {
        let ours = sweep.night(&sky, night);
        let theirs = brute_force(&sky, &site, &rules, air, &ephemeris, night, &lists);
        found += theirs.len();
        short += theirs.iter().filter(|w| w.minutes() < 5.0).count();
        // What is shorter than the sweep's promise may be missed or found.
        let long = |w: &&Interval| w.end - w.start > 2.0;
        for window in theirs.iter().filter(long) {
            let same = ours.as_slice().iter().any(|o| {
                (o.start - window.start).abs() <= 1.0 && (o.end - window.end).abs() <= 1.0
            });
            if !same {
                wrong.push(format!("seed {seed}, {latitude} {longitude} {}: missed {window:?} in {ours:?}\n{rules:#?}", night.date));
            }
        }
        for window in ours.as_slice().iter().filter(long) {
            let same = theirs.iter().any(|o| {
                (o.start - window.start).abs() <= 1.0 && (o.end - window.end).abs() <= 1.0
            });
            if !same {
                wrong.push(format!("seed {seed}, {latitude} {longitude} {}: invented {window:?}, brute force {theirs:?}\n{rules:#?}", night.date));
            }
        }
    }
    (found, short, wrong)
}

#[test]
#[allow(clippy::print_stdout, reason = "the figures are the point of the test")]
fn the_same_windows_as_second_by_second() {
    const BRIEFS: u64 = 240;
    let results: Vec<_> = (0..BRIEFS).into_par_iter().map(compare).collect();
    let found: usize = results.iter().map(|r| r.0).sum();
    let short: usize = results.iter().map(|r| r.1).sum();
    let wrong: Vec<&String> = results.iter().flat_map(|r| &r.2).collect();
    println!("{BRIEFS} briefs, {found} windows, {short} of them under 5 minutes");
    for line in wrong.iter().take(3) {
        println!("{line}");
    }
    assert!(wrong.is_empty(), "{} disagreements", wrong.len());
    // The dice must really have asked something.
    assert!(found > 120 && short > 25, "{found} windows, {short} short");
}
