//! Taps that share a sum limit, as on a battery plate or a distribution box: added, changed and taken away as a whole.

use solver::Package;
use solver::bounds::{self, MAX_NAME_BYTES, MAX_TAPS};
use solver::package::{Tap, TapGroup, TapVoltage};
use solver::power::{group_over, group_peak_w, tap_uses};

use super::{flag, taps};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::screens::shared::{button, section};
use crate::show::Kind;
use crate::ui::number::number;
use crate::ui::text::name_field;

/// A group to begin with, invented and typical: two taps that together give so much.
const USUAL_TAPS: usize = 2;
const USUAL_W: f64 = 90.0;

/// All groups.
pub(super) fn view(app: App) -> El {
    let ids =
        move || app.document.with(|package| package.head.tap_groups.iter().map(|group| group.id.clone()).collect());
    let full = move || app.document.with(|package| package.head.taps.len() + USUAL_TAPS > MAX_TAPS);
    let add = button("add-group", "Add a tap group", move || app.document.edit(add));
    section("power-groups", "Tap groups")
        .child(p("quiet", "Taps of one plate, box or regulator: each has a limit of its own, and all share another."))
        .child(div("rows").test("tap-groups").each(ids, move |id| one(app, id)))
        .child(div("buttons").child(add.live_flag("disabled", full)))
}

fn group_of<'a>(package: &'a Package, id: &str) -> Option<&'a TapGroup> {
    package.head.tap_groups.iter().find(|group| group.id == id)
}

fn change(package: &mut Package, id: &str, change: impl FnOnce(&mut TapGroup)) {
    if let Some(group) = package.head.tap_groups.iter_mut().find(|group| group.id == id) {
        change(group);
    }
}

fn taps_of<'a>(package: &'a Package, id: &str) -> impl DoubleEndedIterator<Item = &'a Tap> {
    let id = id.to_owned();
    package.head.taps.iter().filter(move |tap| tap.group.as_ref() == Some(&id))
}

/// The voltage of a group, where all its taps are held at one.
fn volts_of(package: &Package, id: &str) -> Option<f64> {
    let first = taps_of(package, id).next()?;
    let volts = taps::regulated_v(first).filter(|volts| *volts > 0.0)?;
    taps_of(package, id).all(|tap| tap.voltage == first.voltage).then_some(volts)
}

/// The sum limit as a current, where the group has one voltage, A.
fn limit_a(package: &Package, id: &str) -> Option<f64> {
    Some(group_of(package, id)?.limit_w / volts_of(package, id)?)
}

/// Whether a load hangs on the tap, on the head or left off.
fn loaded(package: &Package, tap: &str) -> bool {
    package.parts.iter().filter_map(|part| part.load.as_ref()).any(|load| load.tap.as_deref() == Some(tap))
}

fn add(package: &mut Package) {
    let taken = |id: &String| group_of(package, id).is_some();
    // Fewer groups than this can be there: each has a tap.
    let id = (1..=MAX_TAPS + 1).map(|number| format!("group_{number}")).find(|id| !taken(id)).unwrap_or_default();
    let name = format!("Plate {}", package.head.tap_groups.len() + 1);
    package.head.tap_groups.push(TapGroup { id: id.clone(), limit_w: USUAL_W, name: Some(name) });
    set_count(package, &id, USUAL_TAPS);
}

/// Adds taps like the last of the group, or takes free ones away from the end: a tap on which something hangs stays.
fn set_count(package: &mut Package, id: &str, count: usize) {
    let Some(called) = group_of(package, id).map(|group| group.called().to_owned()) else { return };
    let now = taps_of(package, id).count();
    for number in now + 1..=count {
        if package.head.taps.len() >= MAX_TAPS {
            return;
        }
        let like = taps_of(package, id).last().cloned();
        taps::add_like(package, numbered(&called, number), like);
        if let Some(added) = package.head.taps.last_mut() {
            added.group = Some(id.to_owned());
        }
    }
    let free = taps_of(package, id).rev().filter(|tap| !loaded(package, &tap.id)).map(|tap| tap.id.clone());
    let gone: Vec<String> = free.take(now.saturating_sub(count)).collect();
    package.head.taps.retain(|tap| !gone.contains(&tap.id));
}

