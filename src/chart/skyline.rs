//! The land round a place, with the paths of Moon and target of several nights.

use super::{
    Look, Picture, Size,
    head::Head,
    sheet::{Sheet, Type},
    skyline_labels::Labels,
    skyline_land, skyline_names,
    skyline_paths::{self, drawn},
    skyline_strip::Strip,
    skyline_table::Table,
    text_width::wrapped_as,
};
use crate::{
    light::View,
    plan::{PathCrossing, RidgeNights},
    report::words::{ridge_facts, ridge_sentences},
    rule::{Rules, offset_deg},
    scene::Site,
    search::{PlanError, Planner},
};

/// How much of the land round a place is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Around {
    /// All of it.
    All,
    /// The side that the camera looks at.
    Camera,
    /// That side, and the other where Moon or target shows there in the night asked
    /// for.
    Paths,
}

impl Around {
    /// What a width has room for.
    pub fn usual(size: Size) -> Self {
        match size {
            Size::A4 => Self::Paths,
            Size::Phone => Self::Camera,
        }
    }
}

/// The land round a place, with the paths of Moon and target of several nights.
#[derive(Debug, Clone)]
pub struct SkylineChart<'a> {
    /// The site.
    pub site: &'a Site,
    /// The rules, which set target and camera direction.
    pub rules: &'a Rules,
    /// The nights.
    pub nights: &'a RidgeNights,
    /// The one frame that holds land and target at the instant of the nights;
    /// `None` without one.
    pub(super) frame: Option<View>,
    /// Magnetic declination, degrees, east positive, if it is known.
    pub magnetic_declination_deg: Option<f64>,
    /// How much is drawn.
    pub around: Around,
}

/// Azimuth to either side of the camera direction that the strip toward the
/// camera shows, degrees: half of it, and if something happens beyond, two
/// thirds. The project's choice.
pub(super) const HALF_DEG: f64 = 90.0;
const WIDER_HALF_DEG: f64 = 120.0;
/// Below this many pixels per degree the land is too low to be seen, and heights
/// are drawn [`EXAGGERATION`] times as large.
const LEAST_SCALE: f64 = 2.6;
const EXAGGERATION: f64 = 2.0;
/// Least altitude that a strip shows, degrees.
const LEAST_TOP_DEG: f64 = 14.0;
/// Room for labels above the highest path, degrees.
const HEADROOM_DEG: f64 = 6.0;
/// Pixels below a strip for its bearings.
const BEARINGS: f64 = 38.0;

impl<'a> SkylineChart<'a> {
    /// The picture of some nights of a planner's site.
    ///
    /// # Errors
    ///
    /// Nights outside the planner's season.
    pub fn of(
        planner: &'a Planner,
        nights: &'a RidgeNights,
        around: Around,
    ) -> Result<Self, PlanError> {
        let moment = nights.instant.moment();
        let frames = planner.picture_frames(&planner.at(moment)?);
        let frame = frames.and_then(|frames| frames.one());
        Ok(Self {
            site: planner.site(),
            rules: planner.rules(),
            nights,
            frame,
            magnetic_declination_deg: planner.site().magnetic_declination_deg(moment),
            around,
        })
    }
}

