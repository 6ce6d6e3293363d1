//! What an elevation shows and what follows while something is dragged.

use std::sync::Arc;

use leptos::prelude::*;
use solver::Package;
use solver::layout::Of;

use super::labels::{Label, Named, Room, Wish, place};
use super::projection::{Frame, View, plus};
use super::scene::Scene;
use super::skeleton::Skeleton;
use super::symbols;
use crate::app::App;
use crate::show::Kind;

/// Up to this height a screen that lies is low, px: 32 em of the usual text.
const LOW_PX: f64 = 512.0;
/// What the header and the frame of the sheet take of it, px.
const TOP_PX: f64 = 62.0;

/// What is held, in words for the line below the drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Held {
    /// A slide of the chain.
    Slide(usize),
    /// A part, the lens or the body.
    Figure(Of),
}

/// The signals that a drawing is made of.
#[derive(Clone, Copy)]
pub(crate) struct Sheet {
    /// The app.
    pub(crate) app: App,
    /// The elevation that is chosen.
    pub(crate) view: RwSignal<View>,
    /// Width of the sheet, px.
    pub(crate) width_px: RwSignal<f64>,
    /// What a finger holds now.
    pub(crate) held: RwSignal<Option<Held>>,
    /// Everything that stays while something is dragged.
    pub(crate) scene: Memo<Arc<Scene>>,
    /// The chain and its parts as they are now, marks apart.
    pub(crate) skeleton: Memo<Arc<Skeleton>>,
    /// Present marks, m.
    pub(crate) marks_m: Memo<Vec<f64>>,
    /// Names on leader lines; they stay put while something is dragged.
    pub(crate) labels: Memo<Vec<Label>>,
    /// How far each figure of the scene has been dragged, px; empty while none is.
    shifts: Memo<Vec<[f64; 2]>>,
}

impl Sheet {
    /// A sheet that shows the app's package.
    pub(crate) fn new(app: App) -> Self {
        let view = RwSignal::new(View::Side);
        let width_px = RwSignal::new(328.0);
        let held = RwSignal::new(None);
        let marks_m = Memo::new(move |_| app.document.with(present_marks_m));
        let shape = Memo::new(move |_| app.document.with(|package| Arc::new(without_marks(package))));
        let skeleton = Memo::new(move |_| shape.with(|package| Arc::new(Skeleton::new(package))));
        let scene = Memo::new(move |before: Option<&Arc<Scene>>| match before {
            Some(before) if held.get().is_some() => before.clone(),
            _ => shape.with(|package| Arc::new(Scene::new(package, view.get(), width_px.get(), low_px()))),
        });
        // To the millimetre: a name does not jump for less.
        let cg_ahead_m = move || {
            let across = view.get().axes()[0];
            let cg_m = app.document.report(|report| report.mass.camera_cg_from_flange_m).flatten();
            cg_m.map(|cg_m| cg_m[across].value)
        };
        let labels = Memo::new(move |before: Option<&Vec<Label>>| match before {
            Some(before) if held.get().is_some() => before.clone(),
            _ => scene.with(|scene| marks_m.with(|marks_m| labels(scene, marks_m, cg_ahead_m()))),
        });
        let shifts = Memo::new(move |_| match held.get() {
            Some(Held::Figure(_)) => scene.with(|scene| skeleton.with(|now| shifts(scene, now))),
            _ => Vec::new(),
        });
        Self { app, view, width_px, held, scene, skeleton, marks_m, labels, shifts }
    }

    /// How far what rides inboard of `rides` slides stands from where the scene draws it, px.
    pub(crate) fn offset_px(self, rides: usize) -> [f64; 2] {
        self.scene.with(|scene| self.marks_m.with(|marks_m| scene.offset_px(rides, marks_m)))
    }

    /// The same for one figure of the scene, with what it has been dragged.
    pub(crate) fn figure_px(self, figure: usize, rides: usize) -> [f64; 2] {
        let by = self.shifts.with(|shifts| shifts.get(figure).copied().unwrap_or_default());
        plus(self.offset_px(rides), by)
    }

    /// The centre of gravity of the camera side and its standard uncertainty on the sheet, px; `None` without mass.
    pub(crate) fn cg_px(self) -> Option<([f64; 2], [f64; 2])> {
        let cg_m = self.app.document.report(|report| report.mass.camera_cg_from_flange_m).flatten()?;
        self.scene.with(|scene| {
            let flange_m = self.skeleton.with(|now| now.flange_m);
            let at = scene.paper.point(plus(flange_m, cg_m.map(|along| along.value)));
            let u = scene.paper.vector(cg_m.map(|along| along.u)).map(f64::abs);
            Some((plus(at, self.offset_px(scene.skeleton.camera_rides)), u))
        })
    }

