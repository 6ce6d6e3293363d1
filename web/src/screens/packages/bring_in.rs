//! What comes in: a link, the text of a file, a file of one package or of all. Nothing is replaced: it is looked at,
//! compared, and kept as a copy.

use std::sync::Arc;

use codec::Document;
use leptos::prelude::*;
use leptos::task::spawn_local;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;

use super::differences::beside_kept;
use super::foreign;
use crate::app::App;
use crate::browser::event_value;
use crate::dom::{El, div, el, p, span};
use crate::route::Screen;
use crate::screens::shared::{button, section};
use crate::storage::file as package_file;

/// What was found in a text.
#[derive(Clone, Default)]
struct Found {
    documents: Vec<Document>,
    faults: Vec<String>,
}

/// Paste or choose, then see what is in it.
pub(super) fn view(app: App) -> El {
    let text = RwSignal::new(String::new());
    let found = RwSignal::new(Arc::new(Found::default()));
    let kept = RwSignal::new(String::new());
    let open = move || {
        kept.set(String::new());
        found.set(Arc::new(match package_file::read_any(&text.get_untracked()) {
            Ok((documents, faults)) => Found { documents, faults },
            Err(fault) => Found { documents: Vec::new(), faults: vec![fault] },
        }));
    };
    let several = move || found.with(|found| found.documents.len() > 1);
    let keep_all = move || {
        let documents = found.with_untracked(|found| found.documents.clone());
        spawn_local(async move {
            let mut count = 0;
            for document in documents {
                count += u32::from(app.keeper.keep_beside(document).await.is_some());
            }
            kept.try_set(if count == 1 { "1 kept as a copy.".to_owned() } else { format!("{count} kept as copies.") });
        });
    };
    section("packages-in", "Open a link or a file")
        .test("bring-in")
        .child(p("quiet", "Paste a link, a message with one, or the text of a file; or choose a file, of one package or of everything. Nothing of yours is replaced."))
        .child(
            el("textarea")
                .class("field__text share__link")
                .attr("rows", "3")
                .attr("aria-label", "Link or file text")
                .test("paste")
                .on("input", move |event| text.set(event_value(&event))),
        )
        .child(
            div("buttons")
                .child(button("paste-open", "See what is in it", open))
                .child(el("label").class("button").words("Choose a file").child(chooser(text, open))),
        )
        .child(
            div("").attr("role", "status").test("paste-fault").live(move || {
                found.with(|found| found.faults.iter().map(|fault| p("field__fault", fault)).collect())
            }),
        )
        .child(div("list").test("found").live(move || {
            let documents = found.with(|found| found.documents.clone());
            documents.into_iter().map(|document| item(app, document, kept)).collect()
        }))
        .child(button("keep-all", "Keep copies of all", keep_all).hidden(move || !several()))
        .child(p("quiet", "").attr("role", "status").test("kept-copies").live_words(move || kept.get()))
}

fn chooser(text: RwSignal<String>, open: impl Fn() + Copy + 'static) -> El {
    el("input")
        .class("unseen")
        .attr("type", "file")
        .attr("accept", ".json,.txt,application/json,text/plain")
        .test("import")
        .on("change", move |event| {
            let input = event.target().and_then(|target| target.dyn_into::<web_sys::HtmlInputElement>().ok());
            let Some(input) = input else { return };
            let Some(chosen) = input.files().and_then(|files| files.get(0)) else { return };
            spawn_local(async move {
                if let Ok(read) = JsFuture::from(chosen.text()).await {
                    // The screen may have gone in the meantime.
                    if text.try_set(read.as_string().unwrap_or_default()).is_none() {
                        open();
                    }
                }
                // The same file may be chosen again.
                input.set_value("");
            });
        })
}

/// One package that came in, beside the one of its name on this device.
fn item(app: App, document: Document, kept: RwSignal<String>) -> El {
    let name = document.package.name.clone();
    let (looked, copied) = (document.clone(), document.clone());
    div("list__item")
        .test("found-package")
        .child(span("list__link").child(span("list__name").words(&name)))
        .child(
            div("buttons")
                .child(button("found-look", "Look at it", move || {
                    app.keeper.preview(looked.clone());
                    Screen::Answers.open();
                }))
                .child(button("found-keep", "Keep a copy", move || {
                    let document = copied.clone();
                    spawn_local(async move {
                        if let Some(name) = app.keeper.keep_beside(document).await {
                            kept.try_set(format!("\u{201c}{name}\u{201d} is kept as a copy."));
                        }
                    });
                })),
        )
        .children(foreign(&document))
        .child(beside_kept(app, document))
}
