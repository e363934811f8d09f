//! Pictures that can be taken: frames, solid subjects, cameras that face one
//! way. The frames of windows are checked with a pinhole of the test's own.

use chrono::NaiveDate;
use rakelight::{
    Brief, Dates, PlanError, Planner, Rules, RulesError, Season, Site, Subject, SubjectPlace,
    Window,
    light::Orientation,
    rule::{FACING, FRAMING, LIGHT, TARGET_OFFSET, TARGET_PLACE},
    scene::{Band, Camera, Facing, Framing, LightKind, TargetPlace},
    search::{FramePlan, FramedAs},
};

fn year() -> Season {
    let day = |m, d| NaiveDate::from_ymd_opt(2027, m, d).expect("a date");
    Season::new(Dates::new(day(1, 1), day(12, 31)).expect("dates"))
}

fn planner(season: &Season, site: &Site, brief: &Brief) -> Planner {
    let rules = Rules::new(brief, site).expect("rules");
    season.planner(site.clone(), rules).expect("a planner")
}

/// The demo sites, by file name.
fn demo(name: &str) -> Site {
    let path = format!("{}/demo-sites/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let mut sites = rakelight::read_sites(path.as_ref()).expect("a demo site");
    sites.next().expect("a site").expect("a good site")
}

/// A camera far from any town that looks to where the core sets, with a tower
/// in the way.
fn tower(height_m: f64, width_m: Option<f64>) -> Site {
    let mut site = Site::new(-24.0, 134.0).expect("a place");
    site.camera = Some(Camera::default());
    site.subject = Some(Subject {
        name: Some("tower".to_owned()),
        place: SubjectPlace::Bearing {
            bearing_deg: 235.0,
            distance_m: Some(100.0),
        },
        height_m: Some(height_m),
        width_m,
        reflectance: None,
        reflectance_measured: None,
    });
    site
}

fn in_any_light() -> Brief {
    Brief::default().with(&LIGHT, LightKind::Any)
}

/// Where a direction falls in a frame, in half frames from its centre.
fn fall(site: &Site, plan: &FramePlan, azimuth_deg: f64, altitude_deg: f64) -> [f64; 2] {
    let camera = site.camera.expect("a camera");
    let unit = |azimuth: f64, altitude: f64| {
        let (a, h) = (azimuth.to_radians(), altitude.to_radians());
        [h.cos() * a.sin(), h.cos() * a.cos(), h.sin()]
    };
    let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    let point = unit(azimuth_deg, altitude_deg);
    let depth = dot(point, unit(plan.bearing_deg, plan.pitch_deg));
    assert!(
        depth > 0.0,
        "{plan:?} looks away from {azimuth_deg} {altitude_deg}"
    );
    let right = dot(point, unit(plan.bearing_deg + 90.0, 0.0)) / depth;
    let up = dot(point, unit(plan.bearing_deg, plan.pitch_deg + 90.0)) / depth;
    let [long, short] = camera.sensor_mm.map(|side| 0.5 * side / camera.focal_mm);
    match plan.orientation {
        Orientation::Landscape => [right / long, up / short],
        Orientation::Portrait => [right / short, up / long],
    }
}

fn plan(window: &Window) -> FramePlan {
    let frame = window.frame.expect("a site with a camera");
    frame.plan.expect("a camera that is known")
}

#[test]
fn the_frame_of_each_window_holds_subject_and_target_with_room_to_spare() {
    let season = year();
    let mut checked = 0;
    for name in [
        "tinaja-mesa",
        "witkopje-pan",
        "saltbush-tank",
        "gannet-steps",
    ] {
        let site = demo(name);
        let shape = site.subject_shape().expect("a subject");
        for window in planner(&season, &site, &Brief::of_site(&site)).windows() {
            let plan = plan(&window);
            if plan.framed_as != FramedAs::One {
                continue;
            }
            let target = &window.best.sky.target;
            let sides = [-1.0, 1.0].map(|side| shape.bearing_deg + side * shape.half_width_deg);
            let corners = sides
                .into_iter()
                .flat_map(|side| [(side, shape.foot_deg), (side, shape.top_deg)]);
            let target = (target.azimuth_deg, target.apparent_altitude_deg);
            for (azimuth_deg, altitude_deg) in corners.chain([target]) {
                for share in fall(&site, &plan, azimuth_deg, altitude_deg) {
                    // A twentieth of the frame at each edge is a tenth of half.
                    assert!(
                        share.abs() <= 0.9 + 1e-4,
                        "{name} {}: {share}",
                        window.night
                    );
                }
            }
            checked += 1;
        }
    }
    assert!(checked > 20, "{checked} frames");
}

#[test]
fn one_frame_does_through_the_part_that_is_told_and_not_beyond() {
    // A longer lens than the site's own, so that windows open or close between
    // one frame and a panorama.
    let mut site = demo("witkopje-pan");
    site.camera.as_mut().expect("a camera").focal_mm = 28.0;
    let planner = planner(&year(), &site, &Brief::of_site(&site));
    let framed_at = |seconds: f64| {
        let moment = rakelight::Moment::from_seconds(seconds);
        let instant = planner.at(moment).expect("an instant of the season");
        planner.frame_plan(&instant).expect("a camera").framed_as
    };
    let (mut whole, mut parts, mut none) = (0, 0, 0);
    for window in planner.windows() {
        let Some(part) = window.framed else {
            assert_ne!(plan(&window).framed_as, FramedAs::One);
            none += 1;
            continue;
        };
        assert_eq!(framed_at(part.start + 2.0), FramedAs::One);
        assert_eq!(framed_at(part.end - 2.0), FramedAs::One);
        if part == window.interval {
            whole += 1;
            continue;
        }
        parts += 1;
        for (edge, of_window, way) in [
            (part.start, window.interval.start, -2.0),
            (part.end, window.interval.end, 2.0),
        ] {
            if (edge - of_window).abs() > 2.0 {
                assert_eq!(
                    framed_at(edge + way),
                    FramedAs::Panorama,
                    "{}",
                    window.night
                );
            }
        }
    }
    assert!(whole > 0 && parts > 0 && none > 0, "{whole} {parts} {none}");
}

#[test]
fn one_frame_is_a_rule_and_a_factor() {
    let mut site = demo("witkopje-pan");
    site.camera.as_mut().expect("a camera").focal_mm = 28.0;
    let season = year();
    let own = Brief::of_site(&site);
    let any = planner(&season, &site, &own).windows();
    let one = planner(
        &season,
        &site,
        &Brief::default().with(&FRAMING, Framing::One).or(&own),
    );
    let one = one.windows();
    assert!(!one.is_empty() && one.len() < any.len());
    assert!(
        one.iter()
            .all(|window| plan(window).framed_as == FramedAs::One)
    );
    for window in &any {
        let expected = match plan(window).framed_as {
            FramedAs::One => 1.0,
            _ => 0.5,
        };
        assert_eq!(window.factors.framing, Some(expected), "{}", window.night);
    }
}

#[test]
fn a_camera_that_faces_north_finds_no_core_in_the_south() {
    let mut site = Site::new(37.0, -113.0).expect("a place");
    site.camera = Some(Camera::default());
    let season = year();
    let north = Brief::default().with(&FACING, Facing::Bearing(0.0));
    assert!(planner(&season, &site, &north).windows().is_empty());
    let south = Brief::default().with(&FACING, Facing::Bearing(180.0));
    let windows = planner(&season, &site, &south).windows();
    assert!(windows.len() > 10);
    assert!(
        windows
            .iter()
            .all(|w| w.best.target_offset_deg().abs() <= 60.0)
    );
    // Whoever asks for any direction is told that no picture holds it.
    let anywhere = north
        .with(&TARGET_OFFSET, Band::new(-180.0, 180.0))
        .with(&FRAMING, Framing::Any);
    let windows = planner(&season, &site, &anywhere).windows();
    assert!(!windows.is_empty());
    for window in windows {
        assert_eq!(plan(&window).framed_as, FramedAs::Neither);
        assert!(window.factors.framing.expect("a camera") < 0.1);
    }
}

#[test]
fn no_window_opens_while_the_target_stands_behind_the_subject() {
    let season = year();
    let windows = |site: &Site, place: TargetPlace| {
        planner(&season, site, &in_any_light().with(&TARGET_PLACE, place)).windows()
    };
    // 60 m at 100 m are 30 degrees high; 40 m wide, 23 degrees.
    let site = tower(60.0, Some(40.0));
    let shape = site.subject_shape().expect("a subject");
    let hidden = |window: &Window| {
        let edges = [window.interval.first(), window.interval.last()];
        let all = planner(&season, &site, &in_any_light());
        edges.into_iter().any(|moment| {
            let target = all.at(moment).expect("an instant").sky.target;
            shape.hides(target.azimuth_deg, target.apparent_altitude_deg)
        })
    };
    let clear = windows(&site, TargetPlace::CLEAR);
    let any = windows(&site, TargetPlace::Any);
    let behind = windows(&site, TargetPlace::Behind);
    assert!(!clear.is_empty() && !behind.is_empty());
    assert!(!clear.iter().any(hidden) && any.iter().any(hidden));
    let all = planner(&season, &site, &in_any_light());
    for window in &behind {
        let middle = 0.5 * (window.interval.start + window.interval.end);
        let middle = all.at(rakelight::Moment::from_seconds(middle));
        let target = middle.expect("an instant").sky.target;
        assert!(shape.hides(target.azimuth_deg, target.apparent_altitude_deg));
    }
    let minutes = |windows: &[Window]| windows.iter().map(|w| w.interval.minutes()).sum::<f64>();
    assert!(minutes(&clear) + minutes(&behind) < minutes(&any));
    // A low one is no wall.
    let low = tower(4.0, Some(40.0));
    let same = |a: &[Window], b: &[Window]| minutes(a) == minutes(b);
    assert!(same(
        &windows(&low, TargetPlace::CLEAR),
        &windows(&low, TargetPlace::Any)
    ));
}

#[test]
fn over_and_beside_are_where_they_say() {
    let season = year();
    let site = tower(30.0, None);
    let shape = site.subject_shape().expect("a subject");
    assert!(shape.width_assumed);
    for (place, over) in [
        (TargetPlace::Over(5.0), true),
        (TargetPlace::Beside(5.0), false),
    ] {
        let brief = in_any_light().with(&TARGET_PLACE, place);
        let windows = planner(&season, &site, &brief).windows();
        assert!(!windows.is_empty(), "{place}");
        for window in windows {
            let aside = window.best.target_offset_deg().abs();
            let above = window.best.sky.target.apparent_altitude_deg - shape.top_deg;
            if over {
                assert!(above >= 5.0 - 1e-3 && aside <= shape.half_width_deg + 5.0 + 1e-3);
            } else {
                assert!(aside >= shape.half_width_deg + 5.0 - 1e-3);
            }
        }
    }
}

#[test]
fn a_rule_on_the_frame_needs_a_camera() {
    let site = Site::new(-24.0, 134.0).expect("a place");
    let asked = Brief::default().with(&FRAMING, Framing::One);
    assert!(matches!(
        Rules::new(&asked, &site),
        Err(RulesError::NoCamera(_))
    ));
    let any = Brief::default().with(&FRAMING, Framing::Any);
    assert!(Rules::new(&any, &site).is_ok());
    let dates = year().dates();
    let error = Planner::new(site.clone(), &asked, dates).expect_err("no camera");
    assert!(matches!(error, PlanError::NoCamera(_)));
    let plain = planner(&year(), &site, &Brief::default());
    for window in plain.windows() {
        assert!(window.frame.is_none() && window.factors.framing.is_none());
    }
}

/// The table of `docs/model.md` that says how many frames it takes at the demo
/// sites.
#[test]
fn the_frames_of_the_demo_sites_are_told_as_they_are() {
    let season = year();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-sites");
    let entries = std::fs::read_dir(folder).expect("the demo sites");
    let paths = entries.map(|entry| entry.expect("an entry").path());
    let mut paths: Vec<_> = paths
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .collect();
    paths.sort();
    let mut rows = Vec::new();
    for path in paths {
        for site in rakelight::read_sites(&path).expect("a demo site") {
            let site = site.expect("a good view");
            let own = Brief::of_site(&site);
            let brief = Brief::default().with(&FRAMING, Framing::Any).or(&own);
            let windows = planner(&season, &site, &brief).windows();
            let plans: Vec<FramePlan> = windows.iter().take(10).map(plan).collect();
            let count = |is: &dyn Fn(&FramePlan) -> bool| plans.iter().filter(|p| is(p)).count();
            let framed = |way| count(&|plan| plan.framed_as == way);
            let view = site.view.as_deref().map(|view| format!(", {view}"));
            rows.push(format!(
                "| {}{} | {} | {} | {} | {} | {} |",
                site.name,
                view.unwrap_or_default(),
                plans.len(),
                count(&|plan| plan.level_landscape),
                framed(FramedAs::One),
                framed(FramedAs::Panorama),
                framed(FramedAs::Neither),
            ));
        }
    }
    let model = include_str!("../../docs/model.md");
    let head = "| view | windows | level, landscape | one frame | panorama | neither |\n";
    let (_, table) = model.split_once(head).expect("the table");
    let told: Vec<&str> = table
        .lines()
        .skip(1)
        .take_while(|l| !l.is_empty())
        .collect();
    assert_eq!(told, rows);
}

/// The arch is a panorama of its own: no single frame is asked or told.
#[test]
fn a_camera_that_faces_the_arch_has_no_frame() {
    let mut site = tower(10.0, None);
    site.camera = Some(Camera::default());
    let arch = in_any_light().with(&FACING, Facing::Arch);
    let windows = planner(&year(), &site, &arch).windows();
    assert!(!windows.is_empty());
    for window in windows {
        let frame = window.frame;
        assert!(frame.is_none_or(|frame| frame.plan.is_none()));
        assert_eq!(window.factors.framing, None);
    }
    let one = arch.with(&FRAMING, Framing::One);
    assert!(matches!(
        Rules::new(&one, &site),
        Err(RulesError::Value { key: "framing", .. })
    ));
}

/// What a panorama is said to reach it holds, in no more frames than are said,
/// and a window that needs one is offered one.
#[test]
fn a_panorama_holds_what_it_is_said_to_reach() {
    use rakelight::{
        Optics,
        light::{
            LandInFrame, Seen, SubjectFrames,
            subject_frames::{MOST_COLUMNS, MOST_ROWS},
        },
    };
    let (mut some, mut none, mut narrow) = (0, 0, 0);
    for focal_mm in [10.0, 14.0, 24.0, 50.0, 85.0, 135.0, 300.0] {
        for (foot_deg, top_deg) in [(0.0, 0.0), (-2.0, 10.0), (-17.0, 64.0), (-30.0, 85.0)] {
            let optics = Optics::new(focal_mm, 2.8, [36.0, 24.0], 6.0).expect("a lens");
            let land = LandInFrame {
                foot_deg,
                top_deg,
                half_width_deg: 3.0,
            };
            let frames = SubjectFrames::new(&optics, land);
            let Some((side_deg, highest_deg)) = frames.panorama_reach_deg() else {
                none += 1;
                continue;
            };
            narrow += usize::from(side_deg < 90.0 || highest_deg < 90.0);
            for across in [-1.0, -0.6, 0.0, 0.3, 1.0] {
                for up in [0.0, 0.5, 1.0] {
                    let seen = Seen::new(across * side_deg, up * highest_deg);
                    let (_, plan) = frames.panorama(seen).expect("within reach");
                    assert!(plan.frames_per_row <= MOST_COLUMNS && plan.rows <= MOST_ROWS);
                    some += 1;
                }
            }
        }
    }
    assert!(
        some > 100 && none > 3 && narrow > 3,
        "{some} {none} {narrow}"
    );
}