/// How many taps a group has, as a number to be changed.
#[expect(clippy::cast_precision_loss, reason = "forty at most")]
fn count_of(package: &Package, id: &str) -> Option<f64> {
    Some(taps_of(package, id).count() as f64).filter(|count| *count > 0.0)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 40 by its bounds")]
fn whole(count: f64) -> usize {
    count.round() as usize
}

/// The name of a tap: that of its group and a number, no longer than a name may be.
fn numbered(called: &str, number: usize) -> String {
    let end = format!(" {number}");
    let mut start = called.to_owned();
    while start.len() + end.len() > MAX_NAME_BYTES {
        start.pop();
    }
    start + &end
}

fn set_volts(package: &mut Package, id: &str, volts: f64) {
    // A regulator's limit is a current: it stays when the voltage changes.
    let limit_a = limit_a(package, id);
    for tap in package.head.taps.iter_mut().filter(|tap| tap.group.as_deref() == Some(id)) {
        tap.voltage = TapVoltage::Regulated { volts };
    }
    if let Some(limit_a) = limit_a {
        change(package, id, |group| group.limit_w = limit_w(limit_a, volts));
    }
}

/// A sum limit as a power, as far as one may be entered.
fn limit_w(limit_a: f64, volts: f64) -> f64 {
    (limit_a * volts).clamp(bounds::POWER_W.min, bounds::POWER_W.max)
}

fn hangs_on(package: &Package, id: &str) -> bool {
    taps_of(package, id).any(|tap| loaded(package, &tap.id))
}

/// Takes a group off the head with its taps, unless something hangs on them.
fn remove(package: &mut Package, id: &str) {
    if !hangs_on(package, id) {
        package.head.taps.retain(|tap| tap.group.as_deref() != Some(id));
        package.head.tap_groups.retain(|group| group.id != id);
    }
}

fn one(app: App, id: &str) -> El {
    let own = || id.to_owned();
    let named = own();
    let name = move || {
        let called = |group: &TapGroup| format!("Group {}", group.called());
        app.document.with(|package| group_of(package, &named).map(called)).unwrap_or_default()
    };
    let used = own();
    let uses = move || {
        let style = app.style();
        app.document.with(|package| {
            let limit_w = group_of(package, &used)?.limit_w;
            let peak_w = group_peak_w(&tap_uses(package), &used);
            Some(format!("peak {} of {}", style.bare(Kind::Power, peak_w), style.show(Kind::Power, limit_w)))
        })
    };
    let watched = own();
    let over = move || {
        let over = |package: &Package| group_over(&tap_uses(package), group_of(package, &watched)?);
        app.document.with(over)
    };
    let head = el("summary")
        .class("row__summary")
        .child(span("row__name").live_words(name))
        .child(flag(over))
        .child(span("row__value").live_words(move || uses().unwrap_or_default()));
    el("details").class("row").test(&format!("group-{id}")).child(head).child(editor(app, id))
}

fn editor(app: App, id: &str) -> El {
    let own = || id.to_owned();
    let (read, write) = (own(), own());
    let name = name_field(
        app,
        "Name",
        format!("group-{id}-name"),
        move |package| group_of(package, &read).map(|group| group.called().to_owned()).unwrap_or_default(),
        move |package, name| change(package, &write, |group| group.name = Some(name)),
    );
    let (read, write) = (own(), own());
    let count = number(
        "Number of taps",
        Kind::Plain,
        &bounds::TAPS_IN_GROUP,
        format!("group-{id}-count"),
        move |package| count_of(package, &read),
        move |package, count| set_count(package, &write, whole(count)),
    )
    .help("A tap on which something hangs stays. Taps added are like the last one.");
    let (read, write) = (own(), own());
    let volts = number(
        "All held at",
        Kind::Voltage,
        &bounds::VOLTS,
        format!("group-{id}-volts"),
        move |package| volts_of(package, &read),
        move |package, volts| set_volts(package, &write, volts),
    );
    let gone = own();
    let hangs = own();
    let hangs = move || app.document.with(|package| hangs_on(package, &hangs));
    let remove = button(&format!("group-{id}-remove"), "Remove this group and its taps", move || {
        app.document.edit(|package| remove(package, &gone));
    });
    let held = hangs.clone();
    div("row__inside")
        .child(name)
        .child(div("fields").child(count.view(app)).child(volts.view(app)))
        .child(limits(app, id))
        .child(div("buttons").child(remove.live_flag("disabled", hangs)))
        .child(p("quiet", "Something hangs on one of its taps: give that another tap first.").hidden(move || !held()))
}

/// The sum limit: as a current where the group has one voltage, else as a power.
fn limits(app: App, id: &str) -> El {
    let own = || id.to_owned();
    let (read, write) = (own(), own());
    let amps = number(
        "Together at most",
        Kind::Current,
        &bounds::CURRENT_A,
        format!("group-{id}-amps"),
        move |package| limit_a(package, &read),
        move |package, a| {
            if let Some(volts) = volts_of(package, &write) {
                change(package, &write, |group| group.limit_w = limit_w(a, volts));
            }
        },
    );
    let (read, write) = (own(), own());
    let watts = number(
        "Together at most",
        Kind::Power,
        &bounds::POWER_W,
        format!("group-{id}-limit"),
        move |package| group_of(package, &read).map(|group| group.limit_w),
        move |package, limit_w| change(package, &write, |group| group.limit_w = limit_w),
    );
    let of = own();
    let one_voltage = move || app.document.with(|package| volts_of(package, &of).is_some());
    let unless = one_voltage.clone();
    div("fields")
        .child(div("tap__volts").hidden(move || !one_voltage()).child(amps.view(app)))
        .child(div("tap__volts").hidden(unless).child(watts.view(app)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sound(package: &Package) {
        assert_eq!(solver::check(package).map(|_| ()), Ok(()));
    }

    #[test]
    fn a_group_comes_with_its_taps_and_goes_with_them() {
        let demo = codec::library::demo();
        let mut package = demo.clone();
        add(&mut package);
        sound(&package);
        let id = package.head.tap_groups.last().expect("added").id.clone();
        assert_eq!(taps_of(&package, &id).count(), USUAL_TAPS);
        assert_eq!(limit_a(&package, &id), Some(6.0));
        set_volts(&mut package, &id, 24.0);
        assert_eq!((limit_a(&package, &id), volts_of(&package, &id)), (Some(6.0), Some(24.0)));
        remove(&mut package, &id);
        assert_eq!(package, demo);
    }

    #[test]
    fn a_tap_on_which_something_hangs_stays() {
        let mut package = codec::library::demo();
        add(&mut package);
        let id = package.head.tap_groups.last().expect("added").id.clone();
        set_count(&mut package, &id, 4);
        sound(&package);
        let held = taps_of(&package, &id).last().expect("four").id.clone();
        package.parts.iter_mut().find_map(|part| part.load.as_mut()).expect("a load").tap = Some(held.clone());
        set_count(&mut package, &id, 1);
        assert_eq!(taps_of(&package, &id).map(|tap| tap.id.clone()).collect::<Vec<_>>(), [held]);
        let before = package.clone();
        remove(&mut package, &id);
        assert_eq!(package, before, "something hangs on it");
        sound(&package);
    }

    #[test]
    fn a_head_never_gets_more_taps_than_it_may_have() {
        let mut package = codec::library::demo();
        add(&mut package);
        let id = package.head.tap_groups.last().expect("added").id.clone();
        change(&mut package, &id, |group| group.name = Some("é".repeat(MAX_NAME_BYTES / 2)));
        set_count(&mut package, &id, 40);
        assert_eq!(package.head.taps.len(), MAX_TAPS);
        sound(&package);
    }
}
