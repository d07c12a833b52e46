//! What a cylinder, a receiver and a flooded condenser hold.

use super::{Answer, fluid_refused, substance_rows, verdict_word};
use crate::opening::{input, number};
use crate::show::superheat::{verdict_mark, verdict_text};
use crate::{Refused, Substance};
use field::charge::{ChargeError, PumpDownRoom, ReceiverCapacity, WinterCharge};
use field::cylinder::{CylinderError, SafeFill};
use report::{Block, Caution, Document, Finding, Input, Mark, Message, Number, Section, Value};
use serde::Serialize;
use units::{Fraction, Mass, Quantity, Temperature, TemperatureDifference, Uncertain, Volume, Writer};

fn cylinder_refused(error: &CylinderError) -> Refused {
    match error {
        CylinderError::Fluid(error) => fluid_refused("refrigerant", "77 °F", error),
        CylinderError::Mass(mass) => Refused::new(
            "not_positive",
            "mass",
            format!("{} kg", mass.kilogram()),
            "47.7 lb",
            Message::new("refused-not-positive"),
        ),
        CylinderError::Fill(fill) => part_refused(*fill),
    }
}

fn part_refused(fill: Fraction) -> Refused {
    Refused::new(
        "not_a_part",
        "--fill",
        format!("{}", fill.ratio()),
        "0.8",
        Message::new("refused-not-a-part"),
    )
}

fn charge_refused(field: &str, given: &str, error: &ChargeError) -> Refused {
    match error {
        ChargeError::Fluid(error) => fluid_refused(field, given, error),
        ChargeError::Size(size) => Refused::new(
            "not_positive",
            "volume",
            format!("{size} m³"),
            "0.5 ft3",
            Message::new("refused-not-positive"),
        ),
        ChargeError::Fill(fill) => part_refused(*fill),
        ChargeError::Split(split) => Refused::new(
            "not_positive",
            "--design-split",
            format!("{} K", split.kelvin()),
            "15 F",
            Message::new("refused-not-positive"),
        ),
    }
}

/// The figures of a cylinder in SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CylinderFigures {
    /// The most refrigerant.
    pub net_limit_kg: f64,
    /// The most on the scale.
    pub gross_limit_kg: f64,
    /// The temperature at which it would be full of liquid; absent where that lies in the critical region.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub liquid_full_temperature_k: Option<f64>,
    /// Specific gravity of the liquid at 77 °F.
    pub specific_gravity: f64,
    /// What may still go in, where a weight was given; below zero if it is overfilled.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room_kg: Option<f64>,
}

/// How much a cylinder may hold.
#[derive(Clone)]
pub struct CylinderAnswer {
    substance: Substance,
    tare: Mass,
    limit: SafeFill,
    room: Option<Mass>,
    /// The figures.
    pub figures: CylinderFigures,
}

impl Serialize for CylinderAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

/// Returns how much a cylinder may hold.
///
/// # Errors
/// [`Refused`]: masses that cannot be, a refrigerant without liquid at 77 °F.
pub fn cylinder(
    substance: &Substance,
    water_capacity: Mass,
    tare: Mass,
    gross: Option<Mass>,
) -> Result<CylinderAnswer, Refused> {
    let limit = field::cylinder::safe_fill(&substance.fluid, water_capacity, tare, None)
        .map_err(|error| cylinder_refused(&error))?;
    let room = gross.map(|gross| field::cylinder::room_left(&limit, gross));
    let figures = CylinderFigures {
        net_limit_kg: limit.net.kilogram(),
        gross_limit_kg: limit.gross.kilogram(),
        liquid_full_temperature_k: limit.liquid_full.map(Temperature::kelvin),
        specific_gravity: limit.specific_gravity,
        room_kg: room.map(Mass::kilogram),
    };
    Ok(CylinderAnswer { substance: substance.clone(), tare, limit, room, figures })
}

/// Returns what stands behind the limits of a cylinder.
#[must_use]
pub fn fill_opened(limit: &SafeFill, tare: Mass, writer: &Writer) -> report::Opened {
    let water: Mass = field::cylinder::WATER_AT_77F * limit.volume;
    report::Opened {
        inputs: vec![
            Input::new(Message::new("cylinder-water-capacity"), writer.weight(water)),
            Input::new(Message::new("cylinder-tare"), writer.weight(tare)),
            Input::new(Message::new("cylinder-gravity"), writer.number(limit.specific_gravity, 4)),
        ],
        method: Message::new("method-cylinder").into(),
        doubts: Vec::new(),
        source: Message::new("source-cylinder").into(),
    }
}

