//! The path of a field, such as `parts[3].mass.kg`.

use core::fmt;

/// Where a number or a name stands in the package. The same path names the field in a file, a message and the screen.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct FieldPath(Vec<Segment>);

/// One step of a [`FieldPath`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Segment {
    /// A named field.
    Field(&'static str),
    /// A place in a list, from 0.
    Index(usize),
}

impl FieldPath {
    /// The package itself.
    pub fn root() -> Self {
        Self::default()
    }

    /// The path of `name` inside this one.
    #[must_use]
    pub fn field(&self, name: &'static str) -> Self {
        self.with(Segment::Field(name))
    }

    /// The path of element `index` of the list at this path.
    #[must_use]
    pub fn index(&self, index: usize) -> Self {
        self.with(Segment::Index(index))
    }

    /// The steps of this path, outermost first.
    pub fn segments(&self) -> &[Segment] {
        &self.0
    }

    fn with(&self, segment: Segment) -> Self {
        let mut longer = self.clone();
        longer.0.push(segment);
        longer
    }

    pub(crate) fn push(&mut self, segment: Segment) {
        self.0.push(segment);
    }

    pub(crate) fn pop(&mut self) {
        self.0.pop();
    }
}

impl fmt::Display for FieldPath {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, segment) in self.0.iter().enumerate() {
            match segment {
                Segment::Field(name) if place == 0 => write!(out, "{name}")?,
                Segment::Field(name) => write!(out, ".{name}")?,
                Segment::Index(index) => write!(out, "[{index}]")?,
            }
        }
        Ok(())
    }
}

impl serde::Serialize for FieldPath {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
