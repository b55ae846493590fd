//! Pictures: what is drawn is in proportion to its values and within its frame.

use proptest::prelude::*;

use super::canvas::{Area, Fill, Mark};
use super::*;
use crate::layout::Point;
use crate::quantity::{Current, Length, Seconds};
use crate::report::Cell;
use crate::report::picture::*;
use crate::report::sample::euro;

fn picture(drawing: Drawing) -> Picture {
    Picture { id: "p", title: "A picture".to_owned(), about: "What it shows.".to_owned(), drawing }
}

fn mm(mm: i64) -> Length {
    Length::from_mm(mm)
}

fn rects(canvas: &Canvas, wanted: Fill) -> Vec<Area> {
    let areas = canvas.marks.iter().filter_map(|mark| match mark {
        Mark::Rect { area, fill, .. } if *fill == wanted => Some(*area),
        _ => None,
    });
    areas.collect()
}

/// The texts that are seen.
fn shown(canvas: &Canvas) -> Vec<&str> {
    let texts = canvas.marks.iter().filter_map(|mark| match mark {
        Mark::Text { text, .. } => Some(text.shown.as_str()),
        _ => None,
    });
    texts.collect()
}

/// Nothing leaves the frame, and no text covers another.
fn is_tidy(canvas: &Canvas) -> Result<(), String> {
    let frame = canvas.frame().grown(0.01);
    let texts: Vec<Area> = canvas.marks.iter().filter_map(Mark::text_area).collect();
    for (at, text) in texts.iter().enumerate() {
        if !frame.holds(*text) {
            return Err(format!("{text:?} leaves {frame:?}"));
        }
        if let Some(other) = texts[at + 1..].iter().find(|other| other.grown(-0.05).overlaps(*text)) {
            return Err(format!("{text:?} covers {other:?}"));
        }
    }
    Ok(())
}

fn bars() -> Bars {
    let bar = |label: &str, parts: [i64; 2]| Bar {
        label: label.to_owned(),
        values: parts.map(|minor| euro(minor).into()).to_vec(),
        total: euro(parts.iter().sum()).into(),
        limit: None,
    };
    Bars {
        parts: vec!["motors".to_owned(), "postage".to_owned()],
        bars: vec![bar("Servo", [10_000, 5_000]), bar("A scheme whose title goes on and on and on, and on", [20_000, 0])],
    }
}

fn lines() -> Lines {
    let point = |at: f64, current: f64| (Cell::from(Seconds(at)), Cell::from(Current(current)));
    Lines {
        along: "time".to_owned(),
        up: "current".to_owned(),
        lines: vec![
            Line {
                name: "12 V DC".to_owned(),
                joined: Joined::Steps,
                points: vec![point(0.0, 0.5), point(1.0, 1.5), point(4.0, 0.4)],
            },
            Line { name: "16 V AC".to_owned(), joined: Joined::Straight, points: vec![point(0.0, 0.1), point(4.0, 0.2)] },
        ],
        marks: vec![(Seconds(0.0).into(), "T1".to_owned()), (Seconds(0.01).into(), "T2".to_owned())],
    }
}

fn plan(seen: Seen, points: &[(i64, i64)]) -> Plan {
    let things = points.iter().enumerate().map(|(at, &(x, y))| Thing {
        sign: Sign::ALL[at % 6],
        name: format!("T{at}"),
        at: Point { x: mm(x), y: mm(y) },
    });
    let things: Vec<Thing> = things.collect();
    let courses = things.windows(2).map(|pair| Course { sort: 0, from: pair[0].at, to: pair[1].at, conductors: 1 });
    Plan {
        name: "Quay".to_owned(),
        seen,
        length: mm(1200),
        width: mm(450),
        courses: courses.collect(),
        sorts: vec![(0, "drive wires".to_owned())],
        things,
    }
}

#[test]
fn bars_are_as_long_as_their_values() {
    let canvas = canvas(&picture(Drawing::Bars(bars())));
    // The first of each pattern is that of the key.
    let [first, second] = [rects(&canvas, Fill::Pattern(0)), rects(&canvas, Fill::Pattern(1))];
    assert_eq!((first.len(), second.len()), (3, 2), "nothing is drawn for nothing");
    let per_euro = first[1].width / 100.0;
    assert!((first[2].width - 200.0 * per_euro).abs() < 1e-9);
    assert!((second[1].width - 50.0 * per_euro).abs() < 1e-9);
    assert!((second[1].x - (first[1].x + first[1].width)).abs() < 1e-9, "end to end");
    is_tidy(&canvas).unwrap();
}

