//! What each kind of part looks like: a drawn outline with as much character as its kind has, and no make.
//!
//! Everything is drawn inside the part's own box, so it is to scale; only line weights are not.

use solver::package::{PartKind, Rings, Shape};

use super::pen::Pen;
use super::projection::{Frame, View};

/// The drawing of one part.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Figure {
    /// Outline, filled with paper and edged in ink.
    pub(crate) outline: String,
    /// Areas with a tone, edged fine.
    pub(crate) tone: String,
    /// Fine lines.
    pub(crate) fine: String,
}

/// What the drawing of a part depends on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Subject<'a> {
    /// From where it is seen.
    pub(crate) view: View,
    /// Its box on the sheet.
    pub(crate) frame: Frame,
    /// What kind of part it is.
    pub(crate) kind: PartKind,
    /// Its outline in space.
    pub(crate) shape: Shape,
    /// Length, width, height, m.
    pub(crate) size_m: [f64; 3],
    /// Pixels for a metre.
    pub(crate) px_per_m: f64,
    /// Optical axis above the underside of a body, m.
    pub(crate) axis_up_m: Option<f64>,
    /// Cells in series of a pack.
    pub(crate) cells: Option<f64>,
    /// What stands for cables and clamps: spread over the camera, so only hinted at.
    pub(crate) spread: bool,
    /// Gear rings, when it is a lens, and its length, m.
    pub(crate) lens: Option<(&'a Rings, f64)>,
}

/// A pen for each layer.
#[derive(Default)]
struct Layers {
    outline: Pen,
    tone: Pen,
    fine: Pen,
}

impl Figure {
    /// Draws a part.
    pub(crate) fn draw(subject: &Subject<'_>) -> Self {
        let mut layers = Layers::default();
        let on = &mut layers;
        match (subject.lens, subject.shape, subject.kind) {
            _ if subject.spread => {
                on.outline.rounded(&subject.frame, 6.0);
            }
            (Some((rings, length_m)), ..) => lens(on, subject, rings, length_m),
            (None, Shape::RodPair, _) => rods(on, subject),
            (None, Shape::Cylinder, _) => round(on, subject),
            (None, Shape::Box, kind) => match kind {
                PartKind::Body => body(on, subject),
                PartKind::Plate => plate(on, subject),
                PartKind::Front => front(on, subject),
                PartKind::Pack => pack(on, subject),
                PartKind::Weight => weight(on, subject),
                PartKind::Control => control(on, subject),
                PartKind::Picture => picture(on, subject),
                PartKind::Support => support(on, subject),
                PartKind::Rods | PartKind::Other => plain(on, subject),
            },
        }
        Self { outline: layers.outline.done(), tone: layers.tone.done(), fine: layers.fine.done() }
    }
}

/// A body: the mount at its front, a panel, vents, and a hint of a viewfinder.
fn body(on: &mut Layers, subject: &Subject<'_>) {
    let frame = subject.frame;
    on.outline.rounded(&frame, 3.0);
    let axis_down = subject.axis_up_m.map_or(0.5, |up_m| 1.0 - (up_m / subject.size_m[2].max(1e-3)).clamp(0.1, 0.9));
    match subject.view {
        View::Front => {
            let centre = frame.at(0.5, axis_down);
            let radius = 0.36 * frame.width().min(frame.height());
            on.tone.circle(centre, radius);
            on.fine.circle(centre, 0.78 * radius);
            on.fine.level_lines(&frame.part([0.06, 0.2], [0.12, 0.4]), 4.0);
        }
        View::Side | View::Top => {
            let across = if subject.view == View::Side { axis_down } else { 0.5 };
            let reach = 0.34;
            on.tone.rectangle(&frame.part([0.94, 1.0], [(across - reach).max(0.04), (across + reach).min(0.96)]));
            on.fine.line(&[frame.at(0.72, 0.0), frame.at(0.72, 1.0)]);
            on.fine.rounded(&frame.part([0.1, 0.5], [0.2, 0.62]), 2.0);
            on.fine.level_lines(&frame.part([0.78, 0.89], [0.16, 0.5]), 4.0);
            if subject.view == View::Side {
                on.fine.circle(frame.at(0.61, 0.32), 0.045 * frame.width());
                on.fine.circle(frame.at(0.61, 0.6), 0.03 * frame.width());
                on.fine.line(&[frame.at(0.0, 0.84), frame.at(0.72, 0.84)]);
            }
        }
    }
}

