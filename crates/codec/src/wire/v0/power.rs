//! What is drawn, what feeds it, and the day.

use solver::package::{Cable, Day, Load, Pack, Tap, TapGroup, TapVoltage};

use crate::wire::structure::layout;
use crate::wire::{Fault, Fixed, Reader, Wire, Writer};

layout!(Tap { limit_a @ 1e3, voltage, name, id, efficiency @ 1e4, group });

layout!(TapGroup { limit_w @ 100.0, id, name });

layout!(Load { tap, typical_w @ 100.0, peak_w @ 100.0, cable, window_v @ 1e3 });

layout!(Cable { length_m @ 1e3, conductor_mm2 @ 1e4 });

layout!(Pack {
    capacity_ah @ 1e3, usable_share @ 1e4, resistance_ohm @ 1e5, cutoff_v_cell @ 1e3, cells @ 1.0, rated_wh @ 10.0,
});

layout!(Day { start_min @ 1.0, running_h @ 1e3, charger_places @ 1.0, charge_h @ 1e3 });

/// Storage steps of a voltage.
const VOLTS: f64 = 1e3;

/// 0 when it follows the pack, or 1 and the voltage.
impl Wire for TapVoltage {
    fn plain() -> Self {
        Self::FollowsPack
    }

    fn put(&self, _base: &Self, out: &mut Writer) {
        match self {
            Self::FollowsPack => out.byte(0),
            Self::Regulated { volts } => {
                out.byte(1);
                volts.put(VOLTS, &0.0, out);
            }
        }
    }

    fn take(_base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        match from.byte()? {
            0 => Ok(Self::FollowsPack),
            1 => f64::take(VOLTS, &0.0, from).map(|volts| Self::Regulated { volts }),
            _ => Err(Fault::Unknown),
        }
    }
}
