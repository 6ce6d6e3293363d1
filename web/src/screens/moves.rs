//! The moves of the day: platform, mounting, the operator's fastest moves, wind; and when the day starts.

use codec::library;
use quantity::clock;
use solver::Package;
use solver::bounds::{self, Bounds};
use solver::package::{AxisMove, Motion, Move, MoveId};

use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::show::Kind;
use crate::ui::choice::chips;
use crate::ui::number::{Number, number};
use crate::ui::reasons::{row, summary};
use crate::words::{MOUNTINGS, PLATFORMS};

/// The moves screen.
pub(crate) fn view(app: App) -> El {
    div("screen").child(day(app)).child(list(app)).child(add(app))
}

fn section(id: &str, title: &str) -> El {
    let title = el("h2").class("sheet__title").attr("id", id).words(title);
    el("section").class("sheet").attr("aria-labelledby", id).child(title)
}

fn day(app: App) -> El {
    let start = |package: &Package| package.day.start_min / 60.0;
    section("moves-day", "Day")
        .child(p("quiet", "").live_words(move || {
            let (from, hours) = app.document.with(|package| (package.day.start_min, package.day.running_h));
            format!("Head on from {} to {}.", clock(from), clock(from + 60.0 * hours))
        }))
        .child(
            div("fields").children([
                number(
                    "Head on at, hours after midnight",
                    Kind::Hours,
                    &bounds::HOURS,
                    "day-start",
                    move |package| Some(start(package)),
                    |package, hours| {
                        package.day.start_min = (60.0 * hours).clamp(bounds::CLOCK_MIN.min, bounds::CLOCK_MIN.max);
                    },
                )
                .view(app),
                number(
                    "Running for",
                    Kind::Hours,
                    &bounds::HOURS,
                    "day-hours",
                    |package| Some(package.day.running_h),
                    |package, hours| package.day.running_h = hours,
                )
                .view(app),
            ]),
        )
}

fn list(app: App) -> El {
    let ids = move || app.document.with(|package| package.moves.iter().map(|each| each.id.to_string()).collect());
    section("moves-list", "Moves")
        .child(
            p("quiet", "No move yet: torque cannot be answered without one.")
                .hidden(move || app.document.with(|package| !package.moves.is_empty())),
        )
        .child(div("list").each(ids, move |id| one(app, id.parse().unwrap_or_default())))
}

fn move_of(package: &Package, id: MoveId) -> Option<&Move> {
    package.moves.iter().find(|each| each.id == id)
}

fn change(package: &mut Package, id: MoveId, change: impl FnOnce(&mut Move)) {
    if let Some(each) = package.moves.iter_mut().find(|each| each.id == id) {
        change(each);
    }
}

fn one(app: App, id: MoveId) -> El {
    let head = summary()
        .child(span("list__name").live_words(move || {
            app.document.with(|package| move_of(package, id).map(|each| each.name.clone()).unwrap_or_default())
        }))
        .child(span("list__detail").live_words(move || {
            let share = app.document.with(|package| move_of(package, id).map_or(0.0, |each| each.share));
            format!("{} of the day", app.style().show(Kind::Share, share))
        }));
    let remove = el("button")
        .class("button")
        .attr("type", "button")
        .test(&format!("move-remove-{id}"))
        .words("Remove this move")
        .press(move || app.document.edit(|package| package.moves.retain(|each| each.id != id)));
    let inside = vec![carried(app, id), operator(app, id), base(app, id), air(app, id), remove];
    row(app, "list__fold", &format!("move-{id}"), head, inside, None)
}

fn field(
    id: MoveId,
    label: impl Into<String>,
    kind: Kind,
    bounds: &'static Bounds,
    test: &str,
    get: impl Fn(&Move) -> Option<f64> + 'static,
    set: impl Fn(&mut Move, f64) + 'static,
) -> Number {
    number(
        label,
        kind,
        bounds,
        format!("move-{id}-{test}"),
        move |package| move_of(package, id).and_then(&get),
        move |package, value| change(package, id, |each| set(each, value)),
    )
}

fn carried(app: App, id: MoveId) -> El {
    div("fields")
        .child(chips(
            app,
            "Carried by",
            &format!("move-{id}-platform"),
            PLATFORMS,
            move |package| move_of(package, id).map(|each| each.platform),
            move |package, platform| change(package, id, |each| each.platform = platform),
        ))
        .child(chips(
            app,
            "Mounted",
            &format!("move-{id}-mounting"),
            MOUNTINGS,
            move |package| move_of(package, id).map(|each| each.mounting),
            move |package, mounting| change(package, id, |each| each.mounting = mounting),
        ))
        .child(
            field(
                id,
                "Share of the day",
                Kind::Share,
                &bounds::SHARE,
                "share",
                |each| Some(each.share),
                |each, share| each.share = share,
            )
            .view(app),
        )
}

/// The operator's fastest move on every axis of the head.
fn operator(app: App, id: MoveId) -> El {
    let joints = app.document.now(|package| {
        package.head.joints().map(|joint| (joint.id.clone(), joint.name.clone())).collect::<Vec<(String, String)>>()
    });
    let fields = joints.into_iter().flat_map(|(joint, name)| {
        let [read_rate, set_rate, read_time, set_time] = [(); 4].map(|()| joint.clone());
        [
            field(
                id,
                format!("{name}: fastest rate"),
                Kind::Rate,
                &bounds::RATE_RAD_S,
                &format!("rate-{joint}"),
                move |each| Some(axis_of(each, &read_rate).map_or(0.0, |axis| axis.rate_rad_s)),
                move |each, rate| axis_mut(each, &set_rate).rate_rad_s = rate,
            )
            .view(app),
            field(
                id,
                format!("{name}: from rest to it in"),
                Kind::Seconds,
                &bounds::TIME_S,
                &format!("time-{joint}"),
                move |each| axis_of(each, &read_time).map(|axis| axis.time_s),
                move |each, time| axis_mut(each, &set_time).time_s = time,
            )
            .view(app),
        ]
    });
    div("fields").children(fields.collect::<Vec<El>>())
}

