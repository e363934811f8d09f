//! A night in a few lines: what a reader who reads no more must know.

use super::{
    advice::advice_sentence,
    at_best::no_window_answer,
    card::moon_phase_words,
    clock::{clock_text, hours_text},
    doubt::doubt_phrases,
    eclipse::lit_words,
    framing::{framing_sentence, orientation_word, pitch_words},
    light::{
        eclipse_phrase, eclipse_word, land_words, light_words, moon_height_words, settings_of,
        settings_text, window_light_words,
    },
    measure::{away_words, bearing_words, height_words, position_words},
    now::next_words,
    weather::cloud_over_windows,
};
use crate::{
    ephemeris::{EclipseKind, Moment},
    light::Reach,
    plan::{Advice, LandAdvice, NightEvent, NightPlan, WindowAdvice},
    scene::North,
    search::{FramePlan, FramedAs, Interval, Window},
};

/// The answer of a night.
#[derive(Debug, Clone, Default, PartialEq)]
pub(in crate::report) struct Answer {
    /// When to be there, or why not: the window and its best instant.
    pub lead: Vec<String>,
    /// What else counts, each with its name.
    pub lines: Vec<(&'static str, String)>,
}

impl Answer {
    /// The line of this name.
    pub fn line(&self, name: &str) -> Option<&str> {
        let mut lines = self.lines.iter();
        lines.find_map(|(named, text)| (*named == name).then_some(text.as_str()))
    }
}

/// The answer of a night: of its best window, or why it has none and which is
/// the `next`.
pub(in crate::report) fn answer(plan: &NightPlan<'_>, next: Option<&Window>) -> Answer {
    let teller = Teller(plan);
    match best_window(plan) {
        Some(window) => teller.of_window(window),
        None => teller.without_window(next),
    }
}

/// The window of a night with the highest score.
fn best_window<'a>(plan: &'a NightPlan<'_>) -> Option<&'a Window> {
    plan.windows.iter().min_by_key(|window| window.rank)
}

/// Nearer than this a distance is told in metres or feet: the project's choice.
const NEAR_M: f64 = 1000.0;

struct Teller<'a, 'b>(&'a NightPlan<'b>);

impl Teller<'_, '_> {
    fn clock(&self, moment: Moment) -> String {
        clock_text(self.0.site.zone, moment, self.0.clocks_change)
    }

    fn hours(&self, interval: Interval) -> String {
        hours_text(self.0.site.zone, interval, self.0.clocks_change)
    }

    /// A bearing from the site's north, and what a compass shows where that
    /// is not the same.
    fn toward(&self, true_deg: f64) -> String {
        let north = self.0.site.conventions.north;
        let toward = bearing_words(north, true_deg.round().rem_euclid(360.0), 0);
        match (north, &self.0.compass) {
            (North::True, Ok(field)) => {
                let shown = field.magnetic_bearing_deg(true_deg).round();
                format!("{toward} (compass {:.0}°)", shown.rem_euclid(360.0))
            }
            _ => toward,
        }
    }

    fn of_window(&self, window: &Window) -> Answer {
        let best = &window.best;
        let timed = |name: &str, interval, at| {
            format!("{name} {}, best {}", self.hours(interval), self.clock(at))
        };
        let mut lead = match &window.land {
            None => vec![timed("Window", window.interval, best.moment())],
            Some(land) => vec![
                timed("Dark sky", window.interval, best.moment()),
                timed("Moonlit land", land.interval, land.best.moment()),
            ],
        };
        if window.moonlight_is_first() {
            lead.reverse();
        }
        let mut lines = vec![("Stand", self.stand()), ("Camera", self.camera(window))];
        if let Some(advice) = self.advice(window) {
            lines.push(("Sky", sky_words(advice)));
            lines.push(("Land", self.land(window, advice)));
        }
        lines.push(("Light", light(self.0, window)));
        let eclipse = window.eclipse.map(eclipse_phrase);
        let eclipse = eclipse.or_else(|| self.eclipse());
        lines.extend(eclipse.map(|eclipse| ("Eclipse", eclipse)));
        let doubts = doubt_phrases(window.doubts);
        lines.extend((!doubts.is_empty()).then_some(("Doubts", doubts)));
        lines.extend(cloud_over_windows(self.0).map(|cloud| ("Cloud", cloud)));
        let others = self.0.windows.iter().filter(|other| *other != window);
        let others: Vec<String> = others.map(|other| self.hours(other.interval)).collect();
        lines.extend((!others.is_empty()).then(|| ("Also", others.join(", "))));
        Answer { lead, lines }
    }

    fn without_window(&self, next: Option<&Window>) -> Answer {
        let plan = self.0;
        let mut lines = vec![("Next", next_words(plan, next))];
        let dark = |advice: &&Advice| matches!(advice, Advice::Sunless | Advice::NotDark(_));
        let dark = plan.advice.iter().find(dark);
        lines.extend(dark.map(|advice| ("Dark", advice_sentence(plan, advice))));
        lines.extend(moon_phase_words(plan).map(|moon| ("Moon", moon)));
        lines.extend(self.eclipse().map(|eclipse| ("Eclipse", eclipse)));
        lines.push(("Stand", self.stand()));
        let why = plan.no_window.map(|why| no_window_answer(plan.rules, &why));
        Answer {
            lead: why.into_iter().collect(),
            lines,
        }
    }