/// A long name beside a bar ends with a figure, which must not be cut off.
#[test]
fn the_end_of_a_long_name_beside_a_bar_stands() {
    let mut long = bars();
    long.bars[0].label = "Enclosed plug-in power supply, 12 V DC, 500 mA (12 V DC), 85 % left".to_owned();
    let canvas = canvas(&picture(Drawing::Bars(long)));
    is_tidy(&canvas).unwrap();
    let told = shown(&canvas).join(" ");
    assert!(told.contains("85 % left") && !told.contains('…'), "{told}");
}

#[test]
fn a_step_holds_its_value_until_the_next() {
    let canvas = canvas(&picture(Drawing::Lines(lines())));
    is_tidy(&canvas).unwrap();
    let steps = canvas.marks.iter().find_map(|mark| match mark {
        Mark::Line { points, stroke, closed: None } if points.len() == 5 && stroke.dash == 0 => Some(points.clone()),
        _ => None,
    });
    let steps = steps.unwrap();
    assert!((steps[0].1 - steps[1].1).abs() < 1e-9 && (steps[1].0 - steps[2].0).abs() < 1e-9);
}

#[test]
fn from_below_left_and_right_are_swapped_and_front_is_front() {
    let at = Point { x: mm(300), y: mm(100) };
    let above = plan::spot(&plan(Seen::FromAbove, &[]), (10.0, 20.0), 10.0, at);
    let below = plan::spot(&plan(Seen::FromBelow, &[]), (10.0, 20.0), 10.0, at);
    assert_eq!(above, (40.0, 55.0));
    assert_eq!(below, (100.0, 55.0), "1200 less 300 mm from the left, as far from the front");
}

fn hole(what: &str, leg: Leg, along: i64, in_top: Option<(Length, Option<Length>)>, in_bracket: Option<Length>) -> Hole {
    Hole { what: what.to_owned(), leg, along: mm(along), in_top, in_bracket }
}

#[test]
fn a_template_is_drawn_at_full_size() {
    let template = Template {
        outline: Some(("foot".to_owned(), mm(35), Some(mm(15)))),
        holes: vec![
            hole("rod", Leg::Foot, 0, Some((mm(5), None)), None),
            hole("screw", Leg::Foot, 11, Some((mm(2), Some(mm(6)))), Some(mm(3))),
            hole("screw", Leg::Foot, -11, Some((mm(2), Some(mm(6)))), Some(mm(3))),
            hole("lug", Leg::Down, 14, None, Some(mm(2))),
        ],
    };
    let canvas = canvas(&picture(Drawing::Template(template)));
    is_tidy(&canvas).unwrap();
    let [foot, leg] = rects(&canvas, Fill::None)[..] else { panic!("two legs") };
    assert_eq!((foot.width, foot.height, leg.width, leg.height), (35.0, 15.0, 35.0, 15.0));
    assert!((leg.y - foot.y - 15.0).abs() < 1e-9, "one below the other");
    let holes: Vec<(f64, f64)> = canvas
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Circle { at, radius, .. } => Some((at.0, *radius)),
            _ => None,
        })
        .collect();
    assert_eq!(holes.iter().map(|(_, radius)| *radius).collect::<Vec<_>>(), [2.5, 1.0, 1.5, 1.0, 1.5, 1.0]);
    assert!((holes[1].0 - holes[0].0 - 11.0).abs() < 1e-9 && (holes[0].0 - holes[3].0 - 11.0).abs() < 1e-9);
    let bar = canvas.marks.iter().any(|mark| match mark {
        Mark::Line { points, .. } => points.len() == 4 && (points[2].0 - points[1].0 - 100.0).abs() < 1e-9,
        _ => false,
    });
    assert!(bar, "a bar of 100 mm");
    let svg = to_svg(&picture(Drawing::Plan(plan(Seen::FromBelow, &[]))), "x").into_string();
    assert!(svg.contains("width=\"178mm\"") && svg.contains("viewBox=\"0 0 178 "), "one unit is one millimetre");
}

#[test]
fn sticks_are_to_scale() {
    let stick =
        Stick { label: "No. 1".to_owned(), count: 1, length: mm(1000), pieces: vec![(2, mm(300)), (1, mm(150))], left: mm(248) };
    let canvas = canvas(&picture(Drawing::Sticks(vec![stick])));
    is_tidy(&canvas).unwrap();
    let whole = rects(&canvas, Fill::None)[0].width;
    let pieces: Vec<f64> =
        rects(&canvas, Fill::Paper).iter().filter(|area| area.height > 5.0).map(|area| area.width / whole).collect();
    for (found, expected) in pieces.iter().zip([0.3, 0.3, 0.15]) {
        assert!((found - expected).abs() < 1e-9, "{pieces:?}");
    }
}

