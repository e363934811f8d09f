//! The text of a brief.

use super::{said, text};
use rakelight::{
    input::read_brief,
    rule::Brief,
    rule::Rules,
    scene::{Site, Subject, SubjectPlace},
};

pub fn run(data: &[u8]) {
    match read_brief("b.toml", text(data)) {
        Ok(brief) => check(&brief),
        Err(faults) => said::check_faults(&faults),
    }
}

/// What a brief that was read keeps: typed as it is shown it is the same.
pub fn check(brief: &Brief) {
    assert_eq!(&typed_again(brief), brief);
    assert_eq!(&brief.clone().or(&Brief::default()), brief);
    for site in [bare(), with_subject()] {
        if let Ok(rules) = Rules::new(brief, &site) {
            let whole = rules.to_brief();
            assert_eq!(typed_again(&whole), whole);
            assert_eq!(Rules::new(&whole, &site), Ok(rules));
        }
    }
}

/// The brief of what this one shows.
fn typed_again(brief: &Brief) -> Brief {
    let mut again = Brief::default();
    for (key, shown) in brief.entries() {
        if let Err(error) = again.set(key, &shown) {
            panic!("{key} shows {shown}, which is refused: {error}");
        }
    }
    again
}

pub fn bare() -> Site {
    Site::new(-31.4, 139.2).expect("a place")
}

pub fn with_subject() -> Site {
    let mut site = bare();
    site.subject = Some(Subject {
        name: None,
        place: SubjectPlace::Bearing {
            bearing_deg: 128.0,
            distance_m: None,
        },
        height_m: None,
        width_m: None,
        reflectance: None,
        reflectance_measured: None,
    });
    site
}
