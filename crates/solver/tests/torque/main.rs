//! The torque report against slower, plainer ways to the same numbers.

mod brute_force;
mod builds;
mod certainty;
mod drives;
mod on_the_road;
mod reach;
mod said;
mod shaking;
mod tightest;
mod wind_shares;
mod worst_pose;
