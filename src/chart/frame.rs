//! The view from the camera at one instant.

use super::{
    Look, Picture,
    caption::{LEADING, bearing, caption_lines, lux, whole, write_lines, write_title},
    frame_land, frame_sky,
    frame_view::{FrameChart, LEFT, Outlines, RIGHT, TOP, WIDTH},
    sheet::{Sheet, Type, element, px, rectangle},
};
use crate::{
    report::words::{framing_sentence, land_words, light_words, orientation_word},
    scene::offset_text,
};

impl FrameChart<'_> {
    /// Draws it.
    pub fn draw(&self, look: Look) -> Picture {
        let outlines = self.outlines();
        let zone = self.site.zone;
        let moment = self.instant.moment();
        let title = format!(
            "{}, {} (UTC{})",
            self.site.title(),
            zone.local(moment.to_the_minute())
                .format("%a %-d %B %Y, %H:%M"),
            offset_text(zone.offset_seconds_at(moment))
        );
        let below = format!(
            "facing {} true, over {}° of azimuth",
            bearing(outlines.facing_deg),
            2.0 * outlines.half_deg
        );
        let caption = caption_lines(&self.caption(), RIGHT - LEFT);
        let bottom = outlines.room().top + outlines.room().height;
        let foot = bottom + 84.0;
        let height = foot + LEADING * caption.len() as f64 + 8.0;
        let mut sheet = Sheet::new("frame", look.palette, WIDTH, height).numbered(look.number);
        sheet.define_clip("view", outlines.room());
        sheet.define_hatch("lit", 3.0, 1.0, 60.0);
        write_title(&mut sheet, &title, &below, LEFT, RIGHT - LEFT);
        // The caption comes first: labels avoid what is already there.
        write_lines(&mut sheet, &caption, LEFT, foot);
        let mut ground = rectangle(outlines.room());
        for (key, value) in [
            ("fill", sheet.palette.paper()),
            ("data-axes", "view".to_owned()),
            ("data-facing-deg", format!("{:.4}", outlines.facing_deg)),
            ("data-half-deg", px(outlines.half_deg)),
            ("data-top-deg", px(outlines.top_deg)),
        ] {
            svg::Node::assign(&mut ground, key, value);
        }
        sheet.draw(ground);
        frame_sky::draw_band(self, &mut sheet, &outlines);
        frame_sky::draw_moon_behind_land(self, &mut sheet, &outlines);
        frame_land::draw_terrain(self, &mut sheet, &outlines);
        frame_sky::draw_corners(self, &mut sheet, &outlines);
        // The subject is solid: it is drawn over what stands behind it.
        frame_sky::draw_moon_and_target(self, &mut sheet, &outlines);
        frame_land::draw_subject(self, &mut sheet, &outlines);
        let mut border = rectangle(outlines.room());
        for (key, value) in [
            ("fill", "none".to_owned()),
            ("stroke", sheet.palette.faint()),
            ("stroke-width", "1".to_owned()),
        ] {
            svg::Node::assign(&mut border, key, value);
        }
        sheet.draw(border);
        self.bearings(&mut sheet, &outlines);
        frame_sky::draw_words(self, &mut sheet, &outlines);
        sheet.finish(&title, &caption.join(" "))
    }

    /// The Moon in words.
    pub(super) fn moon_words(&self) -> String {
        let instant = self.instant;
        format!(
            "Moon {:.0}% lit, {} up, {} of the facing direction",
            100.0 * instant.sky.phase.illuminated_fraction,
            whole(instant.sky.moon.apparent_altitude_deg),
            light_words(instant.signed_light_angle_deg()),
        )
    }

    fn caption(&self) -> Vec<String> {
        let instant = self.instant;
        let target = self.rules.target_name();
        let mut first = format!(
            "The Sun is {} below the horizon. ",
            whole(-instant.sky.sun.altitude_deg)
        );
        if instant.sky.sun.altitude_deg > 0.0 {
            first = format!(
                "The Sun is up, at {}. ",
                whole(instant.sky.sun.altitude_deg)
            );
        }
        if !instant.moon_is_up() {
            first.push_str("The Moon is below the horizon. ");
        } else {
            let terrain = if self.moon_behind_terrain() {
                ", behind the terrain"
            } else if self.behind_subject(&instant.sky.moon) {
                ", behind the subject (backlight)"
            } else {
                ""
            };
            let size = match instant.moon_diameter_deg() {
                Some(diameter_deg) => format!("to scale, {:.1}' across", 60.0 * diameter_deg),
                None => "larger than it is".to_owned(),
            };
            first.push_str(&format!(
                "{}{terrain}, giving {} on level ground; drawn {size}, with its true shape and \
                 tilt. ",
                self.moon_words(),
                lux(instant.light.moonlight_lux)
            ));
        }
        let of_moon = instant.target.is_moon();
        if let Some(over_land) = instant.moon_disc_vs_land_stops() {
            first.push_str(&format!("Its disc is {} the land. ", land_words(over_land)));
        }
        let target_words = format!(
            "The {target} is {} {}. ",
            whole(instant.sky.target.apparent_altitude_deg.abs()),
            if instant.sky.target.apparent_altitude_deg < 0.0 {
                "below the horizon"
            } else if self.behind_subject(&instant.sky.target) {
                "up, behind the subject"
            } else {
                "up"
            }
        );
        // The Moon has been told already.
        first.push_str(if of_moon { "" } else { &target_words });
        if let Some(arch) = instant.sky.arch.filter(|_| !of_moon) {
            first.push_str(&format!(
                "The Milky Way, hatched {:.0}° wide, is highest at {} toward {}.",
                2.0 * frame_sky::HALF_BAND_DEG,
                whole(arch.top_altitude_deg),
                bearing(arch.top_azimuth_deg)
            ));
        }
        let mut paragraphs = vec![first];
        if let Some(view) = self.view() {
            let mut text = format!(
                "Corner marks: the camera's frame, {} by {}",
                field(view.width_deg()),
                field(view.height_deg())
            );
            text.push_str(match self.one_frame() {
                Some(_) => ". ",
                None => ", with a level horizon at a fifth of its height. ",
            });
            if of_moon && !self.shows_corners(&view) {
                text = format!(
                    "The camera's frame, {} by {}, reaches beyond this picture. ",
                    field(view.width_deg()),
                    field(view.height_deg())
                );
            }
            if let Some(plan) = &self.plan {
                text.push_str(&framing_sentence(plan, target, self.site.conventions.north));
            }
            if let Some((plan, _)) = self.panorama() {
                let pitches: Vec<String> = plan.pitches_deg().map(whole).collect();
                text.push_str(&format!(
                    " Numbered ticks at the upper edge: the {} frames in {} of a row that \
                     hold the whole arch, {} apart, tilted up {}.",
                    plan.frames_per_row,
                    orientation_word(plan.orientation),
                    whole(plan.yaw_step_deg),
                    pitches.join(", ")
                ));
            }
            paragraphs.push(text);
        }
        if let Some(text) = frame_land::subject_words(self) {
            paragraphs.push(text);
        }
        paragraphs
    }

    /// True bearings under the view, magnetic ones below them.
    fn bearings(&self, sheet: &mut Sheet, outlines: &Outlines) {
        let bottom = outlines.room().top + outlines.room().height;
        let step = match outlines.half_deg {
            half if half > 100.0 => 30,
            half if half >= 60.0 => 15,
            _ => 5,
        };
        let (true_row, magnetic_row) = (bottom + 22.0, bottom + 42.0);
        sheet.write(
            "true",
            Type::SMALL,
            [Type::SMALL.room("true", 24.0, true_row)],
        );
        if self.magnetic_declination_deg.is_some() {
            let text = "magnetic";
            sheet.write(
                text,
                Type::SMALL,
                [Type::SMALL.room(text, 8.0, magnetic_row)],
            );
        }
        for toward in (0..360).step_by(step) {
            let (x, _) = outlines.at(f64::from(toward), 0.0);
            if !(LEFT..=RIGHT).contains(&x) {
                continue;
            }
            let text = match toward {
                0 => "north 0°".to_owned(),
                90 => "east 90°".to_owned(),
                180 => "south 180°".to_owned(),
                270 => "west 270°".to_owned(),
                other => format!("{other}°"),
            };
            let room = Type::SMALL.centred(&text, x, true_row);
            if sheet.write(&text, Type::SMALL, [room]).is_none() {
                continue;
            }
            sheet.draw(element(
                "path",
                [
                    ("d", format!("M{} {}v7", px(x), px(bottom))),
                    ("stroke", sheet.palette.ink()),
                    ("stroke-width", "1.2".to_owned()),
                    ("data-bearing-deg", toward.to_string()),
                ],
            ));
            if let Some(declination) = self.magnetic_declination_deg {
                let magnetic = f64::from(toward) - declination;
                let text = bearing(magnetic);
                let room = Type::SMALL.centred(&text, x, magnetic_row);
                sheet.write(&text, Type::SMALL, [room]);
            }
        }
        for altitude in (0..=90).step_by(match outlines.top_deg {
            top if top > 60.0 => 30,
            top if top >= 45.0 => 15,
            _ => 5,
        }) {
            let (_, y) = outlines.at_offset(0.0, f64::from(altitude));
            if y < TOP {
                break;
            }
            sheet.line((LEFT - 6.0, y), (LEFT, y), 1.2);
            let text = format!("{altitude}°");
            let room = Type::SMALL.ending(&text, LEFT - 9.0, y + 4.0);
            sheet.write(&text, Type::SMALL, [room]);
        }
    }
}

/// The side of a field of view; a narrow one with a decimal.
fn field(degrees: f64) -> String {
    let decimals = usize::from(degrees < 10.0);
    format!("{degrees:.decimals$}°")
}
