//! The package composited: one rigid link per joint, at given marks, ready for statics and dynamics.

use nalgebra::Vector3;

use crate::layout::Layout;
use crate::mass::MassProperties;

/// The chain at given marks as rigid links. Every link's frame has its origin on its own joint axis and is parallel
/// to the frame outside it when the joint stands at 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Linkage {
    /// What does not turn with any joint, about the base origin.
    pub base: MassProperties,
    /// One link per joint, platform first.
    pub links: Vec<Link>,
}

/// What one joint turns directly, without the links further in.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// Unit axis of its joint in the frame outside.
    pub axis: Vector3<f64>,
    /// Origin of its joint in the frame of the link outside, m.
    pub origin_m: Vector3<f64>,
    /// Mass properties about its own origin, in its own frame.
    pub body: MassProperties,
}

impl Linkage {
    /// Composites a layout at the given marks (m, platform first).
    pub fn new(layout: &Layout, marks_m: &[f64]) -> Self {
        let mut base = MassProperties::zero();
        let mut links: Vec<Link> = layout
            .joints
            .iter()
            .enumerate()
            .map(|(outer_link, joint)| Link {
                axis: joint.axis,
                origin_m: joint.origin_m + layout.displacement_m(outer_link, joint.slides, marks_m),
                body: MassProperties::zero(),
            })
            .collect();
        for body in &layout.bodies {
            let displacement_m = layout.displacement_m(body.link, body.slides, marks_m);
            let properties = body.properties(&displacement_m);
            match body.link.checked_sub(1) {
                None => base += properties,
                Some(link) => links[link].body += properties,
            }
        }
        Self { base, links }
    }

    /// Everything inboard of each joint at the reference pose, about that joint's origin, platform first.
    pub fn inboard(&self) -> Vec<MassProperties> {
        let mut inboard: Vec<MassProperties> = Vec::with_capacity(self.links.len());
        let mut outer: Option<(MassProperties, Vector3<f64>)> = None;
        for link in self.links.iter().rev() {
            let mut sum = link.body;
            if let Some((inner, origin_m)) = outer {
                sum += inner.shifted(&origin_m);
            }
            outer = Some((sum, link.origin_m));
            inboard.push(sum);
        }
        inboard.reverse();
        inboard
    }
}
