//! What is drawn, what feeds it, and the day.

use serde::{Deserialize, Serialize};

use crate::numbers::{Change, Numbers, See, numbers};
use crate::path::{FieldPath, Segment};

/// A power outlet of the head.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Tap {
    /// Identity within the head.
    pub id: String,
    /// What the crew calls it.
    pub name: String,
    /// Its voltage.
    pub voltage: TapVoltage,
    /// Current limit, A.
    pub limit_a: f64,
    /// Efficiency of the converter that feeds it; 1 when it follows the pack.
    pub efficiency: f64,
    /// Id of the group whose sum limit it shares, if any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub group: Option<String>,
}

numbers!(Tap { own { limit_a: CURRENT_A, efficiency: EFFICIENCY } nested { voltage } });

/// The voltage of a tap.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum TapVoltage {
    /// Held at a voltage.
    Regulated {
        /// That voltage, V.
        volts: f64,
    },
    /// The pack's own, as it falls.
    FollowsPack,
}

impl Numbers for TapVoltage {
    fn see_numbers(&self, at: &mut FieldPath, see: &mut See<'_>) {
        if let Self::Regulated { volts } = self {
            at.push(Segment::Field("volts"));
            see(at, *volts, &crate::bounds::VOLTS);
            at.pop();
        }
    }
    fn change_numbers(&mut self, at: &mut FieldPath, change: &mut Change<'_>) {
        if let Self::Regulated { volts } = self {
            at.push(Segment::Field("volts"));
            change(at, volts, &crate::bounds::VOLTS);
            at.pop();
        }
    }
}

/// Taps that share a regulator.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TapGroup {
    /// Identity within the head.
    pub id: String,
    /// Sum limit of its taps, W.
    pub limit_w: f64,
    /// What the crew calls it; absent while nobody has given it a name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
}

impl TapGroup {
    /// What it is called: its name, or else its id.
    pub fn called(&self) -> &str {
        self.name.as_deref().unwrap_or(&self.id)
    }
}

numbers!(TapGroup { own { limit_w: POWER_W } nested {} });

/// What a part draws.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Load {
    /// In ordinary use, W.
    pub typical_w: f64,
    /// At most, W.
    pub peak_w: f64,
    /// Lowest and highest voltage that it accepts, V.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub window_v: Option<[f64; 2]>,
    /// Id of the tap that feeds it; absent when nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tap: Option<String>,
    /// The cable between tap and part.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cable: Option<Cable>,
}

impl Load {
    /// Power that it may draw, W: at its peak no less than in ordinary use, whatever was entered.
    pub fn most_w(&self) -> f64 {
        f64::max(self.peak_w, self.typical_w)
    }
}

numbers!(Load { own { typical_w: POWER_W, peak_w: POWER_W, window_v: VOLTS } nested { cable } });

/// A supply cable: two conductors of the same size.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Cable {
    /// Length from tap to part, m.
    pub length_m: f64,
    /// Copper cross-section of one conductor, mm².
    pub conductor_mm2: f64,
}

numbers!(Cable { own { length_m: CABLE_M, conductor_mm2: CONDUCTOR_MM2 } nested {} });

/// What a pack feeds. Packs that ride together feed in parallel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Pack {
    /// Cells in series.
    pub cells: f64,
    /// Rated capacity, Ah.
    pub capacity_ah: f64,
    /// Internal resistance of the whole pack, Ω.
    pub resistance_ohm: f64,
    /// Share of the rated capacity that can be used: age, cold, and the safety margin of its own electronics.
    pub usable_share: f64,
    /// Voltage at which what it feeds gives up, V per cell.
    pub cutoff_v_cell: f64,
    /// Rated energy as printed on it, Wh: what the limits of air transport go by. Absent while nobody has read it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_wh: Option<f64>,
}

numbers!(Pack {
    own {
        cells: CELLS, capacity_ah: CAPACITY_AH, resistance_ohm: RESISTANCE_OHM, usable_share: SHARE,
        cutoff_v_cell: VOLTS, rated_wh: RATED_WH,
    }
    nested {}
});

/// Call time and length of the day, and how packs are charged during it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Day {
    /// When the head is switched on, minutes after midnight.
    pub start_min: f64,
    /// How long it runs, h.
    pub running_h: f64,
    /// How many packs charge at once; absent while nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charger_places: Option<f64>,
    /// In how many hours an empty pack is full again; absent while nobody has said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charge_h: Option<f64>,
}

impl Default for Day {
    fn default() -> Self {
        Self { start_min: 420.0, running_h: 8.0, charger_places: None, charge_h: None }
    }
}

numbers!(Day {
    own { start_min: CLOCK_MIN, running_h: HOURS, charger_places: CHARGER_PLACES, charge_h: CHARGE_H }
    nested {}
});
