//! A night for people: a card for the field.

use super::{
    grid::{Emphasis, FAINT, Grid, PLAIN, STRONG, Side},
    words::{
        advice_sentence, caution_sentence, clock_text, happening_words, heading_lines,
        light_letters, shutter_text, steps_note, stops,
    },
    wrap::write_wrapped,
};
use crate::{
    Figure,
    ephemeris::{EventKind, Moment},
    plan::{NightEvent, NightPlan, NightStep, TimetableEntry},
};
use std::io::{self, Write};

/// From this width on there is room for what the narrow card leaves out.
const WIDE: usize = 112;
/// Advice is read best in lines no longer than this.
const READING_WIDTH: usize = 96;

/// Writes the card, `width` columns wide.
///
/// # Errors
///
/// What `out` says.
pub fn write(out: &mut impl Write, plan: &NightPlan<'_>, width: usize) -> io::Result<()> {
    let card = Card { plan, width };
    card.heading(out)?;
    writeln!(out)?;
    card.timetable(out)?;
    writeln!(out)?;
    card.steps(out)?;
    let words = width.min(READING_WIDTH);
    write_list(
        out,
        "What to do",
        plan.advice.iter().map(|a| advice_sentence(plan, a)),
        words,
    )?;
    write_list(
        out,
        "Take care",
        plan.cautions.iter().map(caution_sentence),
        words,
    )
}

fn write_list<S: AsRef<str>>(
    out: &mut impl Write,
    heading: &str,
    lines: impl Iterator<Item = S>,
    width: usize,
) -> io::Result<()> {
    writeln!(out, "\n{STRONG}{heading}{STRONG:#}")?;
    for line in lines {
        write_wrapped(out, "- ", line.as_ref(), width)?;
    }
    Ok(())
}

struct Card<'a> {
    plan: &'a NightPlan<'a>,
    width: usize,
}

impl Card<'_> {
    fn clock(&self, moment: Moment) -> String {
        clock_text(self.plan.site.zone, moment, self.plan.clocks_change)
    }

    fn heading(&self, out: &mut impl Write) -> io::Result<()> {
        let site = self.plan.site;
        writeln!(
            out,
            "{STRONG}{}{STRONG:#}{FAINT}  {:.4} {:.4}, {:.0} m{FAINT:#}",
            site.name,
            Figure(site.latitude_deg),
            Figure(site.longitude_deg),
            Figure(site.elevation_m),
        )?;
        for line in heading_lines(self.plan) {
            write_wrapped(out, "", &line, self.width)?;
        }
        Ok(())
    }

    fn timetable(&self, out: &mut impl Write) -> io::Result<()> {
        let mut grid = Grid::new([
            Side::Left,
            Side::Left,
            Side::Right,
            Side::Right,
            Side::Right,
        ]);
        grid.heading(["", "", "alt", "true", "compass"]);
        let mut any = false;
        for entry in self.plan.card() {
            any = true;
            let style = weight(entry.event);
            let [altitude, azimuth, magnetic] = place_texts(self.plan, entry);
            let target = self.plan.rules.target_name();
            let words = happening_words(entry.event, target, self.plan.windows.len());
            grid.styled_row([
                (self.clock(entry.moment()), style),
                (words, style),
                (altitude, PLAIN),
                (azimuth, PLAIN),
                (magnetic, PLAIN),
            ]);
        }
        if any {
            grid.write(out)
        } else {
            writeln!(out, "Nothing rises, sets or turns this night.")
        }
    }

    fn steps(&self, out: &mut impl Write) -> io::Result<()> {
        let plan = self.plan;
        let Some(below) = plan.steps_below_sun_deg else {
            return writeln!(out, "The Sun does not set: no dark hours to plan.");
        };
        if plan.steps.is_empty() {
            return writeln!(out, "The dark hours are shorter than a step.");
        }
        let some_inside = plan.steps.iter().any(|step| in_window(plan, step));
        write_wrapped(out, "", &steps_note(plan, below, "*"), self.width)?;
        let columns = columns(plan, self.width >= WIDE);
        let mut grid = Grid::new(columns.iter().map(|c| c.side).collect::<Vec<_>>());
        grid.gaps(columns.iter().map(|c| c.gap).collect::<Vec<_>>());
        grid.heading(columns.iter().map(|c| c.over));
        grid.heading(columns.iter().map(|c| c.name));
        for step in &plan.steps {
            let inside = in_window(plan, step);
            let mark = if inside { "*" } else { "" };
            let texts = columns.iter().enumerate().map(|(index, column)| {
                let text = (column.text)(plan, step);
                let is_first = index == 0 && some_inside;
                if is_first {
                    format!("{text}{mark}")
                } else {
                    text
                }
            });
            let emphasis = Emphasis::strong_if(inside);
            grid.styled_row(texts.map(|text| (text, emphasis)));
        }
        grid.write(out)
    }
}

/// Whether an instant lies in a window of its night.
pub(super) fn in_window(plan: &NightPlan<'_>, step: &NightStep) -> bool {
    let moment = step.instant.moment().seconds();
    plan.windows
        .iter()
        .any(|w| w.interval.start <= moment && moment <= w.interval.end)
}

/// What the eye should find first.
pub(super) fn weight(event: NightEvent) -> Emphasis {
    match event {
        NightEvent::WindowOpens(_)
        | NightEvent::WindowBest(_)
        | NightEvent::WindowCloses(_)
        | NightEvent::LandBegins(_)
        | NightEvent::LandBest(_)
        | NightEvent::LandEnds(_)
        | NightEvent::Arrive
        | NightEvent::ClocksChange(_) => STRONG,
        _ => PLAIN,
    }
}

