//! The sessions of a trip as entries of a calendar.

use super::{
    event_uid::{EventUid, NightKind, NightNumbers},
    ical::Calendar,
    ical_event::{CalendarEvent, SessionNotes},
    record_id::SiteId,
    words::session_lines,
};
use crate::{
    plan::{Move, Trip, TripStop, trip_cautions},
    search::Window,
};

impl Calendar {
    /// The entries of a trip: one for each session, with the `UID` that a scan
    /// gives the same window. `id_of` is the id of what the rules of a session
    /// find at its site. What the whole run asked about is told by
    /// [`Calendar::ask`].
    pub fn trip(&mut self, trip: &Trip, id_of: impl Fn(&TripStop) -> SiteId) -> String {
        let mut text = String::new();
        let style = self.style().clone();
        // Once is enough: where the group first comes by a drive.
        let mut care: Vec<_> = trip_cautions(trip).collect();
        for (index, night) in trip.nights.iter().enumerate() {
            let Some(stop) = &night.session else { continue };
            let is_driven_to = stop.way.as_ref().is_some_and(Move::is_drive);
            let session = SessionNotes {
                lines: session_lines(trip, index),
                cautions: match is_driven_to {
                    true => std::mem::take(&mut care),
                    false => Vec::new(),
                },
            };
            let of_night: Vec<&Window> = stop.of_night.iter().collect();
            text.push_str(&self.event(&CalendarEvent {
                site: stop.site(),
                uid: EventUid {
                    night: stop.window.night,
                    number: NightNumbers::of(&of_night).number(&stop.window),
                    kind: NightKind::of(stop.planner.rules()),
                    site: id_of(stop).key(),
                },
                window: &stop.window,
                style: &style,
                session: Some(&session),
            }));
        }
        text
    }
}