impl Answer for CylinderAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let title = Message::new("cylinder-title").with("refrigerant", self.substance.name.as_str());
        let mut document = Document::new(title, "en", Mark::Answer);
        let opened = || fill_opened(&self.limit, self.tare, writer);
        let mut numbers = vec![
            Number::new(Message::new("cylinder-net"), writer.weight(self.limit.net)).opens(opened()),
            Number::new(Message::new("cylinder-gross"), writer.weight(self.limit.gross)).opens(opened()),
        ];
        if let Some(room) = self.room {
            numbers.push(Number::new(Message::new("cylinder-room"), writer.weight(room)).opens(opened()));
        }
        if let Some(full) = self.limit.liquid_full {
            numbers.push(Number::new(Message::new("cylinder-full-at"), Value::from(writer.write(full))));
        }
        let mut blocks = vec![Block::Caution(Caution {
            first: Message::new("caution-cylinder-first").into(),
            rest: Some(Message::new("caution-cylinder-rest").into()),
        })];
        if self.room.is_some_and(|room| room.kilogram() < 0.0) {
            let mut over = Finding::new(report::VerdictMark::Breached, Message::new("cylinder-gross"));
            over.word = Some(Message::new("cylinder-overfilled").into());
            blocks.push(Block::Findings(vec![over]));
        }
        blocks.push(Block::Numbers(numbers));
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}

/// The figures of a receiver in SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ReceiverFigures {
    /// What it holds at the hottest.
    pub capacity_kg: f64,
    /// The part of the volume filled.
    pub fill: f64,
    /// Whether that part was assumed.
    pub fill_assumed: bool,
    /// Capacity less charge, where a charge was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room_kg: Option<f64>,
    /// Whether the charge fits: `inside`, `outside`, `not_resolved`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fits: Option<&'static str>,
}

/// What a receiver holds on the hottest day.
#[derive(Clone)]
pub struct ReceiverAnswer {
    substance: Substance,
    volume: Volume,
    capacity: ReceiverCapacity,
    room: Option<(Mass, PumpDownRoom)>,
    /// The figures.
    pub figures: ReceiverFigures,
}

impl Serialize for ReceiverAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

/// Returns what a receiver holds at the hottest temperature around it, and whether a charge fits.
///
/// # Errors
/// [`Refused`]: a volume or part that cannot be, no liquid at that temperature.
pub fn receiver(
    substance: &Substance,
    volume: Volume,
    hottest: (Temperature, &str),
    fill: Option<Fraction>,
    charge: Option<Mass>,
) -> Result<ReceiverAnswer, Refused> {
    let capacity =
        field::charge::receiver_capacity(&substance.fluid, &Uncertain::exact(volume), hottest.0, fill)
            .map_err(|error| charge_refused("--hottest", hottest.1, &error))?;
    let room = charge.map(|charge| {
        let none = Mass::from_kilogram(0.0);
        (charge, field::charge::pump_down_room(&capacity, &Uncertain::exact(charge), none))
    });
    let figures = ReceiverFigures {
        capacity_kg: capacity.capacity.value().kilogram(),
        fill: capacity.fill.ratio(),
        fill_assumed: capacity.fill_assumed,
        room_kg: room.as_ref().map(|(_, room)| room.room.value().kilogram()),
        fits: room.as_ref().map(|(_, room)| verdict_word(&room.fits)),
    };
    Ok(ReceiverAnswer { substance: substance.clone(), volume, capacity, room, figures })
}

impl Answer for ReceiverAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let title = Message::new("receiver-title").with("refrigerant", self.substance.name.as_str());
        let mut document = Document::new(title, "en", Mark::Answer);
        let inputs = vec![
            Input::new(Message::new("ask-volume"), Value::from(writer.write(self.volume))),
            Input::new(Message::new("receiver-hottest"), Value::from(writer.write(self.capacity.hottest))),
            Input::new(Message::new("receiver-fill"), Value::from(writer.write(self.capacity.fill))),
            Input::new(
                Message::new("receiver-density"),
                Value::from(writer.write(self.capacity.liquid_density)),
            ),
        ];
        let capacity = number(
            Message::new("receiver-capacity"),
            &self.capacity.capacity,
            writer,
            inputs,
            Message::new("method-receiver"),
            Message::new("source-receiver"),
        );
        let mut blocks = Vec::new();
        if let Some((charge, room)) = &self.room {
            let name = Message::new("receiver-fits").with("charge", writer.write(*charge));
            let mut finding = Finding::new(verdict_mark(&room.fits), name);
            finding.word = Some(verdict_text(&room.fits).into());
            finding.number = Some(Number::new(
                Message::new("receiver-room"),
                Value::from(writer.write_uncertain(&room.room)),
            ));
            blocks.push(Block::Findings(vec![finding]));
        }
        blocks.push(Block::Numbers(vec![capacity]));
        if self.capacity.fill_assumed {
            blocks.push(Block::Paragraph(Message::new("receiver-fill-assumed").into()));
        }
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}

