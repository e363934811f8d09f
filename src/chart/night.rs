//! One night: altitude over local time.

use super::{
    Look, Picture,
    caption::{LEADING, bearing, caption_lines, clock, lux, whole, write_lines, write_title},
    night_axes::{Axes, LEFT, NightChart, RIGHT, TOP, WIDTH, utc},
    night_lanes, night_lines, night_ticks,
    sheet::{Sheet, Type, element, px, rectangle},
};
use crate::{
    Figure,
    report::words::{framing_sentence, land_words, sight_words},
    rule::SUN_ALTITUDE,
    scene::{Band, Facing},
};

impl NightChart<'_> {
    /// Draws it.
    pub fn draw(&self, look: Look) -> Picture {
        let axes = self.axes();
        let title = format!(
            "{}, night of {}",
            self.site.title(),
            self.series.night.date.format("%a %-d %B %Y")
        );
        let caption = caption_lines(&self.caption(&axes), RIGHT - LEFT);
        let foot = night_lanes::FOOT;
        let height = foot + LEADING * caption.len() as f64 + 14.0;
        let mut sheet = Sheet::new("night", look.palette, WIDTH, height).numbered(look.number);
        sheet.define_clip("diagram", axes.room());
        sheet.define_hatch("slant", 6.0, 2.2, 45.0);
        sheet.define_hatch("rungs", 6.0, 2.0, 0.0);
        write_title(&mut sheet, &title, &self.below_title(), LEFT, RIGHT - LEFT);
        // The caption comes first: labels avoid what is already there.
        write_lines(&mut sheet, &caption, LEFT, foot + 12.0);
        self.ground(&mut sheet, &axes);
        self.grid(&mut sheet, &axes);
        night_lanes::draw_hours(self, &mut sheet, &axes);
        night_ticks::draw(self, &mut sheet, &axes);
        night_lanes::draw_windows(self, &mut sheet, &axes);
        night_lines::draw(self, &mut sheet, &axes);
        night_lanes::draw_balance(self, &mut sheet, &axes);
        sheet.finish(&title, &self.description())
    }

    fn below_title(&self) -> String {
        let middle = self.series.instants.get(self.series.instants.len() / 2);
        let phase = middle.map_or(String::new(), |instant| {
            let phase = instant.sky.phase;
            format!(
                "Moon {:.0}% lit, {}",
                100.0 * phase.illuminated_fraction,
                if phase.waxing { "waxing" } else { "waning" }
            )
        });
        let facing = match (self.rules.facing, middle) {
            (Facing::Subject, Some(instant)) => {
                format!("the subject at {}", bearing(instant.facing_deg))
            }
            (Facing::Bearing(toward), _) => bearing(toward),
            (Facing::Arch, _) => "the top of the arch".to_owned(),
            _ => format!("the {}", self.rules.target_name()),
        };
        format!(
            "{phase}; times in {}; facing {facing}",
            self.site.zone.name()
        )
    }

    fn caption(&self, axes: &Axes) -> Vec<String> {
        let target = self.rules.target_name();
        let darkest = self
            .shown(axes)
            .iter()
            .map(|instant| instant.light.sky_mag_arcsec2)
            .fold(f64::NEG_INFINITY, f64::max);
        let dark = self.rules.get(&SUN_ALTITUDE).unwrap_or(Band::ANY);
        let dark = self
            .series
            .instants
            .iter()
            .any(|i| dark.contains(i.sky.sun.altitude_deg));
        let mut paragraphs = Vec::new();
        if self.series.windows.is_empty() {
            paragraphs.push(if dark {
                "No window meets every rule on this night.".to_owned()
            } else {
                "No window: the Sun never sinks as low as the rules ask.".to_owned()
            });
        }
        let windows = self.series.windows.iter();
        let best = windows.max_by(|a, b| a.score.total_cmp(&b.score));
        let plan = best.and_then(|window| window.frame.as_ref()?.plan);
        paragraphs
            .extend(plan.map(|plan| framing_sentence(&plan, target, self.site.conventions.north)));
        let of_moon = self.rules.target.is_moon();
        let terrain = if self.site.skyline.is_some() && of_moon {
            " Dotted: behind the terrain that the camera sees, whose edge is drawn at its azimuth."
                .to_owned()
        } else if self.site.skyline.is_some() {
            format!(
                " Dotted: behind the terrain, whose edge is drawn at each one's azimuth: as the camera \
             sees it for the {target}, as the subject sees it for the Moon."
            )
        } else {
            String::new()
        };
        if of_moon {
            paragraphs.push(format!(
                "The ground is the sky beside the {target}, darker grey for a darker sky \
                 ({darkest:.1} mag/arcsec² at its darkest). The line widens with the square root \
                 of the moonlight on level ground.{terrain} Balance: how many stops the land is \
                 brighter (up) or darker (down) than the sky."
            ));
            return paragraphs;
        }
        paragraphs.push(format!(
            "The ground is the sky behind the {target}, darker grey for a darker sky \
             ({darkest:.1} mag/arcsec² at its darkest). The Moon's line widens with the square \
             root of its light on level ground; the {target}'s line is as wide as the contrast \
             it keeps.{terrain} Balance: how many stops the land is brighter (up) or darker \
             (down) than the sky."
        ));
        paragraphs
    }

    /// The same in words, for screen readers.
    fn description(&self) -> String {
        let of_moon = self.rules.target.is_moon();
        let bodies = match of_moon {
            true => "the Moon".to_owned(),
            false => format!("the Moon and the {}", self.rules.target_name()),
        };
        let mut text = format!(
            "Altitude of {bodies} over local time. {}. ",
            self.below_title()
        );
        for event in &self.series.events {
            text.push_str(&format!(
                "{} {}. ",
                sight_words(event.kind, self.rules.target_name()),
                clock(self.site, event.moment)
            ));
        }
        if self.series.windows.is_empty() {
            text.push_str("No window keeps every rule.");
        }
        for window in &self.series.windows {
            text.push_str(&format!(
                "Window {} to {}, best {}, score {:.0}: Moon {} up giving {}{}. ",
                clock(self.site, window.interval.first()),
                clock(self.site, window.interval.last()),
                clock(self.site, window.best.moment()),
                window.score,
                whole(window.best.sky.moon.apparent_altitude_deg),
                lux(window.best.light.moonlight_lux),
                match window.best.moon_disc_vs_land_stops() {
                    Some(over_land) => format!(", its disc {} the land", land_words(over_land)),
                    None => format!(
                        ", {} {} up keeping {:.0}% of its contrast",
                        self.rules.target_name(),
                        whole(window.best.sky.target.apparent_altitude_deg),
                        100.0 * window.best.light.contrast_kept,
                    ),
                },
            ));
        }
        text.trim_end().to_owned()
    }

    /// Draws the computed sky brightness as greys from left to right.
    fn ground(&self, sheet: &mut Sheet, axes: &Axes) {
        let mut gradient = element(
            "linearGradient",
            [
                ("id", sheet.id("sky")),
                ("gradientUnits", "userSpaceOnUse".to_owned()),
                ("x1", px(LEFT)),
                ("x2", px(RIGHT)),
                ("y1", "0".to_owned()),
                ("y2", "0".to_owned()),
            ],
        );
        for instant in self.shown(axes).iter().step_by(3) {
            let x = axes.x(instant.moment().seconds());
            let mag = instant.light.sky_mag_arcsec2;
            svg::Node::append(
                &mut gradient,
                element(
                    "stop",
                    [
                        (
                            "offset",
                            format!("{:.5}", Figure((x - LEFT) / (RIGHT - LEFT))),
                        ),
                        ("stop-color", sheet.palette.sky(mag)),
                        ("data-sky-mag-arcsec2", format!("{mag:.2}")),
                    ],
                ),
            );
        }
        sheet.define(gradient);
        let mut ground = rectangle(axes.room());
        for (key, value) in [
            ("fill", sheet.url("sky")),
            ("data-axes", "diagram".to_owned()),
            ("data-from-utc", utc(axes.from)),
            ("data-to-utc", utc(axes.to)),
            ("data-top-altitude-deg", px(axes.top_deg)),
        ] {
            svg::Node::assign(&mut ground, key, value);
        }
        sheet.draw(ground);
    }

    fn grid(&self, sheet: &mut Sheet, axes: &Axes) {
        let step = if axes.top_deg > 50.0 { 30 } else { 10 };
        for altitude in (0..=90).step_by(step) {
            let y = axes.y(f64::from(altitude));
            if y < TOP {
                break;
            }
            let weight = if altitude == 0 { 1.4 } else { 0.5 };
            sheet.faint_line((LEFT, y), (RIGHT, y), weight);
            let text = format!("{altitude}°");
            sheet.write(
                &text,
                Type::SMALL,
                [Type::SMALL.ending(&text, LEFT - 8.0, y + 4.0)],
            );
        }
    }
}
