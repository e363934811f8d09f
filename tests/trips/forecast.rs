//! Trips planned by a forecast.
#![cfg(feature = "cli")]

use crate::program;

use program::{Folder, Run};

/// A trip takes the forecast for the nights that it reaches and the climate for
/// the others, and is another for it.
#[test]
fn a_trip_takes_the_forecast_where_it_reaches() {
    let folder = Folder::new();
    let table = |shares: [&str; 2]| {
        let twelve = shares.map(|share| [share; 12].join(" "));
        format!(
            "name,latitude_deg,longitude_deg,time_zone,climate.clear_nights\n\
             Red Gap,-31.4,139.2,Australia/Adelaide,{}\n\
             Salt Arm,-30.9,138.2,Australia/Adelaide,{}\n",
            twelve[0], twelve[1]
        )
    };
    folder.file("places.csv", table(["0.5", "0.4"]));
    // Three nights: overcast at one place, clearing at the other.
    let mut cloud = "site,time_utc,cloud\n".to_owned();
    for hour in 0..24 {
        let (day, hour) = (1 + hour / 8, 3 * (hour % 8));
        cloud += &format!("Red Gap,2027-06-{day:02}T{hour:02}:00Z,95\n");
        let thin = 30 - 8 * day + hour / 3;
        cloud += &format!("Salt Arm,2027-06-{day:02}T{hour:02}:00Z,{thin}\n");
    }
    folder.file("cloud.csv", cloud);
    let asked = |more: &[&str]| {
        let args = [
            "trip",
            "places.csv",
            "--light=dark",
            "--nights=3",
            "--top=3",
        ];
        let range = ["--from=2027-06-01", "--to=2027-06-12"];
        Run::at(&folder).of(&[&args[..], &range, more].concat())
    };
    let sessions = |more: &[&str]| -> Vec<serde_json::Value> {
        let text = asked(&[more, &["--format=json"]].concat()).good();
        let document: serde_json::Value = serde_json::from_str(&text).expect("JSON");
        let trips = document["trips"].as_array().expect("trips");
        let nights = trips
            .iter()
            .flat_map(|trip| trip["nights"].as_array().expect("nights"));
        nights.map(|night| night["session"].clone()).collect()
    };
    let number = |value: &serde_json::Value| value.as_f64();
    let (plain, told) = (sessions(&[]), sessions(&["--forecast=cloud.csv"]));
    for session in &plain {
        assert_eq!(session["site"], "Red Gap");
        assert_eq!(number(&session["chance"]), Some(0.5));
    }
    let mut known = 0;
    for session in &told {
        let window = &session["window"];
        let chance = number(&session["chance"]).expect("a chance");
        let Some(percent) = number(&window["cloud_forecast_percent"]) else {
            let of_month = number(&window["clear_chance"]);
            assert_eq!(Some(chance), of_month);
            continue;
        };
        known += 1;
        assert_eq!(session["site"], "Salt Arm", "the clear one");
        // To the digits that both have.
        assert!(
            (chance - (1.0 - percent / 100.0)).abs() < 0.0011,
            "{chance}"
        );
        assert!((0.6..0.95).contains(&chance), "{chance}");
    }
    assert!(known >= 2 && known < told.len(), "{known}");
    let text = asked(&["--forecast=cloud.csv", "--format=ical"]).good();
    let text = text.replace("\r\n ", "");
    assert_eq!(text.matches("%\\, from the forecast").count(), known);

    // A cloudy session is marked, and the mark is told.
    assert!(
        !asked(&["--forecast=cloud.csv"])
            .out
            .contains("more than 50% of the sky")
    );
    let times = (1..=13).flat_map(|day| [0, 6, 12, 18].map(|hour| (day, hour)));
    let rows = times.map(|(day, hour)| format!("2027-06-{day:02}T{hour:02}:00Z,70\n"));
    let clouded = "time_utc,cloud\n".to_owned() + &rows.collect::<String>();
    folder.file("clouded.csv", clouded);
    // Notes are wrapped.
    let page = asked(&["--forecast=clouded.csv"]).out.replace('\n', " ");
    assert!(page.contains("100~"), "{page}");
    assert!(page.contains("more than 50% of the sky"), "{page}");

    // One night without a chance, and none is weighted: that is said.
    let without = table(["", ""]).replace(&" ".repeat(11), "");
    folder.file("places.csv", without);
    let unused = asked(&["--forecast=cloud.csv"]);
    assert_eq!(unused.code, 0, "{}", unused.err);
    assert!(unused.err.contains("cloud.csv: not used"), "{}", unused.err);
    assert!(!unused.out.contains("expected"), "{}", unused.out);
    let short = ["--to=2027-06-02", "--nights=2"];
    let args = ["trip", "places.csv", "--light=dark", "--from=2027-06-01"];
    let args = [&args[..], &short, &["--forecast=cloud.csv"]].concat();
    let used = Run::at(&folder).of(&args);
    assert!(!used.err.contains("not used"), "{}", used.err);
    assert!(used.out.contains("expected"), "{}", used.out);
}
