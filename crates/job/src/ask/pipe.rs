//! What a liquid or suction line takes: pressure, and how far that moves the saturation temperature.

use super::{Answer, air_sentence, fluid_refused, substance_rows};
use crate::{Refused, Substance};
use field::inventory::inside_of;
use field::pipe::{PipeFlow, PipeLoss};
use fluid::{Phase, State};
use refrigerant::Transport;
use report::{Block, Document, Mark, Message, Number, Section, Text, Value};
use serde::Serialize;
use units::{
    Atmosphere, Length, MassFlow, Power, PressureReading, Temperature, TemperatureDifference, Writer,
};

/// How much flows: as mass, or as what the evaporator takes up from liquid of this temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// Mass in a time.
    Mass(MassFlow),
    /// Heat in a time, and the temperature of the liquid before the valve; the line is the suction line.
    Capacity(Power, Temperature),
}

/// The pipe, each length with what was typed.
#[derive(Clone, Copy, Debug)]
pub struct Pipe<'a> {
    /// Outside diameter of a copper tube, as it is sold.
    pub tube: Option<(Length, &'a str)>,
    /// Inside diameter, where it is no such tube.
    pub inside: Option<(Length, &'a str)>,
    /// Length, fittings counted as the straight pipe that loses as much.
    pub length: Length,
    /// How much higher the far end lies.
    pub rise: Option<Length>,
}

/// What the line takes, in SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PipeFigures {
    /// `liquid`, `vapour` or `supercritical`.
    pub phase: &'static str,
    /// Mass in a time.
    pub mass_flow_kg_s: f64,
    /// Inside diameter.
    pub inside_m: f64,
    /// Density.
    pub density_kg_m3: f64,
    /// Viscosity.
    pub viscosity_pa_s: f64,
    /// Its relative standard uncertainty.
    pub viscosity_relative_u: f64,
    /// Mean speed.
    pub speed_m_s: f64,
    /// Reynolds number.
    pub reynolds: f64,
    /// Lost by friction.
    pub friction_pa: f64,
    /// Weight of the column; negative where the far end lies lower.
    pub head_pa: f64,
    /// Pressure at the far end.
    pub end_pressure_pa: f64,
    /// How far the saturation temperature falls along the line, dew of vapour and bubble of liquid; absent beyond the ends of
    /// the curves.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub saturation_drop_k: Option<f64>,
    /// Of liquid: the subcooling left at the far end without heat to or from the line; negative where it boils.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub subcooling_left_k: Option<f64>,
    /// Whether more than a tenth of the pressure is lost, where density is no longer the same along the line.
    pub rough: bool,
}

/// What the line takes.
#[derive(Clone)]
pub struct PipeAnswer {
    substance: Substance,
    air: Atmosphere,
    /// The figures.
    pub figures: PipeFigures,
}

impl Serialize for PipeAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

/// Returns what a line takes whose near end has this pressure and temperature.
///
/// # Errors
/// [`Refused`]: two phases at the near end, a tube that is not sold, viscosity unknown, more pressure lost than there is.
pub fn pipe(
    substance: &Substance,
    pressure: PressureReading,
    (temperature, given): (Temperature, &str),
    amount: Amount,
    pipe: &Pipe<'_>,
    air: Atmosphere,
) -> Result<PipeAnswer, Refused> {
    let fluid = &substance.fluid;
    let p = pressure.absolute(air);
    let near = fluid
        .state_at_pressure_temperature(p, temperature)
        .map_err(|error| fluid_refused("--temperature", given, &error))?;
    if near.phase == Phase::TwoPhase {
        return Err(Refused::new("two_phases", "--temperature", given, "", Message::new("pipe-two-phases")));
    }
    let inside = inside(pipe)?;
    let mass_flow = mass_flow(substance, &near, amount)?;
    let Some(Transport { viscosity_pa_s, viscosity_relative_u, .. }) =
        refrigerant::transport(fluid, near.density, near.temperature)
    else {
        let name = substance.name.as_str();
        return Err(Refused::new("no_viscosity", "refrigerant", name, "", Message::new("pipe-no-viscosity")));
    };
    let flow = PipeFlow {
        mass_flow,
        density: near.density,
        viscosity_pa_s,
        inside,
        length: pipe.length,
        rise: pipe.rise.unwrap_or(Length::from_metre(0.0)),
    };
    let Some(loss) = flow.loss() else {
        let length = pipe.length.metre().to_string();
        return Err(Refused::new(
            "not_positive",
            "--length",
            length,
            "30 m",
            Message::new("refused-not-positive"),
        ));
    };
    let end = p.pascal() - loss.friction.pascal() - loss.head.pascal();
    if end <= 0.0 {
        let lost = format!("{:.0} kPa", 1e-3 * (p.pascal() - end));
        return Err(Refused::new(
            "no_pressure_left",
            "--mass-flow",
            lost,
            "",
            Message::new("pipe-no-pressure"),
        ));
    }
    Ok(PipeAnswer {
        substance: substance.clone(),
        air,
        figures: figures(substance, &near, &flow, &loss, end, viscosity_relative_u),
    })
}

