//! What is doubtful in a set of readings, in words.

use field::doubtful::Doubtful;
use report::{Finding, Message, VerdictMark};
use units::Writer;

/// Returns what is doubtful as a row.
#[must_use]
pub fn finding(doubt: &Doubtful, writer: &Writer) -> Finding {
    let sentence: Message = match doubt {
        Doubtful::SuctionNotBelowDischarge { .. } => Message::new("doubtful-suction-above"),
        Doubtful::SuperheatTooLarge(size) => {
            Message::new("doubtful-superheat-large").with("size", writer.write(*size))
        }
        Doubtful::SubcoolingTooLarge(size) => {
            Message::new("doubtful-subcooling-large").with("size", writer.write(*size))
        }
        Doubtful::LiquidHotterThanDischarge { liquid_line, discharge_line } => {
            Message::new("doubtful-liquid-hot")
                .with("liquid", writer.write(*liquid_line))
                .with("discharge", writer.write(*discharge_line))
        }
        Doubtful::DischargeColderThanSuction { discharge_line, suction_line } => {
            Message::new("doubtful-discharge-cold")
                .with("discharge", writer.write(*discharge_line))
                .with("suction", writer.write(*suction_line))
        }
        Doubtful::PortsIdentical { first, second, typed } => Message::new("doubtful-identical")
            .with("first", crate::visit::reading_name(first))
            .with("second", crate::visit::reading_name(second))
            .with("typed", typed.as_str()),
        Doubtful::SuperheatIsTd { typed, td } => {
            Message::new("doubtful-td").with("typed", writer.write(*typed)).with("td", writer.write(*td))
        }
        Doubtful::SuperheatDisagrees { typed, computed } => Message::new("doubtful-superheat-differs")
            .with("typed", writer.write(*typed))
            .with("computed", writer.write(*computed)),
        Doubtful::SaturationNotBelowBox { saturation, box_temperature } => Message::new("doubtful-coil-warm")
            .with("saturation", writer.write(*saturation))
            .with("box", writer.write(*box_temperature)),
    };
    Finding::new(VerdictMark::Doubtful, sentence)
}

/// Returns what is doubtful as programs read it.
#[must_use]
pub const fn word(doubt: &Doubtful) -> &'static str {
    match doubt {
        Doubtful::SuctionNotBelowDischarge { .. } => "suction_not_below_discharge",
        Doubtful::SuperheatTooLarge(_) => "superheat_too_large",
        Doubtful::SubcoolingTooLarge(_) => "subcooling_too_large",
        Doubtful::LiquidHotterThanDischarge { .. } => "liquid_hotter_than_discharge",
        Doubtful::DischargeColderThanSuction { .. } => "discharge_colder_than_suction",
        Doubtful::PortsIdentical { .. } => "ports_identical",
        Doubtful::SuperheatIsTd { .. } => "superheat_is_td",
        Doubtful::SuperheatDisagrees { .. } => "superheat_disagrees",
        Doubtful::SaturationNotBelowBox { .. } => "saturation_not_below_box",
    }
}
