//! Elements, built by plain calls over Leptos's reactive graph.
//!
//! Leptos's own views are a type for every element on the page, which costs download. Here every element is one type and
//! every closure is boxed, so a screen costs its words and its calls (see DEVELOPERS.md). Signals, memos, owners and
//! effects stay Leptos's: whatever is built inside an effect or a list entry is released with it.

mod list;

use leptos::prelude::*;
use wasm_bindgen::prelude::*;
use web_sys::{Document, Element, Event, Node};

/// The namespace of drawings.
const SVG: &str = "http://www.w3.org/2000/svg";

/// An element under construction, or one to be put somewhere.
#[derive(Debug, Clone)]
pub(crate) struct El(Element);

thread_local! {
    // One page, one document: asking the window anew for every element would double the calls.
    static PAGE: Document = web_sys::window().and_then(|window| window.document()).unwrap_throw();
}

/// An element of the page.
pub(crate) fn el(tag: &str) -> El {
    El(PAGE.with(|page| page.create_element(tag)).unwrap_throw())
}

/// An element of a drawing.
pub(crate) fn svg(tag: &str) -> El {
    El(PAGE.with(|page| page.create_element_ns(Some(SVG), tag)).unwrap_throw())
}

/// A `div` of a class.
pub(crate) fn div(class: &str) -> El {
    el("div").class(class)
}

/// A `span` of a class.
pub(crate) fn span(class: &str) -> El {
    el("span").class(class)
}

/// A paragraph of a class with fixed words.
pub(crate) fn p(class: &str, words: &str) -> El {
    el("p").class(class).words(words)
}

impl El {
    /// The element itself.
    pub(crate) fn raw(&self) -> &Element {
        &self.0
    }

    /// With an attribute.
    pub(crate) fn attr(self, name: &str, value: &str) -> Self {
        set(&self.0, name, Some(value));
        self
    }

    /// With a class, added to any that it has.
    pub(crate) fn class(self, class: &str) -> Self {
        match self.0.get_attribute("class") {
            Some(before) => set(&self.0, "class", Some(&format!("{before} {class}"))),
            None => set(&self.0, "class", Some(class)),
        }
        self
    }

    /// With a hook for the tests.
    pub(crate) fn test(self, name: &str) -> Self {
        self.attr("data-test", name)
    }

    /// With words after what it holds.
    pub(crate) fn words(self, words: &str) -> Self {
        let text = PAGE.with(|page| page.create_text_node(words));
        append(&self.0, &text);
        self
    }

    /// With a child after what it holds.
    pub(crate) fn child(self, child: El) -> Self {
        append(&self.0, &child.0);
        self
    }

    /// With children after what it holds.
    pub(crate) fn children(self, children: impl IntoIterator<Item = El>) -> Self {
        children.into_iter().fold(self, Self::child)
    }

    /// With words that follow what they are made of.
    pub(crate) fn live_words(self, words: impl Fn() -> String + 'static) -> Self {
        let text = PAGE.with(|page| page.create_text_node(""));
        append(&self.0, &text);
        follow(Box::new(words), Box::new(move |words| text.set_data(words)));
        self
    }

    /// With an attribute that follows what it is made of; `None` takes it away.
    pub(crate) fn live_attr(self, name: &'static str, value: impl Fn() -> Option<String> + 'static) -> Self {
        let element = self.0.clone();
        let mut before: Option<Option<String>> = None;
        effect(Box::new(move || {
            let now = value();
            if before.as_ref() != Some(&now) {
                set(&element, name, now.as_deref());
                before = Some(now);
            }
        }));
        self
    }

    /// With an attribute without a value that is there while `is` says so.
    pub(crate) fn live_flag(self, name: &'static str, is: impl Fn() -> bool + 'static) -> Self {
        self.live_attr(name, move || is().then(String::new))
    }

    /// Out of sight while `is` says so.
    pub(crate) fn hidden(self, is: impl Fn() -> bool + 'static) -> Self {
        self.live_flag("hidden", is)
    }

    /// With a full-precision value for the tests.
    pub(crate) fn live_value(self, value: impl Fn() -> Option<f64> + 'static) -> Self {
        self.live_attr("data-value", move || value().map(|value| format!("{value}")))
    }

