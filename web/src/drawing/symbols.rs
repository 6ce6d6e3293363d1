//! The signs of general drafting that stand on the elevations: quartered disc, dimension, open arrow, pointers.

use super::pen::Pen;
use super::projection::Frame;

/// Radius of the quartered disc, px.
pub(crate) const DISC: f64 = 9.0;

/// The quartered disc at the origin: its ring, and the two quarters that are filled.
pub(crate) fn quartered_disc() -> [String; 2] {
    let mut ring = Pen::default();
    ring.circle([0.0, 0.0], DISC).line(&[[-DISC - 4.0, 0.0], [DISC + 4.0, 0.0]]);
    ring.line(&[[0.0, -DISC - 4.0], [0.0, DISC + 4.0]]);
    let quarters = format!("M0 0V-{DISC}A{DISC} {DISC} 0 0 1 {DISC} 0ZM0 0V{DISC}A{DISC} {DISC} 0 0 1 -{DISC} 0Z");
    [ring.done(), quarters]
}

/// A level dimension between two uprights: extension lines, the line itself, arrows, and where its figure stands.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Dimension {
    /// Fine lines.
    pub(crate) lines: String,
    /// Arrow heads, filled.
    pub(crate) arrows: String,
    /// Where the figure begins.
    pub(crate) figure_at: [f64; 2],
}

/// Draws a dimension at height `y` from one point to another, both above it.
pub(crate) fn dimension(from: [f64; 2], to: [f64; 2], y: f64) -> Dimension {
    let (left, right) = (from[0].min(to[0]), from[0].max(to[0]));
    let mut lines = Pen::default();
    for [x, from_y] in [from, to] {
        lines.line(&[[x, from_y + DISC + 6.0], [x, y + 4.0]]);
    }
    let mut arrows = Pen::default();
    let mut arrow = |tip: f64, towards: f64| {
        let tail = tip - 8.0 * towards;
        arrows.outline(&[[tip, y], [tail, y - 2.4], [tail, y + 2.4]]);
    };
    // Arrows turn outside where there is no room between the lines.
    if right - left >= 24.0 {
        lines.line(&[[left, y], [right, y]]);
        arrow(left, -1.0);
        arrow(right, 1.0);
    } else {
        lines.line(&[[left - 16.0, y], [right + 16.0, y]]);
        arrow(left, 1.0);
        arrow(right, -1.0);
    }
    let past = if right - left >= 24.0 { 6.0 } else { 20.0 };
    Dimension { lines: lines.done(), arrows: arrows.done(), figure_at: [right + past, y + 4.0] }
}

/// The wind: an open arrow that blows to the left, in a frame.
pub(crate) fn open_arrow(frame: &Frame) -> String {
    let mut pen = Pen::default();
    pen.outline(&[
        frame.at(0.0, 0.5),
        frame.at(0.42, 0.0),
        frame.at(0.42, 0.26),
        frame.at(1.0, 0.26),
        frame.at(1.0, 0.74),
        frame.at(0.42, 0.74),
        frame.at(0.42, 1.0),
    ]);
    pen.done()
}

/// A bar of so many pixels with ends and a middle, as on a map.
pub(crate) fn scale_bar(left: f64, y: f64, length: f64) -> [String; 2] {
    let mut lines = Pen::default();
    lines.rectangle(&Frame { left, top: y, right: left + length, bottom: y + 4.0 });
    let mut filled = Pen::default();
    filled.rectangle(&Frame { left, top: y, right: left + 0.5 * length, bottom: y + 4.0 });
    [lines.done(), filled.done()]
}

/// The pointer of a rule with its tip at the origin: upright on level rules, lying on upright ones.
pub(crate) fn pointer(level: bool, length: f64, half: f64) -> String {
    let mut pen = Pen::default();
    let tail = |side: f64| if level { [side, -length] } else { [-length, side] };
    pen.outline(&[[0.0, 0.0], tail(-half), tail(half)]);
    pen.done()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arrows_of_a_dimension_turn_outside_when_it_is_short() {
        let long = dimension([100.0, 50.0], [160.0, 60.0], 200.0);
        assert!(long.arrows.starts_with("M100.0 200.0L108.0"));
        let short = dimension([100.0, 50.0], [110.0, 60.0], 200.0);
        assert!(short.arrows.starts_with("M100.0 200.0L92.0"));
        assert!(short.figure_at[0] > long.figure_at[0] - 60.0 && short.figure_at[0] >= 130.0);
    }

    #[test]
    fn extension_lines_start_clear_of_the_disc() {
        let drawn = dimension([100.0, 50.0], [160.0, 60.0], 200.0);
        assert!(drawn.lines.starts_with("M100.0 65.0L100.0 204.0"));
    }
}
