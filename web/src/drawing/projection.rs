//! The three elevations, and the paper that they are drawn on: metres in the head's frame to pixels on the sheet.

/// From where the head is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum View {
    /// From camera right: forward is to the right, up is up.
    Side,
    /// From ahead of the lens: camera left is to the right, up is up.
    Front,
    /// From above: forward is to the right, camera left is up.
    Top,
}

impl View {
    /// All of them, in the order of the choice.
    pub(crate) const ALL: [Self; 3] = [Self::Side, Self::Front, Self::Top];

    /// The word of the choice.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Side => "Side",
            Self::Front => "Front",
            Self::Top => "Top",
        }
    }

    /// From where it is seen, and which way is which.
    pub(crate) fn caption(self) -> &'static str {
        match self {
            Self::Side => "From camera right: the lens looks to the right.",
            Self::Front => "From the front: camera left is on the right.",
            Self::Top => "From above: the lens looks to the right.",
        }
    }

    /// Which of x, y and z run to the right and up the sheet.
    pub(crate) fn axes(self) -> [usize; 2] {
        match self {
            Self::Side => [0, 2],
            Self::Front => [1, 2],
            Self::Top => [0, 1],
        }
    }

    /// Which of x, y and z runs through the sheet.
    pub(crate) fn through(self) -> usize {
        3 - self.axes()[0] - self.axes()[1]
    }

    /// How far a point is towards the eye, m.
    pub(crate) fn near(self, point_m: [f64; 3]) -> f64 {
        match self {
            Self::Side => -point_m[1],
            Self::Front => point_m[0],
            Self::Top => point_m[2],
        }
    }

    /// A point or direction without what runs through the sheet: right and up.
    pub(crate) fn flat(self, point_m: [f64; 3]) -> [f64; 2] {
        self.axes().map(|axis| point_m[axis])
    }
}

/// An upright rectangle: left, top, right, bottom. On the sheet y runs down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Frame {
    /// Left edge.
    pub(crate) left: f64,
    /// Upper edge.
    pub(crate) top: f64,
    /// Right edge.
    pub(crate) right: f64,
    /// Lower edge.
    pub(crate) bottom: f64,
}

impl Frame {
    /// A frame round a point.
    pub(crate) fn round(at: [f64; 2], half: [f64; 2]) -> Self {
        Self { left: at[0] - half[0], top: at[1] - half[1], right: at[0] + half[0], bottom: at[1] + half[1] }
    }

    /// The point at a share of the width from the left and of the height from the top.
    pub(crate) fn at(&self, across: f64, down: f64) -> [f64; 2] {
        [self.left + across * self.width(), self.top + down * self.height()]
    }

    /// The part of it between two shares of the width and of the height.
    pub(crate) fn part(&self, across: [f64; 2], down: [f64; 2]) -> Self {
        let ([left, top], [right, bottom]) = (self.at(across[0], down[0]), self.at(across[1], down[1]));
        Self { left, top, right, bottom }
    }

    /// Its width.
    pub(crate) fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Its height.
    pub(crate) fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// The frame moved.
    pub(crate) fn moved(&self, by: [f64; 2]) -> Self {
        Self { left: self.left + by[0], top: self.top + by[1], right: self.right + by[0], bottom: self.bottom + by[1] }
    }

    /// The frame grown by a margin on every side.
    pub(crate) fn grown(&self, margin: f64) -> Self {
        Self {
            left: self.left - margin,
            top: self.top - margin,
            right: self.right + margin,
            bottom: self.bottom + margin,
        }
    }

    /// The smallest frame round both.
    pub(crate) fn union(&self, other: &Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// Whether a point lies in it.
    pub(crate) fn holds(&self, [x, y]: [f64; 2]) -> bool {
        x > self.left && x < self.right && y > self.top && y < self.bottom
    }

    /// Whether they share any area.
    pub(crate) fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }
}

/// How metres lie on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Paper {
    /// Which elevation it is.
    pub(crate) view: View,
    /// Pixels for a metre, the same in both directions.
    pub(crate) px_per_m: f64,
    /// Where the head's origin lies, px.
    pub(crate) origin_px: [f64; 2],
}

impl Paper {
    /// A point of the head's frame (m) on the sheet.
    pub(crate) fn point(&self, point_m: [f64; 3]) -> [f64; 2] {
        let [x, y] = self.vector(point_m);
        [self.origin_px[0] + x, self.origin_px[1] + y]
    }

    /// A displacement in the head's frame (m) on the sheet.
    pub(crate) fn vector(&self, by_m: [f64; 3]) -> [f64; 2] {
        let [right, up] = self.view.flat(by_m);
        [right * self.px_per_m, -up * self.px_per_m]
    }

    /// A displacement on the sheet in the head's frame, m; nothing through the sheet.
    pub(crate) fn metres(&self, by_px: [f64; 2]) -> [f64; 3] {
        let [right, up] = self.view.axes();
        let mut by_m = [0.0; 3];
        by_m[right] = by_px[0] / self.px_per_m;
        by_m[up] = -by_px[1] / self.px_per_m;
        by_m
    }

    /// A length, px.
    pub(crate) fn length(&self, length_m: f64) -> f64 {
        length_m * self.px_per_m
    }

    /// The outline of a box by its centre and its length, width and height, m.
    pub(crate) fn outline(&self, centre_m: [f64; 3], size_m: [f64; 3]) -> Frame {
        let half = self.view.flat(size_m).map(|side| 0.5 * self.length(side));
        Frame::round(self.point(centre_m), half)
    }
}

/// Adds two points.
pub(crate) fn plus<const N: usize>(a: [f64; N], b: [f64; N]) -> [f64; N] {
    core::array::from_fn(|index| a[index] + b[index])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_goes_to_the_sheet_and_back() {
        for view in View::ALL {
            let paper = Paper { view, px_per_m: 400.0, origin_px: [31.0, 17.0] };
            let by_m = [0.25, -0.125, 0.5];
            let back = paper.metres(paper.vector(by_m));
            for axis in view.axes() {
                assert!((back[axis] - by_m[axis]).abs() < 1e-12);
            }
            assert_eq!(back[view.through()], 0.0);
        }
    }

    #[test]
    fn forward_is_right_from_the_side_and_from_above_and_left_is_right_from_the_front() {
        let right = |view: View, by_m| Paper { view, px_per_m: 1.0, origin_px: [0.0; 2] }.vector(by_m)[0];
        assert_eq!(right(View::Side, [1.0, 0.0, 0.0]), 1.0);
        assert_eq!(right(View::Top, [1.0, 0.0, 0.0]), 1.0);
        assert_eq!(right(View::Front, [0.0, 1.0, 0.0]), 1.0);
    }

    #[test]
    fn every_view_is_seen_from_the_eye_and_not_from_behind() {
        // Right × up points at the eye in a right-handed frame; else the picture would be mirrored.
        let unit = |axis: usize| core::array::from_fn::<f64, 3, _>(|index| f64::from(u8::from(index == axis)));
        for view in View::ALL {
            let [a, b] = view.axes().map(unit);
            let cross = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
            assert_eq!(view.near(cross), 1.0);
        }
    }

    #[test]
    fn frames_that_only_touch_do_not_overlap() {
        let frame = Frame { left: 0.0, top: 0.0, right: 10.0, bottom: 10.0 };
        assert!(!frame.overlaps(&frame.moved([10.0, 0.0])));
        assert!(frame.overlaps(&frame.moved([9.9, 9.9])));
    }
}
