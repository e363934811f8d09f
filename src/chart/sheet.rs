//! The sheet that a picture is drawn on.

use super::{
    Palette, Picture,
    placer::{Anchor, Placer, Room, Spot},
    text_width::text_width,
};
use crate::Figure;
use svg::{
    Document, Node,
    node::{Blob, Text, element::Element},
};

/// A sheet while it is drawn.
pub struct Sheet {
    /// The greys it uses.
    pub palette: Palette,
    /// The room that texts and lines use.
    pub placer: Placer,
    kind: &'static str,
    number: usize,
    width: f64,
    height: f64,
    definitions: Element,
    /// What is drawn, kept as text because a season of many sites has a million
    /// elements.
    drawn: String,
}

/// How a text is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Type {
    /// Size, pixels.
    pub size: f64,
    /// Whether it is bold.
    pub bold: bool,
}

impl Type {
    /// The name of a picture.
    pub const TITLE: Self = Self::of(17.0, true);
    /// The answer below it.
    pub const ANSWER: Self = Self::of(15.0, true);
    /// Sentences.
    pub const BODY: Self = Self::of(13.0, false);
    /// Names of what is drawn.
    pub const STRONG: Self = Self::of(13.0, true);
    /// Figures and names beside them.
    pub const SMALL: Self = Self::of(11.5, false);
    /// The same where it matters.
    pub const SMALL_STRONG: Self = Self::of(11.5, true);
    /// The smallest, on paper alone.
    pub const TINY: Self = Self::of(9.6, false);

    const fn of(size: f64, bold: bool) -> Self {
        Self { size, bold }
    }

    /// How wide a text can be, pixels.
    pub fn width(self, text: &str) -> f64 {
        text_width(text, self.size, self.bold)
    }

    /// The room for a text whose baseline begins at a point.
    pub fn room(self, text: &str, x: f64, baseline: f64) -> Spot {
        self.spot(text, x, baseline, Anchor::Start)
    }

    /// The same with the text centred on `x`.
    pub fn centred(self, text: &str, x: f64, baseline: f64) -> Spot {
        self.spot(text, x, baseline, Anchor::Middle)
    }

    /// The same with the text ending at `x`.
    pub fn ending(self, text: &str, x: f64, baseline: f64) -> Spot {
        self.spot(text, x, baseline, Anchor::End)
    }

    fn spot(self, text: &str, x: f64, baseline: f64, anchor: Anchor) -> Spot {
        let width = self.width(text);
        let before = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => 0.5,
            Anchor::End => 1.0,
        };
        Spot {
            room: Room {
                left: x - before * width,
                top: baseline - 0.93 * self.size,
                width,
                height: 1.17 * self.size,
            },
            anchor,
        }
    }
}

/// A number as pictures write it: with two decimals at most.
pub fn px(value: f64) -> String {
    let text = format!("{:.2}", Figure(value));
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}

/// The path data of a line through points.
pub fn through(points: &[(f64, f64)]) -> String {
    let mut data = String::new();
    let mut before: Option<(String, String)> = None;
    for (x, y) in points.iter().map(|(x, y)| (px(*x), px(*y))) {
        match &before {
            None => data.extend(["M", &x, " ", &y]),
            Some((_, same)) if *same == y => data.extend(["H", &x]),
            Some((same, _)) if *same == x => data.extend(["V", &y]),
            Some(_) => data.extend(["L", &x, " ", &y]),
        }
        before = Some((x, y));
    }
    data
}

/// An element with attributes.
pub fn element<'a>(name: &str, attributes: impl IntoIterator<Item = (&'a str, String)>) -> Element {
    let mut element = Element::new(name);
    for (key, value) in attributes {
        element.assign(key, value);
    }
    element
}

impl Sheet {
    /// A blank sheet; `kind` keeps the identifiers of several pictures on one
    /// page apart.
    pub fn new(kind: &'static str, palette: Palette, width: f64, height: f64) -> Self {
        Self {
            palette,
            placer: Placer::new(width, height),
            kind,
            number: 1,
            width,
            height,
            definitions: Element::new("defs"),
            drawn: String::new(),
        }
    }

    /// The same as the picture of this number, from 1, of its kind on one page.
    pub fn numbered(self, number: usize) -> Self {
        Self { number, ..self }
    }

    /// An identifier of this picture.
    pub fn id(&self, name: &str) -> String {
        match self.number {
            1 => format!("{}-{name}", self.kind),
            number => format!("{}-{number}-{name}", self.kind),
        }
    }

    /// A reference to the definition of that name.
    pub fn url(&self, name: &str) -> String {
        format!("url(#{})", self.id(name))
    }

    /// Puts an element on top of what is there.
    pub fn draw(&mut self, element: Element) {
        if !self.drawn.is_empty() {
            self.drawn.push('\n');
        }
        self.drawn.push_str(&element.to_string());
    }

    /// Adds a definition.
    pub fn define(&mut self, element: Element) {
        self.definitions.append(element);
    }

    /// Defines a clip to a rectangle.
    pub fn define_clip(&mut self, name: &str, room: Room) {
        let mut clip = element("clipPath", [("id", self.id(name))]);
        clip.append(rectangle(room));
        self.define(clip);
    }

