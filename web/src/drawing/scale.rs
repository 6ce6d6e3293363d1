//! The drawn rule of a slide: to the scale of the drawing, fixed to what carries the slide, its pointer on what moves.

use super::pen::Pen;

/// Ticks that stay apart and numbers that stay legible, px.
const TICK_APART: f64 = 3.2;
const NUMBER_APART: f64 = 25.0;

/// A slide in one elevation.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Scale {
    /// Which slide of the chain, platform first.
    pub(crate) slide: usize,
    /// Its id.
    pub(crate) id: String,
    /// Its name.
    pub(crate) name: String,
    /// Whether the rule lies level on the sheet, or stands upright.
    pub(crate) level: bool,
    /// Where the mark of zero displacement lies along the rule, px.
    pub(crate) zero_px: f64,
    /// Pixels along the sheet for a metre of mark; negative when larger marks lie to the left or higher up.
    pub(crate) px_per_m: f64,
    /// Mark of zero displacement, m.
    pub(crate) zero_m: f64,
    /// Lowest and highest mark, m.
    pub(crate) range_m: [f64; 2],
    /// Distance between holes, m.
    pub(crate) hole_spacing_m: Option<f64>,
    /// Across the rule: where its edge lies, px.
    pub(crate) edge_px: f64,
    /// Where what it moves is drawn at zero displacement, px across the rule: the pointer's witness line ends there.
    pub(crate) moved_px: f64,
    /// Whether it stands apart from what it moves and from what carries it, beside the drawing.
    pub(crate) apart: bool,
}

/// The printed part of a rule.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Print {
    /// Ticks and edge.
    pub(crate) ticks: String,
    /// Numbers with their places, and the decimals that they are shown to.
    pub(crate) numbers: Vec<([f64; 2], f64)>,
    /// Decimals of the numbers.
    pub(crate) decimals: usize,
}

impl Scale {
    /// Where a mark lies along the rule, px.
    pub(crate) fn along(&self, mark_m: f64) -> f64 {
        self.zero_px + self.px_per_m * (mark_m - self.zero_m)
    }

    /// The point of the rule's edge at a mark.
    pub(crate) fn at(&self, mark_m: f64) -> [f64; 2] {
        self.point(self.along(mark_m), 0.0)
    }

    /// A point so far along the sheet, and so far off the edge on the side of the numbers.
    pub(crate) fn point(&self, along: f64, off: f64) -> [f64; 2] {
        if self.level { [along, self.edge_px + off] } else { [self.edge_px + off, along] }
    }

    /// The mark after a drag of so many pixels from a mark: to the millimetre or the hole, within travel.
    pub(crate) fn dragged(&self, from_m: f64, by_px: f64) -> f64 {
        self.settle(from_m + by_px / self.px_per_m)
    }

    /// The nearest mark that the slide can take: a whole millimetre or a hole.
    pub(crate) fn settle(&self, mark_m: f64) -> f64 {
        let [low, high] = self.range_m;
        let mark_m = mark_m.clamp(low, high);
        match self.hole_spacing_m {
            Some(spacing_m) if spacing_m > 0.0 => {
                let last = ((high - low) / spacing_m + 1e-9).floor();
                low + spacing_m * ((mark_m - low) / spacing_m).round().min(last)
            }
            _ => ((mark_m * 1000.0).round() / 1000.0).clamp(low, high),
        }
    }

    /// One step of the keyboard, m.
    pub(crate) fn step_m(&self) -> f64 {
        self.hole_spacing_m.filter(|spacing_m| *spacing_m > 0.0).unwrap_or(0.001)
    }