/// A lens: stepped barrels with its gear rings from the side, rings of glass from the front.
fn lens(on: &mut Layers, subject: &Subject<'_>, rings: &Rings, length_m: f64) {
    let frame = subject.frame;
    if subject.view == View::Front {
        let (centre, radius) = (frame.at(0.5, 0.5), 0.5 * frame.width());
        on.outline.circle(centre, radius);
        on.tone.circle(centre, 0.76 * radius);
        on.fine.circle(centre, 0.9 * radius).circle(centre, 0.5 * radius).circle(centre, 0.3 * radius);
        return;
    }
    // Half widths of the barrels, from the mount to the front, as shares of the half of the largest.
    let steps =
        [(0.0, 0.6), (0.1, 0.6), (0.1, 0.74), (0.42, 0.74), (0.47, 0.88), (0.84, 0.88), (0.86, 1.0), (1.0, 1.0)];
    let upper = steps.map(|(across, half)| frame.at(across, 0.5 - 0.5 * half));
    let lower = steps.map(|(across, half)| frame.at(across, 0.5 + 0.5 * half));
    let mut outline = upper.to_vec();
    outline.extend(lower.iter().rev());
    on.outline.outline(&outline);
    for edge in [2, 4, 6] {
        on.fine.line(&[upper[edge], lower[edge]]);
    }
    let half_at =
        |across: f64| steps.windows(2).find(|pair| across <= pair[1].0).map_or(1.0, |pair| pair[0].1.max(pair[1].1));
    let half_ring = (0.006 / length_m.max(0.02)).min(0.06);
    for ring_m in [rings.focus_m, rings.iris_m, rings.zoom_m].into_iter().flatten() {
        let across = (ring_m / length_m.max(0.02)).clamp(half_ring, 1.0 - half_ring);
        let half = 0.5 * (half_at(across) + 0.05).min(1.0);
        let band = frame.part([across - half_ring, across + half_ring], [0.5 - half, 0.5 + half]);
        on.tone.rectangle(&band);
        // The teeth, seen edge on: closer together towards the outline.
        for share in [0.08, 0.2, 0.36, 0.5, 0.64, 0.8, 0.92] {
            on.fine.line(&[band.at(0.0, share), band.at(1.0, share)]);
        }
    }
}

/// Two tubes, with their centre lines.
fn rods(on: &mut Layers, subject: &Subject<'_>) {
    let frame = subject.frame;
    let diameter = subject.size_m[2] * subject.px_per_m;
    match subject.view {
        View::Side => {
            on.outline.rectangle(&frame);
            on.fine.line(&[frame.at(0.0, 0.28), frame.at(1.0, 0.28)]);
        }
        View::Top => {
            for edge in [frame.top, frame.bottom - diameter] {
                let tube = Frame { top: edge, bottom: edge + diameter, ..frame };
                on.outline.rectangle(&tube);
                on.fine.line(&[tube.at(0.0, 0.28), tube.at(1.0, 0.28)]);
            }
        }
        View::Front => {
            for across in [frame.left + 0.5 * diameter, frame.right - 0.5 * diameter] {
                let centre = [across, 0.5 * (frame.top + frame.bottom)];
                on.outline.circle(centre, 0.5 * diameter);
                on.fine.circle(centre, 0.32 * diameter);
            }
        }
    }
}