fn figures(
    substance: &Substance,
    near: &State,
    flow: &PipeFlow,
    loss: &PipeLoss,
    end: f64,
    viscosity_relative_u: f64,
) -> PipeFigures {
    let fluid = &substance.fluid;
    let far = units::AbsolutePressure::from_pascal(end);
    let is_liquid = near.phase == Phase::Liquid;
    let saturation = |p| match is_liquid {
        true => fluid.bubble_at_pressure(p).ok().map(|point| point.temperature),
        false => fluid.dew_at_pressure(p).ok().map(|point| point.temperature),
    };
    let at_far = saturation(far);
    let drop = saturation(near.pressure).zip(at_far).map(|(near, far)| (near - far).kelvin());
    let phase = match near.phase {
        Phase::Liquid => "liquid",
        Phase::Vapour => "vapour",
        _ => "supercritical",
    };
    PipeFigures {
        phase,
        mass_flow_kg_s: flow.mass_flow.kilogram_per_second(),
        inside_m: flow.inside.metre(),
        density_kg_m3: near.density.kilogram_per_cubic_metre(),
        viscosity_pa_s: flow.viscosity_pa_s,
        viscosity_relative_u,
        speed_m_s: loss.speed.metre_per_second(),
        reynolds: loss.reynolds,
        friction_pa: loss.friction.pascal(),
        head_pa: loss.head.pascal(),
        end_pressure_pa: end,
        saturation_drop_k: drop.filter(|_| phase != "supercritical"),
        subcooling_left_k: at_far.filter(|_| is_liquid).map(|boils| (boils - near.temperature).kelvin()),
        rough: (near.pressure.pascal() - end).abs() > 0.1 * near.pressure.pascal(),
    }
}

fn inside(pipe: &Pipe<'_>) -> Result<Length, Refused> {
    let no_tube = |given: &str| {
        let listed = "3/8, 1/2, 5/8, 3/4, 7/8, 1 1/8 in";
        Refused::new("no_such_tube", "--tube", given, listed, Message::new("pipe-no-tube"))
    };
    match (pipe.tube, pipe.inside) {
        (_, Some((inside, _))) if inside.metre() > 0.0 => Ok(inside),
        (_, Some((_, given))) => Err(Refused::new(
            "not_positive",
            "--inside",
            given,
            "20 mm",
            Message::new("refused-not-positive"),
        )),
        (Some((tube, given)), None) => inside_of(tube).ok_or_else(|| no_tube(given)),
        (None, None) => Err(no_tube("")),
    }
}

fn mass_flow(substance: &Substance, near: &State, amount: Amount) -> Result<MassFlow, Refused> {
    let (power, liquid) = match amount {
        Amount::Mass(flow) => return Ok(flow),
        Amount::Capacity(power, liquid) => (power, liquid),
    };
    let given = format!("{:.1} °C", liquid.celsius());
    if near.phase != Phase::Vapour {
        return Err(Refused::new(
            "no_suction_line",
            "--capacity",
            given,
            "",
            Message::new("pipe-no-suction"),
        ));
    }
    let before = substance
        .fluid
        .bubble_at_temperature(liquid)
        .map_err(|error| fluid_refused("--liquid", &given, &error))?;
    let taken = near.enthalpy.joule_per_kilogram() - before.enthalpy.joule_per_kilogram();
    if taken <= 0.0 {
        return Err(Refused::new("order", "--liquid", given, "35 C", Message::new("refused-order")));
    }
    Ok(MassFlow::from_kilogram_per_second(power.watt() / taken))
}

impl Answer for PipeAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let f = &self.figures;
        let kind = match f.phase {
            "liquid" => Message::new("ask-phase-liquid"),
            "vapour" => Message::new("ask-phase-vapour"),
            _ => Message::new("ask-phase-supercritical"),
        };
        let title =
            Message::new("pipe-title").with("refrigerant", self.substance.name.as_str()).with("phase", kind);
        let mut document = Document::new(Text::from(title), "en", Mark::Answer);
        let pressure =
            |pascal: f64| Value::from(writer.write(units::PressureDifference::from_pascal(pascal)));
        let degrees = |kelvin: f64| Value::from(writer.write(TemperatureDifference::from_kelvin(kelvin)));
        let end = units::AbsolutePressure::from_pascal(f.end_pressure_pa);
        let mut numbers = vec![Number::new(Message::new("pipe-friction"), pressure(f.friction_pa))];
        if f.head_pa != 0.0 {
            numbers.push(Number::new(Message::new("pipe-head"), pressure(f.head_pa)));
        }
        if let Some(drop) = f.saturation_drop_k {
            numbers.push(Number::new(Message::new("pipe-saturation"), degrees(drop)));
        }
        if let Some(left) = f.subcooling_left_k {
            numbers.push(Number::new(Message::new("pipe-subcooling"), degrees(left)));
        }
        numbers.push(Number::new(Message::new("pipe-end"), Value::from(writer.write(end.gauge(self.air)))));
        let speed = Value::from(writer.write(units::Speed::from_metre_per_second(f.speed_m_s)));
        numbers.push(Number::new(Message::new("pipe-speed"), speed));
        numbers.push(Number::new(Message::new("pipe-flow"), writer.number(3600.0 * f.mass_flow_kg_s, 1)));
        numbers.push(Number::new(
            Message::new("ask-viscosity").with("u", writer.number(100.0 * f.viscosity_relative_u, 0)),
            writer.number(1e6 * f.viscosity_pa_s, 1),
        ));
        let mut blocks = vec![Block::Numbers(numbers), Block::Paragraph(Message::new("pipe-how").into())];
        if f.subcooling_left_k.is_some_and(|left| left < 0.0) {
            blocks.push(Block::Paragraph(Message::new("pipe-boils").into()));
        }
        if f.rough {
            blocks.push(Block::Paragraph(Message::new("pipe-rough").into()));
        }
        blocks.push(Block::Paragraph(air_sentence(self.air, writer).into()));
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
