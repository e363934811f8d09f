//! The picture of one instant: what is in the frame, when the target passes the
//! subject, where the light comes from, where the shadow falls.

use super::{
    Look, Picture, Size,
    frame_above::Above,
    frame_lens::LensView,
    frame_strip::Strip,
    head::Head,
    placer::Room,
    sheet::{Sheet, Type},
    text_width::wrapped_as,
};
use crate::{
    ephemeris::{Galaxy, Moment, UmbraOnDisc},
    plan::NoWindow,
    report::words::{
        eclipse_words, faint_words, frame_bearings_words, frames_words, framing_sentence,
        in_picture_words, light_from_words, no_window_answer, subject_in_frame_words,
        sun_height_words, target_fact, target_words, window_at_words,
    },
    rule::{Conditions, Rules},
    scene::{Facing, Site, offset_text},
    search::{Course, FramePlan, InPicture, PictureFrames, PlanError, Planner},
};

/// The view at one instant.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct FrameChart<'a> {
    /// The site.
    pub site: &'a Site,
    /// The rules, which set the target and the camera direction.
    pub rules: &'a Rules,
    /// Sky and light.
    pub instant: Conditions,
    /// How the site's camera gets land and target into the picture.
    pub plan: Option<FramePlan>,
    /// The frames of that picture.
    pub frames: Option<PictureFrames>,
    /// The night about the instant, where the season's sky reaches it.
    pub course: Option<Course>,
    /// Why that night has no window; `None` where it has one.
    pub no_window: Option<NoWindow>,
    /// The umbra over the Moon's disc, while it touches it.
    pub umbra: Option<UmbraOnDisc>,
    /// Direction of the Moon's bright limb, degrees clockwise from straight
    /// up.
    pub bright_limb_from_zenith_deg: f64,
    /// The galactic frame.
    pub galaxy: Galaxy,
    /// Magnetic declination, degrees, east positive, if it is known.
    pub magnetic_declination_deg: Option<f64>,
}

impl<'a> FrameChart<'a> {
    /// The view that a planner's site has at `moment`.
    ///
    /// # Errors
    ///
    /// A moment outside the planner's season.
    pub fn at(planner: &'a Planner, moment: Moment) -> Result<Self, PlanError> {
        let (site, sky, rules) = (planner.site(), planner.sky(), planner.rules());
        let instant = planner.at(moment)?;
        let course = planner.course(moment).ok();
        let no_window = course.as_ref().and_then(|course| {
            let series = &course.series;
            NoWindow::of_events(planner, &series.night, &series.events, &series.windows)
        });
        Ok(Self {
            site,
            rules,
            plan: planner.frame_plan(&instant),
            frames: planner.picture_frames(&instant),
            instant,
            course,
            no_window,
            umbra: sky.umbra_on_disc(moment),
            bright_limb_from_zenith_deg: sky.bright_limb_from_zenith_deg(moment),
            galaxy: sky.galaxy(moment),
            magnetic_declination_deg: site.magnetic_declination_deg(moment),
        })
    }
}

/// Gap between two parts of the picture, pixels.
const GAP: f64 = 14.0;
/// From a heading's top to what it heads, pixels.
const HEADING: f64 = 20.0;
/// Height of the plan below the strip, pixels.
const ABOVE_HEIGHT: f64 = 236.0;
/// A lens narrower than this has the plan beside it on paper, pixels.
const NARROW: f64 = 340.0;
/// From line to line of small text, pixels.
const LINE: f64 = 16.0;

