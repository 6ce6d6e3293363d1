//! One module for each screen. All but the first stand in the module that loads later; [`view`] is the way in.

pub(crate) mod add_lens;
pub(crate) mod add_part;
pub(crate) mod answers;
pub(crate) mod balance;
pub(crate) mod fit;
pub(crate) mod grip;
pub(crate) mod guide;
pub(crate) mod head;
mod how_far;
pub(crate) mod inside;
mod kit;
pub(crate) mod lens;
pub(crate) mod lens_set;
pub(crate) mod lenses;
pub(crate) mod measure;
pub(crate) mod move_;
pub(crate) mod moves;
pub(crate) mod own_head;
pub(crate) mod packages;
pub(crate) mod part;
pub(crate) mod parts;
mod picture;
pub(crate) mod power;
mod reading;
pub(crate) mod reasons;
pub(crate) mod remedies;
pub(crate) mod settings;
pub(crate) mod share;
mod shared;
pub(crate) mod sheet;
pub(crate) mod stiffness;
pub(crate) mod weigh_in;
mod wind;

use crate::app::App;
use crate::dom::El;
use crate::route::Screen;

pub(crate) use answers::{Fits, Inside, Stiff};

/// A screen behind the first. Ask [`crate::later`] before.
#[inline(never)]
pub(crate) fn view(app: App, screen: Screen) -> El {
    match screen {
        Screen::Parts => parts::view(app),
        Screen::AddPart => add_part::view(app),
        Screen::WeighIn => weigh_in::view(app),
        Screen::Part(id) => part::view(app, id),
        Screen::Lenses => lenses::view(app),
        Screen::AddLens => add_lens::view(app),
        Screen::Lens(id) => lens::view(app, id),
        Screen::LensChanges => lens_set::changes::view(app),
        Screen::CommonMarks => lens_set::common::view(app),
        Screen::LensPreview(id) => lens_set::preview::view(app, id),
        Screen::Moves => moves::view(app),
        Screen::Move(id) => move_::view(app, id),
        Screen::Head => head::view(app),
        Screen::Balance => balance::view(app),
        Screen::Logs => balance::logs::view(app),
        Screen::Sureness => balance::sure::view(app),
        Screen::Remedies => remedies::view(app),
        Screen::Grip => grip::view(app),
        Screen::Measure => measure::view(app),
        Screen::Fit => fit::view(app),
        Screen::Stiffness => stiffness::view(app),
        Screen::Power => power::view(app),
        Screen::OwnHead => own_head::view(app),
        Screen::Packages => packages::view(app),
        Screen::Share => share::view(app),
        Screen::Settings => settings::view(app),
        Screen::Sheet => sheet::view(app),
        Screen::Guide(step) => guide::view(app, step),
        Screen::Answers => answers::view(app),
    }
}
