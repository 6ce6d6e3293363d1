//! Balance, torque and power of a stabilised camera head: a package in, answers out.
//!
//! Pure: no clock, no random numbers, no input or output, no global state. The same package gives the same digits on
//! every machine. SI units throughout; frames are x forward, y to camera left, z up, right-handed (as ISO 8855).

pub mod air;
pub mod answer;
pub mod balance;
pub mod bounds;
mod check;
pub mod constants;
pub mod day;
pub mod dynamics;
pub mod entering;
pub mod error;
pub mod explain;
pub mod finding;
mod finding_names;
pub mod finding_words;
mod findings;
pub mod fit;
pub mod float;
pub mod grip;
pub mod ladder;
pub mod layout;
pub mod lens_set;
pub mod linkage;
pub mod mass;
pub mod measure;
pub mod numbers;
mod order;
pub mod own_head;
pub mod package;
pub mod path;
pub mod platform;
pub mod power;
pub mod remedies;
pub mod report;
pub mod stiffness;
pub mod torque;
mod validate;
pub mod wind;
pub mod wiring;

pub use check::{check, check_sound};
pub use day::day;
pub use error::{InputError, Problem};
pub use explain::explain;
pub use fit::fit;
pub use ladder::ladder;
pub use lens_set::lens_set;
pub use package::Package;
pub use path::FieldPath;
pub use remedies::remedies;
pub use report::Report;
pub use stiffness::stiffness;
pub use validate::validate;
pub use wiring::wiring;
