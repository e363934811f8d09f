//! What to do on a night.

use super::{
    clock::{clock_text, hours_text},
    framing::framing_sentence,
    light::{land_words, settings_text, side_word},
    measure::{bearing_words, height_words},
};
use crate::{
    Figure,
    ephemeris::Moment,
    light::{
        Reach,
        moon_disc::{HELD_STOPS, SHOWS_STOPS},
    },
    plan::{
        Advice, Depth, FrameOrder, LandAdvice, MoonlitFrames, NightPlan, ShadowWay, WindowAdvice,
    },
    scene::North,
    search::Interval,
};

/// One piece of advice on a plan, in words.
pub fn advice_sentence(plan: &NightPlan<'_>, advice: &Advice) -> String {
    let teller = Teller(plan);
    match advice {
        Advice::Sunless => {
            "The Sun does not rise at all: come with a light, and use the twilight around noon."
                .to_string()
        }
        Advice::NotDark(depth) => teller.not_dark(*depth),
        Advice::Arrive { by, sunset } => format!(
            "Arrive by {}; sunset is at {}. Choose the tripod position, level and focus in \
             daylight.",
            teller.clock(*by),
            teller.clock(*sunset)
        ),
        Advice::NoWindow => "At no time are all rules met for long enough.".to_string(),
        Advice::Window(window) => teller.window(window),
        Advice::Framing { plan, part } => {
            let sentence = framing_sentence(
                plan,
                teller.0.rules.target_name(),
                teller.0.site.conventions.north,
            );
            match part {
                Some(part) => format!("{sentence} One frame is enough {}.", teller.hours(*part)),
                None => sentence,
            }
        }
        Advice::NotOneFrame { at, plan } => {
            let target = teller.0.rules.target_name();
            format!(
                "When the {target} is highest in the dark, {}: {}",
                teller.clock(*at),
                framing_sentence(plan, target, teller.0.site.conventions.north)
            )
        }
        Advice::Shadow {
            length_m,
            azimuth_deg,
            way,
        } => {
            let subject = plan.site.subject.as_ref();
            let conventions = &plan.site.conventions;
            let toward = match conventions.north {
                North::True => format!("{azimuth_deg:.0}° true"),
                north => bearing_words(north, *azimuth_deg, 0),
            };
            format!(
                "{} casts a shadow {} long {} (toward {toward}).",
                subject.map_or_else(|| "The subject".to_string(), |s| s.at_sentence_start()),
                height_words(conventions.units, *length_m, 0),
                match way {
                    ShadowWay::Away => "away from you",
                    ShadowWay::Toward => "toward you",
                    ShadowWay::Left => "to the left",
                    ShadowWay::Right => "to the right",
                }
            )
        }
        Advice::Frames(order) => teller.frames(*order),
        Advice::BrightMoon {
            illuminated_fraction,
            sky_loss_mag,
        } => format!(
            "The Moon is {:.0}% lit and brightens the sky by up to {sky_loss_mag:.1} mag: while \
             it is up the Milky Way is faint or gone.",
            100.0 * illuminated_fraction
        ),
        Advice::Twilight(interval) => format!(
            "Twilight frames for a clean foreground: {}, from the same tripod position, focus \
             unchanged.",
            teller.hours(*interval)
        ),
        Advice::ClocksChange => {
            "The clocks change from this noon to the next: each time is shown with its offset from \
             UTC."
                .to_string()
        }
    }
}

struct Teller<'a>(&'a NightPlan<'a>);

