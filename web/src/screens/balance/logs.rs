//! The logged balances: what they hold, logging one by hand, taking one back, and what they taught.

use std::collections::BTreeSet;

use leptos::prelude::*;
use solver::Package;
use solver::balance::log_balance;
use solver::bounds::MAX_LOGS;
use solver::package::{DriveKind, LoggedBalance};

use super::super::answers::present_mark;
use super::super::shared::{back, button, section};
use super::{learned, whole, words};
use crate::app::App;
use crate::dom::{El, div, p, span};
use crate::route::Screen;
use crate::show::{Kind, Style};
use crate::ui::choice::switch;

/// The screen.
pub(crate) fn view(app: App) -> El {
    div("screen balance")
        .child(back(Screen::Balance, "to-balance", "Balance step by step"))
        .child(learned::view(app))
        .child(list(app))
        .child(by_hand(app))
        .child(whole::view(app))
}

fn list(app: App) -> El {
    let ids = move || app.document.with(|package| package.logs.iter().rev().map(|log| log.id.to_string()).collect());
    let none = move || app.document.with(|package| package.logs.is_empty());
    section("logs-list", "Logged balances")
        .child(
            p("quiet", "None yet. Find one step by step, or log the marks at which the head stays put.")
                .hidden(move || !none()),
        )
        .child(div("list").each(ids, move |id| item(app, id.parse().unwrap_or_default())))
}

fn item(app: App, id: u32) -> El {
    let read = move |write: fn(Style, &Package, &LoggedBalance) -> String| {
        move || {
            let style = app.style();
            let write =
                |package: &Package| package.logs.iter().find(|log| log.id == id).map(|log| write(style, package, log));
            app.document.with(write).unwrap_or_default()
        }
    };
    div("list__item")
        .test(&format!("log-{id}"))
        .child(
            span("list__link")
                .child(span("list__name").live_words(read(title)))
                .child(span("list__detail").live_words(read(marks))),
        )
        .child(button(&format!("log-remove-{id}"), "Remove", move || {
            app.document.edit(|package| {
                package.logs.retain(|log| log.id != id);
                if let Some(began) = package.balancing.as_mut().filter(|began| began.log == Some(id)) {
                    began.log = None;
                }
            });
        }))
}

fn title(style: Style, package: &Package, log: &LoggedBalance) -> String {
    let axes = match &log.weighed {
        Some(weighed) => format!("Weighed whole: {}", style.fine(Kind::Mass, weighed.kg, 2)),
        None => words::axes(package, &log.axes, &log.faces),
    };
    let lens =
        learned::lens_of_log(package, log).map_or_else(|| "without a lens".to_owned(), |lens| format!("with {lens}"));
    format!("{}. {axes}, {lens}", log.id)
}

fn marks(style: Style, package: &Package, log: &LoggedBalance) -> String {
    let name = |id: &str| package.head.slides().find(|slide| slide.id == id).map_or("", |slide| slide.name.as_str());
    let marks: Vec<String> =
        log.marks.iter().map(|mark| format!("{} {}", name(&mark.slide), style.bare(Kind::Mark, mark.mark_m))).collect();
    let felt = if log.faces.iter().any(|face| face.u_kg_m.is_some()) { ", both ends felt for" } else { "" };
    format!("{} {}, {} things on{felt}", marks.join(", "), style.unit(Kind::Mark), log.bodies.len())
}

/// The head stays put as it stands: that is a balance, however it was found.
fn by_hand(app: App) -> El {
    let chosen = RwSignal::new(BTreeSet::<String>::new());
    let axes = app.document.now(|package| {
        let axes = package.head.joints().rev().map(|joint| (joint.id.clone(), joint.name.clone(), joint.drive.kind));
        axes.collect::<Vec<_>>()
    });
    let rows = axes.into_iter().map(move |(id, name, kind)| {
        if kind == DriveKind::Geared {
            return p(
                "quiet",
                &format!(
                    "{name} is geared: it does not turn under a small unbalance, so its staying put says nothing."
                ),
            );
        }
        let (read, write) = (id.clone(), id.clone());
        switch(
            &format!("{name} stays put, whichever way it is turned"),
            &format!("log-axis-{id}"),
            move || chosen.with(|chosen| chosen.contains(&read)),
            move |stays| {
                chosen.update(|chosen| {
                    if stays {
                        chosen.insert(write.clone())
                    } else {
                        chosen.remove(&write)
                    };
                });
            },
        )
    });
    let marks = app.document.now(|package| {
        package.head.slides().rev().map(|slide| (slide.id.clone(), slide.name.clone())).collect::<Vec<_>>()
    });
    let idle = move || chosen.with(BTreeSet::is_empty) || app.document.with(|package| package.logs.len() >= MAX_LOGS);
    section("logs-by-hand", "Log the head as it stands")
        .child(p("quiet", "Tested by hand, motors off, an upright axis with the base tipped. An empty head that stays put counts as well."))
        .child(div("fields").children(marks.iter().map(|(id, name)| present_mark(app, id, name, "log"))))
        .child(div("balance__ready").children(rows))
        .child(
            button("log-by-hand", "Log it at these marks", move || {
                let axes: Vec<String> = chosen.get_untracked().into_iter().collect();
                app.document.settle(None);
                app.document.edit(|package| add(package, axes));
                chosen.update(BTreeSet::clear);
            })
            .class("button--main button--wide")
            .live_flag("disabled", idle),
        )
}

fn add(package: &mut Package, chosen: Vec<String>) {
    // Platform first, as everywhere.
    let axes: Vec<String> =
        package.head.joints().map(|joint| joint.id.clone()).filter(|id| chosen.contains(id)).collect();
    let marks_m: Vec<f64> = package.head.slides().map(|slide| slide.mark_m).collect();
    let id = package.logs.iter().map(|log| log.id).max().unwrap_or(0).saturating_add(1);
    let log = log_balance(package, id, axes, &marks_m);
    package.logs.push(log);
}