    /// With a class that it has while `is` says so.
    pub(crate) fn live_class(self, class: &'static str, is: impl Fn() -> bool + 'static) -> Self {
        let list = self.0.class_list();
        let mut before = false;
        effect(Box::new(move || {
            let now = is();
            if now != before {
                // Adding and removing a class fails only for an empty name.
                let _ = if now { list.add_1(class) } else { list.remove_1(class) };
                before = now;
            }
        }));
        self
    }

    /// With a property of the element that follows what it is made of, as the text of a field. It is left alone where it
    /// is the same: an engine lays the page out again when the text of a field that is being edited is set.
    pub(crate) fn live_prop(self, name: &'static str, value: impl Fn() -> JsValue + 'static) -> Self {
        let element = self.0.clone();
        effect(Box::new(move || {
            let (name, now) = (JsValue::from_str(name), value());
            if js_sys::Reflect::get(&element, &name).as_ref() != Ok(&now) {
                // A property that the element does not have is merely added to it.
                let _ = js_sys::Reflect::set(&element, &name, &now);
            }
        }));
        self
    }

    /// With content that is built anew whenever what it is made of changes.
    pub(crate) fn live(self, build: impl Fn() -> Vec<El> + 'static) -> Self {
        let element = self.0.clone();
        effect(Box::new(move || {
            element.set_text_content(None);
            for child in build() {
                append(&element, &child.0);
            }
        }));
        self
    }

    /// With more children after what it holds, built when `due` is set, which is once.
    pub(crate) fn once(self, due: RwSignal<bool>, build: impl Fn() -> Vec<El> + 'static) -> Self {
        let element = self.0.clone();
        effect(Box::new(move || {
            if due.get() {
                for child in untrack(&build) {
                    append(&element, &child.0);
                }
            }
        }));
        self
    }

    /// With one child for each key, in that order. A child is built once and lives as long as its key is in the list.
    pub(crate) fn each(self, keys: impl Fn() -> Vec<String> + 'static, build: impl Fn(&str) -> El + 'static) -> Self {
        list::each(&self.0, Box::new(keys), Box::new(build));
        self
    }

    /// With something that happens on an event.
    pub(crate) fn on(self, event: &str, heard: impl FnMut(Event) + 'static) -> Self {
        let heard: Box<dyn FnMut(Event)> = Box::new(heard);
        let heard = Closure::wrap(heard);
        // Listening fails only for a detached target, which an element is not.
        let _ = self.0.add_event_listener_with_callback(event, heard.as_ref().unchecked_ref());
        StoredValue::new_local(heard);
        self
    }

    /// With something that happens on a press.
    pub(crate) fn press(self, mut pressed: impl FnMut() + 'static) -> Self {
        self.on("click", move |_| pressed())
    }
}

/// Runs now and whenever what it has read changes, until its owner is released.
pub(crate) fn effect(mut run: Box<dyn FnMut()>) {
    let effect = RenderEffect::new(move |_: Option<()>| run());
    StoredValue::new_local(effect);
}

/// Hands on a text whenever it has changed.
fn follow(read: Box<dyn Fn() -> String>, write: Box<dyn Fn(&str)>) {
    let mut before: Option<String> = None;
    effect(Box::new(move || {
        let now = read();
        if before.as_ref() != Some(&now) {
            write(&now);
            before = Some(now);
        }
    }));
}

/// Puts the page built by `build` into `place`, for as long as the page lives.
pub(crate) fn mount(place: &Element, build: impl FnOnce() -> Vec<El>) {
    let owner = Owner::new();
    owner.set();
    for child in build() {
        append(place, &child.0);
    }
    std::mem::forget(owner);
}

fn append(parent: &Node, child: &Node) {
    // Appending fails only where a node would hold itself.
    let _ = parent.append_child(child);
}

fn set(element: &Element, name: &str, value: Option<&str>) {
    // Setting an attribute fails only for a name that is none.
    let _ = match value {
        Some(value) => element.set_attribute(name, value),
        None => element.remove_attribute(name),
    };
}
