//! The first mode of both planes, drawn over the package at rest: from the side, and from above.

use solver::stiffness::{DrawnLine, DrawnWhat, Plane, PlaneReport, StiffnessReport, hz_words};

use crate::dom::{El, div, el, p, svg};
use crate::drawing::pen::Pen;
use crate::show::{Kind, Style};

/// Width of the sheet in its own units, and its margin.
const WIDE: f64 = 340.0;
const MARGIN: f64 = 12.0;
/// The largest shift is drawn as this share of the width: the true one cannot be seen.
const SHOWN: f64 = 0.09;
/// How many of what bends are told.
const TOLD: usize = 4;

/// How metres lie on the sheet.
struct Sheet {
    per_m: f64,
    left_m: f64,
    top_m: f64,
    high: f64,
    /// Metres drawn for a shift of one.
    shift_m: f64,
}

impl Sheet {
    fn new(lines: &[DrawnLine]) -> Self {
        let points = || lines.iter().flat_map(|line| line.rest_m.iter());
        let ends = |along: usize| {
            points().fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], point| {
                [low.min(point[along]), high.max(point[along])]
            })
        };
        let ([rear_m, front_m], [low_m, top_m]) = (ends(0), ends(1));
        let wide_m = (front_m - rear_m).max(0.05);
        let shift_m = SHOWN * wide_m;
        let per_m = (WIDE - 2.0 * MARGIN) / (wide_m + 2.0 * shift_m);
        let high = 2.0 * MARGIN + per_m * ((top_m - low_m).max(0.02) + 2.0 * shift_m);
        Self { per_m, left_m: rear_m - shift_m, top_m: top_m + shift_m, high, shift_m }
    }

    fn at(&self, [ahead_m, up_m]: [f64; 2]) -> [f64; 2] {
        [MARGIN + self.per_m * (ahead_m - self.left_m), MARGIN + self.per_m * (self.top_m - up_m)]
    }

    /// A line at rest, or as the mode moves it.
    fn path(&self, line: &DrawnLine, moved: bool) -> String {
        let shift_m = if moved { self.shift_m } else { 0.0 };
        let points: Vec<[f64; 2]> = line
            .rest_m
            .iter()
            .zip(&line.moved)
            .map(|(rest, shift)| self.at([0, 1].map(|along| rest[along] + shift_m * shift[along])))
            .collect();
        let mut pen = Pen::default();
        match line.what {
            DrawnWhat::Plate | DrawnWhat::Body | DrawnWhat::Lens | DrawnWhat::Front => pen.outline(&points),
            DrawnWhat::Rods | DrawnWhat::Support => pen.line(&points),
        };
        pen.done()
    }
}

/// Both planes, the one of the first mode first.
pub(super) fn view(style: Style, report: &StiffnessReport) -> Vec<El> {
    let mut planes: Vec<&PlaneReport> = report.planes.iter().collect();
    planes.sort_by_key(|plane| plane.plane != report.plane);
    planes.into_iter().map(|plane| one(style, plane)).collect()
}

fn one(style: Style, plane: &PlaneReport) -> El {
    let (name, from) = match plane.plane {
        Plane::Upright => ("Up and down", "From camera right: the lens looks to the right."),
        Plane::Sideways => ("Side to side", "From above: the lens looks to the right."),
    };
    let second = plane.second_hz.map(|hz| format!(", the next {}", style.fine(Kind::Frequency, hz, 0)));
    let bends = plane.bends.iter().take(TOLD).map(|share| {
        let words = style.show(Kind::Share, share.share);
        super::line(&format!("bends-{}", plane.plane.words().replace(' ', "-")), &share.name, &words)
    });
    div("fit__axis")
        .child(el("h3").words(&format!("{name}: {}{}", hz_words(plane.hz, &style), second.unwrap_or_default())))
        .child(drawing(plane, name))
        .child(p("quiet", &format!("{from} Dashed at rest, full as it swings, far larger than it is.")))
        .child(p("cost__verdict", "What bends"))
        .child(div("table").children(bends))
}

fn drawing(plane: &PlaneReport, name: &str) -> El {
    let sheet = Sheet::new(&plane.lines);
    let path =
        |class: &str, line: &DrawnLine, moved: bool| svg("path").class(class).attr("d", &sheet.path(line, moved));
    let at_rest = plane.lines.iter().map(|line| path("swing__rest", line, false));
    let swung = plane.lines.iter().map(|line| match line.what {
        DrawnWhat::Rods | DrawnWhat::Support => path("swing__line", line, true),
        DrawnWhat::Plate | DrawnWhat::Body | DrawnWhat::Lens | DrawnWhat::Front => path("swing__part", line, true),
    });
    let layers: Vec<El> = at_rest.chain(swung).collect();
    svg("svg")
        .class("swing")
        .attr("viewBox", &format!("0 0 {WIDE} {:.1}", sheet.high))
        .attr("role", "img")
        .attr("aria-label", &format!("{name}: shape of the first mode"))
        .attr("data-test", &format!("swing-{}", if plane.plane == Plane::Upright { "upright" } else { "sideways" }))
        .children(layers)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_drawn_lies_on_the_sheet() {
        let report = super::super::known(&codec::library::demo()).expect("the demo has a body");
        for plane in &report.planes {
            let sheet = Sheet::new(&plane.lines);
            for line in &plane.lines {
                for (rest, shift) in line.rest_m.iter().zip(&line.moved) {
                    let [x, y] = sheet.at([0, 1].map(|along| rest[along] + sheet.shift_m * shift[along]));
                    assert!((0.0..=WIDE).contains(&x) && (0.0..=sheet.high).contains(&y), "{:?}", line.what);
                }
            }
        }
    }
}
