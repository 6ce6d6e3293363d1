//! Names on leader lines, placed so that no name covers a name, a leader or a part.
//!
//! Each name is a flag: an upright leader stands on the part and the name flies from it to the right or to the left.
//! The heaviest parts choose first, the row nearest to the camera first; a name that finds no room is left out, and the
//! part still says it when touched.

use super::projection::Frame;

/// Height of a row of names, px.
const ROW: f64 = 17.0;
/// From the camera to the nearest row, px.
const FIRST: f64 = 16.0;
/// Most rows above and below.
const ROWS: usize = 9;
/// Longest name that is written out, characters.
const LONGEST: usize = 22;
/// Mean width of a character, px, on the wide side: names are set in 12 px.
const CHARACTER: f64 = 7.2;
/// The same of an axis, set in bold, spaced capitals.
const CAPITAL: f64 = 10.0;
/// Between a name and its leader, and at least as much between two names of a row, px.
const GAP: f64 = 4.0;
/// Shares of a part's width where its leader may stand, the middle first.
const FEET: [f64; 5] = [0.5, 0.34, 0.66, 0.18, 0.82];

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Named {
    /// An axis of the scene that comes out of the sheet.
    Axis(usize),
    /// A figure of the scene.
    Figure(usize),
}

/// A part or an axis that wants its name shown.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wish {
    /// What it names.
    pub(crate) named: Named,
    /// Its name.
    pub(crate) name: String,
    /// Where the part is now.
    pub(crate) frame: Frame,
    /// Where what is drawn over it is now.
    pub(crate) hidden_by: Vec<Frame>,
    /// The heaviest is placed first.
    pub(crate) mass_kg: f64,
}

/// A placed name.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Label {
    /// What it names.
    pub(crate) named: Named,
    /// What is written.
    pub(crate) text: String,
    /// Foot of the leader, on the part.
    pub(crate) foot: [f64; 2],
    /// Where the leader ends and the name begins: on the base line of the text.
    pub(crate) head: [f64; 2],
    /// Whether the name flies to the left.
    pub(crate) leftwards: bool,
}

/// Where names may stand.
#[derive(Debug, Clone)]
pub(crate) struct Room {
    /// The sheet within its margins.
    pub(crate) sheet: Frame,
    /// The camera side: rows of names run above and below it.
    pub(crate) camera: Frame,
    /// What names must not cover.
    pub(crate) taken: Vec<Frame>,
    /// What leaders must not cross either: words and figures.
    pub(crate) words: Vec<Frame>,
}

/// Places as many names as there is room for.
pub(crate) fn place(mut wishes: Vec<Wish>, room: &Room) -> Vec<Label> {
    wishes.sort_by(|a, b| b.mass_kg.total_cmp(&a.mass_kg).then(a.named.cmp(&b.named)));
    let mut texts = room.taken.clone();
    texts.extend(&room.words);
    let mut placed = Placed { texts, leaders: Vec::new() };
    wishes.iter().filter_map(|wish| placed.find(wish, room)).collect()
}

struct Placed {
    texts: Vec<Frame>,
    leaders: Vec<Frame>,
}

impl Placed {
    fn find(&mut self, wish: &Wish, room: &Room) -> Option<Label> {
        let text = shortened(&wish.name);
        let character = if matches!(wish.named, Named::Axis(_)) { CAPITAL } else { CHARACTER };
        let width = text.chars().count() as f64 * character + 2.0 * GAP;
        let middle = 0.5 * (room.camera.top + room.camera.bottom);
        // Below an axis stand the lines of what moves it; above it is air.
        let upwards = matches!(wish.named, Named::Axis(_)) || 0.5 * (wish.frame.top + wish.frame.bottom) <= middle;
        // A name on the far side is for parts that reach well over there: a leader does not cross the whole camera.
        let reaches_far = if upwards { wish.frame.bottom > middle } else { wish.frame.top < middle };
        for up in [upwards, !upwards].into_iter().take(1 + usize::from(reaches_far)) {
            for (row, share) in (0..ROWS).flat_map(|row| FEET.map(|share| (row, share))) {
                for leftwards in [false, true] {
                    let label = candidate(wish, room, up, row, share, leftwards, &text);
                    let hidden = wish.hidden_by.iter().any(|nearer| nearer.holds(label.foot));
                    if hidden {
                        continue;
                    }
                    if let Some((name, leader)) = self.free(&label, width, room) {
                        self.texts.push(name);
                        self.leaders.push(leader);
                        return Some(label);
                    }
                }
            }
        }
        None
    }

    /// The frames of name and leader, when nothing is in their way.
    fn free(&self, label: &Label, width: f64, room: &Room) -> Option<(Frame, Frame)> {
        let [x, y] = label.head;
        let (left, right) = if label.leftwards { (x - width, x) } else { (x, x + width) };
        let name = Frame { left, top: y - 12.0, right, bottom: y + 4.0 };
        let leader = Frame { left: x - 2.5, right: x + 2.5, top: y.min(label.foot[1]), bottom: y.max(label.foot[1]) };
        let sheet = &room.sheet;
        let inside = name.left >= sheet.left
            && name.right <= sheet.right
            && name.top >= sheet.top
            && name.bottom <= sheet.bottom;
        let long_enough = (label.foot[1] - y).abs() >= 8.0;
        // Leaders may cross parts, never names; names may cross nothing.
        let clear = !self.texts.iter().any(|other| other.overlaps(&name))
            && !self.leaders.iter().any(|other| other.overlaps(&name) || other.overlaps(&leader))
            && !self.texts[room.taken.len()..].iter().any(|other| other.overlaps(&leader));
        (inside && long_enough && clear).then_some((name, leader))
    }
}

