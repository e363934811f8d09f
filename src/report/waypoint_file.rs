//! Points as GPX 1.1 or KML 2.2, for any map and device. Names and descriptions
//! are data: nothing in them is a tag, in a browser either.

use super::{waypoint::Waypoint, words::computed_by};
use crate::{Figure, input::PointsForm};
use std::fmt::Write;

/// A file of points that is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaypointFile {
    /// GPX 1.1.
    Gpx,
    /// KML 2.2.
    Kml,
}

impl WaypointFile {
    /// What comes before the points.
    pub fn begin(self) -> String {
        let computed = xml_text(&computed_by());
        match self {
            Self::Gpx => format!(
                "{}{}\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n\
                 <metadata><desc>{computed}</desc></metadata>\n",
                PointsForm::Gpx.own_start(),
                env!("CARGO_PKG_VERSION"),
            ),
            Self::Kml => format!(
                "{}<kml xmlns=\"http://www.opengis.net/kml/2.2\">\n\
                 <Document>\n<name>rakelight</name>\n<description>{computed}</description>\n",
                PointsForm::Kml.own_start(),
            ),
        }
    }

    /// What comes after the points.
    pub const fn end(self) -> &'static str {
        match self {
            Self::Gpx => "</gpx>\n",
            Self::Kml => "</Document>\n</kml>\n",
        }
    }

    /// The points, as they stand between beginning and end.
    pub fn points(self, points: &[Waypoint]) -> String {
        let written = points.iter().map(|point| match self {
            Self::Gpx => gpx(point),
            Self::Kml => kml(point),
        });
        written.collect()
    }

    /// A whole file of these points.
    pub fn whole(self, points: &[Waypoint]) -> String {
        self.begin() + &self.points(points) + self.end()
    }
}

/// Degrees, to about a centimetre.
fn degrees(value: f64) -> String {
    format!("{:.7}", Figure(value))
}

fn metres(value: f64) -> String {
    format!("{:.1}", Figure(value))
}

fn gpx(waypoint: &Waypoint) -> String {
    let Waypoint {
        point,
        elevation_m,
        name,
        role,
        lines,
    } = waypoint;
    let mut text = format!(
        "<wpt lat=\"{}\" lon=\"{}\">\n",
        degrees(point.latitude_deg()),
        degrees(point.longitude_deg())
    );
    let mut element = |name: &str, value: &str| {
        // A String takes all.
        let _ = writeln!(text, "<{name}>{}</{name}>", xml_text(value));
    };
    if let Some(elevation_m) = elevation_m {
        element("ele", &metres(*elevation_m));
    }
    element("name", name);
    if !lines.is_empty() {
        element("desc", &lines.join("\n"));
    }
    element("type", role.word());
    text + "</wpt>\n"
}

fn kml(waypoint: &Waypoint) -> String {
    let Waypoint {
        point,
        elevation_m,
        name,
        role,
        lines,
    } = waypoint;
    // A description is HTML: what is a sign in a text is written as one.
    let lines: Vec<String> = lines.iter().map(|line| xml_text(line)).collect();
    let description = match lines.is_empty() {
        true => String::new(),
        false => format!(
            "<description>{}</description>\n",
            xml_text(&lines.join("<br>"))
        ),
    };
    let elevation = elevation_m.map_or_else(String::new, |m| format!(",{}", metres(m)));
    format!(
        "<Placemark>\n<name>{}</name>\n{description}\
         <ExtendedData><Data name=\"role\"><value>{}</value></Data></ExtendedData>\n\
         <Point><coordinates>{},{}{elevation}</coordinates></Point>\n</Placemark>\n",
        xml_text(name),
        role.word(),
        degrees(point.longitude_deg()),
        degrees(point.latitude_deg()),
    )
}

/// A text as XML 1.0 has it: signs of markup as entities, characters that XML
/// does not allow (section 2.2) left out.
fn xml_text(text: &str) -> String {
    let mut written = String::with_capacity(text.len() + 8);
    for character in text.chars() {
        match character {
            '&' => written.push_str("&amp;"),
            '<' => written.push_str("&lt;"),
            '>' => written.push_str("&gt;"),
            '"' => written.push_str("&quot;"),
            '\'' => written.push_str("&apos;"),
            '\n' | '\t' => written.push(character),
            '\u{fffe}' | '\u{ffff}' => {}
            hidden if hidden.is_control() => {}
            plain => written.push(plain),
        }
    }
    written
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_holds_no_markup_and_nothing_that_xml_refuses() {
        let text = xml_text("<b>&\"'\u{0}\u{1b}\u{ffff}\r\n é🌌");
        assert_eq!(text, "&lt;b&gt;&amp;&quot;&apos;\n é🌌");
    }
}
