//! Points of a map in one of its forms, as they come through a pipe.

use super::{said, site, table::Parted};
use rakelight::{
    input::{Faults, Points, PointsForm},
    scene::Site,
};
use std::io::Read;

/// Longest notes of a site, characters (see `docs/formats.md`).
const LONGEST_NOTES: usize = 2000;

pub fn run(form: PointsForm, data: &[u8]) {
    let whole = sites(form, data);
    assert!(!whole.is_empty(), "no site and no reason");
    for read in &whole {
        match read {
            Ok(read) => {
                site::check(read);
                let notes = read.notes.as_deref().unwrap_or_default();
                assert!(notes.chars().count() <= LONGEST_NOTES);
                assert!(read.view.is_none() && read.standing_rules.is_empty());
            }
            Err(faults) => said::check_faults(faults),
        }
    }
    // However a pipe parts the bytes, the sites are the same.
    for most in [1, 7] {
        assert_eq!(sites(form, Parted { data, most }), whole, "read by {most}");
    }
}

fn sites(form: PointsForm, reader: impl Read) -> Vec<Result<Site, Faults>> {
    Points::new("m", form, reader).collect()
}
