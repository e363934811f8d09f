//! Pictures as PNG: the same picture as the SVG, words included.

use crate::program;

use program::{Folder, Run};
use resvg::tiny_skia::Pixmap;
use std::{fs, process::Output};

const SITE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-sites/saltbush-tank.toml");

fn chart(folder: &Folder, more: &[&str]) -> Output {
    let night = ["chart", "night", SITE, "--on", "2027-07-09", "--quiet"];
    Run::at(folder).output(&[&night[..], more].concat())
}

/// A number among the attributes of an element.
fn number(element: &str, name: &str) -> Option<f32> {
    let (_, rest) = element.split_once(&format!(" {name}=\""))?;
    rest.split_once('"')?.0.parse().ok()
}

/// Width and height in the header of a PNG file, checked as the standard has it
/// (W3C, *Portable Network Graphics*, third edition, 5.2 and 11.2.1).
fn header(png: &[u8]) -> (u32, u32) {
    assert_eq!(png[..8], [0x89, b'P', b'N', b'G', 13, 10, 26, 10]);
    assert_eq!(png[8..16], *b"\0\0\0\x0dIHDR");
    let side = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().expect("four bytes"));
    (side(16), side(20))
}

/// Brightness of a pixel, 0 to 255, on the paper that a viewer puts behind.
fn grey(picture: &Pixmap, x: u32, y: u32) -> u8 {
    let pixel = picture.pixel(x, y).expect("inside");
    assert_eq!(pixel.alpha(), 255, "a hole at {x}, {y}");
    pixel.green()
}

#[test]
fn a_png_is_the_svg_at_two_pixels_for_one() {
    let folder = Folder::new();
    for (paper, dark_ink) in [("light", true), ("dark", false)] {
        let options = ["--paper", paper, "-o"];
        let svg = chart(&folder, &[&options[..], &["n.svg"]].concat());
        assert_eq!(svg.status.code(), Some(0), "{svg:?}");
        let png = chart(&folder, &[&options[..], &["n.png"]].concat());
        if String::from_utf8_lossy(&png.stderr).contains("no font was found") {
            // Nothing to render words with: refused, and nothing is written.
            assert_eq!(png.status.code(), Some(2));
            assert!(!folder.path("n.png").exists());
            return;
        }
        assert_eq!(png.status.code(), Some(0), "{png:?}");
        let svg = fs::read_to_string(folder.path("n.svg")).expect("the SVG");
        let bytes = fs::read(folder.path("n.png")).expect("the PNG");
        let root = svg.split_once('>').expect("an element").0;
        let side = |name: &str| number(root, name).expect("a length");
        let size = ((2.0 * side("width")) as u32, (2.0 * side("height")) as u32);
        assert_eq!(header(&bytes), size);

        let picture = Pixmap::decode_png(&bytes).expect("a PNG");
        let paper = if dark_ink { 255 } else { 0 };
        for (x, y) in [
            (0, 0),
            (size.0 - 1, 0),
            (0, size.1 - 1),
            (size.0 - 1, size.1 - 1),
        ] {
            assert_eq!(grey(&picture, x, y), paper);
        }
        // Name and answer are the first texts and stand on bare paper: where the
        // SVG has one, there is ink.
        let mut words = 0;
        for element in svg.split("<text ").skip(1).take(3) {
            let element = format!(" {}", element.split_once('>').expect("an end").0);
            let at = (number(&element, "x"), number(&element, "y"));
            let (Some(x), Some(y)) = at else { continue };
            assert!(element.contains("text-anchor=\"start\""), "{element}");
            let inked = ((2.0 * y - 20.0) as u32..(2.0 * y) as u32)
                .flat_map(|row| ((2.0 * x) as u32..(2.0 * x + 60.0) as u32).map(move |c| (c, row)))
                .filter(|(column, row)| grey(&picture, *column, *row).abs_diff(paper) > 100)
                .count();
            assert!(inked > 40, "{inked} pixels of ink at {x}, {y}");
            words += 1;
        }
        assert_eq!(words, 3, "no words over the diagram");
        let piped = chart(&folder, &["--paper", options[1], "--format", "png"]);
        assert!(piped.stdout == bytes, "another picture through a pipe");
    }
}