    /// The flange on the sheet, px.
    pub(crate) fn flange_px(self) -> [f64; 2] {
        self.scene.with(|scene| {
            let at = scene.paper.point(self.skeleton.with(|now| now.flange_m));
            plus(at, self.offset_px(scene.skeleton.camera_rides))
        })
    }

    /// Height of the dimension from the flange to the centre of gravity, px.
    pub(crate) fn dimension_px(self) -> f64 {
        self.scene.with(|scene| self.marks_m.with(|marks_m| scene.camera_px(marks_m).bottom)) + 16.0
    }

    /// What is held, or where the centre of gravity is, in words.
    pub(crate) fn words(self) -> String {
        match self.held.get() {
            Some(Held::Slide(slide)) => self.slide_words(slide),
            Some(Held::Figure(of)) => self.figure_words(of),
            None => self.cg_words(),
        }
    }

    fn slide_words(self, slide: usize) -> String {
        let style = self.app.style();
        let Some((id, name)) =
            self.skeleton.with(|now| now.ways.get(slide).map(|way| (way.id.clone(), way.name.clone())))
        else {
            return String::new();
        };
        let mark_m = self.marks_m.with(|marks_m| marks_m.get(slide).copied().unwrap_or_default());
        let target_m = self
            .app
            .document
            .report(|report| report.slides.iter().find(|row| row.slide == id).map(|row| row.target_m.value));
        let now = style.bare(Kind::Mark, mark_m);
        target_m.flatten().map_or_else(
            || format!("{name} {now}"),
            |target_m| format!("{name} {now}, goes to {}", style.show(Kind::Mark, target_m)),
        )
    }

    fn figure_words(self, of: Of) -> String {
        let style = self.app.style();
        self.scene.with(|scene| {
            let figure = scene.parts.iter().position(|part| part.of == of);
            let Some((figure, part)) = figure.and_then(|index| Some((index, scene.parts.get(index)?))) else {
                return String::new();
            };
            let by = self.shifts.with(|shifts| shifts.get(figure).copied().unwrap_or_default());
            let by_m = scene.paper.metres(by);
            let words = [["back", "forward"], ["right", "left"], ["down", "up"]];
            let moved = (0..3).filter(|axis| by_m[*axis].abs() > 2e-4).map(|axis| {
                let word = words[axis][usize::from(by_m[axis] > 0.0)];
                format!("{} {word}", style.show(Kind::Mark, by_m[axis].abs()))
            });
            let moved: Vec<String> = moved.collect();
            let told = if moved.is_empty() { "as it was".to_owned() } else { moved.join(", ") };
            format!("{}: {told}", part.name)
        })
    }

    /// Where the camera's centre of gravity is, from the flange.
    fn cg_words(self) -> String {
        let style = self.app.style();
        let Some(cg_m) = self.app.document.report(|report| report.mass.camera_cg_from_flange_m).flatten() else {
            return "No centre of gravity: nothing on the head has a mass yet.".to_owned();
        };
        let words = [["behind", "ahead of"], ["right of", "left of"], ["below", "above"]];
        let [right, up] = self.view.get().axes();
        let told = [right, up].map(|axis| {
            let word = words[axis][usize::from(cg_m[axis].value >= 0.0)];
            let value = style.uncertain(Kind::Mark, cg_m[axis].value.abs(), cg_m[axis].u);
            format!("{value} {word} the flange ({})", style.plus_minus(Kind::Mark, cg_m[axis].u))
        });
        format!("Centre of gravity: {}", told.join(", "))
    }
}

/// Height of a sheet that is on a low screen all at once, px: a phone on its side, as `style/wide.css` has it. Read when
/// the sheet is composed anew, which turning the phone does, for then it has another width.
fn low_px() -> Option<f64> {
    let window = web_sys::window()?;
    let [width, height] = [window.inner_width(), window.inner_height()].map(|side| side.ok()?.as_f64());
    let (width, height) = (width?, height?);
    (width > height && height <= LOW_PX).then_some(height - TOP_PX)
}

fn present_marks_m(package: &Package) -> Vec<f64> {
    package.head.slides().map(|slide| slide.mark_m).collect()
}

