//! What tells the windows of a run apart besides time: what was asked for, and
//! where.

use super::{site, window_record::Windows};
use crate::{
    report::row::{Field, Importance::Must, Needed, Shown},
    scene::LightKind,
};

type F = Field<Windows>;
type S = Shown<Windows>;

/// The kind of light.
pub(super) const LIGHT: F = F::word("light", LightKind::WORDS, |r| Some(r.window.light.word()))
    .doc("kind of light: raking, dark, blend or any")
    .shown(
        S::new(1, ["", "kind", "kind"], Must, |r, _| {
            r.window.light.word().to_owned()
        })
        .left()
        .needed(Needed::ForKinds),
    );

/// The brief file.
pub(super) const BRIEF: F = F::text("brief", |r| r.window.brief.as_deref())
    .empty("no brief file")
    .doc("name of the brief file that asked for it")
    .shown(
        S::new(1, ["", "brief", "brief"], Must, |r, _| {
            r.window.brief.as_deref().unwrap_or_default().to_owned()
        })
        .left()
        .needed(Needed::ForBriefs),
    );

/// The time zone of the local times.
pub(super) const TIME_ZONE: F = F::text("time_zone", |r| Some(r.site.zone.name()))
    .doc("of the local times: name in the IANA database, or an offset from UTC");

/// The latitude of the site.
pub(super) const LATITUDE: F = F::exact("latitude_deg", |r| Some(r.site.latitude_deg))
    .range(site::LATITUDE)
    .doc("of the site: WGS84, degrees, north positive");

/// The longitude of the site.
pub(super) const LONGITUDE: F = F::exact("longitude_deg", |r| Some(r.site.longitude_deg))
    .range(site::LONGITUDE)
    .doc("of the site: WGS84, degrees, east positive");