impl FrameChart<'_> {
    /// Draws it.
    pub fn draw(&self, look: Look) -> Picture {
        let size = look.size;
        let head = self.head();
        let mut layout = Layout::of(self, size, head.bottom(size), 0.0);
        let tallest = size.sheet_height().unwrap_or(f64::INFINITY);
        if layout.bottom > tallest {
            let over = layout.bottom - tallest;
            layout = Layout::of(self, size, head.bottom(size), over);
        }
        let mut sheet =
            Sheet::new("frame", look.palette, size.width(), layout.bottom).numbered(look.number);
        sheet.define_hatch("lit", 3.0, 1.0, 60.0);
        head.write(&mut sheet, size);
        let style = Type::SMALL;
        for (text, left, top) in &layout.headings {
            sheet.write(text, style, [style.room(text, *left, top + 13.0)]);
        }
        if let Some(lens) = &layout.lens {
            lens.draw(self, &mut sheet);
        }
        layout.strip.draw(self, &mut sheet);
        for (index, line) in layout.notes.iter().enumerate() {
            let baseline = layout.notes_top + LINE * index as f64 + 10.0;
            sheet.write(line, style, [style.room(line, size.left(), baseline)]);
        }
        if let Some(above) = &layout.above {
            above.draw(self, &mut sheet);
        }
        sheet.finish(&head.title, &head.description())
    }

    /// What the subject is called in the picture.
    pub(super) fn subject_name(&self) -> Option<&str> {
        let subject = self.site.subject.as_ref()?;
        let name = subject.name.as_deref().map(str::trim);
        Some(name.filter(|name| !name.is_empty()).unwrap_or("subject"))
    }

    /// Whether the Moon is in the picture.
    pub(super) fn moon_state(&self) -> InPicture {
        InPicture::of_moon(self.site, self.frames.as_ref(), &self.instant)
    }

    /// Whether the target is in the picture.
    pub(super) fn target_state(&self) -> InPicture {
        InPicture::of_target(self.site, self.frames.as_ref(), &self.instant)
    }

    fn head(&self) -> Head {
        let (site, instant) = (self.site, &self.instant);
        let frames = self.frames.as_ref();
        let moment = instant.moment();
        let moon = self.moon_state();
        let state = self.target_state();
        let mut target = target_words(&self.rules.target);
        if matches!(state, InPicture::Yes | InPicture::Lost) {
            let faint = faint_words(instant);
            target.extend(faint.map(|words| format!(" ({words})")));
        }
        let mut parts = vec![(target.as_str(), state)];
        if let (Some(name), Some(state)) =
            (self.subject_name(), InPicture::of_subject(site, frames))
        {
            parts.push((name, state));
        }
        if !self.rules.target.is_moon() {
            parts.push(("Moon", moon));
        }
        let subject = site.subject.as_ref().map(|s| s.within_sentence());
        let mut answer = vec![in_picture_words(
            &parts,
            frames,
            &subject.unwrap_or_default(),
        )];
        if let Some(course) = &self.course {
            answer.extend(window_at_words(site, course, moment));
        }
        let why = self.no_window.as_ref();
        answer.extend(why.map(|why| format!("{}.", no_window_answer(self.rules, why))));
        let mut facts = vec![self.camera_fact()];
        facts.push(light_from_words(instant, moon, self.umbra.as_ref(), site));
        let eclipse = self.course.as_ref().and_then(|course| course.eclipse);
        facts.extend(eclipse.map(|eclipse| eclipse_words(site, &eclipse, self.umbra.as_ref())));
        facts.extend(sun_height_words(instant));
        facts.push(target_fact(site, self.rules, instant, self.umbra.as_ref()));
        facts.extend(subject_in_frame_words(instant, frames, site));
        Head {
            title: format!(
                "{}, {} (UTC{})",
                site.title(),
                site.zone
                    .local(moment.to_the_minute())
                    .format("%a %-d %B %Y, %H:%M"),
                offset_text(site.zone.offset_seconds_at(moment))
            ),
            answer,
            facts,
        }
    }

    /// Lens, holding, pitch and bearing, or why there is no frame.
    fn camera_fact(&self) -> String {
        let north = self.site.conventions.north;
        let target = self.rules.target_name();
        if let Some(frames) = &self.frames {
            return frames_words(frames, self.site, self.magnetic_declination_deg);
        }
        if let Some(plan) = &self.plan {
            return framing_sentence(plan, target, north);
        }
        match (self.site.camera, self.rules.facing) {
            (Some(_), Facing::Arch) => {
                "The whole arch takes more frames than one turns at night".to_owned()
            }
            _ => "No frame: a [camera] in the site file would tell what it holds".to_owned(),
        }
    }

    /// What stands below the strip: the bearings of a panorama's frames.
    fn notes(&self, size: Size) -> Vec<String> {
        let many = self.frames.as_ref().filter(|frames| frames.count() > 1);
        let text = many.map(|frames| frame_bearings_words(frames, self.site.conventions.north));
        let width = size.right() - size.left();
        text.map_or_else(Vec::new, |text| wrapped_as(&text, Type::SMALL, width))
    }
}

/// What stands where on the sheet.
struct Layout {
    lens: Option<LensView>,
    strip: Strip,
    notes: Vec<String>,
    notes_top: f64,
    above: Option<Above>,
    /// Headings with their left edges and their tops.
    headings: Vec<(String, f64, f64)>,
    bottom: f64,
}

impl Layout {
    /// From the top downward, the lens lower by so many pixels than it could be:
    /// the lens, the strip, the plan. On paper the plan stands beside a narrow
    /// lens.
    fn of(chart: &FrameChart<'_>, size: Size, top: f64, lower: f64) -> Self {
        const ABOVE: &str = "From above, to scale, the camera direction up";
        let mut headings = Vec::new();
        let mut bottom = top;
        let mut lens = LensView::of(chart, size, top + HEADING, lower);
        let mut above = None;
        if let Some(lens) = &mut lens {
            headings.push((lens.heading().to_owned(), size.left(), top));
            bottom = lens.bottom() + GAP;
            let narrow = size == Size::A4 && lens.width() < NARROW;
            let beside = lens.width() + 2.0 * GAP;
            let room = Room {
                left: size.left() + beside,
                top: top + HEADING,
                width: size.right() - size.left() - beside,
                height: lens.bottom() - top - HEADING,
            };
            above = Above::of(chart, room).filter(|_| narrow);
            if above.is_some() {
                lens.move_to(size.left(), room.left - GAP);
                headings.push((ABOVE.to_owned(), room.left, top));
            }
        }
        headings.push((
            "All round, the camera direction in the middle".to_owned(),
            size.left(),
            bottom,
        ));
        let strip = Strip::of(chart, size, bottom + HEADING);
        let notes_top = strip.bottom() + GAP;
        let notes = chart.notes(size);
        bottom = notes_top + LINE * notes.len() as f64;
        if above.is_none() {
            let room = Room {
                left: size.left(),
                top: bottom + HEADING,
                width: size.right() - size.left(),
                height: ABOVE_HEIGHT,
            };
            above = Above::of(chart, room);
            if above.is_some() {
                headings.push((ABOVE.to_owned(), size.left(), bottom));
                bottom = room.top + room.height + GAP;
            }
        }
        Self {
            lens,
            strip,
            notes,
            notes_top,
            above,
            headings,
            bottom,
        }
    }
}
