//! The small drawings: what lies, hangs or is pulled where, and which letter is which reading.

use crate::dom::{El, svg};

/// One stroke of a drawing: its class, and its path on a sheet of 320 by 150.
type Stroke = (&'static str, &'static str);
/// A word at a place.
type Word = (f64, f64, &'static str);

fn drawn(test: &str, strokes: &[Stroke], words: &[Word]) -> El {
    let picture = svg("svg")
        .class("sketch")
        .attr("viewBox", "0 0 320 150")
        .attr("aria-hidden", "true")
        .attr("focusable", "false")
        .attr("data-test", test);
    let strokes = strokes.iter().map(|(class, data)| svg("path").class(class).attr("d", data));
    let words = words.iter().map(|(x, y, words)| {
        svg("text").class("sketch__word").attr("x", &format!("{x}")).attr("y", &format!("{y}")).words(words)
    });
    picture.children(strokes).children(words)
}

const LINE: &str = "sketch__line";
const THING: &str = "sketch__thing";
const FINE: &str = "sketch__fine";
const INK: &str = "sketch__ink";

/// A lens on two knife-edged supports, a scale under each.
pub(super) fn two_scales() -> El {
    drawn(
        "sketch-scales",
        &[
            (THING, "M40 40h40v-8h110v-8h70v56h-70v-8h-110v-8h-40z"),
            (FINE, "M20 52h260"),
            (LINE, "M110 73l-8 22h16zM240 81l-8 14h16z"),
            (THING, "M84 95h52v16h-52zM214 95h52v16h-52z"),
            (LINE, "M10 111h300"),
            (FINE, "M40 60v84M110 112v32M240 112v14"),
            (LINE, "M40 138h70M40 122h200"),
            (INK, "M110 138l-8 -3v6zM240 122l-8 -3v6z"),
        ],
        &[
            (110.0, 107.0, "R₁"),
            (240.0, 107.0, "R₂"),
            (75.0, 135.0, "x₁"),
            (175.0, 119.0, "x₂"),
            (40.0, 20.0, "from here"),
        ],
    )
}

/// A lens over an edge, tipping either way.
pub(super) fn knife_edge() -> El {
    drawn(
        "sketch-knife",
        &[
            (THING, "M40 50h40v-8h110v-8h70v56h-70v-8h-110v-8h-40z"),
            (FINE, "M20 62h260M40 74v66M150 82v52M170 82v36"),
            (LINE, "M160 83l-12 26h24zM10 109h300"),
            (LINE, "M40 130h110M40 114h130"),
            (INK, "M150 130l-8 -3v6zM170 114l-8 -3v6z"),
            (FINE, "M270 100c10 4 12 10 12 18M48 100c-10 4 -12 10 -12 18"),
        ],
        &[(95.0, 127.0, "front goes down"), (200.0, 128.0, "tail goes down"), (40.0, 30.0, "from here")],
    )
}

/// A gauge that lifts and lets down the heavy side of an axis.
pub(super) fn gauge() -> El {
    drawn(
        "sketch-gauge",
        &[
            (THING, "M90 62h150v36h-150z"),
            (FINE, "M60 80h210M120 104v36M230 104v36"),
            (LINE, "M120 76v8M116 80h8"),
            (LINE, "M230 62v-12"),
            (THING, "M222 14h16v36h-16z"),
            (FINE, "M226 24h8M226 32h8M226 40h8"),
            (LINE, "M120 134h110"),
            (INK, "M230 134l-8 -3v6zM120 134l8 -3v6z"),
            (LINE, "M262 20v30M282 50v-30"),
            (INK, "M262 12l-4 10h8zM282 58l-4 -10h8z"),
        ],
        &[(120.0, 56.0, "axis"), (175.0, 130.0, "L"), (254.0, 66.0, "F₁"), (288.0, 74.0, "F₂")],
    )
}

/// The same at two marks of a slide.
pub(super) fn trial() -> El {
    drawn(
        "sketch-trial",
        &[
            (THING, "M70 50h150v30h-150z"),
            (FINE, "M92 50h150v30h-150z"),
            (LINE, "M30 96h250"),
            (FINE, "M50 96v8M80 96v8M110 96v8M140 96v8M170 96v8M200 96v8M230 96v8M260 96v8"),
            (INK, "M145 96l-5 -12h10z"),
            (LINE, "M167 96l-5 -12h10z"),
            (LINE, "M210 50v-10"),
            (THING, "M203 12h14v28h-14z"),
            (FINE, "M206 20h8M206 26h8M206 32h8"),
        ],
        &[(136.0, 122.0, "s₁"), (176.0, 122.0, "s₂"), (245.0, 30.0, "F₁, F₂")],
    )
}

/// A camera that swings under its axis.
pub(super) fn swing() -> El {
    drawn(
        "sketch-swing",
        &[
            (FINE, "M160 24v100"),
            (THING, "M110 42l94 -18l8 40l-94 18z"),
            (LINE, "M160 46v12M154 52h12"),
            (FINE, "M92 110c40 22 96 22 136 0"),
            (INK, "M92 110l10 1l-5 7zM228 110l-10 1l5 7z"),
            (LINE, "M160 52l14 46"),
            (INK, "M170 94a7 7 0 1 0 14 0a7 7 0 1 0 -14 0z"),
        ],
        &[(160.0, 16.0, "axis"), (206.0, 104.0, "CG"), (160.0, 142.0, "there and back is one")],
    )
}
