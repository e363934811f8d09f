//! The target's azimuth.

use super::{
    Check, Limit, Rule, Topic, Typed, Unit, off,
    sector::{Sector, as_component_of},
    value::{OfRule, read},
};
use crate::scene::AzimuthBand;

/// True azimuth of the target, degrees.
pub static TARGET_AZIMUTH: Rule = Rule {
    key: "target_azimuth",
    typed: Some(Typed {
        alias: "core_azimuth",
        read: read::<AzimuthBand>,
        topic: Topic::Stand,
        value_name: "A..B",
        words: &[],
        may_be_negative: false,
        help: "True azimuth; 320..40 runs through north",
        more: "In degrees, clockwise from true north.",
        seldom: false,
        example: "140..220",
        remark: "clockwise; 320..40 runs through north",
    }),
    default: off,
    of_moonlight: false,
    limit: Some(Limit {
        asked: 9,
        swept: 11,
        letter: 'd',
        unmet: |target| format!("the {target} stands in another direction"),
        words: |target| format!("the {target}'s azimuth"),
        unit: Unit::Degrees,
        around: true,
        value: |instant, _| Some(instant.sky.target.azimuth_deg),
        reach: None,
        step: 10.0,
        check: |value, at| {
            let band = AzimuthBand::of(value.filter(|_| at.target())?)?;
            let sector = Sector::of_azimuths(band);
            Some(Check::sky(move |sky, t| {
                let target = sky.target(t);
                sector.read(target.east, target.north, as_component_of(target))
            }))
        },
    }),
};