/// Altitude, true azimuth and what a compass shows, for a line of a card.
pub(super) fn place_texts(plan: &NightPlan<'_>, entry: &TimetableEntry) -> [String; 3] {
    let Some(place) = entry.place() else {
        return Default::default();
    };
    // The altitude of a twilight is the Sun's own, geometric.
    let twilight = matches!(
        entry.event,
        NightEvent::Sky(
            EventKind::CivilDusk
                | EventKind::NauticalDusk
                | EventKind::AstronomicalDusk
                | EventKind::AstronomicalDawn
                | EventKind::NauticalDawn
                | EventKind::CivilDawn
        )
    );
    let altitude = if twilight {
        place.altitude_deg
    } else {
        place.apparent_altitude_deg
    };
    let compass = plan.compass.as_ref().ok();
    [
        degrees(altitude),
        bearing(place.azimuth_deg),
        compass.map_or_else(String::new, |field| {
            bearing(field.magnetic_bearing_deg(place.azimuth_deg))
        }),
    ]
}

fn degrees(value: f64) -> String {
    format!("{:.0}°", Figure(value.round()))
}

/// A bearing in whole degrees, 0 to 359.
fn bearing(value: f64) -> String {
    format!("{:.0}°", value.round().rem_euclid(360.0))
}

pub(super) struct StepColumn {
    gap: usize,
    pub over: &'static str,
    pub name: &'static str,
    pub side: Side,
    pub text: fn(&NightPlan<'_>, &NightStep) -> String,
}

pub(super) fn columns(plan: &NightPlan<'_>, wide: bool) -> Vec<StepColumn> {
    use Side::{Left, Right};
    type Text = fn(&NightPlan<'_>, &NightStep) -> String;
    let column = |gap, over, name, side, text: Text| StepColumn {
        gap,
        over,
        name,
        side,
        text,
    };
    let target = plan.rules.target_name();
    let mut list = vec![
        column(0, "", "time", Left, |plan, step| {
            clock_text(plan.site.zone, step.instant.moment(), plan.clocks_change)
        }),
        column(1, "Sun", "", Right, |_, step| {
            degrees(step.instant.sky.sun.altitude_deg)
        }),
        column(2, "Moon", "up", Right, |_, step| {
            of_moon(step, |step| {
                degrees(step.instant.sky.moon.apparent_altitude_deg)
            })
        }),
        column(1, "", "az", Right, |_, step| {
            of_moon(step, |step| bearing(step.instant.sky.moon.azimuth_deg))
        }),
        column(1, "light", "from", Right, |_, step| {
            of_moon(step, |step| {
                if step.moon_clear {
                    light_letters(step.instant.signed_light_angle_deg())
                } else {
                    "ridge".to_string()
                }
            })
        }),
        column(1, "", "mlx", Right, |_, step| {
            of_moon(step, |step| {
                format!("{:.1}", 1000.0 * step.instant.light.moonlight_lux)
            })
        }),
        column(2, target, "up", Right, |_, step| {
            let altitude = step.instant.sky.target.apparent_altitude_deg;
            let hidden = altitude > 0.0 && !step.target_clear;
            format!("{}{}", degrees(altitude), if hidden { "r" } else { "" })
        }),
        column(1, "", "az", Right, |_, step| {
            bearing(step.instant.sky.target.azimuth_deg)
        }),
        column(1, "arch", "top", Right, |_, step| {
            let arch = step.instant.sky.arch;
            arch.map_or_else(String::new, |arch| degrees(arch.top_altitude_deg))
        }),
        column(2, "sky", "mag", Right, |_, step| {
            format!("{:.1}", step.instant.light.sky_mag_arcsec2)
        }),
        column(1, "land", "stops", Right, |_, step| {
            stops(step.instant.light.land_vs_sky_stops)
        }),
        column(2, "", "shutter", Right, |_, step| {
            shutter_text(step.frame.exposure.shutter_s)
        }),
        column(1, "", "ISO", Right, |_, step| {
            step.frame.exposure.iso.to_string()
        }),
    ];
    if wide {
        list.extend([
            column(2, target, "offset", Right, |_, step| {
                format!("{:+.0}°", Figure(step.instant.target_offset_deg().round()))
            }),
            column(1, "", "kept", Right, |_, step| {
                format!("{:.0}%", 100.0 * step.instant.light.contrast_kept)
            }),
            column(2, "shadow", "x height", Right, |_, step| {
                let length = step.instant.light.shadow_length_per_height;
                length.map_or_else(|| "-".to_string(), |length| format!("{length:.1}"))
            }),
            column(1, "", "toward", Right, |_, step| {
                let azimuth = step.instant.light.shadow_azimuth_deg;
                azimuth.map_or_else(|| "-".to_string(), bearing)
            }),
            column(2, "arch", "az", Right, |_, step| {
                let arch = step.instant.sky.arch;
                arch.map_or_else(String::new, |arch| bearing(arch.top_azimuth_deg))
            }),
        ]);
    }
    list
}

/// A text about the Moon, or a dash while it is down.
fn of_moon(step: &NightStep, text: impl Fn(&NightStep) -> String) -> String {
    if step.instant.moon_is_up() {
        text(step)
    } else {
        "-".to_string()
    }
}
