//! What the system ought to hold by its volumes, part by part, in summer and on its coldest day, beside its nameplate.

use super::document::Results;
use field::inventory::{At, Held, Part, Volumes, inside_of, inventory};
use record::{HeadControl, Known, Line, LineKind};
use report::{Block, Cell, Column, Message, Row, Table, Value};
use units::{Fraction, Mass, Temperature, Volume, Writer};

/// What it ought to hold.
pub struct Expected {
    /// By parts, running in warm weather.
    pub summer: Vec<Held>,
    /// What floods the condenser on the coldest day besides.
    pub winter: Option<Mass>,
    /// The parts whose volume nobody gave.
    pub missing: Vec<Part>,
}

/// The volume of the lines of these kinds, both ends of what is known; nothing where none of them is known.
pub(crate) fn line_volume(lines: &[Line], kinds: &[LineKind]) -> Option<(Volume, Volume)> {
    let mut sum: Option<(f64, f64)> = None;
    for line in lines.iter().filter(|line| kinds.contains(&line.kind)) {
        let own = line.inside.as_ref().and_then(Known::value).copied();
        let by_size = || inside_of(*line.size.as_ref()?.value()?);
        let (Some(inside), Some((short, long))) =
            (own.or_else(by_size), line.length.as_ref().and_then(Known::bounds))
        else {
            continue;
        };
        let section = core::f64::consts::FRAC_PI_4 * inside.metre() * inside.metre();
        let (low, high) = sum.unwrap_or((0.0, 0.0));
        sum = Some((low + section * short.metre(), high + section * long.metre()));
    }
    sum.map(|(low, high)| (Volume::from_cubic_metre(low), Volume::from_cubic_metre(high)))
}

/// Returns what the system ought to hold; nothing where the refrigerant or every volume is unknown.
#[must_use]
pub fn expected(results: &Results<'_>) -> Option<Expected> {
    let visit = results.visit;
    let system = &visit.system.value;
    let fluid = &visit.substance.as_ref()?.fluid;
    let volume =
        |known: &Option<Known<Volume>>| known.as_ref().and_then(Known::bounds).map(|(a, b)| (*a, *b));
    let volumes = Volumes {
        condenser: volume(&system.condenser_volume),
        receiver: volume(&system.receiver_volume),
        liquid_line: line_volume(&system.line, &[LineKind::Liquid]),
        evaporator: volume(&system.evaporator_volume),
        suction_line: line_volume(&system.line, &[LineKind::Suction]),
        discharge_line: line_volume(&system.line, &[LineKind::Discharge]),
    };
    let missing = [
        (volumes.condenser.is_none(), Part::Condenser),
        (volumes.receiver.is_none(), Part::Receiver),
        (volumes.liquid_line.is_none(), Part::LiquidLine),
        (volumes.evaporator.is_none(), Part::Evaporator),
    ];
    let missing: Vec<Part> = missing.into_iter().filter(|(gone, _)| *gone).map(|(_, part)| part).collect();
    let temperature = |known: &Option<Known<Temperature>>| known.as_ref().and_then(Known::value).copied();
    // A medium-temperature system in warm weather where nobody says (judgement).
    let condensing = temperature(&system.design_condensing).unwrap_or(Temperature::from_fahrenheit(105.0));
    let evaporating = temperature(&system.design_evaporating).unwrap_or(Temperature::from_fahrenheit(25.0));
    let at = At {
        condensing,
        evaporating,
        liquid: Temperature::from_kelvin(condensing.kelvin() - 5.0),
        flooded: Fraction::from_ratio(0.0),
    };
    let summer = inventory(fluid, &volumes, &at).ok()?;
    if summer.is_empty() {
        return None;
    }
    let floods = matches!(
        system.head_control.as_ref().and_then(Known::value),
        Some(HeadControl::FloodingValve | HeadControl::ValveAndFans)
    );
    let winter = results.charge.winter.as_ref().filter(|_| floods).map(|winter| winter.charge.extra.value());
    Some(Expected { summer, winter, missing })
}

const fn name(part: Part) -> Message {
    match part {
        Part::Condenser => Message::new("holds-condenser"),
        Part::Flooded => Message::new("holds-flooded"),
        Part::Receiver => Message::new("holds-receiver"),
        Part::LiquidLine => Message::new("holds-liquid-line"),
        Part::Evaporator => Message::new("holds-evaporator"),
        Part::VapourLines => Message::new("holds-vapour-lines"),
    }
}

impl Expected {
    /// Returns the sum of what is known, least and most, the winter's share included.
    #[must_use]
    pub fn sum(&self) -> (Mass, Mass) {
        let extra = self.winter.map_or(0.0, Mass::kilogram);
        let add = |pick: fn(&Held) -> Mass| {
            Mass::from_kilogram(extra + self.summer.iter().map(|held| pick(held).kilogram()).sum::<f64>())
        };
        (add(|held| held.low), add(|held| held.high))
    }

    /// Returns the table of parts, the sum, and how the nameplate stands to it.
    #[must_use]
    pub fn blocks(&self, nameplate: Option<Mass>, writer: &Writer) -> Vec<Block> {
        let row = |label: Message, low: Mass, high: Mass| {
            let mass = |mass: Mass| Cell::Value(Value::as_written(writer.weight(mass)));
            Row::new(vec![Cell::Text(label.into()), mass(low), mass(high)])
        };
        let mut rows: Vec<Row> =
            self.summer.iter().map(|held| row(name(held.part), held.low, held.high)).collect();
        rows.extend(self.winter.map(|extra| row(Message::new("holds-winter"), extra, extra)));
        let (low, high) = self.sum();
        let mut total = row(Message::new("holds-sum"), low, high);
        total.total = true;
        rows.push(total);
        let mut out = vec![Block::Table(Table {
            caption: None,
            columns: vec![
                Column::words(Message::new("holds-part")),
                Column::numbers(Message::new("holds-least")),
                Column::numbers(Message::new("holds-most")),
            ],
            rows,
        })];
        let sentence = match (self.missing.is_empty(), nameplate) {
            (false, _) => Some(Message::new("holds-incomplete").with("least", writer.weight(low))),
            (true, None) => None,
            (true, Some(plate)) if plate < low => {
                Some(Message::new("holds-plate-below").with("plate", writer.weight(plate)))
            }
            (true, Some(plate)) if plate > high => {
                Some(Message::new("holds-plate-above").with("plate", writer.weight(plate)))
            }
            (true, Some(plate)) => {
                Some(Message::new("holds-plate-within").with("plate", writer.weight(plate)))
            }
        };
        out.extend(sentence.map(|sentence| Block::Paragraph(sentence.into())));
        out.push(Block::Paragraph(Message::new("holds-limits").into()));
        out
    }
}
