//! One moment of a night: for cold hands and small screens, and for programs.

use super::{
    cell::Cell,
    emphasis::STRONG,
    json::rounded,
    words::{
        answer_lines, care_words, clock_text, countdown, happening_words, settings_lines,
        state_lines,
    },
    wrap::write_wrapped,
};
use crate::{
    ephemeris::Moment,
    plan::{Gloom, NightNow, NightPlan, OpenWindow},
    search::Window,
};
use serde_json::{Map, Value, json};
use std::io::{self, Write};

/// The longest line, columns: half a telephone's.
const WIDTH: usize = 38;

/// A moment of a planned night, and the next window after that night.
#[derive(Debug, Clone, Copy)]
pub struct NowReport<'a> {
    /// The night.
    pub plan: &'a NightPlan<'a>,
    /// The moment.
    pub now: &'a NightNow,
    /// The next window after the night, if there is none left in it.
    pub later: Option<&'a Window>,
}

/// The text without signs that are not ASCII; names stay as they are.
fn plain(text: &str) -> String {
    text.replace('°', " deg")
}

impl NowReport<'_> {
    fn moment(&self) -> Moment {
        self.now.step.instant.moment()
    }

    fn clock(&self, moment: Moment) -> String {
        clock_text(self.plan.site.zone, moment, self.plan.clocks_change)
    }

    /// Writes the moment in short lines; the view's name comes first where
    /// there are several.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write(&self, out: &mut impl Write, several: bool) -> io::Result<()> {
        let (plan, now, moment) = (self.plan, self.now, self.moment());
        let line = |out: &mut dyn Write, first: &str, text: &str| {
            write_wrapped(&mut { out }, first, &plain(text), WIDTH)
        };
        if several {
            line(out, "", &plan.site.title())?;
        }
        let mut answer = answer_lines(plan, now, self.later).into_iter();
        if let Some(first) = answer.next() {
            write!(out, "{STRONG}")?;
            let mut text = Vec::new();
            write_wrapped(&mut text, "", &plain(&first), WIDTH)?;
            let text = String::from_utf8_lossy(&text);
            writeln!(out, "{}{STRONG:#}", text.trim_end())?;
        }
        for text in answer {
            line(out, "", &text)?;
        }
        let date = plan.night.date.format("%a %-d %B");
        line(
            out,
            "",
            &format!("Now {}, night of {date}", self.clock(moment)),
        )?;
        if !several {
            line(out, "", &plan.site.title())?;
        }
        writeln!(out)?;
        for text in state_lines(plan, now) {
            line(out, "", &text)?;
        }
        let settings = settings_lines(now);
        if !settings.is_empty() {
            writeln!(out)?;
        }
        for text in settings {
            line(out, "", &text)?;
        }
        if !now.next.is_empty() && !now.is_over {
            writeln!(out)?;
            let (target, windows) = (plan.rules.target_name(), plan.windows.len());
            for entry in &now.next {
                let (at, wait) = (entry.moment(), countdown(moment, entry.moment()));
                let words = happening_words(entry.event, target, windows);
                let text = format!("in {wait} ({}) {words}", self.clock(at));
                line(out, "- ", &text)?;
            }
        }
        let care = care_words(plan);
        if !care.is_empty() {
            writeln!(out)?;
            line(out, "", &format!("Care: {care}"))?;
        }
        Ok(())
    }

    /// The moment as `"now"` of a night's JSON.
    pub fn object(&self) -> Value {
        let (plan, now, moment) = (self.plan, self.now, self.moment());
        let utc = |moment: Moment| Cell::Utc(moment).to_json();
        let minutes = |to: Moment| rounded((to.seconds() - moment.seconds()) / 60.0, 1);
        let window = |window: &OpenWindow| {
            json!({
                "number": window.number,
                "is_moonlit_land": window.is_land,
                "is_open": window.interval.first() <= moment,
                "start_utc": utc(window.interval.first()),
                "end_utc": utc(window.interval.last()),
                "best_utc": utc(window.best),
            })
        };
        let next = now.next.iter().map(|entry| {
            json!({
                "what": entry.event.key(),
                "window": entry.event.window(),
                "time_utc": utc(entry.moment()),
                "in_minutes": minutes(entry.moment()),
            })
        });
        let step = &now.step;
        let (sky, light) = (&step.instant.sky, &step.instant.light);
        let exposure = &step.frame.exposure;
        let mut fields = Map::new();
        fields.insert("time_utc".into(), utc(moment));
        fields.insert("sky".into(), gloom_key(now.gloom).into());
        fields.insert("window".into(), now.window.as_ref().map(window).into());
        fields.insert("night_is_over".into(), now.is_over.into());
        let cloud = plan.site.cloud_percent_at(moment);
        let cloud = cloud.map(|percent| rounded(percent, 1));
        fields.insert("cloud_forecast_percent".into(), cloud.into());
        fields.insert(
            "moon".into(),
            json!({
                "altitude_deg": rounded(sky.moon.apparent_altitude_deg, 2),
                "azimuth_deg": rounded(sky.moon.azimuth_deg, 2),
                "is_clear": step.moon_clear,
                "light_angle_deg": rounded(step.instant.signed_light_angle_deg(), 2),
            }),
        );
        fields.insert(
            "target".into(),
            json!({
                "altitude_deg": rounded(sky.target.apparent_altitude_deg, 2),
                "azimuth_deg": rounded(sky.target.azimuth_deg, 2),
                "is_clear": step.target_clear,
            }),
        );
        fields.insert(
            "sky_settings".into(),
            json!({
                "f_number": exposure.f_number,
                "shutter_s": exposure.shutter_s,
                "iso": exposure.iso,
            }),
        );
        let land = now.land.as_ref().map(|land| {
            json!({
                "f_number": land.f_number,
                "shutter_s": land.shutter_s,
                "iso": land.iso,
            })
        });
        fields.insert("land_settings".into(), land.into());
        let stops = rounded(light.land_vs_sky_stops, 2);
        fields.insert("land_vs_sky_stops".into(), stops);
        fields.insert("next".into(), next.collect());
        let later = self.later.map(|window| {
            json!({
                "night": window.night.to_string(),
                "start_utc": utc(window.interval.first()),
                "end_utc": utc(window.interval.last()),
                "score": rounded(window.score, 1),
            })
        });
        fields.insert("later_window".into(), later.into());
        let text = answer_lines(plan, now, self.later);
        fields.insert("text".into(), text.join(" ").into());
        Value::Object(fields)
    }
}

fn gloom_key(gloom: Gloom) -> &'static str {
    match gloom {
        Gloom::Day => "day",
        Gloom::Civil => "civil_twilight",
        Gloom::Nautical => "nautical_twilight",
        Gloom::Astronomical => "astronomical_twilight",
        Gloom::Dark => "dark",
    }
}
