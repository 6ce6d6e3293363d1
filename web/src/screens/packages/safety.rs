//! How safe it all is: where it is kept, when a file of everything was last taken, what the browser has promised.

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::app::App;
use crate::browser::{clears_after_seven_days, day_and_time, now_ms};
use crate::dom::{El, div, p};
use crate::screens::shared::{button, download, section};
use crate::storage::file as package_file;
use crate::storage::keeper::Kept;
use crate::storage::persist::{self, Promised};
use crate::words::last_backup;

/// The state of what is kept, and what can be done for it.
pub(super) fn view(app: App) -> El {
    let promised = RwSignal::new(Promised::Unknown);
    persist::look(promised);
    let nothing_kept = move || app.keeper.cards.with(Vec::is_empty);
    section("packages-safety", "How safe it is")
        .test("safety")
        .child(p("", "").test("safety-state").live_words(move || state(app)))
        .child(p("quiet", "").test("safety-promise").live_words(move || promise_words(promised.get()).to_owned()))
        .child(
            div("buttons")
                .child(button("backup", "Save everything as one file", move || spawn_local(back_up(app))))
                .child(
                    button("persist", "Ask the browser to keep it", move || persist::ask(promised))
                        .hidden(move || matches!(promised.get(), Promised::Yes | Promised::Mute)),
                ),
        )
        .child(seven_days().hidden(move || nothing_kept() || !clears_after_seven_days()))
}

fn state(app: App) -> String {
    let backup = last_backup(app.prefs.with(|prefs| prefs.backup_ms));
    app.keeper.kept.with(|kept| match kept {
        Kept::Starting => "Opening what is kept on this phone.".to_owned(),
        Kept::Demo => "This is the demo. Nothing of it is kept until you change it.".to_owned(),
        Kept::Preview => "What is on the screen was opened from a link or a file, and is not kept yet.".to_owned(),
        Kept::ReadOnly => {
            "What is on the screen was written by a newer version. It can be looked at and stays as it is.".to_owned()
        }
        Kept::Saving => "Being saved on this phone.".to_owned(),
        Kept::Saved(at) => format!("Saved on this phone, {}; {backup}.", day_and_time(*at)),
        Kept::Failed(reason) => format!("Not saved on this phone: {reason}. Take a file now; {backup}."),
    })
}

fn promise_words(promised: Promised) -> &'static str {
    match promised {
        Promised::Unknown => "",
        Promised::Asked => "Asked. The browser may ask you in turn; nothing here waits for it.",
        Promised::Yes => "The browser has promised to keep it until you clear it yourself.",
        Promised::No => {
            "The browser has promised nothing: it may clear what is kept here when it needs room. A file is the backup."
        }
        Promised::Mute => "This browser cannot be asked to promise anything. A file is the backup.",
    }
}

fn seven_days() -> El {
    div("caution")
        .test("seven-days")
        .child(p("", "This browser clears what a page keeps when the page has not been opened for seven days of use. Take a file of everything before a long break, or add this page to the home screen, where the rule does not apply. The home screen starts empty: bring the file along."))
}

/// Hands out a file of everything and remembers when.
async fn back_up(app: App) {
    let (all, fault) = app.keeper.all().await;
    let day: String = js_sys::Date::new_0().to_iso_string().into();
    let name = format!("counterpoise-{}.json", day.get(..10).unwrap_or_default());
    // Whatever could be had is handed out, but it is no backup.
    let saved = package_file::write_all(&all).and_then(|text| download(&name, &text));
    match fault
        .map_or(saved, |fault| Err(format!("Not everything is in this file: what is kept cannot be read ({fault}).")))
    {
        Ok(()) => app.prefer(|prefs| prefs.backup_ms = Some(now_ms())),
        Err(fault) => app.keeper.notice.set(Some(fault)),
    }
}
