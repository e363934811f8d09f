//! No two texts of a picture overlap, at any site, date or hour.

use crate::program::SEVEN_SITES;
use chrono::{Days, NaiveDate};
use rakelight::{
    chart::{
        Around, ClusterChart, FrameChart, Look, NightChart, Palette, Picture, SeasonChart,
        SeasonPanel, Size, SkylineChart, YearChart,
    },
    input::read_sites,
    plan::{NightPlan, PlanSettings},
    report::words::clock,
    rule::Brief,
    rule::Rules,
    scene::{Dates, LightKind, Site, Zone},
    search::{LUNATION_DAYS, Night, Planner, Season, lunations},
};
use std::path::Path;

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a date in the test")
}

fn sites() -> Vec<Site> {
    let mut sites: Vec<Site> = SEVEN_SITES
        .iter()
        .map(|name| {
            let path = format!("{}/demo-sites/{name}.toml", env!("CARGO_MANIFEST_DIR"));
            let mut read = read_sites(Path::new(&path)).expect("a demo site");
            read.next().expect("one site").expect("a sound site")
        })
        .collect();
    // Where an axis of local time is put to the test: both poles, the date
    // line, a zone a day away from its longitude.
    for (latitude, longitude, zone) in [
        (89.9, 0.0, "UTC"),
        (-90.0, 0.0, "Pacific/Auckland"),
        (1.87, -157.4, "Pacific/Kiritimati"),
        (-13.8, -171.8, "Pacific/Apia"),
        (69.0, 18.9, "Europe/Oslo"),
    ] {
        let mut site = Site::new(latitude, longitude).expect("a place");
        site.zone = Zone::named(zone).expect("a zone");
        sites.push(site);
    }
    sites
}

fn check(picture: &Picture, what: &str) {
    assert!(picture.labels.len() > 4, "{what}: hardly a word");
    for (index, a) in picture.labels.iter().enumerate() {
        let r = a.room;
        assert!(
            r.left >= 0.0
                && r.top >= 0.0
                && r.left + r.width <= picture.width
                && r.top + r.height <= picture.height,
            "{what}: {a:?} leaves the sheet"
        );
        for b in picture.labels.iter().skip(index + 1) {
            assert!(!a.room.meets(&b.room), "{what}: {a:?} meets {b:?}");
        }
    }
    // The boxes are those of the texts that are really drawn. A halo is the
    // same text below, hidden from those who hear the picture.
    let texts: Vec<&str> = picture.svg.split("<text ").skip(1).collect();
    let is_halo = |text: &str| text.starts_with("aria-hidden=\"true\" ");
    let read_out = texts.iter().filter(|text| !is_halo(text)).count();
    assert_eq!(read_out, picture.labels.len(), "{what}");
    for pair in texts.windows(2).filter(|pair| is_halo(pair[0])) {
        assert!(!is_halo(pair[1]), "{what}: two halos");
        let place_and_words = |text: &str| {
            let (_, from) = text.split_once(" text-anchor=").expect("an anchor");
            from.split_once("</text>").expect("an end").0.to_owned()
        };
        assert_eq!(place_and_words(pair[0]), place_and_words(pair[1]), "{what}");
    }
    assert!(!texts.last().is_some_and(|text| is_halo(text)), "{what}");
    // An outline over the letters would hide them from renderers of SVG 1.1.
    let outlined = |text: &&&str| {
        text.split('>')
            .next()
            .is_some_and(|tag| tag.contains("stroke="))
    };
    assert!(
        texts.iter().filter(outlined).all(|text| is_halo(text)),
        "{what}"
    );
}

/// The caption as those hear it who hear the picture.
fn caption(picture: &Picture) -> String {
    let (_, from) = picture.svg.split_once("<desc").expect("a description");
    let (_, from) = from.split_once('>').expect("its text");
    let (text, _) = from.split_once("</desc>").expect("its end");
    let marks = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&apos;", "'"),
        ("&amp;", "&"),
    ];
    let plain = marks
        .iter()
        .fold(text.trim().to_owned(), |text, (mark, letter)| {
            text.replace(mark, letter)
        });
    plain.replace("&#39;", "'")
}