/// The figures of a winter charge in SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct WinterFigures {
    /// The part of the condenser that floods.
    pub flooded_fraction: f64,
    /// The extra charge.
    pub extra_kg: f64,
    /// The temperature of the liquid used.
    pub liquid_temperature_k: f64,
    /// Whether that was assumed.
    pub liquid_temperature_assumed: bool,
}

/// The winter charge.
#[derive(Clone)]
pub struct WinterAnswer {
    substance: Substance,
    asked: WinterAsked,
    winter: WinterCharge,
    /// The figures.
    pub figures: WinterFigures,
}

impl Serialize for WinterAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

/// What a winter charge is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WinterAsked {
    /// Inside volume of the condenser.
    pub condenser_volume: Volume,
    /// Condensing above ambient at design.
    pub design_split: TemperatureDifference,
    /// What the head-pressure control holds.
    pub head_setting: Temperature,
    /// The coldest ambient.
    pub coldest: Temperature,
    /// Temperature of the liquid in the condenser, where it is known.
    pub liquid: Option<Temperature>,
}

/// Returns the charge that floods the condenser on the coldest day.
///
/// # Errors
/// [`Refused`]: sizes that cannot be, no liquid there.
pub fn winter(substance: &Substance, asked: &WinterAsked) -> Result<WinterAnswer, Refused> {
    let refused =
        |error| charge_refused("--head-setting", &format!("{:.1} K", asked.head_setting.si()), &error);
    let flooded = field::charge::flooded_fraction(asked.design_split, asked.head_setting, asked.coldest)
        .map_err(refused)?;
    let winter = field::charge::winter_charge(
        &substance.fluid,
        &Uncertain::exact(asked.condenser_volume),
        flooded,
        asked.head_setting,
        asked.coldest,
        asked.liquid,
    )
    .map_err(refused)?;
    let figures = WinterFigures {
        flooded_fraction: winter.flooded.ratio(),
        extra_kg: winter.extra.value().kilogram(),
        liquid_temperature_k: winter.liquid_temperature.kelvin(),
        liquid_temperature_assumed: winter.liquid_temperature_assumed,
    };
    Ok(WinterAnswer { substance: substance.clone(), asked: *asked, winter, figures })
}

/// Returns the winter charge as a number that opens.
#[must_use]
pub fn winter_number(
    winter: &WinterCharge,
    volume: &Uncertain<Volume>,
    coldest: Temperature,
    head_setting: Temperature,
    writer: &Writer,
) -> Number {
    let inputs = vec![
        input(Message::new("winter-condenser-volume"), volume, writer),
        Input::new(Message::new("winter-head-setting"), Value::from(writer.write(head_setting))),
        Input::new(Message::new("winter-coldest"), Value::from(writer.write(coldest))),
        Input::new(Message::new("winter-flooded"), Value::from(writer.write(winter.flooded))),
        Input::new(Message::new("winter-liquid"), Value::from(writer.write(winter.liquid_temperature))),
    ];
    let (method, source) = (Message::new("method-winter"), Message::new("source-winter"));
    number(Message::new("winter-extra"), &winter.extra, writer, inputs, method, source)
}

impl Answer for WinterAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let title = Message::new("winter-title").with("refrigerant", self.substance.name.as_str());
        let mut document = Document::new(title, "en", Mark::Answer);
        let volume = Uncertain::exact(self.asked.condenser_volume);
        let mut blocks = vec![Block::Numbers(vec![
            Number::new(Message::new("winter-flooded"), Value::from(writer.write(self.winter.flooded))),
            winter_number(&self.winter, &volume, self.asked.coldest, self.asked.head_setting, writer),
        ])];
        if self.winter.liquid_temperature_assumed {
            let assumed = Message::new("winter-liquid-assumed")
                .with("temperature", writer.write(self.winter.liquid_temperature));
            blocks.push(Block::Paragraph(assumed.into()));
        }
        blocks.push(Block::Paragraph(Message::new("winter-limits").into()));
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
