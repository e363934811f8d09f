//! The bodies of the fuzz targets over their seeds, with stable Rust: neither
//! can rot, and each seed is a regression test. The fuzzing itself is told of
//! in tests/fuzz/README.md.

use crate::bodies;

use std::{fs, path::Path};

/// Gives every file in the directories to the body, with its name in the
/// output of a failing test.
fn run(body: impl Fn(&[u8]), directories: &[&str]) {
    let mut count = 0;
    for directory in directories {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join(directory);
        let mut paths: Vec<_> = fs::read_dir(&root)
            .expect("a directory of seeds")
            .map(|entry| entry.expect("an entry").path())
            .filter(|path| path.is_file())
            .collect();
        paths.sort();
        for path in paths {
            // Shown only where the test fails.
            #[allow(clippy::print_stdout)]
            {
                println!("{}", path.display());
            }
            body(&fs::read(&path).expect("a seed"));
            count += 1;
        }
    }
    assert!(count > 0, "no seeds in {directories:?}");
}

macro_rules! seeds {
    ($($target:ident $($more:literal)*;)*) => {$(
        #[test]
        fn $target() {
            let directories = [concat!("tests/fuzz/seeds/", stringify!($target)), $($more),*];
            run(bodies::$target::run, &directories);
        }
    )*};
}

seeds! {
    site "demo-sites" "src/scene" "tests/data/scene" "tests/data/night";
    brief "demo-sites";
    old_calendar;
    table "tests/data/scene";
    skyline "demo-sites" "tests/data/scene";
    rule;
    time;
    photo "tests/data/photos";
    times "demo-sites";
    dates;
    climate;
    forecast "tests/reference/forecasts";
    moves;
    ical "tests/reference/calendars";
    place;
    option;
    tile_name;
    tile;
    gpx "tests/data/points";
    kml "tests/data/points";
    geojson "tests/data/points";
    geotiff "tests/reference/elevation";
    night;
    reasons;
}