/// What matters has its words, however crowded the sheet, in type that can be
/// read.
fn check_night(picture: &Picture, plan: &NightPlan<'_>, size: Size, what: &str) {
    let labels = || picture.labels.iter().map(|label| label.text.as_str());
    let words = labels().collect::<Vec<&str>>().join(" ");
    assert_eq!(picture.width, size.width(), "{what}");
    if let Some(sheet) = size.sheet_height() {
        assert!(picture.height <= sheet, "{what}: {}", picture.height);
    }
    let sizes = picture.svg.split(" font-size=\"").skip(1);
    for text in sizes {
        let (px, _) = text.split_once('"').expect("a size");
        let px: f64 = px.parse().expect("a number");
        assert!(px >= size.least_type(), "{what}: {px} px");
    }
    for window in &plan.windows {
        let times = [
            window.interval.first(),
            window.interval.last(),
            window.best.moment(),
        ];
        for moment in times {
            let text = clock(plan.site, moment);
            assert!(labels().any(|label| label == text), "{what}: no {text}");
        }
    }
    assert_eq!(
        words.contains("No "),
        plan.windows.is_empty() || words.contains("No single"),
        "{what}: {words}"
    );
    // Each bar has its name; that of a rule which costs the window says so.
    for bar in picture.svg.split("data-bar=\"").skip(1) {
        let (name, _) = bar.split_once('"').expect("a name");
        let name = name.replace("&apos;", "'");
        assert!(
            labels().any(|label| label.starts_with(&name)),
            "{what}: {name}"
        );
    }
    if picture.svg.contains("data-clock-change") {
        assert!(words.contains("clocks change"), "{what}: {words}");
    }
}

#[test]
fn nights_and_views() {
    for site in sites() {
        for light in ["raking", "dark", "blend", "any"] {
            let mut brief = Brief::default();
            brief.set("light", light).expect("a kind of light");
            let brief = brief.or(&Brief::of_site(&site));
            let rules = Rules::new(&brief, &site).expect("rules");
            // Every 12 days, and the nights on which clocks are moved.
            let regular = (0..30).map(|step| day("2027-01-03") + Days::new(12 * step));
            let moved = ["2027-03-27", "2027-04-03", "2027-10-02", "2027-10-30"].map(day);
            for date in regular.chain(moved) {
                let Some(night) = Night::of(&site, date) else {
                    continue;
                };
                let season = Season::new(Dates::new(date, date).expect("dates"));
                let planner = season
                    .planner(site.clone(), rules.clone())
                    .expect("a planner");
                let plan = planner
                    .plan(date, &PlanSettings::default())
                    .expect("a night of the season");
                let hour = 3600.0 * f64::from(date.to_string().len() as u32 * 7 % 24);
                let moment = plan
                    .windows
                    .first()
                    .map_or(night.start.plus_seconds(hour), |window| {
                        window.best.moment()
                    });
                let what = format!("{} {date} {light}", site.name);
                let chart = NightChart::of(&planner, &plan).expect("that night");
                for size in [Size::A4, Size::Phone] {
                    let picture = chart.draw(Look::new(Palette::Light, size));
                    check(&picture, &what);
                    check_night(&picture, &plan, size, &what);
                }
                let mut frame = FrameChart::at(&planner, moment).expect("an instant");
                frame.magnetic_declination_deg = Some(-12.3);
                // Either ink at either size, night by night.
                let odd = date.to_string().ends_with(['1', '3', '5', '7', '9']);
                let inks = [Palette::Dark, Palette::Light];
                for (size, ink) in [
                    (Size::A4, inks[usize::from(odd)]),
                    (Size::Phone, inks[usize::from(!odd)]),
                ] {
                    let picture = frame.draw(Look::new(ink, size));
                    let what = format!("{what} {size:?}");
                    check(&picture, &what);
                    // A sheet of paper is long enough.
                    let highest = size.sheet_height().unwrap_or(f64::INFINITY);
                    assert!(picture.height <= highest, "{what}: {}", picture.height);
                    // No label takes the place of a sentence.
                    let labels = picture.labels.iter();
                    let words: Vec<&str> = labels.map(|label| label.text.as_str()).collect();
                    let plain = |text: &str| text.replace('.', "");
                    assert!(
                        plain(&words.join(" ")).contains(&plain(&caption(&picture))),
                        "{what}"
                    );
                    // The place of the target in the frame has its name and time.
                    let name = rules.target_name();
                    let named = words.iter().filter(|text| {
                        text.starts_with(name) && text.ends_with(|c: char| c.is_ascii_digit())
                    });
                    let marks = picture.svg.matches("data-body=\"target\"").count();
                    assert!(named.count() >= marks, "{what}: {words:?}");
                }
            }
        }
    }
}

