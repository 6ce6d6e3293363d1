//! Laws that hold for every package.

mod day;
mod faults;
mod finite;
mod motion;
mod random;
mod same_answer;

use proptest::test_runner::Config;

/// How many packages each law is tried on. Failing seeds are not kept: the shrunken package is in the message.
fn many(cases: u32) -> Config {
    Config { cases, failure_persistence: None, ..Config::default() }
}