fn candidate(wish: &Wish, room: &Room, up: bool, row: usize, share: f64, leftwards: bool, text: &str) -> Label {
    let rows = FIRST + ROW * row as f64;
    let y = if up { room.camera.top - rows + 6.0 } else { room.camera.bottom + rows + 2.0 };
    let [x, _] = wish.frame.at(share, 0.0);
    // A little inside the edge that faces the name, so that the dot at its foot stands on the part.
    let inside = (0.3 * wish.frame.height()).min(7.0);
    let foot = if up { wish.frame.top + inside } else { wish.frame.bottom - inside };
    Label { named: wish.named, text: text.to_owned(), foot: [x, foot], head: [x, y], leftwards }
}

fn shortened(name: &str) -> String {
    if name.chars().count() <= LONGEST {
        return name.to_owned();
    }
    let mut short: String = name.chars().take(LONGEST - 1).collect();
    short.truncate(short.trim_end().len());
    short.push('…');
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room() -> Room {
        Room {
            sheet: Frame { left: 0.0, top: 0.0, right: 340.0, bottom: 320.0 },
            camera: Frame { left: 60.0, top: 120.0, right: 300.0, bottom: 200.0 },
            taken: vec![],
            words: vec![],
        }
    }

    fn crowd(count: u32) -> Vec<Wish> {
        // A fixed scatter of small parts over the camera.
        (0..count)
            .map(|index| {
                let at = [70.0 + f64::from(index * 61 % 220), 125.0 + f64::from(index * 37 % 70)];
                Wish {
                    named: Named::Figure(index as usize),
                    name: format!("Part number {index}"),
                    frame: Frame::round(at, [9.0, 6.0]),
                    hidden_by: Vec::new(),
                    mass_kg: f64::from(index % 7),
                }
            })
            .collect()
    }

    fn name_frame(label: &Label) -> Frame {
        let width = label.text.chars().count() as f64 * CHARACTER + 4.0;
        let [x, y] = label.head;
        let (left, right) = if label.leftwards { (x - width, x) } else { (x, x + width) };
        Frame { left, top: y - 12.0, right, bottom: y + 4.0 }
    }

    #[test]
    fn no_name_covers_or_touches_a_name_or_covers_a_leader_in_a_crowd() {
        let labels = place(crowd(40), &room());
        assert!(labels.len() >= 9, "only {} names found room", labels.len());
        for (index, label) in labels.iter().enumerate() {
            for other in &labels[index + 1..] {
                let [one, next] = [name_frame(label), name_frame(other)];
                assert!(!one.overlaps(&next), "{label:?} {other:?}");
                let one_row = (label.head[1] - other.head[1]).abs() < 1.0;
                let apart_px = (next.left - one.right).max(one.left - next.right);
                assert!(!one_row || apart_px >= GAP, "{label:?} touches {other:?}");
            }
            for other in &labels {
                let [x, y] = other.head;
                let frame = name_frame(label);
                let crosses = x > frame.left
                    && x < frame.right
                    && y.min(other.foot[1]) < frame.bottom
                    && y.max(other.foot[1]) > frame.top;
                assert!(!crosses || label == other, "{label:?} under the leader of {other:?}");
            }
        }
    }

    #[test]
    fn names_stay_on_the_sheet_and_off_what_is_taken() {
        let mut room = room();
        room.taken.push(Frame { left: 0.0, top: 0.0, right: 150.0, bottom: 118.0 });
        for label in place(crowd(40), &room) {
            let frame = name_frame(&label);
            assert!(frame.left >= 0.0 && frame.right <= 340.0 && frame.top >= 0.0 && frame.bottom <= 320.0);
            assert!(!frame.overlaps(&room.taken[0]));
        }
    }

    #[test]
    fn no_leader_crosses_a_figure() {
        let mut room = room();
        room.words.push(Frame { left: 100.0, top: 202.0, right: 200.0, bottom: 216.0 });
        for label in place(crowd(40), &room) {
            let [x, y] = label.head;
            let below = y.max(label.foot[1]) > 202.0;
            assert!(!(below && x > 100.0 && x < 200.0), "{label:?}");
        }
    }

    #[test]
    fn the_heaviest_part_is_named_first_and_nearest() {
        let mut wishes = crowd(20);
        wishes[13].mass_kg = 50.0;
        let labels = place(wishes, &room());
        assert_eq!(labels[0].named, Named::Figure(13));
    }

    #[test]
    fn a_part_behind_another_is_not_named_as_if_it_were_seen() {
        let mut wishes = crowd(1);
        let nearer = wishes[0].frame.grown(1.0);
        wishes[0].hidden_by.push(nearer);
        assert_eq!(place(wishes, &room()), []);
    }

    #[test]
    fn a_long_name_is_shortened_between_characters() {
        assert_eq!(shortened("Lens-control receiver für draußen"), "Lens-control receiver…");
        assert_eq!(shortened("Aerial"), "Aerial");
    }
}