/// Labels that do not overlap, none on the edge of two sheets, none too small,
/// and each best night written out.
fn check_season(picture: &Picture, size: Size, what: &str) {
    check(picture, what);
    assert_eq!(picture.width, size.width(), "{what}");
    let sizes = picture.svg.split("font-size=\"").skip(1);
    let sizes = sizes.filter_map(|text| text.split('"').next()?.parse::<f64>().ok());
    let least = sizes.fold(f64::INFINITY, f64::min);
    assert!(least >= size.least_type() - 0.005, "{what}: {least}");
    if let Some(sheet) = size.sheet_height()
        && picture.height > sheet
    {
        let sheets = picture.height / sheet;
        assert_eq!(sheets, sheets.round(), "{what}");
        for label in &picture.labels {
            let (top, bottom) = (label.room.top, label.room.top + label.room.height);
            assert_eq!(
                (top / sheet).floor(),
                (bottom / sheet).floor(),
                "{what}: {label:?}"
            );
        }
        let told = format!("of {sheets}");
        let titles = picture.labels.iter();
        let titles = titles.filter(|label| label.text.ends_with(&told));
        assert_eq!(titles.count() as f64, sheets, "{what}");
    }
    for tag in picture.svg.split("data-best=\"").skip(1) {
        let night = day(&tag[..10]).format("%a %-d %b,").to_string();
        let mut labels = picture.labels.iter();
        assert!(
            labels.any(|label| label.text.starts_with(&night)),
            "{what}: {night}"
        );
    }
}

