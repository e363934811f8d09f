//! What to do with a night, in plain words drawn from its numbers.

use super::{
    clock::{clock_text, hours_text},
    darkness::Depth,
    happening::Happening,
    look::Look,
    night_plan::NightPlan,
};
use crate::{
    Figure,
    ephemeris::{EventKind, Moment},
    light::Reach,
    search::{Interval, Planner, Window},
};

/// Land and sky within so many stops fit one exposure. Common practice, no
/// source.
const ONE_FRAME_STOPS: f64 = 1.0;
/// A Moon lit beyond this washes the sky out, common practice, no source.
const BRIGHT_FRACTION: f64 = 0.6;
/// A spell shorter than this is not worth a plan, minutes.
const SHORTEST_MINUTES: f64 = 10.0;

/// The advice on a plan, in the order in which it is needed.
pub(super) fn advice(planner: &Planner, plan: &NightPlan<'_>) -> Vec<String> {
    let teller = Teller { planner, plan };
    let mut lines = Vec::new();
    lines.extend(teller.darkness());
    lines.extend(teller.arrival());
    if plan.windows.is_empty() {
        lines.push("No stretch of this night keeps every rule for long enough.".to_string());
    }
    for (index, window) in plan.windows.iter().enumerate() {
        lines.push(teller.window(index + 1, window));
        lines.extend(teller.shadow(window));
    }
    lines.extend(teller.order_of_frames());
    lines.extend(teller.bright_moon());
    lines.extend(teller.twilight());
    lines.extend(teller.clocks());
    lines
}

struct Teller<'a, 'b> {
    planner: &'a Planner,
    plan: &'a NightPlan<'b>,
}

impl Teller<'_, '_> {
    fn clock(&self, moment: Moment) -> String {
        clock_text(self.plan.site.zone, moment, self.plan.clocks_change)
    }

    fn hours(&self, interval: Interval) -> String {
        hours_text(self.plan.site.zone, interval, self.plan.clocks_change)
    }

    fn look(&self, t: f64) -> Look {
        Look::at(self.planner, &self.plan.lens, Moment::from_seconds(t))
    }

    fn darkness(&self) -> Option<String> {
        let darkness = &self.plan.darkness;
        let darkest = format!(
            "darkest at {}, the Sun at {:.1}°",
            self.clock(darkness.darkest),
            Figure(darkness.lowest_sun_deg)
        );
        Some(match darkness.depth {
            Depth::Night if darkness.sunless => {
                "The Sun does not rise at all: come with a light, and use the twilight around noon."
                    .to_string()
            }
            Depth::Night => return None,
            Depth::Astronomical => format!(
                "No full darkness: astronomical twilight lasts all night, {darkest}. The {} keeps \
                 less contrast than on a dark night.",
                self.plan.rules.target_name()
            ),
            Depth::Nautical => {
                format!("Nautical twilight lasts all night, {darkest}: bright stars, no Milky Way.")
            }
            Depth::Civil => {
                format!("Civil twilight lasts all night, {darkest}: no stars for a landscape.")
            }
            Depth::SunUp => format!(
                "The Sun does not set; it is lowest at {}, {:.1}° up.",
                self.clock(darkness.darkest),
                Figure(darkness.lowest_sun_deg)
            ),
        })
    }

    fn arrival(&self) -> Option<String> {
        let arrive = Happening::Arrive;
        let entry = self.plan.order.iter().find(|e| e.happening == arrive)?;
        let sunset = self.plan.when(EventKind::Sunset)?;
        if self.plan.darkness.depth < Depth::Astronomical {
            return None;
        }
        Some(format!(
            "Be there by {}; sunset is at {}. Choose the standing point, level and focus in \
             daylight.",
            self.clock(entry.moment()),
            self.clock(sunset)
        ))
    }

    fn window(&self, number: usize, window: &Window) -> String {
        let best = Look::of(self.plan.site, &self.plan.lens, window.best);
        let mut text = format!(
            "Window {number}, {} ({:.0} min), best at {}: {}.",
            self.hours(window.interval),
            window.interval.minutes(),
            self.clock(window.best.moment()),
            settings_text(&best)
        );
        match best.exposure.reach {
            Reach::TooDark { stops_short } => text.push_str(&format!(
                " That leaves the sky {stops_short:.1} stops darker than usual: stack frames or \
                 open the lens."
            )),
            Reach::Reached | Reach::TooBright { .. } => {}
        }
        if window.land.is_none() {
            text.push(' ');
            text.push_str(&balance_text(best.instant.light.balance_stops));
        } else if let Some(land) = &window.land {
            let lit = Look::of(self.plan.site, &self.plan.lens, land.best);
            text.push_str(&format!(
                " Land by moonlight {}, best at {}, light {}; keep the camera where it stands.",
                self.hours(land.interval),
                self.clock(land.best.moment()),
                side_text(&lit)
            ));
        }
        text
    }

    fn shadow(&self, window: &Window) -> Option<String> {
        let subject = self.plan.site.subject.as_ref()?;
        let lit = window.land.as_ref().map_or(&window.best, |land| &land.best);
        let length_m = subject.height_m? * lit.light.shadow_length_per_height?;
        let azimuth = lit.light.shadow_azimuth_deg?;
        let toward = crate::light::shadow::signed_light_angle_deg(azimuth, lit.facing_deg);
        let way = match toward.abs() {
            a if a < 45.0 => "away from you",
            a if a > 135.0 => "toward you",
            _ if toward < 0.0 => "to the left",
            _ => "to the right",
        };
        Some(format!(
            "{} throws a shadow {length_m:.0} m long {way} (toward {azimuth:.0}° true).",
            subject.at_sentence_start()
        ))
    }

