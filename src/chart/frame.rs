//! The view from the camera at one instant.

use super::{
    Palette, Picture,
    caption::{LEADING, bearing, caption_lines, lux, whole, write_lines, write_title},
    frame_land, frame_sky,
    placer::Room,
    sheet::{Sheet, Type, element, px, rectangle},
};
use crate::{
    ephemeris::{Galaxy, Moment},
    light::{
        Optics, Orientation, Panorama, Pointing, View,
        panorama::{DEFAULT_ARCH_MARGIN_DEG, DEFAULT_OVERLAP, Span},
    },
    report::words::light_words,
    rule::{Conditions, Rules, offset_deg},
    scene::{Facing, Site, offset_text},
    search::{PlanError, Planner},
};

/// The view at one instant.
#[derive(Debug, Clone, Copy)]
pub struct FrameChart<'a> {
    /// The site.
    pub site: &'a Site,
    /// The rules that say what is followed and faced.
    pub rules: &'a Rules,
    /// Sky and light.
    pub instant: Conditions,
    /// Direction of the Moon's bright limb, degrees clockwise from straight
    /// up.
    pub bright_limb_from_zenith_deg: f64,
    /// The galactic frame.
    pub galaxy: Galaxy,
    /// Declination of the compass, degrees, east positive, where it is known.
    pub magnetic_declination_deg: Option<f64>,
}

/// Width of the sheet, left and right edges of the view, its upper edge.
const WIDTH: f64 = 1000.0;
const LEFT: f64 = 74.0;
const RIGHT: f64 = 974.0;
const TOP: f64 = 80.0;
/// Lowest altitude shown, degrees.
const LOWEST_DEG: f64 = -12.0;
/// Narrowest view to either side, degrees.
const NARROWEST_DEG: f64 = 60.0;
/// Part of the frame's height below a level horizon. Common practice, no
/// source.
const LAND_PART: f64 = 0.2;

/// Where directions fall on the sheet: azimuth and altitude at one scale.
#[derive(Debug, Clone, Copy)]
pub struct Outlines {
    /// True bearing of the middle, degrees.
    pub facing_deg: f64,
    /// Azimuth shown to either side, degrees.
    pub half_deg: f64,
    /// Highest altitude shown, degrees.
    pub top_deg: f64,
}

impl Outlines {
    /// Pixels a degree, both ways.
    pub fn scale(&self) -> f64 {
        (RIGHT - LEFT) / (2.0 * self.half_deg)
    }

    /// Where an offset from the facing direction and an altitude fall.
    pub fn at_offset(&self, offset_deg: f64, altitude_deg: f64) -> (f64, f64) {
        (
            0.5 * (LEFT + RIGHT) + self.scale() * offset_deg,
            TOP + self.scale() * (self.top_deg - altitude_deg),
        )
    }

    /// Where a direction falls.
    pub fn at(&self, azimuth_deg: f64, altitude_deg: f64) -> (f64, f64) {
        self.at_offset(offset_deg(azimuth_deg, self.facing_deg), altitude_deg)
    }

    /// The view.
    pub fn room(&self) -> Room {
        Room {
            left: LEFT,
            top: TOP,
            width: RIGHT - LEFT,
            height: self.scale() * (self.top_deg - LOWEST_DEG),
        }
    }

    /// Whether a point lies in it.
    pub fn shows(&self, (x, y): (f64, f64)) -> bool {
        let room = self.room();
        (LEFT..=RIGHT).contains(&x) && (TOP..=TOP + room.height).contains(&y)
    }

    /// Pieces of a line of directions that neither leave through the seam
    /// behind the camera.
    pub fn pieces(&self, directions: &[(f64, f64)]) -> Vec<Vec<(f64, f64)>> {
        let mut pieces: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
        let mut before: Option<f64> = None;
        for (azimuth, altitude) in directions {
            let offset = offset_deg(*azimuth, self.facing_deg);
            if before.is_some_and(|before| (offset - before).abs() > 180.0) {
                pieces.push(Vec::new());
            }
            before = Some(offset);
            if let Some(piece) = pieces.last_mut() {
                piece.push(self.at_offset(offset, *altitude));
            }
        }
        pieces.retain(|piece| piece.len() > 1);
        pieces
    }
}

impl<'a> FrameChart<'a> {
    /// The view that a planner's site has at `moment`.
    ///
    /// # Errors
    ///
    /// A moment outside the planner's season.
    pub fn at(planner: &'a Planner, moment: Moment) -> Result<Self, PlanError> {
        let (site, sky) = (planner.site(), planner.sky());
        Ok(Self {
            site,
            rules: planner.rules(),
            instant: planner.at(moment)?,
            bright_limb_from_zenith_deg: sky.bright_limb_from_zenith_deg(moment),
            galaxy: sky.galaxy(moment),
            magnetic_declination_deg: site.magnetic_declination_deg(moment),
        })
    }
}

