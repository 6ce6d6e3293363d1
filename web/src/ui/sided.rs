//! A number that goes one of two ways: what is typed has no sign, for a phone's number pad has no minus.

use std::rc::Rc;

use leptos::prelude::*;
use solver::Package;

use crate::app::App;
use crate::dom::{El, div};
use crate::show::Style;
use crate::ui::choice::radios;
use crate::ui::number::Number;

/// Nearer to zero than so many storage steps a number has no side of its own: zero itself may lie between two of them, as
/// that of a thermometer does.
const NOTHING_STEPS: f64 = 0.6;

impl Number {
    /// The field on the page with two words beside it: the way of a positive number, and of a negative one. `which` names
    /// the choice for who does not see it. What cannot go that far one way stops at the end of its range.
    pub(crate) fn sided(self, app: App, which: &str, [plus, minus]: [&'static str; 2]) -> El {
        let (get, set, bounds, kind) = (self.get.clone(), self.set.clone(), self.bounds, self.kind);
        // Zero of the scale that a person reads: nothing in SI but for a temperature.
        let off = move |style: Style, package: &Package| {
            let zero = style.zero(kind);
            get(package).map(|si| (zero, si - zero))
        };
        let off = Rc::new(off);
        let put = Rc::new(move |package: &mut Package, si: f64| set(package, si.clamp(bounds.min, bounds.max)));
        // Nothing has no side of its own: the last one chosen is remembered.
        let behind = |off: Option<(f64, f64)>| off.is_some_and(|(_, by)| by < 0.0);
        let chosen = RwSignal::new(app.document.now(|package| behind(off(app.style_now(), package))));
        let nothing = NOTHING_STEPS / bounds.steps_per_unit;
        let side = move |by: f64, chosen: bool| if by.abs() < nothing { chosen } else { by < 0.0 };
        let (seen, asked, turned) = (off.clone(), off.clone(), off.clone());
        let (written, turn) = (put.clone(), put);
        let (test, help) = (self.test.clone(), self.help_view());
        let mut unsigned = self;
        unsigned.sided = true;
        unsigned.get = Rc::new(move |package| off(app.style_now(), package).map(|(zero, by)| zero + by.abs()));
        unsigned.set = Rc::new(move |package, si| {
            let Some((zero, by)) = asked(app.style_now(), package) else { return written(package, si) };
            // Whoever has a minus and types it means it.
            let back = si - zero < -nothing || side(by, chosen.get_untracked());
            chosen.set(back);
            written(package, if back { zero - (si - zero).abs() } else { si });
        });
        let now = move || {
            let by = app.document.with(|package| seen(app.style(), package)).map_or(0.0, |(_, by)| by);
            Some(usize::from(side(by, chosen.get())))
        };
        let take = move |choice: usize| {
            let back = choice == 1;
            chosen.set(back);
            app.document.edit(|package| {
                if let Some((zero, by)) = turned(app.style_now(), package) {
                    turn(package, if back { zero - by.abs() } else { zero + by.abs() });
                }
            });
        };
        let way = radios(which, &format!("{test}-way"), vec![plus, minus], Rc::new(now), Rc::new(take));
        div("distance").child(unsigned.view(app)).child(way.class("distance__way")).children(help)
    }
}