    /// Moonlit land first and dark sky after, or the other way round.
    fn order_of_frames(&self) -> Option<String> {
        // A blend's window has told it already.
        let told = self.plan.windows.iter().any(|window| window.land.is_some());
        if told || self.plan.darkness.depth < Depth::Astronomical {
            return None;
        }
        let long = |spells: &[Interval]| -> Option<Interval> {
            spells
                .iter()
                .copied()
                .filter(|spell| spell.minutes() >= SHORTEST_MINUTES)
                .max_by(|a, b| a.minutes().total_cmp(&b.minutes()))
        };
        let moonlit = long(&self.plan.spells.moonlit);
        let dark = long(&self.plan.spells.dark);
        let target = self.plan.rules.target_name();
        let land = |spell: Interval| {
            let look = self.look(0.5 * (spell.start + spell.end));
            format!(
                "{} (half way the Moon is {:.0}° up, its light {})",
                self.hours(spell),
                Figure(look.instant.sky.moon.apparent_altitude_deg),
                side_text(&look)
            )
        };
        Some(match (moonlit, dark) {
            (Some(moonlit), Some(dark)) if moonlit.start < dark.start => format!(
                "Moonlit foreground frames first, {}; dark-sky frames after the Moon has left, {}.",
                land(moonlit),
                self.hours(dark)
            ),
            (Some(moonlit), Some(dark)) => format!(
                "Dark-sky frames first, {}; moonlit foreground frames after, {}.",
                self.hours(dark),
                land(moonlit)
            ),
            (Some(moonlit), None) => format!(
                "The Moon lights the land {}; there is no moonless dark with the {target} in \
                 place.",
                land(moonlit)
            ),
            (None, Some(dark)) => format!(
                "No moonlight to speak of on the land in the dark hours: dark-sky frames {}; for the land \
                 use twilight or a long frame of its own.",
                self.hours(dark)
            ),
            (None, None) => return None,
        })
    }

    fn bright_moon(&self) -> Option<String> {
        let spell = self.plan.spells.moonlit.first()?;
        let looks = self.plan.steps.iter().filter(|look| look.moon_clear);
        let fraction = self
            .look(spell.start)
            .instant
            .sky
            .phase
            .illuminated_fraction;
        let worst = looks
            .map(|look| look.instant.light.sky_loss_mag)
            .fold(0.0, f64::max);
        (fraction > BRIGHT_FRACTION).then(|| {
            format!(
                "The Moon is {:.0}% lit and brightens the sky by up to {worst:.1} mag: while it \
                 is up the Milky Way is faint or gone.",
                100.0 * fraction
            )
        })
    }

    /// Twilight on the side of the night where the work is.
    fn twilight(&self) -> Option<String> {
        use EventKind::{CivilDawn, CivilDusk, NauticalDawn, NauticalDusk};
        if self.plan.darkness.depth < Depth::Astronomical {
            return None;
        }
        let of_window = self.plan.windows.first().map(|w| w.best.moment());
        let of_dark = self.plan.spells.dark.first().map(Interval::first);
        let morning = of_window
            .or(of_dark)
            .is_some_and(|moment| moment > self.plan.darkness.darkest);
        let (from, to) = if morning {
            (NauticalDawn, CivilDawn)
        } else {
            (CivilDusk, NauticalDusk)
        };
        let (from, to) = (self.plan.when(from)?, self.plan.when(to)?);
        (from < to).then(|| {
            format!(
                "Twilight frames for a clean foreground: {}, from the tripod's place, focus \
                 unchanged.",
                self.hours(Interval::new(from.seconds(), to.seconds()))
            )
        })
    }

    fn clocks(&self) -> Option<String> {
        self.plan.clocks_change.then(|| {
            "The clocks change from this noon to the next: each time is shown with its offset from \
             UTC."
                .to_string()
        })
    }
}

/// Settings as a photographer says them.
fn settings_text(look: &Look) -> String {
    let exposure = &look.exposure;
    format!(
        "f/{}, {}, ISO {}",
        exposure.f_number,
        shutter_text(exposure.shutter_s),
        exposure.iso
    )
}

/// A shutter speed: `13 s`, `1/60 s`.
pub(crate) fn shutter_text(shutter_s: f64) -> String {
    if shutter_s >= 0.3 {
        format!("{shutter_s} s")
    } else {
        format!("1/{:.0} s", 1.0 / shutter_s)
    }
}

fn balance_text(stops: f64) -> String {
    let size = stops.abs();
    if size <= ONE_FRAME_STOPS {
        return "Land and sky are within a stop: one frame holds both.".to_string();
    }
    if stops > 0.0 {
        format!(
            "The land is {size:.1} stops brighter than the sky: mind its highlights, or make a \
             second frame for it."
        )
    } else {
        format!(
            "The land is {size:.1} stops darker than the sky: make a second frame for it, with \
             that much more light."
        )
    }
}

/// The light's angle and side.
fn side_text(look: &Look) -> String {
    let angle = look.instant.signed_light_angle_deg();
    let side = if angle < 0.0 { "left" } else { "right" };
    format!("{:.0}° from the {side}", angle.abs())
}
