//! What the motors have in hand, where it is tightest, and how fast one may go.

use leptos::prelude::*;
use solver::answer::Answer;
use solver::explain::AnswerId;
use solver::report::{AxisTorque, LimitKind, MoveTorque, TorqueReport};

use crate::app::App;
use crate::show::Kind;
use crate::ui::reasons;
use crate::words::BEFORE_MOTORS;

/// Torque in hand.
pub(crate) fn view(app: App) -> AnyView {
    let moves = Memo::new(move |_| {
        with_torque(app, |torque| torque.moves.iter().map(|entry| (entry.move_id, entry.name.clone())).collect::<Vec<_>>())
            .unwrap_or_default()
    });
    view! {
        <section class="sheet" aria-labelledby="torque-title">
            <h2 class="sheet__title" id="torque-title">"Torque in hand"</h2>
            {tightest(app)}
            {speed(app)}
            <For each=move || moves.get() key=|entry| entry.clone() let:entry>{one_move(app, entry.0, entry.1)}</For>
            <p class="caution">{BEFORE_MOTORS}</p>
        </section>
    }
    .into_any()
}

fn with_torque<T>(app: App, read: impl FnOnce(&TorqueReport) -> T) -> Option<T> {
    app.document
        .report(|report| match &report.torque {
            Answer::Known(torque) => Some(read(torque)),
            Answer::Needs(_) => None,
        })
        .flatten()
}

fn tightest(app: App) -> AnyView {
    let tightest = Memo::new(move |_| with_torque(app, |torque| torque.tightest.clone()).flatten());
    let share = move || tightest.with(|found| found.as_ref().map(|found| app.style().show(Kind::Share, found.headroom.value)));
    let where_ = move || {
        tightest.with(|found| match found {
            None => "Give a move to see what the motors have in hand.".to_owned(),
            Some(found) => {
                let limit = match found.limit {
                    LimitKind::Peak => "peak torque",
                    LimitKind::Continuous => "continuous torque",
                    LimitKind::Rate => "rate",
                };
                format!("{}, {limit}. {}: mostly {}.", found.axis, found.move_name, found.cause)
            }
        })
    };
    view! {
        <p class="answer" data-test="torque-tightest" data-value=move || tightest.with(|found| found.as_ref().map(|found| format!("{}", found.headroom.value)))>
            <span class="answer__value">{share}</span>
            <span class="answer__words">"tightest: " {where_}</span>
        </p>
    }
    .into_any()
}

/// The slowest of the highest airspeeds over the moves.
fn speed(app: App) -> AnyView {
    let fastest = Memo::new(move |_| {
        with_torque(app, |torque| {
            let speeds = torque.moves.iter().filter_map(|entry| Some((entry.fastest_air_m_s?, entry.name.clone())));
            speeds.min_by(|(a, _), (b, _)| a.total_cmp(b))
        })
        .flatten()
    });
    view! {
        <p class="answer" data-test="fastest-air" hidden=move || fastest.with(Option::is_none)
            data-value=move || fastest.with(|found| found.as_ref().map(|(speed, _)| format!("{speed}")))>
            <span class="answer__value">{move || fastest.with(|found| found.as_ref().map(|(speed, _)| app.style().show(Kind::Speed, *speed)))}</span>
            <span class="answer__words">
                "highest speed, wind against you included, that keeps your reserve: "
                {move || fastest.with(|found| found.as_ref().map(|(_, name)| name.clone()))}
            </span>
        </p>
    }
    .into_any()
}

/// One move opens into its axes, each axis into its arithmetic.
fn one_move(app: App, id: u32, name: String) -> AnyView {
    let entry = Memo::new(move |_| with_torque(app, |torque| torque.moves.iter().find(|entry| entry.move_id == id).cloned()).flatten());
    let least = Memo::new(move |_| entry.with(|entry| entry.as_ref().and_then(least_headroom)));
    let joints = Memo::new(move |_| {
        entry.with(|entry| {
            let joints = entry.iter().flat_map(|entry| &entry.axes).map(|axis| (axis.joint.clone(), axis.name.clone()));
            joints.collect::<Vec<_>>()
        })
    });
    let summary = view! {
        <span class="row__name">{name}</span>
        <span class="row__value">{move || least.get().map(|least| format!("{} in hand", app.style().show(Kind::Share, least)))}</span>
    }
    .into_any();
    let whip = move || {
        entry.with(|entry| {
            let factor = entry.as_ref()?.operator_factor?;
            let style = app.style();
            Some(format!("The operator's moves could be {} times as fast.", style.decimal(factor, 1)))
        })
    };
    let force = move || {
        entry.with(|entry| {
            let entry = entry.as_ref()?;
            let style = app.style();
            Some(format!(
                "Wind {} in all, air {} kg/m³, motors {} on average.",
                style.show(Kind::Force, entry.wind_force_n),
                style.decimal(entry.air_kg_m3, 2),
                style.show(Kind::Power, entry.motors_w)
            ))
        })
    };
    let inside = view! {
        <p class="quiet">{whip}</p>
        <p class="quiet">{force}</p>
        <For each=move || joints.get() key=|joint| joint.clone() let:joint>{one_axis(app, id, joint.0, joint.1, entry)}</For>
    }
    .into_any();
    let value = Signal::derive(move || least.get().map(|least| format!("{least}")));
    reasons::row(app, "row", format!("torque-{id}"), value, summary, inside, None)
}

fn one_axis(app: App, id: u32, joint: String, name: String, entry: Memo<Option<MoveTorque>>) -> AnyView {
    let axis = Memo::new({
        let joint = joint.clone();
        move |_| entry.with(|entry| entry.as_ref()?.axes.iter().find(|axis| axis.joint == joint).cloned())
    });
    let use_of = move |read: fn(&AxisTorque) -> (f64, f64)| {
        move || {
            axis.with(|axis| {
                axis.as_ref().map(|axis| {
                    let (used, limit) = read(axis);
                    format!("{} of {}", app.style().bare(Kind::Torque, used), app.style().show(Kind::Torque, limit))
                })
            })
        }
    };
    let summary = view! {
        <span class="row__name">{name}</span>
        <span class="row__value">
            "peak " {use_of(|axis| (axis.peak_nm.value, axis.peak_limit_nm))}
            <br/>
            "lasting " {use_of(|axis| (axis.continuous_nm.value, axis.continuous_limit_nm))}
        </span>
    }
    .into_any();
    let value = Signal::derive(move || axis.with(|axis| axis.as_ref().map(|axis| format!("{}", axis.peak_nm.value))));
    let answer = AnswerId::Torque { joint: joint.clone(), move_id: id };
    reasons::row(app, "row row--inner", format!("torque-{id}-{joint}"), value, summary, ().into_any(), Some(answer))
}

fn least_headroom(entry: &MoveTorque) -> Option<f64> {
    let least = |axis: &AxisTorque| axis.peak_headroom.value.min(axis.continuous_headroom.value);
    entry.axes.iter().map(least).min_by(f64::total_cmp)
}