/// The package with every mark at zero displacement: equal before and after a slide has moved.
fn without_marks(package: &Package) -> Package {
    let mut shape = package.clone();
    for slide in shape.head.slides_mut() {
        slide.mark_m = slide.zero_m;
    }
    shape
}

/// How far every figure of a scene stands from where it was drawn.
fn shifts(scene: &Scene, now: &Skeleton) -> Vec<[f64; 2]> {
    scene
        .parts
        .iter()
        .map(|part| {
            let centre = |skeleton: &Skeleton| {
                skeleton.things.iter().find(|thing| thing.of == part.of).map(|thing| scene.paper.point(thing.centre_m))
            };
            match (centre(&scene.skeleton), centre(now)) {
                (Some(from), Some(to)) => [to[0] - from[0], to[1] - from[1]],
                _ => [0.0, 0.0],
            }
        })
        .collect()
}

/// Names on their leaders, with the centre of gravity so far across from the flange.
fn labels(scene: &Scene, marks_m: &[f64], cg_ahead_m: Option<f64>) -> Vec<Label> {
    let camera = scene.camera_px(marks_m);
    let now = |frame: &Frame, rides: usize| frame.moved(scene.offset_px(rides, marks_m));
    let mut taken: Vec<Frame> = scene
        .parts
        .iter()
        .filter(|part| !part.camera_side)
        .map(|part| now(&part.frame, part.rides).grown(2.0))
        .collect();
    let mut words = Vec::new();
    for axis in &scene.axes {
        let by = scene.offset_px(axis.rides, marks_m);
        let by = [0, 1].map(|along| if axis.moves[along] { by[along] } else { 0.0 });
        words.extend(axis.word_at.map(|place| place.frame(&axis.word).moved(by).grown(4.0)));
    }
    // The dimension, and its figure, which no leader may strike through.
    let flange =
        plus(scene.paper.point(scene.skeleton.flange_m), scene.offset_px(scene.skeleton.camera_rides, marks_m));
    let (top, bottom) = (camera.bottom + 4.0, camera.bottom + 22.0);
    taken.push(Frame { left: flange[0] - 40.0, right: flange[0] + 110.0, top, bottom });
    if let Some(ahead_m) = cg_ahead_m {
        let mut ahead = [0.0; 3];
        ahead[scene.paper.view.axes()[0]] = ahead_m;
        let cg = flange[0] + scene.paper.vector(ahead)[0];
        let ends = [flange, [cg, flange[1]]];
        let at = symbols::dimension(ends[0], ends[1], camera.bottom + 16.0).figure_at;
        words.extend(ends.map(|[x, _]| Frame { left: x - 2.0, right: x + 2.0, top: camera.bottom, bottom }));
        words.push(Frame { left: at[0] - 3.0, right: at[0] + 48.0, top, bottom });
    }
    if let Some(clear) = &scene.clear {
        let [left, y] = plus(clear.words_at, scene.offset_px(clear.rides, marks_m));
        taken.push(Frame { left: left - 8.0, top: y - 12.0, right: left + 86.0, bottom: y + 4.0 });
    }
    // Scale bar and wind.
    let width = scene.right_px;
    taken.push(Frame { left: 0.0, top: 0.0, right: 150.0, bottom: 30.0 });
    taken.push(Frame { left: width - 110.0, top: 0.0, right: width, bottom: 48.0 });
    let room = Room {
        sheet: Frame { left: 4.0, top: 4.0, right: width - 4.0, bottom: scene.ground_px - 2.0 },
        camera,
        taken,
        words,
    };
    let axes = scene.axes.iter().enumerate().filter(|(_, axis)| axis.word_at.is_none());
    let axes = axes.map(|(index, axis)| Wish {
        named: Named::Axis(index),
        name: axis.word.clone(),
        frame: Frame::round(plus(axis.point, scene.offset_px(axis.rides, marks_m)), [0.0; 2]),
        hidden_by: Vec::new(),
        mass_kg: f64::INFINITY,
    });
    let parts = scene.parts.iter().enumerate().filter(|(_, part)| !part.spread).map(|(figure, part)| Wish {
        named: Named::Figure(figure),
        name: part.name.clone(),
        frame: now(&part.frame, part.rides),
        hidden_by: scene.parts[figure + 1..]
            .iter()
            .filter(|nearer| !nearer.spread)
            .map(|nearer| now(&nearer.frame, nearer.rides))
            .collect(),
        mass_kg: part.mass_kg,
    });
    place(axes.chain(parts).collect(), &room)
}