#[test]
fn neighbouring_evenings() {
    for site in sites() {
        for light in ["raking", "blend", "any"] {
            let mut brief = Brief::default();
            brief.set("light", light).expect("a kind of light");
            let brief = brief.or(&Brief::of_site(&site));
            let rules = Rules::of_kinds(&brief, &site).expect("rules");
            for (from, to) in [
                ("2027-03-24", "2027-04-05"),
                ("2027-06-18", "2027-06-22"),
                ("2029-12-18", "2029-12-23"),
            ] {
                let season = Season::new(Dates::new(day(from), day(to)).expect("dates"));
                let planners = season
                    .site_planners(site.clone(), rules.clone())
                    .expect("planners");
                let nights = planners.hours();
                let chart = ClusterChart {
                    site: &site,
                    rules: planners.first().rules(),
                    kinds: planners.kinds(),
                    nights: &nights,
                };
                for size in [Size::A4, Size::Phone] {
                    let picture = chart.draw(Look::new(Palette::Light, size));
                    let what = format!("{} {from} {light} {size:?}", site.name);
                    check(&picture, &what);
                    for night in &nights {
                        let name = rakelight::report::words::evening_name(night.night.date);
                        let told = |label: &&rakelight::chart::LabelBox| {
                            let rest = label.text.strip_prefix(&name);
                            let parts = ["", ": best", ": spare", ": best of those before it"];
                            rest.is_some_and(|rest| parts.contains(&rest))
                        };
                        assert_eq!(
                            picture.labels.iter().filter(told).count(),
                            1,
                            "{what} {name}"
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn years_by_the_hour() {
    let dates = Dates::new(day("2027-09-01"), day("2028-08-31")).expect("dates");
    let season = Season::new(dates);
    for site in sites() {
        for light in ["raking,dark", "blend"] {
            let mut brief = Brief::default();
            brief.set("light", light).expect("a kind of light");
            let brief = brief.or(&Brief::of_site(&site));
            let rules = Rules::of_kinds(&brief, &site).expect("rules");
            let planners = season.site_planners(site.clone(), rules).expect("planners");
            let nights = planners.hours();
            let leading = planners.first();
            let advice = leading.study().map(|study| leading.advice(&study));
            let would_add = advice
                .as_ref()
                .map_or_else(Vec::new, |advice| leading.would_add(advice));
            for size in [Size::A4, Size::Phone] {
                let chart = YearChart {
                    site: &site,
                    rules: leading.rules(),
                    kinds: planners.kinds(),
                    dates,
                    nights: &nights,
                    advice: advice.as_ref(),
                    would_add: &would_add,
                    on_a_sheet: 2,
                };
                let picture = chart.draw(Look::new(Palette::Light, size));
                let what = format!("{} {light} {size:?}", site.name);
                check(&picture, &what);
                let words: Vec<&str> = picture.labels.iter().map(|l| l.text.as_str()).collect();
                let told = |word: &str| words.iter().any(|text| text.starts_with(word));
                assert!(
                    !picture.svg.contains("data-stroke") || told("best "),
                    "{what}"
                );
                for line in ["sunset", "sunrise"] {
                    let drawn = picture.svg.contains(&format!("data-line=\"{line}\""));
                    assert!(!drawn || told(line), "{what} {line}");
                }
                if let Some(height) = size.sheet_height() {
                    assert!(picture.height <= 0.5 * height, "{what} {}", picture.height);
                }
            }
        }
    }
}

#[test]
fn seasons() {
    let (first, last) = (day("2027-01-01"), day("2027-12-31"));
    let dates = Dates::new(first, last).expect("dates");
    let season = Season::new(dates.widened(LUNATION_DAYS));
    let sites = sites();
    let rules: Vec<Vec<Rules>> = sites
        .iter()
        .map(|site| vec![Rules::new(&Brief::of_site(site), site).expect("rules")])
        .collect();
    let rows: Vec<_> = sites
        .iter()
        .zip(&rules)
        .map(|(site, rules)| {
            let planners: Vec<Planner> = rules
                .iter()
                .map(|rules| {
                    season
                        .planner(site.clone(), rules.clone())
                        .expect("a planner")
                })
                .collect();
            lunations(&planners, dates)
        })
        .collect();
    let panels: Vec<SeasonPanel<'_>> = sites
        .iter()
        .zip(&rules)
        .zip(&rows)
        .map(|((site, rules), lunations)| SeasonPanel {
            site,
            rules: &rules[0],
            lunations,
        })
        .collect();
    for panel in &panels {
        // Every evening of the range is told of once.
        let nights = panel
            .lunations
            .iter()
            .map(|l| l.nights.len())
            .sum::<usize>();
        let expected =
            rakelight::search::nights(panel.site.longitude_deg, panel.site.zone, first, last);
        assert_eq!(nights, expected.count(), "{}", panel.site.name);
    }
    let chart = |panels: &[SeasonPanel<'_>], size: Size| {
        let chart = SeasonChart {
            first,
            last,
            kinds: vec![LightKind::Raking],
            weighed: false,
            panels: panels.to_vec(),
        };
        let picture = chart.draw(Look::new(Palette::Light, size));
        let again = chart.draw(Look::new(Palette::Light, size));
        assert_eq!(picture.svg, again.svg);
        picture
    };
    for size in [Size::A4, Size::Phone] {
        check_season(&chart(&panels, size), size, "seasons");
        for panel in &panels {
            let picture = chart(&[*panel], size);
            check_season(&picture, size, &panel.site.name);
        }
    }
}

#[test]
fn skylines() {
    for mut site in sites() {
        if site.name == "Quillon Slip" {
            site.name = "Station of Saint Bartholomew the Less upon the Outer Skerries".to_owned();
            let subject = site.subject.as_mut().expect("a subject");
            subject.name = Some("wheelhouse of the steamer that never came home ".repeat(2));
        }
        for (light, count) in [("raking", None), ("any", Some(7))] {
            let mut brief = Brief::default();
            brief.set("light", light).expect("a kind of light");
            let brief = brief.or(&Brief::of_site(&site));
            let rules = Rules::new(&brief, &site).expect("rules");
            for step in 0..6 {
                let date = day("2027-01-03") + Days::new(65 * step);
                let dates = Dates::one(date).expect("a date").widened(7);
                let planner = Season::new(dates)
                    .planner(site.clone(), rules.clone())
                    .expect("a planner");
                let Ok(nights) = planner.ridge_nights(date, count) else {
                    continue;
                };
                for (size, around) in [
                    (Size::A4, Around::All),
                    (Size::A4, Around::Paths),
                    (Size::Phone, Around::Camera),
                    (Size::Phone, Around::All),
                ] {
                    let what = format!("{} {date} {light} {size:?} {around:?}", site.name);
                    let chart = SkylineChart::of(&planner, &nights, around).expect("a chart");
                    let picture = chart.draw(Look::new(Palette::Dark, size));
                    check(&picture, &what);
                    assert_eq!(picture.width, size.width(), "{what}");
                    // On paper it is one sheet.
                    let least = size.sheet_height().unwrap_or(f64::INFINITY);
                    assert!(picture.height <= least, "{what}: {}", picture.height);
                    // The crossings of the night asked for have their names.
                    let mark =
                        |body: &str| format!("data-crossing=\"{body}\" data-night=\"{date}\"");
                    let drawn = |body: &str| picture.svg.matches(&mark(body)).count();
                    let named = |name: &str| {
                        let verbs = ["clears", "goes behind", "rises", "sets"];
                        let labels = picture.labels.iter().filter(|label| {
                            let (clock, words) = label.text.split_at_checked(5).unwrap_or(("", ""));
                            clock.contains(':')
                                && verbs
                                    .iter()
                                    .any(|verb| words.contains(&format!("{name} {verb}")))
                        });
                        labels.count()
                    };
                    assert_eq!(named("Moon"), drawn("moon"), "{what}");
                    assert_eq!(named(rules.target_name()), drawn("target"), "{what}");
                }
            }
        }
    }
}

/// Several views on one sheet and one below the other, names as long as they may
/// be, clocks that change.
#[test]
fn nights_of_several_views() {
    let file = |name: &str| format!("{}/demo-sites/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let read = |name: &str| {
        let sites = read_sites(Path::new(&file(name))).expect("a demo site");
        sites
            .map(|site| site.expect("a sound site"))
            .collect::<Vec<Site>>()
    };
    let mut places: Vec<Vec<Site>> = ["candlenut-cay", "tamarisk-halt", "molle-bend"]
        .map(read)
        .to_vec();
    let mut long = read("saltbush-tank");
    for site in &mut long {
        site.name =
            "A place <whose> name goes on & on, as long as any name of a place may be 12345".into();
        if let Some(subject) = &mut site.subject {
            subject.name =
                Some("Unterwasserschiffahrtsgesellschaftsgebäude with its flagpole & trees".into());
        }
    }
    let mut four = read("candlenut-cay");
    four.extend(long.iter().cloned());
    places.extend([long, four]);
    for sites in &places {
        for date in [
            "2027-04-03",
            "2027-05-29",
            "2027-06-08",
            "2027-07-02",
            "2027-12-21",
        ] {
            for light in ["raking", "any", "blend"] {
                let planners: Vec<Planner> = sites
                    .iter()
                    .map(|site| {
                        let mut brief = Brief::default();
                        brief.set("light", light).expect("a kind of light");
                        let rules = Rules::new(&brief.or(&Brief::of_site(site)), site);
                        let season = Season::new(Dates::new(day(date), day(date)).expect("dates"));
                        season
                            .planner(site.clone(), rules.expect("rules"))
                            .expect("a planner")
                    })
                    .collect();
                let plans: Vec<NightPlan<'_>> = planners
                    .iter()
                    .map(|planner| planner.plan(day(date), &PlanSettings::default()))
                    .collect::<Result<_, _>>()
                    .expect("a night");
                let charts: Vec<NightChart<'_>> = planners
                    .iter()
                    .zip(&plans)
                    .map(|(planner, plan)| NightChart::of(planner, plan).expect("that night"))
                    .collect();
                for size in [Size::A4, Size::Phone] {
                    let picture = NightChart::draw_all(&charts, Look::new(Palette::Dark, size));
                    let what = format!("{} {} {date} {light}", sites.len(), sites[0].name);
                    check(&picture, &what);
                    for chart in &planners {
                        let view = chart.site().view.clone().unwrap_or_default();
                        assert!(
                            picture.labels.iter().any(|l| l.text.contains(&view)),
                            "{what}"
                        );
                    }
                }
            }
        }
    }
}