impl Teller<'_> {
    fn clock(&self, moment: Moment) -> String {
        clock_text(self.0.site.zone, moment, self.0.clocks_change)
    }

    fn hours(&self, interval: Interval) -> String {
        hours_text(self.0.site.zone, interval, self.0.clocks_change)
    }

    fn not_dark(&self, depth: Depth) -> String {
        let clock = self.clock(self.0.darkness.darkest);
        let sun = format!("{:.1}°", Figure(self.0.darkness.lowest_sun_deg));
        let darkest = format!("darkest at {clock}, the Sun at {sun}");
        match depth {
            Depth::Astronomical | Depth::Night => format!(
                "No full darkness: astronomical twilight lasts all night, {darkest}. The {} keeps \
                 less contrast than on a dark night.",
                self.0.rules.target_name()
            ),
            Depth::Nautical => {
                format!("Nautical twilight lasts all night, {darkest}: bright stars, no Milky Way.")
            }
            Depth::Civil => {
                format!("Civil twilight lasts all night, {darkest}: no stars for a landscape.")
            }
            Depth::SunUp => format!("The Sun does not set; it is lowest at {clock}, {sun} up."),
        }
    }

    fn window(&self, window: &WindowAdvice) -> String {
        let mut text = match window.number {
            Some(number) => format!("Window {number}, "),
            None => "The window, ".to_string(),
        };
        text.push_str(&format!(
            "{} ({:.0} min), best at {}: {}.",
            self.hours(window.interval),
            window.interval.minutes(),
            self.clock(window.best),
            settings_text(&window.exposure)
        ));
        if let Reach::TooDark { stops_short } = window.exposure.reach {
            text.push_str(&format!(
                " That leaves the sky {stops_short:.1} stops darker than usual: stack frames or \
                 open the lens."
            ));
        }
        text.push(' ');
        text.push_str(&match window.land {
            LandAdvice::MoonDisc {
                over_land_stops,
                over_sky_stops,
            } => disc_words(over_land_stops, over_sky_stops),
            LandAdvice::OneExposure { stops } => format!(
                "The land is {} the sky: one exposure likely holds both.",
                land_words(stops)
            ),
            LandAdvice::OwnFrame { stops } if stops > 0.0 => format!(
                "The land is {stops:.1} stops brighter than the sky: watch its highlights, or take \
                 a second frame for it."
            ),
            LandAdvice::OwnFrame { stops } => format!(
                "The land is {:.1} stops darker than the sky: take a second frame for it, with \
                 that much more exposure.",
                stops.abs()
            ),
            LandAdvice::Moonlit {
                interval,
                best,
                signed_light_angle_deg,
            } => format!(
                "Land by moonlight {}, best at {}, light {}; leave the camera where it is.",
                self.hours(interval),
                self.clock(best),
                from_side(signed_light_angle_deg)
            ),
        });
        text
    }

    fn frames(&self, order: FrameOrder) -> String {
        let land = |frames: MoonlitFrames| {
            format!(
                "{} (in the middle the Moon is {:.0}° up, its light {})",
                self.hours(frames.interval),
                Figure(frames.moon_altitude_deg),
                from_side(frames.signed_light_angle_deg)
            )
        };
        match order {
            FrameOrder::MoonlitFirst(moonlit, dark) => format!(
                "Moonlit foreground frames first, {}; then dark-sky frames without the Moon, {}.",
                land(moonlit),
                self.hours(dark)
            ),
            FrameOrder::DarkFirst(dark, moonlit) => format!(
                "Dark-sky frames first, {}; then moonlit foreground frames, {}.",
                self.hours(dark),
                land(moonlit)
            ),
            FrameOrder::MoonlitAlone(moonlit) => format!(
                "The Moon lights the land {}; there is no dark time without the Moon and with the {} within your limits.",
                land(moonlit),
                self.0.rules.target_name()
            ),
            FrameOrder::DarkAlone(dark) => format!(
                "The Moon hardly lights the land in the dark hours: dark-sky frames {}; for the \
                 land use twilight or a long exposure of its own.",
                self.hours(dark)
            ),
        }
    }
}

/// What a frame holds of the Moon's disc and the land.
fn disc_words(over_land_stops: f64, over_sky_stops: f64) -> String {
    let of_land = match over_land_stops {
        stops if stops <= HELD_STOPS => "one exposure holds both",
        _ => "too much for one exposure: take a second one for the land",
    };
    let shows = match over_sky_stops {
        stops if stops < SHOWS_STOPS => format!(
            " It hardly shows before the sky, {over_sky_stops:.1} stops brighter than that."
        ),
        _ => String::new(),
    };
    format!(
        "The Moon's disc is {over_land_stops:.1} stops brighter than the land: {of_land}.{shows}"
    )
}

/// `79° from the left`.
fn from_side(signed_angle_deg: f64) -> String {
    let side = side_word(signed_angle_deg);
    format!("{:.0}° from the {side}", signed_angle_deg.abs())
}
