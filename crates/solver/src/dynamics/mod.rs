//! Rigid-body dynamics of the chain.

mod door;
mod matrices;
mod mechanism;
mod pose;
mod rnea;

pub use door::{BaseState, LinkBody, State, StateError, link_bodies, torques_nm};
pub use mechanism::Mechanism;
pub use pose::Pose;
pub use rnea::BaseMotion;

/// Most joints that the dynamics takes in one chain.
pub const MAX_JOINTS: usize = crate::bounds::MAX_JOINTS;
