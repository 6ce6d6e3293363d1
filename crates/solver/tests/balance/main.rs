//! Balance: remedies, and simulated rigs with a hidden truth.

mod advice;
mod at_once;
mod ends;
mod entering;
mod fit;
mod grip;
mod held_at_an_end;
#[path = "../../examples/balance_sims/learning.rs"]
mod learning;
mod lessons;
mod procedure;
#[path = "../../examples/balance_sims/random.rs"]
mod random;
mod redundant;
mod remedies;
#[path = "../../examples/balance_sims/rigs.rs"]
mod rigs;
#[path = "../../examples/balance_sims/settings.rs"]
mod settings;
mod simulations;
mod snapshot;
mod staying;
