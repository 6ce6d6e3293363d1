//! Path data, drawn stroke by stroke, to a tenth of a pixel.

use std::fmt::Write;

use super::projection::Frame;

/// A pen that writes the path data of an SVG path.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Pen(String);

impl Pen {
    /// What has been drawn.
    pub(crate) fn done(self) -> String {
        self.0
    }

    /// A line through points.
    pub(crate) fn line(&mut self, points: &[[f64; 2]]) -> &mut Self {
        for (index, [x, y]) in points.iter().enumerate() {
            let letter = if index == 0 { 'M' } else { 'L' };
            // Writing to a string does not fail.
            let _ = write!(self.0, "{letter}{x:.1} {y:.1}");
        }
        self
    }

    /// A closed outline through points.
    pub(crate) fn outline(&mut self, points: &[[f64; 2]]) -> &mut Self {
        self.line(points);
        self.0.push('Z');
        self
    }

    /// A rectangle.
    pub(crate) fn rectangle(&mut self, frame: &Frame) -> &mut Self {
        self.outline(&[frame.at(0.0, 0.0), frame.at(1.0, 0.0), frame.at(1.0, 1.0), frame.at(0.0, 1.0)])
    }

    /// A rectangle with round corners, as far as it has room for them.
    pub(crate) fn rounded(&mut self, frame: &Frame, radius: f64) -> &mut Self {
        let radius = radius.min(0.5 * frame.width()).min(0.5 * frame.height());
        let (width, height) = (frame.width() - 2.0 * radius, frame.height() - 2.0 * radius);
        let _ = write!(
            self.0,
            "M{:.1} {:.1}h{width:.1}a{radius:.1} {radius:.1} 0 0 1 {radius:.1} {radius:.1}v{height:.1}\
             a{radius:.1} {radius:.1} 0 0 1 -{radius:.1} {radius:.1}h-{width:.1}\
             a{radius:.1} {radius:.1} 0 0 1 -{radius:.1} -{radius:.1}v-{height:.1}\
             a{radius:.1} {radius:.1} 0 0 1 {radius:.1} -{radius:.1}Z",
            frame.left + radius,
            frame.top,
        );
        self
    }

    /// An ellipse by its centre and half axes.
    pub(crate) fn ellipse(&mut self, [x, y]: [f64; 2], [across, down]: [f64; 2]) -> &mut Self {
        let twice = 2.0 * across;
        let _ = write!(
            self.0,
            "M{:.1} {y:.1}a{across:.1} {down:.1} 0 1 0 {twice:.1} 0a{across:.1} {down:.1} 0 1 0 -{twice:.1} 0Z",
            x - across
        );
        self
    }

    /// A circle.
    pub(crate) fn circle(&mut self, centre: [f64; 2], radius: f64) -> &mut Self {
        self.ellipse(centre, [radius, radius])
    }

    /// Lines across a frame at even steps, upright, not on its edges.
    pub(crate) fn upright_lines(&mut self, frame: &Frame, step: f64) -> &mut Self {
        let count = whole(frame.width() / step, 200);
        for index in 1..=count {
            let across = f64::from(index) / f64::from(count + 1);
            self.line(&[frame.at(across, 0.0), frame.at(across, 1.0)]);
        }
        self
    }

    /// Lines across a frame at even steps, level, not on its edges.
    pub(crate) fn level_lines(&mut self, frame: &Frame, step: f64) -> &mut Self {
        let count = whole(frame.height() / step, 200);
        for index in 1..=count {
            let down = f64::from(index) / f64::from(count + 1);
            self.line(&[frame.at(0.0, down), frame.at(1.0, down)]);
        }
        self
    }

    /// Oblique lines at 45°, cut off at the edges of a frame, so many pixels apart along its edge.
    pub(crate) fn oblique_lines(&mut self, frame: &Frame, step: f64) -> &mut Self {
        let (width, height) = (frame.width(), frame.height());
        let count = whole((width + height) / step, 300);
        for index in 1..=count {
            // From the left or lower edge up to the upper or right one.
            let along = f64::from(index) * (width + height) / f64::from(count + 1);
            let from = if along <= height {
                [frame.left, frame.top + along]
            } else {
                [frame.left + along - height, frame.bottom]
            };
            let to =
                if along <= width { [frame.left + along, frame.top] } else { [frame.right, frame.top + along - width] };
            self.line(&[from, to]);
        }
        self
    }
}

/// How many whole steps there are: one at least, and no more than can be told apart.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "kept between 1 and `most`")]
fn whole(steps: f64, most: u32) -> u32 {
    steps.clamp(1.0, f64::from(most)) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_are_written_to_a_tenth() {
        let mut pen = Pen::default();
        pen.outline(&[[0.0, 1.25], [10.04, -3.0]]);
        assert_eq!(pen.done(), "M0.0 1.2L10.0 -3.0Z");
    }

    #[test]
    fn oblique_lines_stay_inside_their_frame() {
        let frame = Frame { left: 5.0, top: 5.0, right: 45.0, bottom: 17.0 };
        let mut pen = Pen::default();
        pen.oblique_lines(&frame, 4.0);
        let data = pen.done();
        let numbers: Vec<f64> =
            data.split(['M', 'L', ' ']).filter(|text| !text.is_empty()).map(|text| text.parse().unwrap()).collect();
        assert!(numbers.len() > 20);
        for point in numbers.chunks(2) {
            assert!((5.0..=45.0).contains(&point[0]) && (5.0..=17.0).contains(&point[1]), "{point:?}");
        }
    }

    #[test]
    fn round_corners_shrink_to_the_frame() {
        let mut pen = Pen::default();
        pen.rounded(&Frame { left: 0.0, top: 0.0, right: 4.0, bottom: 2.0 }, 9.0);
        assert!(pen.done().contains("a1.0 1.0"));
    }
}
