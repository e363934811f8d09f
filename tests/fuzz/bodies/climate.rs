//! A table of clear nights.

use super::{pieces::Pieces, said};
use rakelight::input::read_climate;

pub fn run(data: &[u8]) {
    let read = read_climate("c.csv", data);
    for size in [1, 7] {
        let again = read_climate("c.csv", Pieces(data, size));
        assert_eq!(again, read, "by {size} bytes");
    }
    match read {
        Ok(climates) => {
            let of_all = climates.of("");
            for climate in of_all.into_iter().chain(climates.of("Salt Pan")) {
                let shares = climate.clear_nights();
                assert!(shares.iter().all(|share| (0.0..=1.0).contains(share)));
            }
        }
        Err(faults) => said::check_faults(&faults),
    }
}
