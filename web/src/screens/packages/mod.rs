//! The packages on this device: open, start, copy, archive; what was before; what comes in; and how safe it all is.

mod bring_in;
mod choice;
mod difference_words;
mod differences;
mod earlier;
mod list;
mod safety;

use leptos::prelude::*;
use solver::Package;
use solver::package::{Day, Mount, Reserve};

use super::shared::{button, section};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::route::Screen;
use crate::storage::keeper::Kept;
use crate::ui::text::package_name_field;

/// The packages screen.
pub(crate) fn view(app: App) -> El {
    // Whose earlier states are shown: those of the package on the screen until another is asked for.
    let earlier_of = RwSignal::new(None);
    crate::dom::effect(Box::new(move || earlier_of.set(app.keeper.on_screen.get())));
    let [this, kept, new] = [this_one(app), list::view(app, false, earlier_of), start(app)];
    // Whoever comes from the demo comes to begin.
    let demo = app.keeper.kept.with_untracked(|kept| matches!(kept, Kept::Demo));
    div("screen")
        .child(choice::view(app))
        .children(if demo { [new, this, kept] } else { [this, kept, new] })
        .child(bring_in::view(app))
        .child(safety::view(app))
        .child(earlier::view(app, earlier_of))
        .child(list::view(app, true, earlier_of))
}

fn this_one(app: App) -> El {
    let preview = move || app.keeper.kept.with(|kept| matches!(kept, Kept::Preview | Kept::ReadOnly));
    section("packages-this", "On the screen")
        .child(package_name_field(app, "Name of this package", "package-rename"))
        .child(div("").live(move || {
            app.keeper.kept.with(|_| ());
            foreign(&app.keeper.whole())
        }))
        .child(button("keep", "Keep a copy on this device", move || app.keeper.keep_this()).hidden(move || !preview()))
        .child(el("a").class("button").attr("href", &Screen::Share.hash()).test("to-share").words("Link and file"))
        .child(
            div("").live(
                move || if preview() { vec![differences::beside_kept(app, app.keeper.whole())] } else { Vec::new() },
            ),
        )
}

/// What a document carries along without this version knowing it.
fn foreign(document: &codec::Document) -> Vec<El> {
    let names: Vec<&str> = document.foreign_names().collect();
    if names.is_empty() {
        return Vec::new();
    }
    let words = format!("It also holds what this version does not know and passes on as it is: {}.", names.join(", "));
    vec![p("quiet", &words).test("foreign")]
}

fn start(app: App) -> El {
    let new = button("new-package", "A new package, empty", move || {
        app.keeper.keep_new(empty(app).into());
        Screen::Head.open();
    });
    let demo = button("show-demo", "Show the demo again", move || {
        app.keeper.show_demo(codec::library::demo());
        Screen::Answers.open();
    });
    section("packages-new", "Start").child(div("buttons").child(new).child(demo))
}

/// A package on the present head with nothing on it but what moves the head.
fn empty(app: App) -> Package {
    let head = app.document.now(|package| package.head.clone());
    Package {
        name: "New package".to_owned(),
        note: String::new(),
        demo: false,
        head,
        mount: Mount { flange_ahead_m: 0.0, flange_left_m: 0.0 },
        parts: Vec::new(),
        lenses: Vec::new(),
        active_lens: None,
        moves: Vec::new(),
        day: Day::default(),
        reserve: Reserve::default(),
        tune: None,
        arm: None,
        at_hand: None,
        logs: Vec::new(),
        balancing: None,
        structure: solver::package::Structure::default(),
        change_minutes: solver::package::ChangeMinutes::default(),
    }
}
