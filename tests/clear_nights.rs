//! The chance of clear nights: several of them against SciPy.

mod common;

use rakelight::chance_of_at_least;

#[test]
fn several_nights_have_the_chance_that_scipy_gives() {
    let cases = common::rows("chances.csv");
    assert_eq!(cases.len(), 80);
    let difference = |case: &common::Row| {
        let nights = case.text("chances").split(' ');
        let nights: Vec<f64> = nights.map(|p| p.parse().expect("a chance")).collect();
        let k = case.text("k").parse().expect("a count");
        chance_of_at_least(&nights, k) - case.number("chance")
    };
    let differences: Vec<f64> = cases.iter().map(difference).collect();
    common::spread("chance of at least k", "", &differences, 1e-14, 1e-13);
}
