//! The package as a link and as a file.

use leptos::prelude::*;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;

use super::shared::section;
use crate::app::App;
use crate::browser::event_value;
use crate::dom::{El, div, el, p};
use crate::storage::file as package_file;

/// Share: link and file out, link or file in.
pub(crate) fn view(app: App) -> El {
    div("screen").child(link(app)).child(file(app)).child(paste(app))
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
    let words = move || {
        app.document.with(|_| ());
        address(app).unwrap_or_else(|fault| fault)
    };
    section("share-link", "Link")
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
            app.document.with(|_| ());
            address(app).map(|link| format!("{} characters", link.len())).unwrap_or_default()
        }))
        .child(
            el("button").class("button").attr("type", "button").test("share-copy").words("Copy the link").press(move || {
                let Ok(address) = address(app) else { return };
                copy(address, done);
            }),
        )
        .child(p("quiet", "").attr("role", "status").live_words(move || done.get()))
}

fn copy(text: String, done: RwSignal<String>) {
    leptos::task::spawn_local(async move {
        let written = match web_sys::window() {
            Some(window) => JsFuture::from(window.navigator().clipboard().write_text(&text)).await.is_ok(),
            None => false,
        };
        done.set(
            if written { "Copied." } else { "This browser does not let it: mark the text and copy it." }.to_owned(),
        );
    });
}

fn file(app: App) -> El {
    let fault = RwSignal::new(None::<String>);
    section("share-file", "File")
        .child(p("quiet", "A backup, or for another program. SI units, in words."))
        .child(el("button").class("button").attr("type", "button").test("export").words("Save a file").press(
            move || {
                let name = format!(
                    "{}{}",
                    file_name(&app.document.now(|package| package.name.clone())),
                    codec::file::EXTENSION
                );
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

fn file_name(name: &str) -> String {
    let plain: String = name.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    if plain.is_empty() { "package".to_owned() } else { plain }
}

fn download(name: &str, text: &str) -> Result<(), String> {
    let words = |_: JsValue| "This browser cannot save a file.".to_owned();
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let blob = web_sys::Blob::new_with_str_sequence(&parts).map_err(words)?;
    let url = web_sys::Url::create_object_url_with_blob(&blob).map_err(words)?;
    let anchor = crate::dom::el("a").attr("href", &url).attr("download", name);
    let clicked = anchor.raw().dyn_ref::<web_sys::HtmlElement>().map(web_sys::HtmlElement::click);
    // The address may go once the click has been heard.
    let _ = web_sys::Url::revoke_object_url(&url);
    clicked.ok_or_else(|| "This browser cannot save a file.".to_owned())
}

fn paste(app: App) -> El {
    let text = RwSignal::new(String::new());
    let fault = RwSignal::new(None::<String>);
    let open = move || match read(&text.get_untracked()) {
        Ok(document) => {
            fault.set(None);
            app.keeper.preview(document);
            app.go(crate::route::Screen::Answers);
        }
        Err(words) => fault.set(Some(words)),
    };
    section("share-in", "Open")
        .child(p("quiet", "Paste a link, or the text of a file, or choose a file. It opens as a preview: nothing of yours is replaced."))
        .child(
            el("textarea")
                .class("field__text share__link")
                .attr("rows", "3")
                .attr("aria-label", "Link or file text")
                .test("paste")
                .on("input", move |event| text.set(text_of(&event))),
        )
        .child(el("button").class("button").attr("type", "button").test("paste-open").words("Open what is pasted").press(open))
        .child(
            el("label").class("button").words("Choose a file").child(
                el("input").class("unseen").attr("type", "file").attr("accept", ".json,application/json").test("import").on(
                    "change",
                    move |event| {
                        let Some(chosen) = chosen_file(&event) else { return };
                        leptos::task::spawn_local(async move {
                            if let Ok(read) = JsFuture::from(chosen.text()).await {
                                text.set(read.as_string().unwrap_or_default());
                                open();
                            }
                        });
                    },
                ),
            ),
        )
        .child(p("field__fault", "").test("paste-fault").hidden(move || fault.with(Option::is_none)).live_words(move || fault.get().unwrap_or_default()))
}

fn read(text: &str) -> Result<codec::Document, String> {
    if text.trim_start().starts_with('{') {
        return package_file::read(text);
    }
    codec::link::decode(text).map_err(|fault| fault.to_string())
}

fn text_of(event: &web_sys::Event) -> String {
    event_value(event)
}

fn chosen_file(event: &web_sys::Event) -> Option<web_sys::File> {
    let input: web_sys::HtmlInputElement = event.target()?.dyn_into().ok()?;
    input.files()?.get(0)
}
