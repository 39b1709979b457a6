//! The plan of a lesson as a picture: a bar for each step, and below, on the same time, how warm the make is.
//!
//! Shapes in units of its own width, drawn as SVG on pages and as paths on paper. Nothing is told by colour: hands on is
//! a filled bar, hands off a hollow one, and what a step may take beyond its least a thin one. What only waits for hours
//! is drawn shorter than it is, with a mark.

use super::Cx;
use super::html::escaped;
use super::recipe_view::is_oven;
use crate::kitchen::{Bounds, Leg, Plan, Seconds, curve, hours_and_minutes};
use crate::recipe::Lesson;

/// Width of a chart on a page; a phone shows it at its own size.
pub(crate) const WIDTH: f32 = 360.0;
/// Size of its type, in the same units.
pub(crate) const TYPE: f32 = 13.0;
const ROW: f32 = 34.0;
const BAR: f32 = 9.0;
const CURVE: f32 = 96.0;
/// Width of a letter, as a share of the size of type (common practice for plain faces).
const LETTER: f32 = 0.55;
/// Room for a step's moments at the end of its row.
const MOMENTS: f32 = 96.0;
const DAY: Seconds = 24 * 3600;
/// The longest wait that is drawn in full.
const LONG: Seconds = 3600;

/// A picture of shapes.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Chart {
    pub width: f32,
    pub height: f32,
    pub shapes: Vec<Shape>,
    /// What it shows, in words.
    pub told: String,
    /// The ways it follows, where there are several.
    pub ways: Vec<String>,
}

/// One shape; `y` is that of its upper edge, of a text that of its base line.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Shape {
    Bar { x: f32, y: f32, width: f32, height: f32, filled: bool },
    Line { points: Vec<(f32, f32)>, dashed: bool },
    Text { x: f32, y: f32, text: String, at_end: bool, moment: Option<Bounds> },
}

/// The chart of a plan; none where no step says how long it takes.
pub(crate) fn chart(cx: &Cx<'_>, lesson: &Lesson, plan: &Plan, ways: &[String], width: f32) -> Option<Chart> {
    if plan.total.most == 0 || plan.slots.len() < 2 {
        return None;
    }
    let axis = Axis::new(plan, width);
    let mut shapes = Vec::new();
    for (row, slot) in plan.slots.iter().enumerate() {
        let step = &lesson.steps[slot.step];
        let top = row as f32 * ROW;
        let text = format!("{}  {}", slot.step + 1, shortened(&step.title, width));
        shapes.push(Shape::Text { x: 0.0, y: top + TYPE, text, at_end: false, moment: None });
        let moment = (slot.begins.most < DAY).then_some(slot.begins);
        shapes.push(Shape::Text { x: width, y: top + TYPE, text: clock(slot.begins), at_end: true, moment });
        let y = top + TYPE + 5.0;
        let (from, least, most) =
            (axis.x(slot.begins.most), axis.x(slot.begins.most + slot.lasts.least), axis.x(slot.ends().most));
        let filled = step.hands_on != Some(false);
        if least > from {
            shapes.push(Shape::Bar { x: from, y, width: (least - from).max(1.5), height: BAR, filled });
        }
        if most > least {
            let (y, height) = (y + BAR / 3.0, BAR / 3.0);
            shapes.push(Shape::Bar { x: least, y, width: most - least, height, filled: false });
        }
        for gap in axis.gaps.iter().filter(|gap| slot.begins.most <= gap.0 && gap.1 <= slot.ends().most) {
            let middle = (axis.x(gap.0) + axis.x(gap.1)) / 2.0;
            for x in [middle - 2.0, middle + 2.0] {
                let points = vec![(x - 3.0, y + BAR + 3.0), (x + 3.0, y - 3.0)];
                shapes.push(Shape::Line { points, dashed: false });
            }
        }
    }
    let bars = plan.slots.len() as f32 * ROW;
    let legs = curve(cx.course, cx.reference, lesson, plan, |id| is_oven(cx, id));
    // One reading is no curve, however often it is said.
    let flat = legs.iter().all(|leg| leg.to.celsius == legs[0].to.celsius);
    let curve = if flat { 0.0 } else { draw_curve(cx, &legs, &axis, bars, &mut shapes) };
    let mut height = bars + curve;
    for text in legend(width) {
        height += 1.3 * TYPE;
        shapes.push(Shape::Text { x: 0.0, y: height - 3.0, text, at_end: false, moment: None });
    }
    Some(Chart { width, height, shapes, told: told(plan), ways: ways.to_vec() })
}

