//! The package as a link and as a file.

use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;

use super::shared::{download, file_name, section};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::route::Screen;
use crate::storage::file as package_file;
use crate::ui::text::package_name_field;

/// Share: link and file out, and the way to what comes in.
pub(crate) fn view(app: App) -> El {
    div("screen").child(link(app)).child(file(app)).child(bring_in())
}

/// The address of this page with the package after the `#`.
pub(super) fn address(app: App) -> Result<String, String> {
    let link = codec::link::encode(&app.keeper.whole()).map_err(|fault| fault.to_string())?;
    let location = web_sys::window().map(|window| window.location());
    let base = location
        .and_then(|location| Some(format!("{}{}", location.origin().ok()?, location.pathname().ok()?)))
        .unwrap_or_default();
    Ok(format!("{base}#{link}"))
}

fn link(app: App) -> El {
    let done = RwSignal::new(String::new());
    // A link holds what is committed, and a name is committed a moment after its last letter.
    let committed = move || app.document.ways();
    let words = move || {
        committed();
        address(app).unwrap_or_else(|fault| fault)
    };
    section("share-link", "Link")
        .child(package_name_field(app, "Name that whoever opens it sees", "share-name"))
        .child(p("quiet", "The whole package is in the link itself. It goes to nobody's server; whoever opens it sees these marks and numbers."))
        .child(
            el("textarea")
                .class("field__text share__link")
                .attr("readonly", "")
                .attr("rows", "4")
                .attr("aria-label", "Link")
                .test("share-link-text")
                .live_prop("value", move || words().into()),
        )
        .child(p("quiet", "").live_words(move || {
            committed();
            address(app).map(|link| length_words(link.len())).unwrap_or_default()
        }))
        .child(
            el("button").class("button").attr("type", "button").test("share-copy").words("Copy the link").press(move || {
                let Ok(address) = address(app) else { return };
                copy(address, done);
            }),
        )
        .child(p("quiet", "").attr("role", "status").live_words(move || done.get()))
}

/// How long a link is, and what that means for those who send it.
fn length_words(characters: usize) -> String {
    let advice = if characters > codec::link::REFUSE_CHARS {
        ": too long to send. Send the file"
    } else if characters > codec::link::WARN_CHARS {
        ": some messengers cut it. The file is safer"
    } else {
        ""
    };
    format!("{characters} characters{advice}")
}

fn copy(text: String, done: RwSignal<String>) {
    leptos::task::spawn_local(async move {
        let written = match clipboard() {
            Some(clipboard) => JsFuture::from(clipboard.write_text(&text)).await.is_ok(),
            None => false,
        };
        // The screen may have gone in the meantime.
        done.try_set(
            if written { "Copied." } else { "This browser does not let it: mark the text and copy it." }.to_owned(),
        );
    });
}

/// A page that came over a line which anybody can read has none, and the bindings take it for granted.
fn clipboard() -> Option<web_sys::Clipboard> {
    let navigator = web_sys::window()?.navigator();
    let found = js_sys::Reflect::get(&navigator, &"clipboard".into()).ok()?;
    found.is_object().then(|| found.unchecked_into())
}

fn file(app: App) -> El {
    let fault = RwSignal::new(None::<String>);
    section("share-file", "File")
        .child(p("quiet", "A backup, or for another program. SI units, in words."))
        .child(el("button").class("button").attr("type", "button").test("export").words("Save a file").press(
            move || {
                let name = file_name(&app.document.now(|package| package.name.clone()));
                fault.set(package_file::write(&app.keeper.whole()).and_then(|text| download(&name, &text)).err());
            },
        ))
        .child(
            el("a")
                .class("button")
                .attr("href", &crate::route::Screen::Sheet.hash())
                .test("to-sheet")
                .words("The prep sheet, to print"),
        )
        .child(
            p("field__fault", "")
                .hidden(move || fault.with(Option::is_none))
                .live_words(move || fault.get().unwrap_or_default()),
        )
}

/// What comes in goes by way of the packages.
fn bring_in() -> El {
    section("share-in", "Open")
        .child(p("quiet", "A link or a file from somebody else opens under Packages. Nothing of yours is replaced."))
        .child(
            el("a")
                .class("button")
                .attr("href", &Screen::Packages.hash())
                .test("to-bring-in")
                .words("Open a link or a file"),
        )
}
