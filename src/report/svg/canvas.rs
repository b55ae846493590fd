//! The marks of a picture, and how they are written as SVG.

use std::fmt::Write;

use maud::{Markup, html};

use super::text::{Fitted, fit};

/// Where a text stands on its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a surface is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fill {
    /// As the page.
    Paper,
    /// Full ink.
    Ink,
    /// The pattern of that number, counted round.
    Pattern(usize),
    /// Not at all.
    None,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stroke {
    /// Width.
    pub(super) width: f64,
    /// Which pattern of dashes, counted round; 0 is unbroken.
    pub(super) dash: usize,
    /// Whether it stands back: a grid, a leader.
    pub(super) faint: bool,
}

/// A thin unbroken line.
pub(super) const THIN: Stroke = Stroke { width: 0.25, dash: 0, faint: false };

/// A line of a grid.
pub(super) const FAINT: Stroke = Stroke { width: 0.2, dash: 0, faint: true };

/// Dashes of lines that must be told apart.
const DASHES: [&str; 7] = ["", "2.4 1", "0.5 0.9", "4 0.9 0.6 0.9", "1.2 0.6", "5 1.4", "3 0.6 0.5 0.6 0.5 0.6"];

/// How many patterns there are.
const PATTERNS: usize = 9;

/// A rectangle: its corner nearest the origin, and its size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Area {
    /// Whether the two have more in common than an edge.
    pub(super) fn overlaps(self, other: Self) -> bool {
        self.x < other.x + other.width
            && other.x < self.x + self.width
            && self.y < other.y + other.height
            && other.y < self.y + self.height
    }

    /// Whether the other lies within it.
    pub(super) fn holds(self, other: Self) -> bool {
        other.x >= self.x
            && other.y >= self.y
            && other.x + other.width <= self.x + self.width
            && other.y + other.height <= self.y + self.height
    }

    /// Whether the point lies within it.
    pub(super) fn contains(self, (x, y): (f64, f64)) -> bool {
        x >= self.x && y >= self.y && x <= self.x + self.width && y <= self.y + self.height
    }

    /// Grown by a margin on all sides.
    pub(super) fn grown(self, by: f64) -> Self {
        Self { x: self.x - by, y: self.y - by, width: self.width + 2.0 * by, height: self.height + 2.0 * by }
    }
}

/// One mark.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Mark {
    Rect { area: Area, fill: Fill, stroke: Option<Stroke>, round: f64 },
    Line { points: Vec<(f64, f64)>, stroke: Stroke, closed: Option<Fill> },
    Circle { at: (f64, f64), radius: f64, fill: Fill, stroke: Stroke },
    Text { at: (f64, f64), size: f64, anchor: Anchor, bold: bool, text: Fitted },
}

/// A sheet of a size with marks on it, the later above the earlier.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Canvas {
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) marks: Vec<Mark>,
}

impl Canvas {
    pub(super) fn new(width: f64) -> Self {
        Self { width, ..Self::default() }
    }

    pub(super) fn rect(&mut self, area: Area, fill: Fill, stroke: Option<Stroke>) {
        self.marks.push(Mark::Rect { area, fill, stroke, round: 0.0 });
    }

    pub(super) fn line(&mut self, points: impl Into<Vec<(f64, f64)>>, stroke: Stroke) {
        self.marks.push(Mark::Line { points: points.into(), stroke, closed: None });
    }

    pub(super) fn shape(&mut self, points: impl Into<Vec<(f64, f64)>>, fill: Fill, stroke: Stroke) {
        self.marks.push(Mark::Line { points: points.into(), stroke, closed: Some(fill) });
    }

    pub(super) fn circle(&mut self, at: (f64, f64), radius: f64, fill: Fill) {
        self.marks.push(Mark::Circle { at, radius, fill, stroke: THIN });
    }

    /// A text that is known to fit.
    pub(super) fn text(&mut self, at: (f64, f64), size: f64, anchor: Anchor, text: &str) {
        self.fitted(at, size, anchor, false, fit(text, size, f64::INFINITY));
    }

    pub(super) fn fitted(&mut self, at: (f64, f64), size: f64, anchor: Anchor, bold: bool, text: Fitted) {
        self.marks.push(Mark::Text { at, size, anchor, bold, text });
    }

    /// The frame.
    #[cfg(test)]
    pub(super) fn frame(&self) -> Area {
        Area { x: 0.0, y: 0.0, width: self.width, height: self.height }
    }

    /// The picture as an `svg` element.
    pub(super) fn markup(&self, id: &str, title: &str, about: &str) -> Markup {
        let size = |value: f64| format!("{}mm", number(value));
        html! {
            svg role="img" aria-labelledby=(format!("{id}-title {id}-about")) viewBox=(format!("0 0 {} {}", number(self.width), number(self.height)))
                width=(size(self.width)) height=(size(self.height)) xmlns="http://www.w3.org/2000/svg" {
                title id=(format!("{id}-title")) { (crate::report::plain::harmless(title)) }
                desc id=(format!("{id}-about")) { (crate::report::plain::harmless(about)) }
                (self.patterns(id))
                @for mark in &self.marks { (mark.markup(id)) }
            }
        }
    }

