//! Rules that cannot be met together, or at a site.

use super::{
    Brief, CONTRAST, FRAMING, LIGHT, MOON_IN_FRAME, TARGET_PLACE, TILT,
    rules::{NoCamera, RulesError},
};
use crate::scene::{
    Facing, Framing, LightKind, LightKinds, MoonInFrame, Site, TargetPlace, ValueError,
};

/// Refuses the rules that have no meaning where the Moon is the target.
pub(super) fn refuse_beside_moon(brief: &Brief) -> Result<(), RulesError> {
    let error = |found: &str, expected: &str, remedy: &str| {
        ValueError::new(found, expected).with_remedy(remedy)
    };
    let light = brief.get::<LightKinds>(&LIGHT);
    if let Some(light) = light.filter(|light| light.first() != LightKind::Any) {
        return Err(RulesError::Value {
            key: LIGHT.key,
            error: error(
                &light.to_string(),
                "any where the target is the Moon",
                "write any",
            ),
        });
    }
    let expected = "only or any where the target is the Moon";
    refuse_moon_in_frame(brief, MoonInFrame::No, expected)?;
    for rule in [&CONTRAST, &TILT] {
        if let Some(value) = brief.value_of(rule) {
            return Err(RulesError::Value {
                key: rule.key,
                error: error(
                    &value.to_string(),
                    "no rule about the Milky Way behind the target where that is the Moon",
                    "take it out",
                ),
            });
        }
    }
    Ok(())
}

/// Refuses rules about one frame where there is none: without a camera, or with
/// one that faces the arch.
pub(super) fn refuse_without_frame(
    brief: &Brief,
    site: &Site,
    facing: Facing,
) -> Result<(), RulesError> {
    let framed = brief.get::<Framing>(&FRAMING);
    let framed = framed.filter(|asked| *asked != Framing::Any);
    let moon = brief.get::<MoonInFrame>(&MOON_IN_FRAME);
    let moon = moon.filter(|asked| *asked != MoonInFrame::Any);
    let asked = [
        (&FRAMING, framed.map(|asked| asked.to_string())),
        (&MOON_IN_FRAME, moon.map(|asked| asked.to_string())),
    ];
    for (rule, asked) in asked {
        let Some(asked) = asked else { continue };
        if site.camera.is_none() {
            let site = site.title().into_owned();
            return Err(NoCamera {
                site,
                rule: rule.key,
            }
            .into());
        }
        if facing == Facing::Arch {
            let expected = "any where the camera faces the arch, a panorama of its own";
            let error = ValueError::new(&asked, expected).with_remedy("write any");
            return Err(RulesError::Value {
                key: rule.key,
                error,
            });
        }
    }
    Ok(())
}

/// Refuses a Moon in the frame, or out of it, that can never be.
pub(super) fn refuse_moon_in_frame(
    brief: &Brief,
    never: MoonInFrame,
    expected: &str,
) -> Result<(), RulesError> {
    if brief.get(&MOON_IN_FRAME) != Some(never) {
        return Ok(());
    }
    let error = ValueError::new(&never.to_string(), expected).with_remedy("write any");
    let key = MOON_IN_FRAME.key;
    Err(RulesError::Value { key, error })
}

/// Refuses a place of the target over, beside or behind a subject whose size is
/// not known.
pub(super) fn refuse_without_size(brief: &Brief, site: &Site) -> Result<(), RulesError> {
    let place = brief.get(&TARGET_PLACE);
    let placed = place.filter(|place| {
        matches!(
            place,
            TargetPlace::Over(_) | TargetPlace::Beside(_) | TargetPlace::Behind
        )
    });
    match placed {
        Some(place) if !site.subject_shape().is_some_and(|shape| shape.is_solid()) => {
            let expected = "clear or any where the subject's size and distance are not known";
            let remedy = "give [subject] a height_m and a distance_m, or write any";
            let error = ValueError::new(&place.to_string(), expected).with_remedy(remedy);
            let key = TARGET_PLACE.key;
            Err(RulesError::Value { key, error })
        }
        _ => Ok(()),
    }
}
