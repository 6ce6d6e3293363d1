//! The first screen: what must be known, in the order in which it is needed, without a tap.

mod findings;
mod marks;
mod masses;
mod power;
mod torque;

use leptos::prelude::*;

use crate::app::App;

pub(crate) use findings::summary_line;

/// The answers.
pub(crate) fn view(app: App) -> AnyView {
    view! {
        <div class="answers">
            {findings::verdict(app)}
            {masses::view(app)}
            {marks::view(app)}
            {torque::view(app)}
            {power::view(app)}
            {findings::rest(app)}
            {findings::not_checked(app)}
        </div>
    }
    .into_any()
}