    /// Defines a texture of slanting lines, `spacing` pixels apart.
    pub fn define_hatch(&mut self, name: &str, spacing: f64, weight: f64, turn_deg: f64) {
        let mut pattern = element(
            "pattern",
            [
                ("id", self.id(name)),
                ("width", px(spacing)),
                ("height", px(spacing)),
                ("patternUnits", "userSpaceOnUse".to_owned()),
                ("patternTransform", format!("rotate({})", px(turn_deg))),
            ],
        );
        pattern.append(element(
            "path",
            [
                ("d", format!("M{} 0V{}", px(0.5 * spacing), px(spacing))),
                ("stroke", self.palette.ink()),
                ("stroke-width", px(weight)),
            ],
        ));
        self.define(pattern);
    }

    /// Draws a line.
    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), weight: f64) {
        let ink = self.palette.ink();
        self.draw(stroke(&through(&[from, to]), &ink, weight));
    }

    /// Draws a paler line.
    pub fn faint_line(&mut self, from: (f64, f64), to: (f64, f64), weight: f64) {
        let ink = self.palette.faint();
        self.draw(stroke(&through(&[from, to]), &ink, weight));
    }

    /// Writes a text in the first free of several rooms; the result is that room,
    /// or `None` if none is free.
    pub fn write(
        &mut self,
        text: &str,
        style: Type,
        candidates: impl IntoIterator<Item = Spot>,
    ) -> Option<Spot> {
        self.write_over(text, style, None, candidates)
    }

    /// The same with the ground's grey around the letters, so that lines below
    /// do not touch them.
    pub fn write_over(
        &mut self,
        text: &str,
        style: Type,
        ground: Option<String>,
        candidates: impl IntoIterator<Item = Spot>,
    ) -> Option<Spot> {
        let spot = self.placer.place(text, candidates)?;
        self.set(text, style, ground, spot);
        Some(spot)
    }

    /// Sets a text in a room that is already reserved for it.
    pub fn set(&mut self, text: &str, style: Type, ground: Option<String>, spot: Spot) {
        let room = spot.room;
        let (x, anchor) = match spot.anchor {
            Anchor::Start => (room.left, "start"),
            Anchor::Middle => (room.left + 0.5 * room.width, "middle"),
            Anchor::End => (room.left + room.width, "end"),
        };
        let text_in = |fill: String| {
            let mut node = element(
                "text",
                [
                    ("x", px(x)),
                    ("y", px(room.top + 0.93 * style.size)),
                    ("text-anchor", anchor.to_owned()),
                    ("font-size", px(style.size)),
                    ("fill", fill),
                ],
            );
            if style.bold {
                node.assign("font-weight", "bold");
            }
            node.append(Text::new(text));
            node
        };
        if let Some(ground) = ground {
            // A text of its own: not every renderer can draw the outline of
            // letters below their ink. Only the text above it is read out.
            let mut halo = text_in(ground.clone());
            halo.assign("aria-hidden", "true");
            halo.assign("stroke", ground);
            halo.assign("stroke-width", "4");
            self.draw(halo);
        }
        self.draw(text_in(self.palette.ink()));
    }

    /// The finished picture, with a title and a description for screen readers.
    pub fn finish(self, title: &str, description: &str) -> Picture {
        let (title_id, description_id) = (self.id("title"), self.id("description"));
        let mut group = element(
            "g",
            [
                ("font-family", "sans-serif".to_owned()),
                ("data-picture", self.kind.to_owned()),
            ],
        );
        if !self.drawn.is_empty() {
            group.append(Blob::new(self.drawn));
        }
        let mut heading = element("title", [("id", title_id.clone())]);
        heading.append(Text::new(title));
        let mut text = element("desc", [("id", description_id.clone())]);
        text.append(Text::new(description));
        let mut ground = rectangle(Room {
            left: 0.0,
            top: 0.0,
            width: self.width,
            height: self.height,
        });
        ground.assign("fill", self.palette.paper());
        let document = Document::new()
            .set("width", px(self.width))
            .set("height", px(self.height))
            .set(
                "viewBox",
                format!("0 0 {} {}", px(self.width), px(self.height)),
            )
            // Of all lines: said once, for a season has a thousand.
            .set("stroke-linejoin", "round")
            .set("role", "img")
            .set("aria-labelledby", format!("{title_id} {description_id}"))
            .add(heading)
            .add(text)
            .add(self.definitions)
            .add(ground)
            .add(group);
        Picture {
            svg: format!("{document}\n"),
            width: self.width,
            height: self.height,
            labels: self.placer.into_texts(),
        }
    }
}

/// A bare rectangle.
pub fn rectangle(room: Room) -> Element {
    element(
        "rect",
        [
            ("x", px(room.left)),
            ("y", px(room.top)),
            ("width", px(room.width)),
            ("height", px(room.height)),
        ],
    )
}

/// A line along path data.
pub fn stroke(data: &str, color: &str, weight: f64) -> Element {
    element(
        "path",
        [
            ("d", data.to_owned()),
            ("fill", "none".to_owned()),
            ("stroke", color.to_owned()),
            ("stroke-width", px(weight)),
        ],
    )
}
