//! What differs between two packages, line by line.

use codec::Document;
use js_sys::{Array, Object, Reflect};
use leptos::prelude::*;
use leptos::task::spawn_local;
use wasm_bindgen::JsValue;

use super::difference_words::{key_word, place_words, value_words};
use crate::app::App;
use crate::dom::{El, div, el, p};
use crate::show::Style;
use crate::storage::record::{field, file_object, text};

/// As many differences as a list shows; two packages that have nothing in common need no more.
const MOST: usize = 200;
/// As many as a summary names.
const NAMED: usize = 2;
/// What a file wraps its sections in.
const WRAPPING: [&str; 3] = ["sections", "data", "own"];

/// One thing that differs.
#[derive(Clone)]
pub(super) struct Difference {
    /// Where, from the whole to the part, in words.
    place: Vec<String>,
    /// The field's own name, which says what it measures.
    key: String,
    before: JsValue,
    after: JsValue,
}

/// What differs between two documents, first to second.
pub(super) fn differences(before: &Document, after: &Document) -> Vec<Difference> {
    let mut found = Vec::new();
    if let (Ok(old), Ok(new)) = (file_object(before), file_object(after)) {
        walk(&old, &new, &mut Vec::new(), "", &mut found);
    }
    // The file has the number of the lens, which no screen shows: a person knows it by its name.
    for difference in found.iter_mut().filter(|difference| difference.key == "active_lens") {
        let name = |document: &Document| document.package.lens().map_or("none", |lens| &lens.name).into();
        (difference.before, difference.after) = (name(before), name(after));
    }
    found
}

/// The differences as a list, each with both values.
pub(super) fn list(differences: &[Difference], style: Style) -> El {
    if differences.is_empty() {
        return p("quiet", "Nothing differs.");
    }
    let more = (differences.len() >= MOST).then(|| el("li").words("and more"));
    let lines = differences.iter().map(|difference| el("li").test("difference").words(&line(difference, style)));
    el("ul").class("plain-list").children(lines).children(more)
}

/// The first differences in one line, and how many more there are.
pub(super) fn short(differences: &[Difference], style: Style) -> String {
    let named: Vec<String> = differences.iter().take(NAMED).map(|difference| line(difference, style)).collect();
    match differences.len().saturating_sub(NAMED) {
        _ if named.is_empty() => "nothing".to_owned(),
        0 => named.join("; "),
        more => format!("{}; and {more} more", named.join("; ")),
    }
}

/// A document beside the package of the same name on this device: what differs, or that there is none.
pub(super) fn beside_kept(app: App, document: Document) -> El {
    let compared = RwSignal::new(None::<(String, Vec<Difference>)>);
    let name = document.package.name.clone();
    let of_name = app.keeper.cards.with_untracked(|cards| {
        let card = cards.iter().find(|card| card.name == name && card.readable);
        card.map(|card| (card.id.clone(), card.name.clone()))
    });
    let waits = of_name.is_some();
    if let Some((id, kept_name)) = of_name {
        spawn_local(async move {
            if let Some(kept) = app.keeper.document_of(&id).await {
                // The screen may have gone in the meantime.
                compared.try_set(Some((kept_name, differences(&kept, &document))));
            }
        });
    }
    div("list__field").test("beside").live(move || {
        compared.with(|compared| match compared {
            None if waits => vec![p("quiet", "Comparing with the package of this name on this device\u{2026}")],
            None => vec![p("quiet", "There is no package of this name on this device.")],
            Some((name, found)) if found.is_empty() => {
                vec![p("quiet", &format!("The same as \u{201c}{name}\u{201d} on this device."))]
            }
            Some((name, found)) => {
                let count = found.len();
                let things = if count == 1 { "difference" } else { "differences" };
                let words = format!("{count} {things} from \u{201c}{name}\u{201d} on this device");
                let fold = el("details").class("more").child(el("summary").test("beside-open").words(&words));
                vec![fold.child(list(found, app.style()))]
            }
        })
    })
}

fn line(difference: &Difference, style: Style) -> String {
    let Difference { place, key, before, after } = difference;
    let place = place_words(place);
    match (before.is_undefined(), after.is_undefined()) {
        (true, _) if after.is_object() => format!("{place}: added"),
        (_, true) if before.is_object() => format!("{place}: taken away"),
        _ => {
            let (before, after) = value_words(key, before, after, style);
            format!("{place}: {before} \u{2192} {after}")
        }
    }
}

