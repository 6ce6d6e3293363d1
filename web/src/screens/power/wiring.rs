//! A wiring that keeps every limit, put on with one tap, and cables that are thick enough.

use leptos::prelude::*;
use solver::wiring::{CableAdvice, Unfeedable, WiringReport, WiringVerdict};

use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::screens::shared::{button, line, section};
use crate::show::{Kind, Style};
use crate::ui::rest::when_rested;

/// What was found, looked for anew when the package has rested.
pub(super) fn view(app: App) -> El {
    let found = RwSignal::new(None::<WiringReport>);
    let look = move || found.set(app.document.with(|package| solver::wiring(package).ok()));
    untrack(look);
    when_rested(app, look);
    let done = RwSignal::new(None::<&'static str>);
    let lines = move || {
        let (style, names) = (app.style(), Names::of(app));
        found.with(|found| match found {
            Some(found) => lines(app, style, &names, found, done),
            None => vec![p("quiet", "Not looked for while the package has a fault.")],
        })
    };
    let cables = move || {
        let style = app.style();
        found.with(|found| {
            found.iter().flat_map(|found| &found.cables).map(|cable| one_cable(app, style, cable, done)).collect()
        })
    };
    let told = move || done.get().map(|words| format!("Done: {words}. Undo, at the top, takes it back."));
    section("power-wiring", "A wiring that keeps every limit")
        .child(
            p("added", "")
                .attr("role", "status")
                .test("wired")
                .hidden(move || told().is_none())
                .live_words(move || told().unwrap_or_default()),
        )
        .child(
            div("wiring")
                .test("wiring")
                .live_attr("data-value", move || found.with(|found| found.as_ref().map(|found| word(found.verdict).to_owned())))
                .live(lines),
        )
        .child(p("quiet", "Not checked: surges when something is switched on, what plugs are rated for, and loads whose voltages nobody has entered."))
        .child(folded_cables(found).child(el("ol").class("remedies").live(cables)).child(p(
            "quiet",
            "So that the lowest voltage arrives over copper at 50 °C, stranded, there and back, and so that 8 A on a square millimetre carry the whole limit of the tap (common practice, no source). Connectors, bundles and heat may ask for more: the maker of the cable decides. Sizes of ASTM B258, and of IEC 60228 from memory.",
        )))
}

/// The line that opens into every cable, and says how many are thin.
fn folded_cables(found: RwSignal<Option<WiringReport>>) -> El {
    let thin = move || {
        let thin = |found: &WiringReport| found.cables.iter().filter(|cable| cable.too_thin || cable.hot).count();
        match found.with(|found| found.as_ref().map_or(0, thin)) {
            0 => "none too thin".to_owned(),
            1 => "1 too thin".to_owned(),
            count => format!("{count} too thin"),
        }
    };
    let head = el("summary")
        .class("row__summary")
        .child(span("row__name").words("Thinnest conductor"))
        .child(span("row__value").live_words(thin));
    el("details").class("row").test("cables").child(head)
}

fn word(verdict: WiringVerdict) -> &'static str {
    match verdict {
        WiringVerdict::Nothing => "nothing",
        WiringVerdict::Keep => "keep",
        WiringVerdict::Change | WiringVerdict::ChangePerhapsMore => "change",
        WiringVerdict::NoneExists => "none",
        WiringVerdict::NotFound => "not-found",
    }
}

/// Names of the parts by their id.
struct Names(Vec<(u32, String)>);

impl Names {
    fn of(app: App) -> Self {
        Self(app.document.with(|package| package.parts.iter().map(|part| (part.id, part.name.clone())).collect()))
    }

    fn list(&self, ids: &[u32]) -> String {
        let found = self.0.iter().filter(|(id, _)| ids.contains(id)).map(|(_, name)| name.as_str());
        found.collect::<Vec<_>>().join(", ")
    }
}

fn lines(app: App, style: Style, names: &Names, found: &WiringReport, done: RwSignal<Option<&'static str>>) -> Vec<El> {
    let mut lines = vec![p("cost__verdict", &verdict(names, found))];
    lines.extend(found.changes.iter().map(|change| {
        let from = change.from.as_deref().unwrap_or("no tap");
        line("rewire", &change.name, &format!("from {from} to {}", change.to_name))
    }));
    lines.extend(found.tightest.as_ref().map(|tap| {
        let amps = format!("{} of {}", style.bare(Kind::Current, tap.peak_a), style.show(Kind::Current, tap.limit_a));
        line("tightest-tap", "Tightest tap", &format!("{}, peak {amps}", tap.name))
    }));
    if !found.changes.is_empty() {
        let wiring = found.clone();
        let apply = button("wire", "Wire it so", move || {
            done.set(Some("wired so"));
            app.document.edit(|package| *package = wiring.applied(package));
        });
        lines.push(p("caution", "Switch off before a plug is moved: motors off first, hands and cables clear."));
        lines.push(div("buttons").child(apply.class("button--main")));
    }
    lines.extend(found.unfeedable.iter().map(unfeedable));
    lines
}

fn verdict(names: &Names, found: &WiringReport) -> String {
    match found.verdict {
        WiringVerdict::Nothing => "Nothing to wire: no load rides, or the head has no taps.".to_owned(),
        WiringVerdict::Keep => {
            "As it is wired, every current limit, every sum limit and every voltage window entered is kept.".to_owned()
        }
        WiringVerdict::Change => {
            "With the fewest changes, and of those the most current to spare on the tightest tap:".to_owned()
        }
        WiringVerdict::ChangePerhapsMore => {
            "This keeps every limit. There were too many ways to try them all: fewer changes may do.".to_owned()
        }
        WiringVerdict::NoneExists if !found.unfeedable.is_empty() => {
            "No tap can feed what stands below, even alone.".to_owned()
        }
        WiringVerdict::NoneExists if found.without.is_empty() => {
            "No wiring keeps every limit, and leaving off a single load does not help.".to_owned()
        }
        WiringVerdict::NoneExists => {
            format!(
                "No wiring keeps every limit. All others can be fed without any one of: {}.",
                names.list(&found.without)
            )
        }
        WiringVerdict::NotFound => "None was found; there were too many ways to try them all.".to_owned(),
    }
}

fn unfeedable(load: &Unfeedable) -> El {
    let why = load.refused.iter().map(|refusal| line("refusal", &refusal.tap, &refusal.why.words()));
    div("heap").test("unfeedable").child(p("remedy__what", &load.name)).children(why)
}

fn one_cable(app: App, style: Style, cable: &CableAdvice, done: RwSignal<Option<&'static str>>) -> El {
    let length = style.show(Kind::Distance, cable.length_m);
    let now = format!("{length} of {}\u{a0}mm²", style.plain(cable.now_mm2, 2));
    let (words, mend) = match (&cable.thinnest, cable.too_thin, cable.hot) {
        (None, ..) => (format!("{now}: its tap stands too low for any cable"), false),
        (Some(size), true, _) => (format!("{now} leaves too little voltage: at least {}", size.words()), true),
        (Some(size), false, true) => {
            (format!("{now} is thin for what its tap lets through: at least {}", size.words()), true)
        }
        (Some(size), false, false) => (format!("{now}; at least {}", size.words()), false),
    };
    let advice = cable.clone();
    let apply = mend.then(|| {
        button(&format!("thicken-{}", cable.part), "Use that cable", move || {
            done.set(Some("a thicker cable"));
            app.document.edit(|package| *package = advice.applied(package));
        })
    });
    el("li")
        .class("remedy")
        .test(&format!("cable-{}", cable.part))
        .child(line("cable", &cable.name, &words))
        .children(apply)
}