/// What the bars mean, in lines no longer than the chart is wide.
fn legend(width: f32) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for part in ["filled: hands on", "hollow: hands off", "thin: may take longer"] {
        match lines.last_mut() {
            Some(line) if (line.len() + part.len()) as f32 * LETTER * TYPE < width => {
                line.push_str(&format!("; {part}"));
            }
            _ => lines.push(part.to_owned()),
        }
    }
    lines
}

/// A title that leaves room for the moments.
fn shortened(title: &str, width: f32) -> String {
    // Some faces are wide, and a title may have wide letters.
    let letters = ((width - MOMENTS) / (1.15 * LETTER * TYPE)) as usize;
    if title.chars().count() <= letters {
        return title.to_owned();
    }
    let cut: String = title.chars().take(letters - 1).collect();
    format!("{}…", cut.trim_end())
}

/// `0:25`, `0:20–0:25`: hours and minutes from the start. After a day the day: `day 2`, `day 22–29`.
fn clock(moment: Bounds) -> String {
    if moment.most >= DAY {
        let (first, last) = (moment.least / DAY + 1, moment.most / DAY + 1);
        return if first == last { format!("day {last}") } else { format!("day {first}–{last}") };
    }
    let one = |seconds: Seconds| {
        let minutes = (seconds + 30) / 60;
        format!("{}:{:02}", minutes / 60, minutes % 60)
    };
    let (least, most) = (one(moment.least), one(moment.most));
    if least == most { most } else { format!("{least}–{most}") }
}

fn told(plan: &Plan) -> String {
    let range = |bounds: Bounds| {
        let (least, most) = (hours_and_minutes(bounds.least), hours_and_minutes(bounds.most));
        if least == most { most } else { format!("{least} to {most}") }
    };
    let busy = if plan.hands_on.most > 0 { format!(", hands on {}", range(plan.hands_on)) } else { String::new() };
    format!("{} in all{busy}", range(plan.total))
}

/// Where moments stand. Between two moments at which nothing changes, more than an hour is drawn as an hour.
struct Axis {
    /// Moments and where they are drawn, in drawn seconds.
    marks: Vec<(Seconds, Seconds)>,
    gaps: Vec<(Seconds, Seconds)>,
    width: f32,
}

impl Axis {
    fn new(plan: &Plan, width: f32) -> Axis {
        let mut moments: Vec<Seconds> = plan
            .slots
            .iter()
            .flat_map(|slot| [slot.begins.most, slot.begins.most + slot.lasts.least, slot.ends().most])
            .collect();
        moments.sort_unstable();
        moments.dedup();
        let (mut marks, mut gaps, mut drawn) = (vec![(0, 0)], Vec::new(), 0);
        for pair in moments.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            if to - from > LONG {
                gaps.push((from, to));
            }
            drawn += (to - from).min(LONG);
            marks.push((to, drawn));
        }
        Axis { marks, gaps, width }
    }

    fn x(&self, moment: Seconds) -> f32 {
        let all = self.marks.last().map_or(1, |(_, drawn)| *drawn).max(1) as f32;
        let after = self.marks.iter().position(|(at, _)| *at >= moment).unwrap_or(self.marks.len() - 1);
        let (to, drawn_to) = self.marks[after];
        let (from, drawn_from) = self.marks[after.saturating_sub(1)];
        let share = if to > from { (moment - from) as f32 / (to - from) as f32 } else { 1.0 };
        (drawn_from as f32 + share * (drawn_to - drawn_from) as f32) / all * self.width
    }
}