    /// The patterns in use, darkest and lightest in turn so that neighbours differ in grey as well.
    fn patterns(&self, id: &str) -> Markup {
        let used = |wanted: usize| {
            self.marks.iter().any(|mark| match mark {
                Mark::Rect { fill: Fill::Pattern(n), .. }
                | Mark::Circle { fill: Fill::Pattern(n), .. }
                | Mark::Line { closed: Some(Fill::Pattern(n)), .. } => n % PATTERNS == wanted,
                _ => false,
            })
        };
        let lines: [(&str, &str); PATTERNS] = [
            ("b0", ""),
            ("b1", "M0 2L2 0M-.5 .5L.5 -.5M1.5 2.5L2.5 1.5"),
            ("b2", ""),
            ("b3", "M1 .6V1.4M.6 1H1.4"),
            ("b4", "M0 .5H2M0 1.5H2"),
            ("b5", "M0 0L2 2M0 2L2 0"),
            ("b6", "M.5 0V2M1.5 0V2"),
            ("b7", ""),
            ("b8", "M0 0L2 2M-.5 1.5L.5 2.5M1.5 -.5L2.5 .5"),
        ];
        if !(0..PATTERNS).any(used) {
            return html! {};
        }
        html! {
            defs {
                @for (at, (class, path)) in lines.iter().enumerate().filter(|(at, _)| used(*at)) {
                    pattern id=(format!("{id}-p{at}")) width="2" height="2" patternUnits="userSpaceOnUse" {
                        rect class=(class) width="2" height="2" {}
                        @if !path.is_empty() { path class=(format!("{class} hatch")) d=(path) {} }
                    }
                }
            }
        }
    }
}

/// Classes of a stroke.
fn classes(stroke: Stroke) -> &'static str {
    if stroke.faint { "faint" } else { "line" }
}

fn dashes(stroke: Stroke) -> Option<&'static str> {
    DASHES.get(stroke.dash % DASHES.len()).copied().filter(|dashes| !dashes.is_empty())
}

impl Fill {
    fn value(self, id: &str) -> String {
        match self {
            Self::Paper => "#fff".to_owned(),
            Self::Ink => "#1c2730".to_owned(),
            Self::Pattern(n) => format!("url(#{id}-p{})", n % PATTERNS),
            Self::None => "none".to_owned(),
        }
    }
}

impl Mark {
    /// The room a text takes; nothing for other marks.
    #[cfg(test)]
    pub(super) fn text_area(&self) -> Option<Area> {
        match self {
            Self::Text { at, size, anchor, text, bold } => {
                let wide = super::text::width(&text.shown, *size) * if *bold { 1.12 } else { 1.0 };
                let x = match anchor {
                    Anchor::Start => at.0,
                    Anchor::Middle => at.0 - wide / 2.0,
                    Anchor::End => at.0 - wide,
                };
                Some(Area { x, y: at.1 - size * 0.8, width: wide, height: *size })
            }
            _ => None,
        }
    }

    fn markup(&self, id: &str) -> Markup {
        match self {
            Self::Rect { area, fill, stroke, round } => html! {
                rect x=(number(area.x)) y=(number(area.y)) width=(number(area.width)) height=(number(area.height))
                    rx=[(*round > 0.0).then(|| number(*round))] fill=(fill.value(id)) class=[stroke.map(classes)]
                    stroke-width=[stroke.map(|stroke| number(stroke.width))] stroke-dasharray=[stroke.and_then(dashes)] {}
            },
            Self::Line { points, stroke, closed } => html! {
                path d=(course(points, closed.is_some())) fill=(closed.unwrap_or(Fill::None).value(id)) class=(classes(*stroke))
                    stroke-width=(number(stroke.width)) stroke-dasharray=[dashes(*stroke)] {}
            },
            Self::Circle { at, radius, fill, stroke } => html! {
                circle cx=(number(at.0)) cy=(number(at.1)) r=(number(*radius)) fill=(fill.value(id)) class=(classes(*stroke))
                    stroke-width=(number(stroke.width)) {}
            },
            Self::Text { at, size, anchor, bold, text } => html! {
                text x=(number(at.0)) y=(number(at.1)) font-size=(number(*size)) font-weight=[bold.then_some("bold")]
                    text-anchor=[match anchor { Anchor::Start => None, Anchor::Middle => Some("middle"), Anchor::End => Some("end") }] {
                    @if let Some(whole) = &text.whole { title { (whole) } }
                    (text.shown)
                }
            },
        }
    }
}

fn course(points: &[(f64, f64)], closed: bool) -> String {
    let mut path = String::new();
    for (at, (x, y)) in points.iter().enumerate() {
        // Writing to a string cannot fail.
        let _ = write!(path, "{}{} {}", if at == 0 { "M" } else { "L" }, number(*x), number(*y));
    }
    if closed {
        path.push('Z');
    }
    path
}

/// Hundredths of a millimetre are enough, and the same on every machine.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