impl SkylineChart<'_> {
    /// Draws it.
    pub fn draw(&self, look: Look) -> Picture {
        let size = look.size;
        let head = self.head(size);
        let mut strips = self.strips(size);
        let mut y = head.bottom(size);
        let mut all_labels = Vec::new();
        for strip in &mut strips {
            strip.top = y;
            let labels = Labels::of(self, strip);
            strip.depth = labels.depth();
            y = strip.bottom() + BEARINGS;
            all_labels.push(labels);
        }
        let table = Table::of(self, size);
        let table_top = y + 6.0;
        let foot_top = table_top + table.height();
        let foot: Vec<String> = wrapped_as(
            &self.key_words(&strips),
            Type::SMALL,
            size.right() - size.left(),
        );
        let leading = 1.36 * Type::SMALL.size;
        let height = foot_top + leading * foot.len() as f64 + 14.0;
        let mut sheet =
            Sheet::new("skyline", look.palette, size.width(), height).numbered(look.number);
        head.write(&mut sheet, size);
        table.write(&mut sheet, table_top, size);
        for (line, text) in foot.iter().enumerate() {
            let baseline = foot_top + leading * (line as f64 + 0.8);
            let spot = Type::SMALL.room(text, size.left(), baseline);
            sheet.write(text, Type::SMALL, [spot]);
        }
        for (index, (strip, labels)) in strips.iter().zip(&all_labels).enumerate() {
            let clip = format!("strip-{}", index + 1);
            sheet.define_clip(&clip, strip.room());
            skyline_land::draw_ground(self, &mut sheet, strip);
            skyline_land::draw_frame(self, &mut sheet, strip, &clip);
            skyline_land::draw_land(self, &mut sheet, strip, &clip);
            skyline_paths::draw_hidden(self, &mut sheet, strip, &clip);
            skyline_paths::draw_paths(self, &mut sheet, strip, &clip);
            skyline_land::draw_bearings(self, &mut sheet, strip, size);
            labels.draw(&mut sheet, strip);
            skyline_names::write_paths(self, &mut sheet, strip);
            skyline_names::write_frame(self, &mut sheet, strip);
            skyline_names::write_hours(self, &mut sheet, strip);
        }
        let description = format!("{} {}", head.description(), table.description());
        sheet.finish(&head.title, &description)
    }

    fn head(&self, size: Size) -> Head {
        let date = self.nights.date;
        let mut facts = ridge_facts(self.site, self.rules, self.nights);
        facts.extend(self.unseen_words(size));
        Head {
            title: format!(
                "{}: skyline, night of {}",
                self.site.title(),
                date.format("%a %-d %B %Y")
            ),
            answer: ridge_sentences(self.site, self.rules, self.nights),
            facts,
        }
    }

    /// True bearing of the camera direction, degrees.
    pub(super) fn facing_deg(&self) -> f64 {
        self.nights.instant.facing_deg
    }

    /// Degrees right of the camera direction.
    pub(super) fn right_of_camera_deg(&self, azimuth_deg: f64) -> f64 {
        offset_deg(azimuth_deg, self.facing_deg())
    }

    /// Whether the target is drawn beside the Moon.
    pub(super) fn has_target(&self) -> bool {
        !self.rules.target.is_moon()
    }

    /// Every edge of the land that a body passes in the dark.
    fn crossings(&self) -> impl Iterator<Item = &PathCrossing> {
        let target = self.nights.asked().filter(|_| self.has_target());
        let of_target = target.into_iter().flat_map(|night| &night.target.crossings);
        let of_moon = self
            .nights
            .nights
            .iter()
            .flat_map(|night| &night.moon.crossings);
        of_moon.chain(of_target).filter(|crossing| crossing.dark)
    }

    /// Azimuth and apparent altitude of everything that is drawn in the sky, degrees,
    /// and whether it is of the night asked for.
    fn shown(&self) -> impl Iterator<Item = (f64, f64, bool)> {
        drawn(self).into_iter().flat_map(|path| {
            let points = path.body.points.iter().filter(|point| point.clear);
            let crossings = path.body.crossings.iter();
            let crossings = crossings.filter(|crossing| crossing.dark);
            points
                .map(|point| point.place)
                .chain(crossings.map(|crossing| crossing.place))
                .map(move |place| (place.azimuth_deg, place.apparent_altitude_deg, path.asked))
        })
    }

    /// How far the strip toward the camera reaches to either side, degrees.
    fn half_deg(&self, size: Size) -> f64 {
        let beyond = |crossing: &PathCrossing| {
            self.right_of_camera_deg(crossing.place.azimuth_deg).abs() > HALF_DEG - 5.0
        };
        match size {
            Size::Phone if !self.crossings().any(beyond) => HALF_DEG,
            _ => WIDER_HALF_DEG,
        }
    }

    /// The strips, from above; the sheet's tops and depths are not set yet.
    fn strips(&self, size: Size) -> Vec<Strip> {
        let half_deg = self.half_deg(size);
        let across = (size.right() - size.left()) / (2.0 * half_deg);
        let up = match across < LEAST_SCALE {
            true => EXAGGERATION * across,
            false => across,
        };
        let strip = |middle_deg: f64, half_deg: f64| Strip {
            middle_deg,
            half_deg,
            top_deg: 0.0,
            left: size.left(),
            top: 0.0,
            across,
            up,
            depth: 0.0,
        };
        let mut strips = vec![strip(self.facing_deg(), half_deg)];
        let behind = match self.around {
            Around::All => true,
            Around::Camera => false,
            Around::Paths => self.beyond(half_deg).any(|asked| asked),
        };
        if behind {
            strips.push(strip(self.facing_deg() + 180.0, 180.0 - half_deg));
        }
        for (index, strip) in strips.iter_mut().enumerate() {
            strip.top_deg = self.top_deg(strip, index == 0);
        }
        // Where bodies pass near the zenith the sheet would not hold both strips.
        let tops: f64 = strips.iter().map(|strip| strip.top_deg).sum();
        let room = size
            .sheet_height()
            .map_or(f64::INFINITY, |height| 0.40 * height);
        for strip in &mut strips {
            strip.up = strip.up.min(room / tops.max(1.0));
        }
        strips
    }

    /// The highest altitude that a strip needs, degrees.
    fn top_deg(&self, strip: &Strip, toward_camera: bool) -> f64 {
        let shown = self.shown().filter(|(azimuth, ..)| strip.reaches(*azimuth));
        let highest = shown.map(|(_, altitude, _)| altitude).fold(0.0, f64::max);
        let mut top = (highest + HEADROOM_DEG).max(LEAST_TOP_DEG);
        for skyline in [&self.site.skyline, &self.site.subject_skyline] {
            let Some(skyline) = skyline else { continue };
            let azimuths = skyline_land::azimuths(strip, skyline);
            let land = azimuths
                .map(|azimuth| skyline.altitude_deg_at(azimuth))
                .fold(0.0, f64::max);
            top = top.max(land + HEADROOM_DEG);
        }
        if toward_camera && let Some(shape) = self.site.subject_shape() {
            top = top.max(shape.top_deg + HEADROOM_DEG);
        }
        top.min(90.0).ceil()
    }

    /// What would be drawn farther from the camera direction, degrees: whether it is
    /// of the night asked for.
    fn beyond(&self, half_deg: f64) -> impl Iterator<Item = bool> {
        self.shown()
            .filter(move |(azimuth, ..)| self.right_of_camera_deg(*azimuth).abs() > half_deg)
            .map(|(.., asked)| asked)
    }

    /// What a picture of one side leaves out.
    fn unseen_words(&self, size: Size) -> Option<String> {
        let beyond: Vec<bool> = self.beyond(self.half_deg(size)).collect();
        let asked = beyond.contains(&true);
        let whose = match (self.around, asked) {
            _ if beyond.is_empty() => return None,
            (Around::All, _) | (Around::Paths, true) => return None,
            (Around::Camera, true) => "the paths",
            (Around::Camera | Around::Paths, false) => "other nights' paths",
        };
        Some(format!(
            "Part of {whose} lies behind the camera and is not drawn."
        ))
    }

    /// How the lines are read.
    fn key_words(&self, strips: &[Strip]) -> String {
        let mut words = vec!["Ticks on the paths: whole hours."];
        let windows = self
            .nights
            .nights
            .iter()
            .any(|night| !night.windows.is_empty());
        if windows {
            words.push("Heavy: in a window.");
        }
        if strips.iter().any(|strip| strip.half_deg > HALF_DEG) || strips.len() > 1 {
            words.push("Grey sky: behind the camera.");
        }
        let scale = strips.first().map_or(1.0, |strip| strip.up / strip.across);
        let scale = match (100.0 * scale).round() {
            100.0 => None,
            200.0 => Some("Heights are drawn twice as large as widths.".to_owned()),
            percent => Some(format!("Heights are drawn at {percent:.0} % of widths.")),
        };
        words.extend(scale.as_deref());
        if self.magnetic_declination_deg.is_some() {
            words.push("Bearings: true, compass below.");
        }
        words.join(" ")
    }
}