#[test]
fn every_picture_says_what_it_shows_to_who_cannot_see_it() {
    let pictures = [
        Drawing::Bars(bars()),
        Drawing::Lines(lines()),
        Drawing::Plan(plan(Seen::FromBelow, &[(100, 100), (700, 300)])),
        Drawing::Row(vec![plan(Seen::FromAbove, &[(100, 100)]), plan(Seen::FromAbove, &[(900, 100)])]),
    ];
    for drawing in pictures {
        let picture = picture(drawing);
        assert!(!picture.data().rows.is_empty());
        let svg = to_svg(&picture, "x").into_string();
        assert!(svg.contains("<title id=\"x-title\">A picture</title><desc id=\"x-about\">What it shows.</desc>"), "{svg}");
    }
}

#[test]
fn names_are_data() {
    let mut evil = plan(Seen::FromBelow, &[(100, 100)]);
    evil.things[0].name = "<b>&\"'\u{202e}".to_owned();
    evil.sorts = vec![(0, "x".repeat(300))];
    let canvas = canvas(&picture(Drawing::Plan(evil.clone())));
    is_tidy(&canvas).unwrap();
    let svg = to_svg(&picture(Drawing::Plan(evil)), "x").into_string();
    assert!(svg.contains("&lt;b&gt;&amp;&quot;'") && !svg.contains('\u{202e}'));
}

/// Each use of wire looks the same on every board, and unlike every other.
#[test]
fn lines_of_different_uses_differ() {
    let mut strokes: Vec<(String, usize)> = (0..crate::wiring::Use::ALL.len())
        .map(plan::course_stroke)
        .map(|stroke| (canvas::number(stroke.width), stroke.dash))
        .collect();
    strokes.sort_unstable();
    strokes.dedup();
    assert_eq!(strokes.len(), crate::wiring::Use::ALL.len());
}

#[test]
fn a_name_that_has_no_room_is_a_number_with_a_key() {
    let mut long = plan(Seen::FromBelow, &[(300, 100), (700, 300)]);
    long.things[0].name = "the long name of a turnout behind the old engine shed by the water".to_owned();
    let canvas = canvas(&picture(Drawing::Row(vec![long])));
    is_tidy(&canvas).unwrap();
    let texts = shown(&canvas);
    assert!(texts.contains(&"[1]") && texts.contains(&"T1"), "{texts:?}");
    assert!(texts.iter().any(|text| text.starts_with("[1] = the long name of a turnout")), "{texts:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(64) })]

    #[test]
    fn plans_are_tidy_wherever_things_stand(points in prop::collection::vec((0..=1200_i64, 0..=450_i64), 0..40)) {
        let from_below = canvas(&picture(Drawing::Plan(plan(Seen::FromBelow, &points))));
        prop_assert_eq!(is_tidy(&from_below), Ok(()));
        let plans = vec![plan(Seen::FromAbove, &points); 5];
        prop_assert_eq!(is_tidy(&canvas(&picture(Drawing::Row(plans)))), Ok(()));
    }

    #[test]
    fn charts_are_tidy_whatever_the_values(values in prop::collection::vec(0..100_000_000_i64, 1..20)) {
        let bar = |&minor: &i64| Bar { label: format!("scheme {minor}"), values: vec![euro(minor).into()], total: euro(minor).into(), limit: None };
        let all = Bars { parts: vec!["goods".to_owned()], bars: values.iter().map(bar).collect() };
        prop_assert_eq!(is_tidy(&canvas(&picture(Drawing::Bars(all)))), Ok(()));
        let rows = values.iter().map(|&minor| (format!("joint {minor}"), vec![Cell::Count(minor); 5])).collect();
        let cells = Cells { rows_are: "Joint".to_owned(), columns: vec!["Servo, home-made bracket".to_owned(); 5], rows };
        prop_assert_eq!(is_tidy(&canvas(&picture(Drawing::Cells(cells)))), Ok(()));
        let hours = |minor: i64| Cell::Hours(minor as f64 / 1000.0);
        let rows = values.iter().map(|&minor| (format!("stage {minor}"), [hours(minor / 2), hours(minor), hours(minor * 2)])).collect();
        let ranges = Ranges { names: ["least", "likely", "most"].map(str::to_owned), rows };
        prop_assert_eq!(is_tidy(&canvas(&picture(Drawing::Ranges(ranges)))), Ok(()));
        let points = values.iter().enumerate().map(|(at, &minor)| (Cell::from(at), euro(minor).into())).collect();
        let line = Line { name: "one".to_owned(), joined: Joined::Not, points };
        let lines = Lines { along: "turnouts".to_owned(), up: "cost".to_owned(), lines: vec![line], marks: Vec::new() };
        prop_assert_eq!(is_tidy(&canvas(&picture(Drawing::Lines(lines)))), Ok(()));
    }
}
