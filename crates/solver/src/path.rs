//! The path of a field, such as `parts[3].mass.kg`.

use core::cmp::Ordering;
use core::fmt;
use core::hash::{Hash, Hasher};

/// Most steps of a path; the deepest field of a package has five.
const DEPTH: usize = 8;

/// Where a number or a name stands in the package. The same path names the field in a file, a message and the screen.
///
/// Held in place: every number of a package is walked past at every edit, and a path costs no memory.
#[derive(Clone)]
pub struct FieldPath {
    steps: [Segment; DEPTH],
    depth: usize,
}

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
        Self { steps: [Segment::Index(0); DEPTH], depth: 0 }
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
        self.steps.get(..self.depth).unwrap_or(&self.steps)
    }

    fn with(&self, segment: Segment) -> Self {
        let mut longer = self.clone();
        longer.push(segment);
        longer
    }

    /// A step below the deepest that a path holds is not named, and counts all the same, so that it can be taken back.
    pub(crate) fn push(&mut self, segment: Segment) {
        if let Some(step) = self.steps.get_mut(self.depth) {
            *step = segment;
        }
        self.depth += 1;
    }

    pub(crate) fn pop(&mut self) {
        self.depth = self.depth.saturating_sub(1);
    }
}

impl Default for FieldPath {
    fn default() -> Self {
        Self::root()
    }
}

impl fmt::Debug for FieldPath {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "FieldPath({self})")
    }
}

impl PartialEq for FieldPath {
    fn eq(&self, other: &Self) -> bool {
        self.segments() == other.segments()
    }
}

impl Eq for FieldPath {}

impl PartialOrd for FieldPath {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for FieldPath {
    fn cmp(&self, other: &Self) -> Ordering {
        self.segments().cmp(other.segments())
    }
}

impl Hash for FieldPath {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.segments().hash(state);
    }
}

impl fmt::Display for FieldPath {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, segment) in self.segments().iter().enumerate() {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_names_its_steps_and_compares_by_them_alone() {
        let mut path = FieldPath::root().field("parts").index(3);
        path.push(Segment::Field("mass"));
        path.push(Segment::Field("kg"));
        assert_eq!(path.to_string(), "parts[3].mass.kg");
        path.pop();
        path.pop();
        assert_eq!(path, FieldPath::root().field("parts").index(3));
        assert!(path > FieldPath::root().field("parts"));
    }

    #[test]
    fn steps_beyond_the_deepest_are_taken_back_again() {
        let mut path = FieldPath::root().field("a");
        let before = path.clone();
        for index in 0..20 {
            path.push(Segment::Index(index));
        }
        assert_eq!(path.segments().len(), DEPTH);
        for _ in 0..20 {
            path.pop();
        }
        assert_eq!(path, before);
    }
}
