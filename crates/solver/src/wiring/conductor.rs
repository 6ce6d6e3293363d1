//! Standard sizes of copper conductors.

use serde::Serialize;

use crate::float;

/// Even gauges, the thinnest first.
const GAUGES: [u8; 10] = [28, 26, 24, 22, 20, 18, 16, 14, 12, 10];
/// Metric cross-sections, mm². Source: IEC 60228, classes 5 and 6, from memory.
const METRIC_MM2: [f64; 11] = [0.08, 0.14, 0.25, 0.34, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0];

/// What a cable in use has more than annealed copper at 20 °C: 12 % at 50 °C (α 3.93e-3/K, IEC 60028) and up to 4 % from
/// stranding (ASTM B286, from memory).
pub const IN_USE: f64 = 1.16;

/// Current that a short cable in free air carries for long, A/mm². Common practice, no source.
pub const AMPERES_MM2: f64 = 8.0;

/// Cross-section of an American wire gauge, mm²: d = 0.127·92^((36 − n)/39) mm.
///
/// # Source
/// ASTM B258.
pub fn gauge_mm2(gauge: u8) -> f64 {
    let diameter_mm = 0.127 * float::pow(92.0, (36.0 - f64::from(gauge)) / 39.0);
    0.25 * core::f64::consts::PI * diameter_mm * diameter_mm
}

/// The thinnest standard sizes that are at least so thick; absent above the largest.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Conductor {
    /// American wire gauge.
    pub gauge: Option<u8>,
    /// Metric cross-section, mm².
    pub metric_mm2: Option<f64>,
}

impl Conductor {
    /// The thinnest that keep this cross-section, mm².
    pub fn at_least(needed_mm2: f64) -> Self {
        Self {
            gauge: GAUGES.into_iter().find(|gauge| gauge_mm2(*gauge) >= needed_mm2),
            metric_mm2: METRIC_MM2.into_iter().find(|mm2| *mm2 >= needed_mm2),
        }
    }

    /// Both sizes in words.
    pub fn words(&self) -> String {
        match (self.metric_mm2, self.gauge) {
            (Some(mm2), Some(gauge)) => format!("{mm2}\u{a0}mm² ({gauge}\u{a0}AWG)"),
            (Some(mm2), None) => format!("{mm2}\u{a0}mm²"),
            (None, Some(gauge)) => format!("{gauge}\u{a0}AWG"),
            (None, None) => "none up to 6\u{a0}mm²".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gauges_are_those_of_the_table() {
        // ASTM B258 sizes as published tables print them, mm².
        for (gauge, mm2) in [
            (14, 2.0809),
            (16, 1.3087),
            (18, 0.8230),
            (20, 0.5176),
            (22, 0.3255),
            (24, 0.2047),
            (26, 0.1288),
            (28, 0.0810),
        ] {
            assert!((gauge_mm2(gauge) - mm2).abs() < 6e-5, "{gauge} AWG: {} mm²", gauge_mm2(gauge));
        }
    }

    #[test]
    fn the_next_thicker_size_is_taken() {
        assert_eq!(Conductor::at_least(0.51), Conductor { gauge: Some(20), metric_mm2: Some(0.75) });
        assert_eq!(Conductor::at_least(0.0), Conductor { gauge: Some(28), metric_mm2: Some(0.08) });
        assert_eq!(Conductor::at_least(7.0), Conductor { gauge: None, metric_mm2: None });
    }
}
