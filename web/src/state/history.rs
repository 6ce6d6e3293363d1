//! Undo and redo: whole packages, newest last.

use std::sync::Arc;

use solver::Package;

/// How many steps back are kept.
const STEPS: usize = 60;

/// One earlier or later state of the package, as data or as the link that holds it.
///
/// A step that has been read back from storage stays a link until somebody goes there; one that has been written once
/// keeps its link, so that saving an edit packs one package and not sixty.
#[derive(Debug, Clone)]
pub(crate) struct Step {
    package: Option<Arc<Package>>,
    link: Option<String>,
}

impl Step {
    /// A step from a package at hand.
    pub(crate) fn new(package: Arc<Package>) -> Self {
        Self { package: Some(package), link: None }
    }

    /// A step from the link that holds it.
    pub(crate) fn packed(link: String) -> Self {
        Self { package: None, link: Some(link) }
    }

    /// The package, unless the link that held it cannot be read any more.
    fn package(&self) -> Option<Arc<Package>> {
        match (&self.package, &self.link) {
            (Some(package), _) => Some(package.clone()),
            (None, Some(link)) => codec::link::decode(link).ok().map(|opened| Arc::new(opened.package)),
            (None, None) => None,
        }
    }

    /// The link that holds it; `None` when the package is too large for one.
    fn link(&mut self) -> Option<String> {
        if self.link.is_none() {
            self.link = self
                .package
                .as_ref()
                .and_then(|package| codec::link::encode_whole(&codec::Document::from((**package).clone())).ok());
        }
        self.link.clone()
    }
}

/// What was before and what was undone.
#[derive(Debug, Clone, Default)]
pub(crate) struct History {
    undo: Vec<Step>,
    redo: Vec<Step>,
    /// The field of the last edit: typing on in it is the same step.
    field: Option<String>,
}

impl History {
    /// History read back from storage, oldest first.
    pub(crate) fn read(undo: Vec<String>, redo: Vec<String>) -> Self {
        Self {
            undo: undo.into_iter().map(Step::packed).collect(),
            redo: redo.into_iter().map(Step::packed).collect(),
            field: None,
        }
    }

    /// The links of all steps, oldest first: undo, then redo.
    pub(crate) fn written(&mut self) -> (Vec<String>, Vec<String>) {
        let write = |steps: &mut Vec<Step>| steps.iter_mut().filter_map(Step::link).collect();
        (write(&mut self.undo), write(&mut self.redo))
    }

    /// Remembers what was before an edit of `field`, which led to `after`.
    pub(crate) fn edited(&mut self, before: Arc<Package>, after: &Package, field: Option<&str>) {
        self.redo.clear();
        if field.is_some() && self.field.as_deref() == field {
            // Typed back to what it was: undo has nothing to take back.
            if self.undo.last().and_then(|step| step.package.as_deref()) == Some(after) {
                self.undo.pop();
                self.field = None;
            }
            return;
        }
        self.field = field.map(str::to_owned);
        self.undo.push(Step::new(before));
        if self.undo.len() > STEPS {
            self.undo.remove(0);
        }
    }

    /// The field that was being edited has been left: the next edit of it is a step of its own.
    pub(crate) fn left_field(&mut self) {
        self.field = None;
    }

    /// Goes one step back from `now`.
    pub(crate) fn undo(&mut self, now: Arc<Package>) -> Option<Arc<Package>> {
        self.field = None;
        go(&mut self.undo, &mut self.redo, now)
    }

    /// Goes one step forward from `now`.
    pub(crate) fn redo(&mut self, now: Arc<Package>) -> Option<Arc<Package>> {
        self.field = None;
        go(&mut self.redo, &mut self.undo, now)
    }

    /// Whether there is a step back and a step forward.
    pub(crate) fn ways(&self) -> [bool; 2] {
        [!self.undo.is_empty(), !self.redo.is_empty()]
    }
}

/// Takes the newest readable step of `from` and leaves `now` on `to`. Steps that cannot be read are passed over.
fn go(from: &mut Vec<Step>, to: &mut Vec<Step>, now: Arc<Package>) -> Option<Arc<Package>> {
    while let Some(step) = from.pop() {
        if let Some(package) = step.package() {
            to.push(Step::new(now));
            return Some(package);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(name: &str) -> Arc<Package> {
        Arc::new(Package { name: name.to_owned(), ..codec::library::demo() })
    }

    #[test]
    fn typing_in_one_field_is_one_step() {
        let [was, half, typed] = ["was", "half", "typed"].map(named);
        let mut history = History::default();
        history.edited(was.clone(), &half, Some("mass"));
        history.edited(half, &typed, Some("mass"));
        assert_eq!(history.undo(typed).as_ref(), Some(&was));
        assert_eq!(history.ways(), [false, true]);
    }

    #[test]
    fn what_is_typed_back_to_what_it_was_leaves_no_step() {
        let [was, half] = ["was", "half"].map(named);
        let mut history = History::default();
        history.edited(was.clone(), &half, Some("mass"));
        history.edited(half.clone(), &was, Some("mass"));
        assert_eq!(history.ways(), [false, false]);
        // Typed on, it is a step again.
        history.edited(was.clone(), &half, Some("mass"));
        assert_eq!(history.undo(half).as_ref(), Some(&was));
    }
}
