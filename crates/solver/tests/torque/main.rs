//! The torque report against slower, plainer ways to the same numbers.

mod brute_force;
mod builds;
mod on_the_road;
mod reach;
mod shaking;
mod worst_pose;