/// A cylinder along the optical axis.
fn round(on: &mut Layers, subject: &Subject<'_>) {
    let frame = subject.frame;
    if subject.view == View::Front {
        on.outline.circle(frame.at(0.5, 0.5), 0.5 * frame.width());
        on.fine.circle(frame.at(0.5, 0.5), 0.42 * frame.width());
    } else {
        on.outline.rounded(&frame, 2.0);
        on.fine.line(&[frame.at(0.0, 0.12), frame.at(1.0, 0.12)]).line(&[frame.at(0.0, 0.88), frame.at(1.0, 0.88)]);
    }
}

/// A plate: its edge from the side, slots and holes from above.
fn plate(on: &mut Layers, subject: &Subject<'_>) {
    let frame = subject.frame;
    on.outline.rectangle(&frame);
    match subject.view {
        View::Top => {
            on.fine.rounded(&frame.part([0.14, 0.86], [0.44, 0.56]), 9.0);
            let radius = (0.05 * frame.height()).max(1.0);
            for [across, down] in [[0.08, 0.18], [0.92, 0.18], [0.08, 0.82], [0.92, 0.82]] {
                on.fine.circle(frame.at(across, down), radius);
            }
        }
        View::Side => {
            on.fine.line(&[frame.at(0.0, 0.35), frame.at(1.0, 0.35)]);
        }
        View::Front => {
            // A dovetail under its upper edge.
            on.fine.line(&[frame.at(0.2, 1.0), frame.at(0.28, 0.35), frame.at(0.72, 0.35), frame.at(0.8, 1.0)]);
        }
    }
}

/// A matte box flares towards the front; a filter is a pane.
fn front(on: &mut Layers, subject: &Subject<'_>) {
    let frame = subject.frame;
    if subject.view == View::Front {
        on.outline.rectangle(&frame);
        let inner = frame.part([0.12, 0.88], [0.13, 0.87]);
        on.tone.rectangle(&inner);
        for [across, down] in [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]] {
            on.fine.line(&[frame.at(across, down), inner.at(across, down)]);
        }
        return;
    }
    if subject.size_m[0] < 0.012 {
        on.outline.rectangle(&frame);
        return;
    }
    on.outline.outline(&[
        frame.at(0.0, 0.16),
        frame.at(0.38, 0.16),
        frame.at(1.0, 0.0),
        frame.at(1.0, 1.0),
        frame.at(0.38, 0.84),
        frame.at(0.0, 0.84),
    ]);
    on.tone.rectangle(&frame.part([0.12, 0.22], [0.1, 0.9]));
    on.fine.line(&[frame.at(0.38, 0.16), frame.at(0.38, 0.84)]).line(&[frame.at(0.94, 0.01), frame.at(0.94, 0.99)]);
}

/// A pack: its terminal end and the rows of cells inside.
fn pack(on: &mut Layers, subject: &Subject<'_>) {
    let frame = subject.frame;
    on.outline.rounded(&frame, 4.0);
    let inside = frame.part([0.1, 0.9], [0.18, 0.92]);
    let cells = subject.cells.unwrap_or(4.0).clamp(2.0, 12.0);
    if subject.view == View::Top {
        on.fine.level_lines(&inside, inside.height() / (0.5 * cells).max(1.5));
        on.fine.upright_lines(&inside, inside.width() / 2.5);
    } else {
        on.fine.line(&[frame.at(0.0, 0.12), frame.at(1.0, 0.12)]);
        on.fine.rectangle(&inside);
        on.fine.upright_lines(&inside, inside.width() / (0.5 * cells).max(1.5));
    }
    on.tone.rectangle(&frame.part([0.36, 0.64], [0.03, 0.1]));
}

/// Solid metal, cut through: hatched.
fn weight(on: &mut Layers, subject: &Subject<'_>) {
    on.outline.rectangle(&subject.frame);
    on.fine.oblique_lines(&subject.frame, 5.0);
}

