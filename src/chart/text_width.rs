//! How wide a text can be.

use super::sheet::Type;

/// Advance widths of the characters from space to tilde, thousandths of the
/// type size. They are those of DejaVu Sans, one of the widest faces that a
/// generic `sans-serif` can become.
const WIDTHS: [u16; 95] = [
    317, 400, 459, 837, 636, 950, 779, 274, 390, 390, 500, 837, 317, 360, 317, 336, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 336, 336, 837, 837, 837, 530, 1000, 684, 686, 698, 770, 631,
    575, 774, 751, 294, 294, 655, 557, 862, 748, 787, 603, 787, 694, 634, 610, 731, 684, 988, 685,
    610, 685, 390, 336, 390, 837, 500, 500, 612, 634, 549, 634, 615, 352, 634, 633, 277, 277, 579,
    277, 974, 633, 611, 634, 634, 411, 520, 392, 633, 591, 817, 591, 591, 524, 636, 336, 636, 837,
];
/// Bold letters are at most this much wider.
const BOLD: f64 = 1.15;

/// Width of `text` at `size`, in the units of `size`; the estimate is too wide
/// rather than too narrow.
pub fn text_width(text: &str, size: f64, bold: bool) -> f64 {
    let thousandths: f64 = text
        .chars()
        .map(|c| {
            let code = c as usize;
            match code.checked_sub(32).and_then(|index| WIDTHS.get(index)) {
                Some(width) => f64::from(*width),
                None if code < 0x250 => 700.0,
                None => 1000.0 * unicode_width::UnicodeWidthChar::width(c).unwrap_or(0) as f64,
            }
        })
        .sum();
    thousandths / 1000.0 * size * if bold { BOLD } else { 1.0 }
}

/// Breaks `text` at spaces into lines no wider than `width`; a word that is
/// wider is cut.
pub fn wrapped_as(text: &str, style: Type, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let word = shortened(word, style.size, style.bold, width);
        match lines.last_mut() {
            Some(line) if style.width(&format!("{line} {word}")) <= width => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

/// The text cut to a width, with three dots if something is missing.
pub fn shortened(text: &str, size: f64, bold: bool, width: f64) -> String {
    if text_width(text, size, bold) <= width {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        let longer = format!("{kept}{c}...");
        if text_width(&longer, size, bold) > width {
            break;
        }
        kept.push(c);
    }
    format!("{}...", kept.trim_end())
}