fn axis_of<'a>(each: &'a Move, joint: &str) -> Option<&'a AxisMove> {
    each.operator.iter().find(|axis| axis.joint == joint)
}

/// The axis's move, added as none when there is none yet.
fn axis_mut<'a>(each: &'a mut Move, joint: &str) -> &'a mut AxisMove {
    let at = each.operator.iter().position(|axis| axis.joint == joint).unwrap_or_else(|| {
        each.operator.push(AxisMove { joint: joint.to_owned(), rate_rad_s: 0.0, time_s: 0.5 });
        each.operator.len() - 1
    });
    &mut each.operator[at]
}

/// What the platform does to the base: a person's own figures, or those that a road or a sea gives.
fn base(app: App, id: MoveId) -> El {
    macro_rules! motion_field {
        ($variant:ident, $label:literal, $kind:ident, $bounds:ident, $field:ident) => {
            field(
                id,
                $label,
                Kind::$kind,
                &bounds::$bounds,
                stringify!($field),
                |each| if let Motion::$variant { $field, .. } = &each.motion { Some(*$field) } else { None },
                |each, value| {
                    if let Motion::$variant { $field, .. } = &mut each.motion {
                        *$field = value;
                    }
                },
            )
            .view(app)
        };
    }
    let motion = app.document.now(|package| move_of(package, id).map(|each| each.motion.clone()));
    let fields = match motion {
        Some(Motion::Own { .. }) => vec![
            motion_field!(Own, "Largest lean of the base", Angle, LEAN_RAD, lean_rad),
            motion_field!(Own, "Acceleration, root mean square", Acceleration, ACCELERATION_M_S2, rms_m_s2),
            motion_field!(Own, "Acceleration, largest", Acceleration, ACCELERATION_M_S2, peak_m_s2),
            motion_field!(Own, "Slam, upwards", Acceleration, ACCELERATION_M_S2, slam_m_s2),
            motion_field!(Own, "Mean frequency", Frequency, FREQUENCY_HZ, band_hz),
        ],
        Some(Motion::Road { .. }) => vec![
            motion_field!(Road, "Speed on the road", Speed, SPEED_M_S, speed_m_s),
            motion_field!(Road, "Wheelbase", Distance, CABLE_M, wheelbase_m),
            motion_field!(Road, "Largest lean of the base", Angle, LEAN_RAD, lean_rad),
            motion_field!(Road, "Driving and braking", Acceleration, ACCELERATION_M_S2, steady_m_s2),
        ],
        Some(Motion::Sea { .. }) => vec![
            motion_field!(Sea, "Significant wave height", Distance, WAVE_HEIGHT_M, height_m),
            motion_field!(Sea, "Peak period", Seconds, WAVE_PERIOD_S, period_s),
            motion_field!(Sea, "Largest lean of the base", Angle, LEAN_RAD, lean_rad),
            motion_field!(Sea, "Slam, upwards", Acceleration, ACCELERATION_M_S2, slam_m_s2),
        ],
        None => Vec::new(),
    };
    div("fields").children(fields)
}

fn air(app: App, id: MoveId) -> El {
    div("fields").children([
        field(
            id,
            "Airspeed over the head",
            Kind::Speed,
            &bounds::AIRSPEED_M_S,
            "airspeed",
            |each| Some(each.airspeed_m_s),
            |each, speed| each.airspeed_m_s = speed,
        )
        .help("The vehicle's speed and the wind together.")
        .view(app),
        field(
            id,
            "Gust factor on speed",
            Kind::Plain,
            &bounds::GUST_FACTOR,
            "gust",
            |each| Some(each.gust_factor),
            |each, factor| each.gust_factor = factor,
        )
        .view(app),
        field(
            id,
            "Air temperature",
            Kind::Temperature,
            &bounds::TEMPERATURE_K,
            "air",
            |each| Some(each.air_k),
            |each, k| each.air_k = k,
        )
        .view(app),
        field(
            id,
            "Height above the sea",
            Kind::Distance,
            &bounds::ALTITUDE_M,
            "altitude",
            |each| Some(each.altitude_m),
            |each, m| each.altitude_m = m,
        )
        .view(app),
        field(
            id,
            "Fastest moves a minute",
            Kind::Plain,
            &bounds::REPEATS,
            "repeats",
            |each| Some(each.repeats_per_min),
            |each, count| each.repeats_per_min = count,
        )
        .view(app),
        field(
            id,
            "Length of a take",
            Kind::Seconds,
            &bounds::TAKE_S,
            "take",
            |each| Some(each.take_s),
            |each, s| each.take_s = s,
        )
        .view(app),
    ])
}

fn add(app: App) -> El {
    let rows = library::moves().iter().map(move |template| {
        el("button")
            .class("list__add")
            .attr("type", "button")
            .test(&format!("add-move-{}", template.id))
            .press(move || {
                app.document.edit(|package| {
                    let mut added = library::move_for(template, &package.head);
                    added.id = package.moves.iter().map(|known| known.id).max().unwrap_or(0) + 1;
                    package.moves.push(added);
                });
            })
            .child(span("list__name").words(&template.name))
    });
    section("moves-add", "Add a move")
        .child(p("quiet", "Invented, typical figures of a platform: put your own in."))
        .child(div("list").children(rows))
}
