//! The unit, scale and offset of heights that GDAL writes into a TIFF, in a list
//! of `<Item name="..." role="...">value</Item>`.

use super::refused::{Refused, Remedy};

/// Metres in a unit of the posts: what the metadata say, else `otherwise`.
///
/// # Errors
///
/// A scale or an offset, and a unit other than metres and feet.
pub(super) fn unit(text: &str, otherwise: f64) -> Result<f64, Refused> {
    let number = |role: &str| item(text, role).and_then(|value| value.parse::<f64>().ok());
    let scaled = number("scale").is_some_and(|scale| scale != 1.0);
    if scaled || number("offset").is_some_and(|offset| offset != 0.0) {
        return Err(Refused::new(
            "heights with a scale or an offset",
            "heights in metres",
            Remedy::Convert("convert them", "gdal_translate -unscale -ot Float32"),
        ));
    }
    let Some(unit) = item(text, "unittype") else {
        return Ok(otherwise);
    };
    match unit.to_ascii_lowercase().as_str() {
        "" | "m" | "metre" | "metres" | "meter" | "meters" => Ok(otherwise),
        "ft" | "foot" | "feet" => Ok(super::geo_keys::FOOT_M),
        "us survey foot" | "us-ft" | "ftus" | "foot_us" => Ok(super::geo_keys::SURVEY_FOOT_M),
        _ => Err(Refused::new(
            "heights in another unit than metres or feet",
            "heights in metres or feet",
            Remedy::Say("convert the heights to metres"),
        )),
    }
}

/// The value of the first item of a role.
fn item<'a>(text: &'a str, role: &str) -> Option<&'a str> {
    let start = text.find(&format!("role=\"{role}\""))?;
    let (_, value) = text.get(start..)?.split_once('>')?;
    value.split_once('<').map(|(value, _)| value.trim())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_told_by_their_role() {
        let with = |role: &str, value: &str| {
            let text = format!(
                "<GDALMetadata>\n  <Item name=\"{}\" sample=\"0\" role=\"{role}\">{value}</Item>\n\
                 </GDALMetadata>",
                role.to_uppercase()
            );
            unit(&text, 1.0).ok()
        };
        assert_eq!(with("unittype", "metre"), Some(1.0));
        assert_eq!(with("unittype", "ft"), Some(0.3048));
        assert_eq!(with("unittype", "US survey foot"), Some(1200.0 / 3937.0));
        assert_eq!(with("unittype", "fathom"), None);
        assert_eq!(with("scale", "0.1"), None);
        assert_eq!(with("scale", "1"), Some(1.0));
        assert_eq!(with("offset", "100"), None);
        assert_eq!(with("description", "ground"), Some(1.0));
        for broken in ["", "role=\"scale\"", "role=\"scale\">", "role=\"scale\">2"] {
            assert_eq!(unit(broken, 2.0).ok(), Some(2.0), "{broken}");
        }
    }
}