/// Draws the curve below the bars; how much room it takes.
fn draw_curve(cx: &Cx<'_>, legs: &[Leg], axis: &Axis, top: f32, shapes: &mut Vec<Shape>) -> f32 {
    let all = || legs.iter().flat_map(|leg| [leg.from.celsius, leg.to.celsius]);
    let (low, high) = (all().fold(f64::MAX, f64::min), all().fold(f64::MIN, f64::max));
    let head = top + 2.0 * TYPE + 6.0;
    let place = |at: Seconds, celsius: f64| {
        let share = ((high - celsius) / (high - low).max(1.0)) as f32;
        (axis.x(at), head + share * CURVE)
    };
    shapes.push(Shape::Text { x: 0.0, y: top + TYPE, text: "How warm".to_owned(), at_end: false, moment: None });
    for leg in legs {
        let points = vec![place(leg.from.at, leg.from.celsius), place(leg.to.at, leg.to.celsius)];
        shapes.push(Shape::Line { points, dashed: !leg.said });
    }
    // Each reading once, where it is reached, unless it would stand upon another.
    let mut taken: Vec<(f32, f32, f32)> = Vec::new();
    let mut last = String::new();
    for (at, leg) in legs.iter().enumerate() {
        let again = legs[..at].iter().any(|before| before.measure == leg.measure);
        if again {
            continue;
        }
        let amount = cx.course.measure(leg.measure).amount;
        let printed = cx.printer.measure(&amount, cx.mentions.stated(leg.measure), super::amounts::Thing::default());
        let text = match printed.other {
            Some(other) => format!("{} / {}", printed.text, other.text),
            None => printed.text,
        };
        if text == last {
            continue;
        }
        let wide = text.chars().count() as f32 * TYPE * LETTER;
        let (x, y) = place(leg.to.at, leg.to.celsius);
        let (x, y) = ((x + 4.0).min(axis.width - wide), y - 4.0);
        let free = |(left, right, base): &(f32, f32, f32)| x > *right || x + wide < *left || (y - base).abs() > TYPE;
        if taken.iter().all(free) {
            taken.push((x, x + wide, y));
            last.clone_from(&text);
            shapes.push(Shape::Text { x, y, text, at_end: false, moment: None });
        }
    }
    2.0 * TYPE + 6.0 + CURVE + 6.0
}

impl Chart {
    /// As SVG that stands in a page and takes its colours from there. Moments carry their seconds in `data-at`.
    pub(crate) fn to_svg(&self) -> String {
        let mut out = format!(
            "<svg viewBox=\"0 0 {} {}\" width=\"{}\" height=\"{}\">",
            num(self.width),
            num(self.height),
            num(self.width),
            num(self.height)
        );
        for shape in &self.shapes {
            match shape {
                Shape::Bar { x, y, width, height, filled } => {
                    let class = if *filled { "" } else { " class=\"off\"" };
                    let [x, y, width, height] = [x, y, width, height].map(|value| num(*value));
                    out.push_str(&format!("<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"{class}/>"));
                }
                Shape::Line { points, dashed } => {
                    let path: Vec<String> = points.iter().map(|(x, y)| format!("{} {}", num(*x), num(*y))).collect();
                    let dash = if *dashed { " stroke-dasharray=\"3 3\"" } else { "" };
                    out.push_str(&format!("<path d=\"M{}\"{dash}/>", path.join("L")));
                }
                Shape::Text { x, y, text, at_end, moment } => {
                    let end = if *at_end { " text-anchor=\"end\"" } else { "" };
                    let moment = moment.map_or(String::new(), |moment| format!(" data-at=\"{}\"", seconds(moment)));
                    let (x, y, text) = (num(*x), num(*y), escaped(text));
                    out.push_str(&format!("<text x=\"{x}\" y=\"{y}\"{end}{moment}>{text}</text>"));
                }
            }
        }
        out + "</svg>"
    }
}

/// The seconds of a moment, for the script: one number, or two.
fn seconds(moment: Bounds) -> String {
    if moment.least == moment.most { moment.most.to_string() } else { format!("{} {}", moment.least, moment.most) }
}

/// A length to a tenth.
fn num(value: f32) -> String {
    let tenths = (value * 10.0).round() as i64;
    if tenths % 10 == 0 { (tenths / 10).to_string() } else { format!("{}.{}", tenths / 10, (tenths % 10).abs()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_are_hours_and_minutes_and_after_a_day_the_day() {
        let clock = |least, most| clock(Bounds { least, most });
        assert_eq!(clock(0, 0), "0:00");
        assert_eq!(clock(1200, 1500), "0:20–0:25");
        assert_eq!(clock(3570, 3600), "1:00");
        assert_eq!(clock(39_600, 86_399), "11:00–24:00");
        assert_eq!(clock(82_800, 90_000), "day 1–2");
        assert_eq!(clock(1_900_000, 1_900_000), "day 22");
    }
}