/// Walks two values of the same place side by side.
fn walk(before: &JsValue, after: &JsValue, place: &mut Vec<String>, key: &str, found: &mut Vec<Difference>) {
    if found.len() >= MOST {
        return;
    }
    if Array::is_array(before) && Array::is_array(after) {
        return walk_lists(&Array::from(before), &Array::from(after), place, key, found);
    }
    if before.is_object() && after.is_object() {
        let mut keys: Vec<String> = keys_of(before);
        keys.extend(keys_of(after).into_iter().filter(|key| !is_in(before, key)));
        for key in keys {
            let wrapped = WRAPPING.contains(&key.as_str());
            if !wrapped {
                place.push(key_word(&key));
            }
            let get = |object: &JsValue| field(object, &key).unwrap_or_default();
            walk(&get(before), &get(after), place, &key, found);
            if !wrapped {
                place.pop();
            }
        }
        return;
    }
    if !Object::is(before, after) {
        found.push(Difference {
            place: place.clone(),
            key: key.to_owned(),
            before: before.clone(),
            after: after.clone(),
        });
    }
}

/// Lists of things with an identity are compared thing by thing, others place by place.
fn walk_lists(before: &Array, after: &Array, place: &mut Vec<String>, key: &str, found: &mut Vec<Difference>) {
    let things = |list: &Array| list.iter().filter_map(|thing| identity(&thing).map(|id| (id, thing))).collect();
    let (old, new): (Vec<(String, JsValue)>, Vec<(String, JsValue)>) = (things(before), things(after));
    let all_named = old.len() == before.length() as usize && new.len() == after.length() as usize;
    if !all_named || (old.is_empty() && new.is_empty()) {
        for index in 0..before.length().max(after.length()) {
            place.push(item_word(index, before.length().max(after.length())));
            walk(&before.get(index), &after.get(index), place, key, found);
            place.pop();
        }
        return;
    }
    let list = place.pop().unwrap_or_default();
    let ids = old.iter().map(|(id, _)| id).chain(new.iter().map(|(id, _)| id).filter(|id| find(&old, id).is_none()));
    for id in ids {
        let (one, other) = (find(&old, id), find(&new, id));
        let shown = other.or(one).and_then(name_of).unwrap_or_else(|| format!("{list} {id}"));
        place.push(shown);
        let inside = |thing: Option<&JsValue>| thing.map(unfolded).unwrap_or_default();
        walk(&inside(one), &inside(other), place, key, found);
        place.pop();
    }
    place.push(list);
}

fn find<'a>(things: &'a [(String, JsValue)], id: &str) -> Option<&'a JsValue> {
    things.iter().find(|(known, _)| known == id).map(|(_, thing)| thing)
}

/// What a chain's element is wrapped in says only of which kind it is.
fn unfolded(thing: &JsValue) -> JsValue {
    match keys_of(thing).as_slice() {
        [kind] => field(thing, kind).filter(JsValue::is_object).unwrap_or_else(|| thing.clone()),
        _ => thing.clone(),
    }
}

/// What tells a thing of a list from the others: its id, else its name.
fn identity(thing: &JsValue) -> Option<String> {
    let inner = unfolded(thing);
    let id = field(&inner, "id").or_else(|| field(&inner, "joint")).or_else(|| field(&inner, "name"))?;
    id.as_string().or_else(|| id.as_f64().map(|id| id.to_string()))
}

fn name_of(thing: &JsValue) -> Option<String> {
    let inner = unfolded(thing);
    text(&inner, "name").or_else(|| text(&inner, "joint"))
}

/// The place of an item in a list without names: three numbers are directions, two are ends.
fn item_word(index: u32, count: u32) -> String {
    let words: &[&str] = match count {
        3 => &["forward", "left", "up"],
        2 => &["from", "to"],
        _ => &[],
    };
    let word = usize::try_from(index).ok().and_then(|index| words.get(index));
    word.map_or_else(|| format!("{}", index + 1), |word| (*word).to_owned())
}

fn keys_of(object: &JsValue) -> Vec<String> {
    if !object.is_object() || Array::is_array(object) {
        return Vec::new();
    }
    let keys = Reflect::own_keys(object).unwrap_or_default();
    keys.iter().filter_map(|key| key.as_string()).collect()
}

fn is_in(object: &JsValue, key: &str) -> bool {
    Reflect::has(object, &key.into()).unwrap_or(false)
}
