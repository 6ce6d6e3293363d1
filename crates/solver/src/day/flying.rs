//! Flying the packs: rated energy against the limits for passengers and cargo.

use serde::Serialize;

use crate::package::{Pack, Package};

/// Nominal voltage of a cell where no energy is printed, V. Typical of lithium-ion cells; from memory.
pub const CELL_V: f64 = 3.6;
/// Rated energy up to which a passenger needs no approval, and up to which one may take packs at all, Wh.
///
/// # Source
/// IATA Dangerous Goods Regulations, table 2.3.A, from memory; see [`EDITION`].
pub const PASSENGER_WH: [f64; 2] = [100.0, 160.0];
/// Spare packs that a passenger may take with the operator's approval, above the first limit. From memory.
pub const SPARES: u32 = 2;
/// Within this share of a limit a rated energy that nobody has read off the pack decides nothing.
const NEAR: f64 = 0.06;

/// Whose limits these are.
pub const EDITION: &str = "Limits as of the IATA Dangerous Goods Regulations edition in force on 1 January 2026, from memory. Carriers and states may be stricter: ask the carrier before you pack.";
/// What holds for packs that go as cargo.
pub const CARGO: &str = "As cargo, packs alone or packed with equipment travel at 30 % charge at most; packs alone go on cargo aircraft only. Dangerous goods are declared and packed by somebody who is trained for it.";

/// What a passenger may do with a pack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FlyRule {
    /// In the cabin without approval.
    Cabin,
    /// In the cabin with the operator's approval, two spares a person at most.
    Approval,
    /// Not with passengers.
    CargoOnly,
}

impl FlyRule {
    fn of(rated_wh: f64) -> Self {
        match PASSENGER_WH {
            [free_wh, _] if rated_wh <= free_wh => Self::Cabin,
            [_, most_wh] if rated_wh <= most_wh => Self::Approval,
            _ => Self::CargoOnly,
        }
    }

    /// The rule in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Cabin => "up to 100 Wh: in cabin baggage, each with its terminals protected",
            Self::Approval => {
                "over 100 and up to 160 Wh: in cabin baggage with the carrier's approval, at most two spares a person"
            }
            Self::CargoOnly => "over 160 Wh: not with passengers, neither in the cabin nor in the hold",
        }
    }
}

/// Packs of one rated energy.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FlyingPack {
    /// Names of those that ride.
    pub names: Vec<String>,
    /// Rated energy of each, Wh.
    pub rated_wh: f64,
    /// Whether it is cells × 3.6 V × capacity, for nobody has said what is printed.
    pub typical: bool,
    /// How many there are in all sets of the day.
    pub count: u32,
    /// What holds for them.
    pub rule: FlyRule,
    /// Whether a typical figure lies so near a limit that only the print on the pack decides.
    pub near_limit: bool,
    /// How many people it takes to carry as spares all packs of all kinds for which the rule counts them; absent where it
    /// does not count these.
    pub people: Option<u32>,
}

/// What holds for packs of one kind, in words: the rule, how many people it takes, and what to read off the pack.
pub fn flying_words(kind: &FlyingPack) -> String {
    let people = kind.people.map(|people| match people {
        1 => "; one person can carry all that need it".to_owned(),
        people => format!("; as spares all that need it take {people} people"),
    });
    let read = match (kind.near_limit, kind.typical) {
        (true, _) => "; so near a limit only what is printed on the pack decides: read it off",
        (false, true) => "; energy worked out at 3.6 V a cell: read it off the pack",
        (false, false) => "",
    };
    format!("{}{}{read}", kind.rule.words(), people.unwrap_or_default())
}

fn rated_wh(pack: &Pack) -> f64 {
    pack.rated_wh.unwrap_or(pack.cells * CELL_V * pack.capacity_ah)
}

/// The packs that ride, by their rated energy, in as many sets as the day takes.
pub(super) fn packs(package: &Package, sets: u32) -> Vec<FlyingPack> {
    let mut kinds: Vec<FlyingPack> = Vec::new();
    for (part, pack) in package.riding().filter_map(|part| part.pack.as_ref().map(|pack| (part, pack))) {
        let (rated_wh, typical) = (rated_wh(pack), pack.rated_wh.is_none());
        let known = kinds.iter_mut().find(|kind| (kind.rated_wh - rated_wh).abs() < 0.05 && kind.typical == typical);
        if let Some(kind) = known {
            kind.names.push(part.name.clone());
            kind.count = kind.count.saturating_add(sets);
        } else {
            let near = |limit_wh: &f64| (rated_wh - limit_wh).abs() < NEAR * limit_wh;
            kinds.push(FlyingPack {
                names: vec![part.name.clone()],
                rated_wh,
                typical,
                count: sets,
                rule: FlyRule::of(rated_wh),
                near_limit: typical && PASSENGER_WH.iter().any(near),
                people: None,
            });
        }
    }
    count_people(&mut kinds);
    kinds
}

/// Two spares a person, whatever their kinds.
fn count_people(kinds: &mut [FlyingPack]) {
    let spares = |kind: &&mut FlyingPack| kind.rule == FlyRule::Approval;
    let count = kinds.iter_mut().filter(spares).fold(0_u32, |count, kind| count.saturating_add(kind.count));
    for kind in kinds.iter_mut().filter(spares) {
        kind.people = Some(count.div_ceil(SPARES));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two packs of 148 Wh and two of 120 Wh are four spares: two people, not one for each kind.
    #[test]
    fn spares_of_all_kinds_are_carried_by_the_same_people() {
        let kind = |rated_wh, count| FlyingPack {
            names: Vec::new(),
            rated_wh,
            typical: false,
            count,
            rule: FlyRule::of(rated_wh),
            near_limit: false,
            people: None,
        };
        let mut kinds = [kind(148.0, 2), kind(98.0, 6), kind(120.0, 2), kind(302.0, 1)];
        count_people(&mut kinds);
        assert_eq!(kinds.map(|kind| kind.people), [Some(2), None, Some(2), None]);
    }

    #[test]
    fn the_limits_include_their_ends() {
        // 14.4 V × 6.8 Ah = 97.92 Wh needs no approval, 14.8 V × 10 Ah = 148 Wh does (arithmetic on rated values).
        for (wh, rule) in [
            (14.4 * 6.8, FlyRule::Cabin),
            (100.0, FlyRule::Cabin),
            (100.1, FlyRule::Approval),
            (14.8 * 10.0, FlyRule::Approval),
            (160.0, FlyRule::Approval),
            (160.1, FlyRule::CargoOnly),
        ] {
            assert_eq!(FlyRule::of(wh), rule, "{wh} Wh");
        }
    }
}