    /// An eclipse of the night that is in no window.
    fn eclipse(&self) -> Option<String> {
        let order = &self.0.order;
        let is_total = order.iter().any(|entry| {
            entry.event == NightEvent::TotalityBegins || entry.event == NightEvent::TotalityEnds
        });
        order.iter().find_map(|entry| {
            let NightEvent::EclipseGreatest { penumbral } = entry.event else {
                return None;
            };
            let kind = match (penumbral, is_total) {
                (true, _) => EclipseKind::Penumbral,
                (false, true) => EclipseKind::Total,
                (false, false) => EclipseKind::Partial,
            };
            Some(format!(
                "{} lunar eclipse, greatest at {}, Moon {}",
                eclipse_word(kind),
                self.clock(entry.moment()),
                moon_height_words(&entry.step.instant)
            ))
        })
    }

    /// What the plan advises for a window.
    fn advice(&self, window: &Window) -> Option<&WindowAdvice> {
        self.0.advice.iter().find_map(|advice| match advice {
            Advice::Window(advice) if advice.interval == window.interval => Some(advice),
            _ => None,
        })
    }

    /// Where the camera stands, and the subject as seen from there.
    fn stand(&self) -> String {
        let site = self.0.site;
        let here = position_words(
            site.conventions.coordinates,
            site.latitude_deg,
            site.longitude_deg,
            4,
        );
        let Some((subject, bearing_deg)) = site.subject.as_ref().zip(site.subject_bearing_deg())
        else {
            return here;
        };
        let units = site.conventions.units;
        let away = site.subject_distance_m().map(|metres| match metres {
            near if near < NEAR_M => format!(", {} away", height_words(units, near, 0)),
            far => format!(", {} away", away_words(units, far / 1000.0)),
        });
        let away = away.unwrap_or_default();
        format!(
            "{here}; {} toward {}{away}",
            subject.within_sentence(),
            self.toward(bearing_deg)
        )
    }

    /// How to hold the camera at the best instant.
    fn camera(&self, window: &Window) -> String {
        let plan = window.frame.as_ref().and_then(|frame| frame.plan);
        let Some(plan) = plan else {
            return format!("toward {}", self.toward(window.best.facing_deg));
        };
        let held = self.held(&plan);
        match window.framed.filter(|part| *part != window.interval) {
            Some(part) => format!("{held}; one frame is enough {}", self.hours(part)),
            None => held,
        }
    }

    fn held(&self, plan: &FramePlan) -> String {
        let toward = self.toward(plan.bearing_deg);
        let held = orientation_word(plan.orientation);
        match plan.framed_as {
            FramedAs::One => {
                format!("toward {toward}, {held}, {}", pitch_words(plan.pitch_deg))
            }
            FramedAs::Panorama => format!(
                "panorama {} by {} in {held} around {toward}, lowest row {}",
                plan.columns,
                plan.rows,
                pitch_words(plan.pitch_deg.round())
            ),
            FramedAs::Neither => {
                let north = self.0.site.conventions.north;
                framing_sentence(plan, self.0.rules.target_name(), north)
            }
        }
    }

    /// How to take the land, and how it stands to the sky.
    fn land(&self, window: &Window, advice: &WindowAdvice) -> String {
        let own = advice.land_frame.map(|land| {
            let settings = settings_of(land.f_number, land.shutter_s, land.iso);
            match &window.land {
                Some(land) => format!("{settings} at {}", self.clock(land.best.moment())),
                None => settings,
            }
        });
        let stops = |stops| format!("{} the sky", land_words(stops));
        match (advice.land, own) {
            (LandAdvice::OneExposure { stops: over }, _) => {
                format!("{}: the sky's exposure likely holds it", stops(over))
            }
            (LandAdvice::OwnFrame { stops: over }, Some(own)) => {
                format!("{own}, a frame of its own: {}", stops(over))
            }
            (LandAdvice::OwnFrame { stops: over }, None) => {
                format!("a frame of its own: {}", stops(over))
            }
            (
                LandAdvice::MoonDisc {
                    over_land_stops, ..
                },
                own,
            ) => {
                let own = own.map(|own| format!("{own} in a frame of its own; "));
                format!(
                    "{}the Moon's disc is {} it",
                    own.unwrap_or_default(),
                    land_words(over_land_stops)
                )
            }
            (LandAdvice::Moonlit { .. }, Some(own)) => format!("{own}, by moonlight"),
            (LandAdvice::Moonlit { .. }, None) => "by moonlight".to_owned(),
        }
    }
}

/// Settings for the sky, and whether they reach it.
fn sky_words(advice: &WindowAdvice) -> String {
    let settings = settings_text(&advice.exposure);
    match advice.exposure.reach {
        Reach::TooDark { stops_short } => {
            format!("{settings}, {stops_short:.1} stops darker than usual: stack frames")
        }
        _ => settings,
    }
}

/// Where the light comes from.
fn light(plan: &NightPlan<'_>, window: &Window) -> String {
    let lit = window.lit();
    let moon = lit_words(plan, lit);
    if window.best.target.is_moon() {
        return format!("{}, {moon}", window_light_words(window));
    }
    if lit.is_moonlit() {
        let side = light_words(lit.signed_light_angle_deg());
        return format!("Moon {side}, {}, {moon}", moon_height_words(lit));
    }
    match lit.moon_is_up() {
        true => format!("no moonlight on the land, Moon {}", moon_height_words(lit)),
        false => "no moonlight: the Moon is down".to_owned(),
    }
}