    /// Ticks and numbers, as rules are printed.
    pub(crate) fn print(&self, imperial: bool) -> Print {
        let (unit_m, fine, numbered): (f64, &[f64], &[f64]) = if imperial {
            (0.0254, &[0.125, 0.25, 0.5, 1.0], &[0.5, 1.0, 2.0, 4.0, 8.0])
        } else {
            (0.001, &[1.0, 5.0, 10.0, 20.0], &[10.0, 50.0, 100.0, 200.0])
        };
        let unit_px = (self.px_per_m * unit_m).abs();
        let apart = |steps: &[f64], least: f64| {
            steps.iter().copied().find(|step| step * unit_px >= least).unwrap_or(steps[steps.len() - 1])
        };
        let (fine, numbered) = (apart(fine, TICK_APART), apart(numbered, NUMBER_APART));
        let half = 0.5 * numbered;
        let [low, high] = self.range_m.map(|mark_m| mark_m / unit_m);
        let mut pen = Pen::default();
        pen.line(&[self.at(self.range_m[0]), self.at(self.range_m[1])]);
        let mut numbers = Vec::new();
        let on = |value: f64, step: f64| (value / step - (value / step).round()).abs() < 1e-6;
        // Plus nought: a rule begins at 0, not at −0.
        let mut index = (low / fine - 1e-9).ceil() + 0.0;
        while index * fine <= high + 1e-6 {
            let value = index * fine;
            let along = self.along(value * unit_m);
            let length = if on(value, numbered) {
                11.0
            } else if on(value, half) {
                8.0
            } else {
                4.5
            };
            pen.line(&[self.point(along, 0.0), self.point(along, length)]);
            if on(value, numbered) {
                let at = if self.level { [along, self.edge_px + 22.0] } else { [self.edge_px + 14.0, along + 4.0] };
                numbers.push((at, value));
            }
            index += 1.0;
        }
        Print { ticks: pen.done(), numbers, decimals: usize::from(numbered < 1.0) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plate() -> Scale {
        Scale {
            slide: 0,
            id: "plate".into(),
            name: "Plate".into(),
            level: true,
            zero_px: 150.0,
            px_per_m: 400.0,
            zero_m: 0.11,
            range_m: [0.0, 0.22],
            hole_spacing_m: None,
            edge_px: 300.0,
            moved_px: 200.0,
            apart: false,
        }
    }

    #[test]
    fn the_pointer_stays_under_the_finger() {
        let plate = plate();
        let mark_m = plate.dragged(0.05, plate.along(0.142) - plate.along(0.05));
        assert!((mark_m - 0.142).abs() < 1e-12);
    }

    #[test]
    fn a_drag_stops_at_the_end_of_travel_and_at_whole_millimetres() {
        let plate = plate();
        assert_eq!(plate.dragged(0.2, 900.0), 0.22);
        assert_eq!(plate.dragged(0.2, -900.0), 0.0);
        assert_eq!(plate.dragged(0.1, 0.9), 0.102);
    }

    #[test]
    fn holes_are_counted_from_the_lowest_mark_and_none_lies_beyond_travel() {
        let plate = Scale { hole_spacing_m: Some(0.025), range_m: [0.01, 0.1], ..plate() };
        assert!((plate.settle(0.046) - 0.035).abs() < 1e-12);
        assert!((plate.settle(0.1) - 0.085).abs() < 1e-12);
    }

    #[test]
    fn ticks_and_numbers_thin_out_as_the_drawing_gets_smaller() {
        let print = |px_per_m: f64| Scale { px_per_m, ..plate() }.print(false);
        let texts = |print: &Print| print.numbers.iter().map(|(_, value)| format!("{value:.0}")).collect::<Vec<_>>();
        let small = print(350.0);
        assert_eq!(texts(&small), ["0", "100", "200"]);
        assert_eq!(small.ticks.matches('M').count(), 1 + 23);
        let large = print(800.0);
        assert_eq!(texts(&large), ["0", "50", "100", "150", "200"]);
        assert_eq!(large.ticks.matches('M').count(), 1 + 45);
        assert_eq!(texts(&plate().print(true)), ["0", "4", "8"]);
    }
}
