//! How deep a circuit is evacuated before it is opened, 40 CFR 82.156 Table 1, and the pressure classes of 82.152.

use crate::ExactMass;
use crate::book::EVACUATION;
use crate::duty::{Status, names};
use std::sync::OnceLock;
use toml_edit::{DocumentMut, Item, TableLike};
use units::AbsolutePressure;

names! {
    /// The pressure class of a refrigerant.
    PressureClass {
        /// Below 45 psia at 104 °F.
        Low = "low",
        /// 45 to 170 psia.
        Medium = "medium",
        /// 170 to 355 psia.
        High = "high",
        /// Above 355 psia, or a critical temperature below 104 °F.
        VeryHigh = "very-high",
    }
}

/// A level to evacuate to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EvacuationLevel {
    /// Inches of mercury of vacuum, below 29.9 inHg.
    InchesOfMercuryVacuum(u32),
    /// Millimetres of mercury, absolute.
    MillimetresOfMercuryAbsolute(u32),
}

/// Returns the pressure class of a refrigerant from the pressure of its saturated liquid at 104 °F (40 °C); give nothing
/// where its critical temperature lies below that.
///
/// A pressure on a border counts to the class above, 355 psia to "high". Source: 40 CFR 82.152.
#[must_use]
pub fn pressure_class(saturated_liquid_at_104_f: Option<AbsolutePressure>) -> PressureClass {
    let Some(pressure) = saturated_liquid_at_104_f else { return PressureClass::VeryHigh };
    let psia = pressure.pascal() / units::PASCAL_PER_PSI;
    let table = table();
    if psia > table.borders[2] {
        PressureClass::VeryHigh
    } else if psia >= table.borders[1] {
        PressureClass::High
    } else if psia >= table.borders[0] {
        PressureClass::Medium
    } else {
        PressureClass::Low
    }
}

/// Returns the level of Table 1 for a class and a full charge, with the reading it is known by; nothing if the table has none.
///
/// `older_machine`: the recovery machine was made before 1993-11-15. Small appliances have a rule of their own.
/// Source: 40 CFR 82.156 Table 1.
#[must_use]
pub fn evacuation_level(
    class: PressureClass,
    full_charge: ExactMass,
    older_machine: bool,
) -> Option<(EvacuationLevel, Status)> {
    let row = table().levels.iter().find(|row| {
        row.class == class
            && row.at_least.is_none_or(|lb| full_charge >= ExactMass::pounds(lb))
            && row.below.is_none_or(|lb| full_charge < ExactMass::pounds(lb))
    })?;
    let level = match (row.absolute, if older_machine { row.older } else { row.later }) {
        (Some(mm), _) => EvacuationLevel::MillimetresOfMercuryAbsolute(mm),
        (None, Some(inches)) => EvacuationLevel::InchesOfMercuryVacuum(inches),
        (None, None) => return None,
    };
    Some((level, row.status))
}

struct Row {
    class: PressureClass,
    at_least: Option<u32>,
    below: Option<u32>,
    older: Option<u32>,
    later: Option<u32>,
    absolute: Option<u32>,
    status: Status,
}

struct Table {
    levels: Vec<Row>,
    borders: [f64; 3],
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        let document: DocumentMut = EVACUATION.parse().unwrap_or_default();
        let rows = document.get("level").and_then(Item::as_array_of_tables);
        let levels = rows.into_iter().flatten().filter_map(|t| row(t)).collect();
        let classes = document.get("class").and_then(Item::as_array_of_tables);
        // Without a border no pressure reaches the class.
        let mut borders = [f64::INFINITY; 3];
        for t in classes.into_iter().flatten() {
            let from = t.get("psia_from").and_then(Item::as_integer).map(|n| n as f64);
            match t.get("pressure_class").and_then(Item::as_str).and_then(PressureClass::named) {
                Some(PressureClass::Medium) => borders[0] = from.unwrap_or(f64::INFINITY),
                Some(PressureClass::High) => borders[1] = from.unwrap_or(f64::INFINITY),
                Some(PressureClass::VeryHigh) => borders[2] = from.unwrap_or(f64::INFINITY),
                _ => {}
            }
        }
        Table { levels, borders }
    })
}

fn row(t: &dyn TableLike) -> Option<Row> {
    let number = |key: &str| t.get(key).and_then(Item::as_integer).and_then(|n| u32::try_from(n).ok());
    Some(Row {
        class: t.get("pressure_class").and_then(Item::as_str).and_then(PressureClass::named)?,
        at_least: number("charge_at_least_lb"),
        below: number("charge_below_lb"),
        older: number("inches_of_mercury_older_machine"),
        later: number("inches_of_mercury"),
        absolute: number("millimetres_of_mercury_absolute"),
        status: t.get("status").and_then(Item::as_str).and_then(Status::named)?,
    })
}
