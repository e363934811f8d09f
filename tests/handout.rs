//! The handout needs nothing outside itself, is well formed, and says what the
//! night says, in easy places and hard ones.
#![cfg(feature = "cli")]

#[path = "common/page.rs"]
mod page;
#[path = "common/program.rs"]
mod program;

use page::check;
use program::{Folder, Run};

fn run(arguments: &[&str]) -> String {
    let ended = Run::here().of(arguments);
    assert_eq!(ended.code, 0, "{arguments:?}: {}", ended.err);
    ended.out
}

fn handout(site: &str, on: &str, more: &[&str]) -> String {
    let mut arguments = vec!["handout", site, "--on", on, "--quiet"];
    arguments.extend(more);
    let page = run(&arguments);
    check(&page);
    assert!(page.contains("<svg ") && !page.contains("href"));
    page
}

#[test]
fn a_handout_of_several_views_has_one_timetable_and_a_section_for_each() {
    let page = handout("demo-sites/candlenut-cay.toml", "2027-08-06", &[]);
    assert_eq!(page.matches("<svg ").count(), 6);
    assert_eq!(page.matches("<h2>Timetable</h2>").count(), 1);
    assert_eq!(page.matches(">sunset</").count(), 1);
    for view in ["beacon", "leaning palm", "open lagoon"] {
        let heading = format!("<h2 class=\"sheet\">{view}</h2>");
        assert_eq!(page.matches(&heading).count(), 1, "{view}");
        assert!(
            page.contains(&format!("<td class=\"l\">{view}</td>")),
            "{view}"
        );
    }
    assert_eq!(page.matches("<h3>Light and settings</h3>").count(), 3);
    assert_eq!(page.matches("<h2>Take care</h2>").count(), 1);
    // One of them is a page as of any site.
    let one = handout("demo-sites/candlenut-cay.toml#beacon", "2027-08-06", &[]);
    assert!(one.contains("<h1>Candlenut Cay, beacon</h1>"));
    assert_eq!(one.matches("<svg ").count(), 2);
}

#[test]
fn a_night_with_a_window_has_every_part_and_the_same_bytes_twice() {
    let (site, on) = ("demo-sites/saltbush-tank.toml", "2027-07-09");
    let page = handout(site, on, &[]);
    assert_eq!(page, handout(site, on, &[]));
    for part in [
        "<h2>Timetable</h2>",
        ">Light and settings</h2>",
        "<h2>What to do</h2>",
        "<h2>Take care</h2>",
        "<h2>The night</h2>",
        "<h2>The view at the window&#39;s best, ",
        "<tr class=\"now\">",
    ] {
        assert!(page.contains(part), "{part}");
    }
    // Line by line what the other writer of the same night says.
    let other = run(&["night", site, "--on", on, "--quiet", "--format", "markdown"]);
    let rows = other
        .lines()
        .filter(|line| line.starts_with("| ") && !line.starts_with("| --"));
    // Two tables there with a line of heads each, as here.
    assert_eq!(page.matches("<tr").count(), rows.count());
}

#[test]
fn the_view_is_drawn_for_the_best_instant() {
    let (site, on) = ("demo-sites/saltbush-tank.toml", "2027-07-09");
    let night = run(&["night", site, "--on", on, "--quiet", "--format", "json"]);
    let night: serde_json::Value = serde_json::from_str(&night).expect("JSON");
    let best = night["windows"][0]["best_local"].to_string();
    let page = handout(site, on, &[]);
    let heading = page
        .split("window&#39;s best, ")
        .nth(1)
        .and_then(|rest| rest.get(..5))
        .expect("a time");
    assert!(best.contains(heading), "{heading} is not in {best}");
}

#[test]
fn a_night_without_a_window_shows_the_darkest_hours() {
    let page = handout("demo-sites/saltbush-tank.toml", "2027-07-19", &[]);
    assert!(page.contains("No window; the view in the middle of the darkest hours, "));
    assert!(!page.contains("window&#39;s best"));
}

#[test]
fn a_night_without_darkness_says_so() {
    let page = handout("demo-sites/storvarden-cairn.toml", "2027-06-20", &[]);
    assert!(page.contains("The Sun does not set: no dark hours to plan."));
    assert!(!page.contains("class=\"steps"));
}

#[test]
fn a_clock_change_tells_both_hours_apart() {
    let page = run(&[
        "handout",
        "--place",
        "46.6,8.1,2000",
        "--time-zone",
        "Europe/Zurich",
        "--on",
        "2027-10-30",
        "--quiet",
    ]);
    check(&page);
    // Zurich leaves summer time on 2027-10-31 at 01:00 UTC (IANA tz, rule EU).
    assert!(page.contains("(UTC +02:00, then +01:00)"));
    assert!(page.contains("02:30 +02:00") || page.contains("02:30+02:00"));
}

#[test]
fn a_hostile_name_stays_text() {
    let folder = Folder::new();
    let text = "name = '</title><script>x</script> \" & \"#d6d6d6'\n\
                latitude_deg = -31.4\nlongitude_deg = 139.2\n\
                time_zone = 'Australia/Adelaide'\n\
                notes = '<!-- ]]> <b onclick=\"x\"> &nbsp;'\n";
    let page = handout(&folder.file("site.toml", text), "2027-07-09", &[]);
    assert!(page.contains("<h1>&lt;/title&gt;&lt;script&gt;x&lt;/script&gt; &quot; &amp; "));
    assert!(page.contains("&lt;!-- ]]&gt; &lt;b onclick=&quot;x&quot;&gt; &amp;nbsp;"));
}