impl FrameChart<'_> {
    /// The camera's view, level horizon at a fifth of its height.
    pub(super) fn view(&self) -> Option<View> {
        let optics = self.optics()?;
        let facing = self.instant.facing_deg;
        let level = View::new(&optics, Orientation::Landscape, Pointing::new(facing, 0.0));
        let half_height_tan = (0.5 * level.height_deg()).to_radians().tan();
        let pitch = ((1.0 - 2.0 * LAND_PART) * half_height_tan)
            .atan()
            .to_degrees();
        Some(View::new(
            &optics,
            Orientation::Landscape,
            Pointing::new(facing, pitch),
        ))
    }

    fn optics(&self) -> Option<Optics> {
        Optics::try_from(&self.site.camera?).ok()
    }

    /// The fewest upright frames that hold the whole arch, with the offset of
    /// the first from the facing direction.
    pub(super) fn panorama(&self) -> Option<(Panorama, f64)> {
        let arch = self.instant.sky.arch?;
        let span = Span::arch(
            arch.feet.map(|foot| foot.azimuth_deg),
            arch.top_azimuth_deg,
            arch.top_altitude_deg,
            DEFAULT_ARCH_MARGIN_DEG,
        );
        let plan = Panorama::cover(
            &self.optics()?,
            Orientation::Portrait,
            &span,
            DEFAULT_OVERLAP,
        )
        .ok()?;
        let middle = offset_deg(arch.top_azimuth_deg, self.instant.facing_deg);
        let turns = f64::from(plan.frames_per_row.saturating_sub(1));
        Some((plan, middle - 0.5 * turns * plan.yaw_step_deg))
    }

    fn outlines(&self) -> Outlines {
        let instant = self.instant;
        let sky = &instant.sky;
        let mut half = NARROWEST_DEG;
        let mut top: f64 = 45.0;
        if let Some(view) = self.view() {
            half = half.max(0.5 * view.width_deg() + 12.0);
            top = top.max(0.8 * view.height_deg() + 6.0);
        }
        if sky.moon.apparent_altitude_deg > -1.0 {
            half = half.max(instant.signed_light_angle_deg().abs() + 20.0);
            top = top.max(sky.moon.apparent_altitude_deg + 10.0);
        }
        if sky.target.apparent_altitude_deg > 0.0 {
            half = half.max(instant.target_offset_deg().abs() + 15.0);
            top = top.max(sky.target.apparent_altitude_deg + 10.0);
        }
        if self.rules.facing == Facing::Arch {
            half = half.max(110.0);
            if let Some(arch) = sky.arch {
                top = top.max(arch.top_altitude_deg + 10.0);
            }
        }
        if half > 150.0 {
            half = 180.0;
        }
        Outlines {
            facing_deg: instant.facing_deg,
            half_deg: half.ceil(),
            top_deg: if top > 75.0 { 90.0 } else { top.ceil() },
        }
    }

    /// Draws it.
    pub fn draw(&self, palette: Palette) -> Picture {
        let outlines = self.outlines();
        let zone = self.site.zone;
        let moment = self.instant.moment();
        let title = format!(
            "{}, {} (UTC{})",
            self.site.name,
            zone.local(moment).format("%a %-d %B %Y, %H:%M"),
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
        let mut sheet = Sheet::new("frame", palette, WIDTH, height);
        sheet.define_clip("view", outlines.room());
        sheet.define_hatch("lit", 3.0, 1.0, 60.0);
        write_title(&mut sheet, &title, &below, LEFT, RIGHT - LEFT);
        // Before the labels, which keep off what stands already.
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
        frame_land::draw_terrain(self, &mut sheet, &outlines);
        frame_sky::draw_corners(self, &mut sheet, &outlines);
        frame_land::draw_subject(self, &mut sheet, &outlines);
        frame_sky::draw_moon_and_target(self, &mut sheet, &outlines);
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

    /// Whether the Moon stands behind the terrain that the camera sees.
    pub(super) fn moon_behind_terrain(&self) -> bool {
        let moon = &self.instant.sky.moon;
        self.site.horizon.as_ref().is_some_and(|horizon| {
            moon.apparent_altitude_deg < horizon.altitude_deg_at(moon.azimuth_deg)
        })
    }

    /// What the Moon is like, in words.
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
            } else {
                ""
            };
            first.push_str(&format!(
                "{}{terrain}, giving {} on level ground; drawn larger than it is, with its true shape and \
                 tilt. ",
                self.moon_words(),
                lux(instant.light.moonlight_lux)
            ));
        }
        first.push_str(&format!(
            "The {target} is {} {}. ",
            whole(instant.sky.target.apparent_altitude_deg.abs()),
            if instant.sky.target.apparent_altitude_deg >= 0.0 {
                "up"
            } else {
                "below the horizon"
            }
        ));
        if let Some(arch) = instant.sky.arch {
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
                "Corner marks: the camera's frame, {:.0}° by {:.0}°, with a level horizon at a \
                 fifth of its height.",
                view.width_deg(),
                view.height_deg()
            );
            if let Some((plan, _)) = self.panorama() {
                let pitches: Vec<String> = (0..plan.rows)
                    .map(|row| whole(plan.lowest_pitch_deg + f64::from(row) * plan.pitch_step_deg))
                    .collect();
                text.push_str(&format!(
                    " Numbered ticks at the upper edge: the {} upright frames a row that hold \
                     the whole arch, {} apart, tilted up {}.",
                    plan.frames_per_row,
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

    /// True bearings under the view, magnetic ones beneath them.
    fn bearings(&self, sheet: &mut Sheet, outlines: &Outlines) {
        let bottom = outlines.room().top + outlines.room().height;
        let step = if outlines.half_deg > 100.0 { 30 } else { 15 };
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
        for altitude in (0..=90).step_by(if outlines.top_deg > 60.0 { 30 } else { 15 }) {
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