/// A motor or a receiver: a case with a boss, and the gear where it is seen on end.
fn control(on: &mut Layers, subject: &Subject<'_>) {
    let frame = subject.frame;
    on.outline.rounded(&frame, 3.0);
    let radius = 0.3 * frame.width().min(frame.height());
    if subject.view == View::Front {
        on.tone.circle(frame.at(0.5, 0.5), radius);
        on.fine.circle(frame.at(0.5, 0.5), 0.45 * radius);
    } else {
        on.fine.line(&[frame.at(0.26, 0.0), frame.at(0.26, 1.0)]);
        on.tone.rectangle(&frame.part([0.36, 0.52], [0.2, 0.8]));
        on.fine.circle(frame.at(0.78, 0.5), 0.55 * radius);
    }
}

/// A transmitter has fins, a monitor a screen, an aerial is slim.
fn picture(on: &mut Layers, subject: &Subject<'_>) {
    let frame = subject.frame;
    if frame.height() > 3.0 * frame.width() {
        on.outline.rounded(&frame, 0.5 * frame.width());
        on.fine.line(&[frame.at(0.0, 0.86), frame.at(1.0, 0.86)]);
        return;
    }
    on.outline.rounded(&frame, 2.5);
    if subject.size_m[1] < 0.4 * subject.size_m[0] && subject.view == View::Side {
        on.tone.rectangle(&frame.part([0.08, 0.92], [0.1, 0.86]));
    } else {
        on.fine.upright_lines(&frame.part([0.14, 0.6], [0.16, 0.84]), 4.5);
        on.tone.rectangle(&frame.part([0.72, 0.88], [0.3, 0.7]));
    }
}

/// A bracket with a cradle.
fn support(on: &mut Layers, subject: &Subject<'_>) {
    let frame = subject.frame;
    on.outline.rounded(&frame, 2.0);
    if subject.view == View::Front {
        on.fine.line(&[frame.at(0.16, 0.0), frame.at(0.32, 0.5), frame.at(0.68, 0.5), frame.at(0.84, 0.0)]);
    } else {
        on.fine.line(&[frame.at(0.0, 0.5), frame.at(1.0, 0.5)]);
    }
}

fn plain(on: &mut Layers, subject: &Subject<'_>) {
    on.outline.rounded(&subject.frame, 2.0);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn subject(view: View, kind: PartKind, shape: Shape) -> Subject<'static> {
        Subject {
            view,
            frame: Frame { left: 10.0, top: 20.0, right: 110.0, bottom: 80.0 },
            kind,
            shape,
            size_m: [0.2, 0.12, 0.12],
            px_per_m: 500.0,
            axis_up_m: None,
            cells: None,
            spread: false,
            lens: None,
        }
    }

    #[test]
    fn every_kind_is_drawn_from_every_side_and_differs_from_a_plain_box() {
        use PartKind::{Body, Control, Front, Pack, Picture, Plate, Support, Weight};
        for view in View::ALL {
            let plain = Figure::draw(&subject(view, PartKind::Other, Shape::Box));
            for kind in [Body, Plate, Support, Control, Picture, Front, Pack, Weight] {
                let figure = Figure::draw(&subject(view, kind, Shape::Box));
                assert!(!figure.outline.is_empty() && figure != plain, "{view:?} {kind:?}");
            }
        }
    }

    #[test]
    fn a_lens_shows_a_band_for_each_gear_ring_it_has() {
        let bands = |rings: &Rings| {
            let mut lens = subject(View::Side, PartKind::Other, Shape::Cylinder);
            lens.lens = Some((rings, 0.2));
            Figure::draw(&lens).tone.matches('M').count()
        };
        assert_eq!(bands(&Rings::default()), 0);
        assert_eq!(bands(&Rings { focus_m: Some(0.15), iris_m: Some(0.04), zoom_m: None }), 2);
    }
}
