//! How the Milky Way stands out.

use super::{
    Check, Limit, Rule, RuleValue, Topic, Typed, Unit, check::Watch, contrast_bounds::Change,
    lighting::Lighting, value::OfRule,
};
use crate::{
    ephemeris::{Foreseen, LightGeometry, Moment, Reading, Sky},
    light::{LightInput, SkyBehind, milky_way::HOPELESS_BELOW},
    scene::Band,
};
use std::sync::Arc;

/// The lowest contrast that a loosening goes to: hardly anything is left.
const LOWEST: f64 = 0.02;
/// The highest contrast that can be asked for.
const HIGHEST: f64 = 100.0;

/// Luminance of the Milky Way over that of the sky before it. By default
/// [`HOPELESS_BELOW`] and up. A target whose brightness is not known is within
/// any band.
pub static CONTRAST: Rule = Rule {
    key: "contrast",
    typed: Some(Typed {
        alias: "",
        read: |text| Band::parse_ratio(text, HIGHEST).map(RuleValue::Band),
        topic: Topic::Dark,
        value_name: "A..B",
        words: &[],
        may_be_negative: false,
        help: "How bright the Milky Way is against the sky",
        more: "1: as bright as the sky before it, as under a natural sky; below 0.3 it is washed \
               out, below 0.1 hopeless.",
        seldom: false,
        example: "0.3..",
        remark: "1: as bright as the sky; 0.3: washed out",
    }),
    default: |asked| {
        let band = RuleValue::Band(Band::from(HOPELESS_BELOW));
        // Where the Moon is the target, the picture is not about the Milky Way.
        (!asked.target.is_moon()).then_some(band)
    },
    of_moonlight: false,
    limit: Some(Limit {
        asked: 19,
        swept: 21,
        letter: 'g',
        unmet: |target| format!("the {target} is washed out"),
        words: |_| "the Milky Way's contrast".to_owned(),
        unit: Unit::Fraction,
        around: false,
        value: |instant, _| instant.light.milky_way_contrast,
        reach: Some(|_, _| Band::new(LOWEST, HIGHEST)),
        step: 0.1,
        check: |value, at| {
            let band = Band::of(value.filter(|_| at.target())?)?;
            if band.low <= 0.0 && band.high == f64::INFINITY {
                return None;
            }
            let lighting = Arc::clone(&at.lighting);
            Some(Check::Known(Arc::new(ContrastWatch { lighting, band })))
        },
    }),
};

/// The contrast at a place, within a band.
struct ContrastWatch {
    lighting: Arc<Lighting>,
    band: Band,
}

/// The sky of an instant with the light in it.
struct Seen {
    geometry: LightGeometry,
    input: LightInput,
    behind: SkyBehind,
}

impl ContrastWatch {
    fn seen(&self, sky: &Sky<'_>, t: f64) -> Seen {
        let geometry = sky.light_geometry(Moment::from_seconds(t));
        let input = self.lighting.input(&geometry, sky.ephemeris(), 0.0);
        let behind = input.behind(&self.lighting.place_light);
        Seen {
            geometry,
            input,
            behind,
        }
    }

    /// How far a contrast is over the lower end and under the upper one: in
    /// logarithms, so that a bound on the change of each light is one on the
    /// change of the margin. An end of 0 or without limit always holds;
    /// a band of both is not asked.
    fn margins(&self, contrast: f64) -> [f64; 2] {
        let over_low = (contrast / self.band.low.max(0.0)).ln();
        let under_high = (self.band.high / contrast).ln();
        [over_low, under_high]
    }
}

/// The margin where the brightness of the target is not known.
const ANY: f64 = 1.0;

/// The margin of a contrast from those of both ends.
fn least([over_low, under_high]: [f64; 2]) -> f64 {
    over_low.min(under_high).clamp(-1e3, 1e3)
}

impl Watch for ContrastWatch {
    fn reading(&self, sky: &Sky<'_>, t: f64) -> Reading {
        let Seen {
            geometry,
            input,
            behind,
        } = self.seen(sky, t);
        let Some(contrast) = behind.contrast() else {
            return Reading::constant(ANY);
        };
        let [over_low, under_high] = self.margins(contrast);
        let margin = least([over_low, under_high]);
        let change = match (over_low < 0.0, under_high < 0.0) {
            (true, _) => Change::Rise,
            (false, true) => Change::Fall,
            // An end without limit is not left.
            (false, false) if under_high == f64::INFINITY => Change::Fall,
            (false, false) if over_low == f64::INFINITY => Change::Rise,
            (false, false) => Change::Either,
        };
        let latitude = sky.observer().latitude_sin_cos();
        let distance = margin.abs();
        let safe_seconds = self
            .lighting
            .safe_seconds(&input, &behind, &geometry, latitude, distance, change);
        Reading {
            margin,
            safe_seconds,
        }
    }

    fn margin(&self, sky: &Sky<'_>, t: f64) -> f64 {
        let contrast = self.seen(sky, t).behind.contrast();
        contrast.map_or(ANY, |contrast| least(self.margins(contrast)))
    }

    fn foreseen(&self, sky: &Sky<'_>, times: [f64; 2]) -> Foreseen {
        self.lighting
            .is_contrast_within(self.band, sky, times)
            .into()
    }
}
