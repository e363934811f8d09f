//! What a user of elevation files should know about their heights and places.

use super::geo_keys::GeoReference;

/// A fact about elevation files that are used all the same.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum HeightFact {
    /// Places on this datum are taken as WGS84, from which it differs by less
    /// than about 2.5 m (NAD83, GDA94; from memory).
    DatumTakenAsWgs84(&'static str),
    /// Heights are over the ellipsoid, up to 110 m off those over the sea.
    OverEllipsoid,
    /// Heights are converted from feet of this many metres.
    Feet(f64),
}

impl HeightFact {
    pub(super) fn of(references: impl Iterator<Item = GeoReference>) -> Vec<Self> {
        let mut facts = Vec::new();
        for reference in references {
            let datum = reference.datum.map(Self::DatumTakenAsWgs84);
            let over = reference.over_ellipsoid.then_some(Self::OverEllipsoid);
            let metres = reference.metres_per_unit;
            let feet = (metres != 1.0).then_some(Self::Feet(metres));
            for fact in [datum, over, feet].into_iter().flatten() {
                if !facts.contains(&fact) {
                    facts.push(fact);
                }
            }
        }
        facts
    }
}
