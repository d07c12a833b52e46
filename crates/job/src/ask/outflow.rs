//! How much leaves through a hole, from liquid, vapour or both: two bounds, and what test gases would do through it.

use super::{AirAnswer, Answer, air_sentence, fluid_refused, substance_rows};
use crate::{Refused, Substance};
use field::leak::{
    DISCHARGE_COEFFICIENT, GasDrive, HELIUM_MOLAR_MASS, LaminarDrive, Passing, Viscosity, helium,
    laminar_factor, molecular_factor, orifice_flow,
};
use fluid::{FlowLimit, Outflow, OutflowError, Phase, State};
use report::{
    Block, Caution, Cell, Column, Document, Input, Mark, Message, Number, Opened, Row, Section, Table, Text,
    Value,
};
use serde::Serialize;
use units::{AbsolutePressure, Atmosphere, Fraction, Length, MassUnit, PressureReading, Temperature, Writer};

/// The least discharge coefficient of a hole: a sharp edge.
///
/// Source: common practice, no source.
const LEAST_COEFFICIENT: f64 = 0.6;
/// The temperature of a test gas, where nothing is said: 20 °C.
const TEST_TEMPERATURE: Temperature = Temperature::from_kelvin(293.15);

/// What stands behind the hole.
#[derive(Clone, Copy, Debug)]
pub enum Behind<'a> {
    /// Saturated: the part of the mass that is vapour, and what was typed for it.
    Saturated(Fraction, &'a str),
    /// At a pressure besides the temperature: liquid below or vapour above its saturation.
    Pressure(PressureReading, &'a str),
}

/// What is asked.
#[derive(Clone)]
pub struct OutflowAsked<'a> {
    /// The refrigerant.
    pub substance: Substance,
    /// Its temperature, and what was typed for it.
    pub temperature: (Temperature, &'a str),
    /// What stands behind the hole.
    pub behind: Behind<'a>,
    /// The diameter of the hole.
    pub hole: Option<Length>,
    /// The discharge coefficient, and what was typed for it.
    pub coefficient: Option<(Fraction, &'a str)>,
    /// The pressure outside; the air where nothing is said.
    pub outside: Option<(PressureReading, &'a str)>,
    /// The pressure of the test gas; the refrigerant's where nothing is said.
    pub test: Option<(PressureReading, &'a str)>,
    /// The air.
    pub air: Atmosphere,
}

/// One of the two bounds, ideal: discharge coefficient 1.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BoundFigures {
    /// Mass flow by area.
    pub flux_kg_s_m2: f64,
    /// `outside`, `speed_of_sound` or `edge`: what keeps it from being more.
    pub limit: &'static str,
    /// Absolute pressure in the throat.
    pub throat_pressure_pa: f64,
    /// Temperature in the throat; absent where the phases differ.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub throat_temperature_k: Option<f64>,
    /// The vapour's part of the mass in the throat; absent in one phase.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub throat_quality: Option<f64>,
    /// Speed in the throat.
    pub speed_m_s: f64,
}

/// What leaves through the hole in a time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HoleFigures {
    /// Its diameter.
    pub diameter_m: f64,
    /// In equilibrium, with the coefficient.
    pub equilibrium_kg_s: f64,
    /// Frozen, with the coefficient.
    pub frozen_kg_s: f64,
    /// The least: equilibrium through a sharp edge.
    pub least_kg_s: f64,
    /// The most: frozen, coefficient 1.
    pub most_kg_s: f64,
    /// The free path of the vapour's molecules by the diameter; absent for liquid or without a viscosity.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub knudsen: Option<f64>,
}

/// A test gas through the same hole, and the refrigerant beside it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TestGasFigures {
    /// `nitrogen` or `helium`.
    pub gas: &'static str,
    /// Its mass flow by area, coefficient 1.
    pub flux_kg_s_m2: f64,
    /// What of it leaves through the hole, with the coefficient.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hole_kg_s: Option<f64>,
    /// The refrigerant's mass over this gas's through a hole: by the equilibrium bound.
    pub hole_equilibrium_ratio: f64,
    /// The same by the frozen bound.
    pub hole_frozen_ratio: f64,
    /// The same through a fine, laminar path; absent for liquid or without a viscosity.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub laminar_ratio: Option<f64>,
    /// The same through pores so fine that molecules meet the wall alone; absent for liquid.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub molecular_ratio: Option<f64>,
}

/// The figures in SI.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OutflowFigures {
    /// The refrigerant.
    pub refrigerant: String,
    /// `liquid`, `vapour`, `two_phase` or `supercritical`: what stands behind the hole.
    pub phase: &'static str,
    /// Its temperature.
    pub temperature_k: f64,
    /// Its absolute pressure.
    pub pressure_pa: f64,
    /// The vapour's part of its mass; absent in one phase.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quality: Option<f64>,
    /// Absolute pressure outside.
    pub outside_pa: f64,
    /// Liquid and vapour in equilibrium all the way: the lower bound.
    pub equilibrium: BoundFigures,
    /// Without any change of phase: the upper bound.
    pub frozen: BoundFigures,
    /// The vapour of the upper bound follows a constant exponent, for want of a phase that lasts.
    pub frozen_by_exponent: bool,
    /// The state lies beyond the stated range of the equations.
    pub extrapolated: bool,
    /// The discharge coefficient.
    pub discharge_coefficient: f64,
    /// Whether it was assumed.
    pub coefficient_assumed: bool,
    /// The hole.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hole: Option<HoleFigures>,
    /// Absolute pressure of the test gases.
    pub test_pressure_pa: f64,
    /// Their temperature.
    pub test_temperature_k: f64,
    /// Nitrogen, then helium.
    pub test_gases: Vec<TestGasFigures>,
    /// The air.
    #[serde(flatten)]
    pub air: AirAnswer,
}

/// What leaves through a hole, as an answer.
#[derive(Clone)]
pub struct OutflowAnswer {
    substance: Substance,
    air: Atmosphere,
    /// The figures.
    pub figures: OutflowFigures,
}

impl Serialize for OutflowAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

/// Returns what leaves through a hole.
///
/// # Errors
/// [`Refused`]: a state that is none, a pressure inside that is not above the one outside, a flow that would choke among
/// solid.
pub fn outflow(asked: &OutflowAsked<'_>) -> Result<OutflowAnswer, Refused> {
    let fluid = &asked.substance.fluid;
    let inside = behind(asked)?;
    let p = inside.pressure;
    let outside = match asked.outside {
        Some((reading, given)) => {
            let outside = reading.absolute(asked.air);
            if outside.pascal() < 0.0 || outside >= p {
                return Err(no_drive("--outside", given, p));
            }
            outside
        }
        None => asked.air.pressure,
    };
    let refused = |error: OutflowError| flow_refused(asked.temperature.1, &error, p);
    let even = fluid.outflow_in_equilibrium(&inside, outside).map_err(refused)?;
    let ice = fluid.outflow_frozen(&inside, outside).map_err(refused)?;
    let cd = match asked.coefficient {
        Some((cd, given)) if !(cd.ratio() > 0.0 && cd.ratio() <= 1.0) => {
            let message = Message::new("refused-not-a-part");
            return Err(Refused::new("not_a_part", "--coefficient", given, "0.8", message));
        }
        Some((cd, _)) => cd.ratio(),
        None => DISCHARGE_COEFFICIENT.ratio(),
    };
    let area = |d: f64| 0.25 * core::f64::consts::PI * d * d;
    let drive = gas_drive(asked, &inside, outside);
    let hole = asked.hole.map(|diameter| HoleFigures {
        diameter_m: diameter.metre(),
        equilibrium_kg_s: cd * even.flux * area(diameter.metre()),
        frozen_kg_s: cd * ice.flux * area(diameter.metre()),
        least_kg_s: LEAST_COEFFICIENT.min(cd) * even.flux.min(ice.flux) * area(diameter.metre()),
        most_kg_s: even.flux.max(ice.flux) * area(diameter.metre()),
        knudsen: drive.map(|drive| drive.knudsen(diameter)),
    });
    let test = match asked.test {
        Some((reading, given)) => {
            let test = reading.absolute(asked.air);
            if test <= outside {
                let sensible = super::both_pressures(outside);
                let message = Message::new("refused-outflow-drive");
                return Err(Refused::new(
                    "no_drive",
                    "--test",
                    given,
                    format!("more than {sensible}"),
                    message,
                ));
            }
            test
        }
        None => p,
    };
    let hole_area = asked.hole.map(|diameter| area(diameter.metre()));
    let mut test_gases = Vec::new();
    for gas in ["nitrogen", "helium"] {
        let (flux, molar_mass) = if gas == "nitrogen" {
            let nitrogen = refrigerant::nitrogen();
            let state = nitrogen
                .state_at_pressure_temperature(test, TEST_TEMPERATURE)
                .map_err(|error| fluid_refused("--test", asked.test.map_or("", |t| t.1), &error))?;
            let flow = nitrogen.outflow_in_equilibrium(&state, outside).map_err(refused)?;
            (flow.flux, nitrogen.molar_mass())
        } else {
            let flow = orifice_flow(&helium(test, TEST_TEMPERATURE), outside, Fraction::from_ratio(1.0));
            (flow.map_err(|_| no_drive("--test", "", test))?.flux, HELIUM_MOLAR_MASS)
        };
        let own = refrigerant::gas_viscosity(gas).map(|viscosity| GasDrive {
            inside: test,
            outside,
            temperature: TEST_TEMPERATURE,
            molar_mass,
            viscosity: Viscosity::from_pascal_second(viscosity),
        });
        // Throughputs at each gas's temperature; a mass is q M/(R T).
        let ratio = |of: fn(&GasDrive, &GasDrive) -> Option<f64>| {
            let (drive, own) = (drive?, own?);
            let mass = |of: &GasDrive| of.molar_mass / of.temperature.kelvin();
            Some(of(&own, &drive)? * mass(&drive) / mass(&own))
        };
        test_gases.push(TestGasFigures {
            gas,
            flux_kg_s_m2: flux,
            hole_kg_s: hole_area.map(|area| cd * flux * area),
            hole_equilibrium_ratio: even.flux / flux,
            hole_frozen_ratio: ice.flux / flux,
            laminar_ratio: ratio(|from, to| {
                let laminar = |of: &GasDrive| LaminarDrive {
                    inside: of.inside,
                    outside: of.outside,
                    viscosity: of.viscosity,
                };
                laminar_factor(&laminar(from), &laminar(to)).ok()
            }),
            molecular_ratio: ratio(|from, to| molecular_factor(from, to).ok()),
        });
    }
    let by_gauge = [asked.outside.map(|(p, _)| p), asked.test.map(|(p, _)| p)]
        .into_iter()
        .flatten()
        .any(PressureReading::is_gauge);
    let by_gauge =
        by_gauge || asked.outside.is_none() || matches!(asked.behind, Behind::Pressure(p, _) if p.is_gauge());
    let mut air = AirAnswer::from(asked.air);
    air.sea_level_assumed &= by_gauge;
    let figures = OutflowFigures {
        refrigerant: asked.substance.name.clone(),
        phase: match (inside.phase, inside.quality.map(Fraction::ratio)) {
            (Phase::TwoPhase, Some(quality)) if quality <= 0.0 => "liquid",
            (Phase::TwoPhase, Some(quality)) if quality >= 1.0 => "vapour",
            (Phase::TwoPhase, _) => "two_phase",
            (Phase::Liquid, _) => "liquid",
            (Phase::Vapour, _) => "vapour",
            (Phase::Supercritical, _) => "supercritical",
        },
        temperature_k: inside.temperature.kelvin(),
        pressure_pa: p.pascal(),
        quality: inside.quality.map(Fraction::ratio),
        outside_pa: outside.pascal(),
        equilibrium: bound(&even),
        frozen: bound(&ice),
        frozen_by_exponent: ice.by_exponent,
        extrapolated: even.extrapolated || ice.extrapolated,
        discharge_coefficient: cd,
        coefficient_assumed: asked.coefficient.is_none(),
        hole,
        test_pressure_pa: test.pascal(),
        test_temperature_k: TEST_TEMPERATURE.kelvin(),
        test_gases,
        air,
    };
    Ok(OutflowAnswer { substance: asked.substance.clone(), air: asked.air, figures })
}

fn behind(asked: &OutflowAsked<'_>) -> Result<State, Refused> {
    let (fluid, (t, typed)) = (&asked.substance.fluid, asked.temperature);
    match asked.behind {
        Behind::Saturated(quality, given) => {
            if !(0.0..=1.0).contains(&quality.ratio()) {
                let message = Message::new("refused-not-a-part");
                return Err(Refused::new("not_a_part", "--quality", given, "30%", message));
            }
            fluid
                .state_at_temperature_quality(t, quality)
                .map_err(|error| fluid_refused("--at", typed, &error))
        }
        Behind::Pressure(reading, given) => {
            let p = reading.absolute(asked.air);
            if p.pascal() <= 0.0 {
                let message = Message::new("refused-below-zero");
                return Err(Refused::new("below_zero", "--pressure", given, "200 psig", message));
            }
            fluid
                .state_at_pressure_temperature(p, t)
                .map_err(|error| fluid_refused("--pressure", given, &error))
        }
    }
}

/// Returns the vapour behind the hole as a gas with a viscosity; nothing for liquid, two phases and above critical.
fn gas_drive(asked: &OutflowAsked<'_>, inside: &State, outside: AbsolutePressure) -> Option<GasDrive> {
    let is_vapour = match inside.phase {
        Phase::Vapour => true,
        Phase::TwoPhase => inside.quality.is_some_and(|quality| quality.ratio() >= 1.0),
        Phase::Liquid | Phase::Supercritical => false,
    };
    let fluid = &asked.substance.fluid;
    is_vapour.then_some(())?;
    Some(GasDrive {
        inside: inside.pressure,
        outside,
        temperature: inside.temperature,
        molar_mass: fluid.molar_mass(),
        viscosity: Viscosity::from_pascal_second(refrigerant::vapour_viscosity(fluid)?),
    })
}

fn bound(flow: &Outflow) -> BoundFigures {
    BoundFigures {
        flux_kg_s_m2: flow.flux,
        limit: match flow.limit {
            FlowLimit::Outside => "outside",
            FlowLimit::SpeedOfSound => "speed_of_sound",
            FlowLimit::Edge => "edge",
        },
        throat_pressure_pa: flow.pressure.pascal(),
        throat_temperature_k: flow.temperature.map(Temperature::kelvin),
        throat_quality: flow.quality.map(Fraction::ratio),
        speed_m_s: flow.speed.metre_per_second(),
    }
}

fn no_drive(field: &str, given: &str, inside: AbsolutePressure) -> Refused {
    let sensible = format!("less than {}", super::both_pressures(inside));
    Refused::new("no_drive", field, given, sensible, Message::new("refused-outflow-drive"))
}

fn flow_refused(given: &str, error: &OutflowError, inside: AbsolutePressure) -> Refused {
    match error {
        OutflowError::NoDrive { .. } => {
            let sensible = format!("{} inside", super::both_pressures(inside));
            Refused::new("no_drive", "--at", given, sensible, Message::new("refused-outflow-drive"))
        }
        OutflowError::OutOfReach { reached, .. } => Refused::new(
            "out_of_reach",
            "--at",
            given,
            super::both_pressures(*reached),
            Message::new("refused-outflow-reach"),
        ),
        OutflowError::NotANumber | OutflowError::ForeignState => {
            Refused::new("not_a_number", "--at", given, "45C", Message::new("refused-no-number"))
        }
    }
}

/// Returns a mass in an hour, in the units of a person.
fn hourly(kilogram_per_second: f64, writer: &Writer) -> String {
    let (value, unit) = match writer.mass {
        MassUnit::Kilogram if kilogram_per_second * 3600.0 < 1.0 => (kilogram_per_second * 3.6e6, "g/h"),
        MassUnit::Kilogram => (kilogram_per_second * 3600.0, "kg/h"),
        MassUnit::PoundOunce => (kilogram_per_second * 3600.0 / units::KILOGRAM_PER_POUND, "lb/h"),
    };
    format!("{} {unit}", short(value, writer))
}

/// Returns a number with three digits that count, or more before the point.
fn short(value: f64, writer: &Writer) -> String {
    let decimals = match value.abs() {
        size if size >= 100.0 => 0,
        size if size >= 10.0 => 1,
        size if size >= 1.0 => 2,
        size if size >= 0.1 => 3,
        _ => 4,
    };
    writer.number(value, decimals)
}

impl OutflowAnswer {
    fn bounds(&self, writer: &Writer) -> Table {
        let f = &self.figures;
        let row = |name: Message, of: fn(&BoundFigures, &Writer) -> Text| {
            let mut cells = vec![Cell::Text(name.into())];
            cells.extend([&f.equilibrium, &f.frozen].map(|bound| Cell::Text(of(bound, writer))));
            Row::new(cells)
        };
        let mut rows = vec![
            row(Message::new("outflow-flux"), |b, w| {
                Text::verbatim(format!("{} g/(s mm²)", short(b.flux_kg_s_m2 / 1e3, w)))
            }),
            row(Message::new("outflow-limit"), |b, _| match b.limit {
                "outside" => Message::new("outflow-limit-outside").into(),
                "edge" => Message::new("outflow-limit-edge").into(),
                _ => Message::new("outflow-limit-sound").into(),
            }),
            row(Message::new("outflow-throat"), |b, w| {
                Text::verbatim(w.write(AbsolutePressure::from_pascal(b.throat_pressure_pa)).to_string())
            }),
        ];
        if let Some(hole) = &f.hole {
            rows.push(Row::new(vec![
                Cell::Text(Message::new("outflow-through-hole").into()),
                Cell::Text(Text::verbatim(hourly(hole.equilibrium_kg_s, writer))),
                Cell::Text(Text::verbatim(hourly(hole.frozen_kg_s, writer))),
            ]));
        }
        Table {
            caption: None,
            columns: vec![
                Column::words(Message::new("outflow-bound")),
                Column::numbers(Message::new("outflow-equilibrium")),
                Column::numbers(Message::new("outflow-frozen")),
            ],
            rows,
        }
    }

    fn gases(&self, writer: &Writer) -> Table {
        let f = &self.figures;
        let times = |value: f64| Text::verbatim(format!("× {}", short(value, writer)));
        let pair = |low: f64, high: f64| {
            if (high / low - 1.0).abs() < 0.01 {
                times(low)
            } else {
                Text::verbatim(format!("× {} – {}", short(low, writer), short(high, writer)))
            }
        };
        let rows = f.test_gases.iter().map(|gas| {
            let name = match gas.gas {
                "nitrogen" => Message::new("outflow-nitrogen"),
                _ => Message::new("outflow-helium"),
            };
            let absent = || Text::from(Message::new("outflow-not-here"));
            Row::new(vec![
                Cell::Text(name.into()),
                Cell::Text(gas.hole_kg_s.map_or_else(
                    || Text::verbatim(format!("{} g/(s mm²)", short(gas.flux_kg_s_m2 / 1e3, writer))),
                    |flow| Text::verbatim(hourly(flow, writer)),
                )),
                Cell::Text(pair(gas.hole_equilibrium_ratio, gas.hole_frozen_ratio)),
                Cell::Text(gas.laminar_ratio.map_or_else(absent, times)),
                Cell::Text(gas.molecular_ratio.map_or_else(absent, times)),
            ])
        });
        Table {
            caption: Some(Message::new("outflow-gases-caption").into()),
            columns: vec![
                Column::words(Message::new("outflow-gas")),
                Column::numbers(Message::new("outflow-gas-flow")),
                Column::numbers(Message::new("outflow-ratio-hole")),
                Column::numbers(Message::new("outflow-ratio-laminar")),
                Column::numbers(Message::new("outflow-ratio-molecular")),
            ],
            rows: rows.collect(),
        }
    }
}

impl Answer for OutflowAnswer {
    fn document(&self, writer: &Writer) -> Document {
        let f = &self.figures;
        let title = Message::new("outflow-title").with("refrigerant", f.refrigerant.as_str());
        let mut document = Document::new(title, "en", Mark::Answer);
        let pressure = |pascal: f64| writer.write(AbsolutePressure::from_pascal(pascal));
        let coefficient = writer.number(f.discharge_coefficient, 2);
        let phase = match f.phase {
            "liquid" => Message::new("ask-phase-liquid"),
            "vapour" => Message::new("ask-phase-vapour"),
            "two_phase" => Message::new("ask-phase-two"),
            _ => Message::new("ask-phase-supercritical"),
        };
        let temperature = Value::from(writer.write(Temperature::from_kelvin(f.temperature_k)));
        let opened = Opened {
            inputs: vec![
                Input::new(Message::new("ask-temperature"), temperature.clone()),
                Input::new(Message::new("outflow-inside"), Value::from(pressure(f.pressure_pa))),
                Input::new(Message::new("outflow-outside"), Value::from(pressure(f.outside_pa))),
                Input::new(Message::new("outflow-coefficient"), Value::from(coefficient.clone())),
            ],
            method: Message::new("method-outflow").into(),
            doubts: Vec::new(),
            source: Message::new("source-outflow").into(),
        };
        let mut numbers = vec![
            Number::new(Message::new("ask-temperature"), temperature),
            Number::new(Message::new("outflow-inside"), Value::from(pressure(f.pressure_pa))).opens(opened),
            Number::new(Message::new("outflow-outside"), Value::from(pressure(f.outside_pa))),
        ];
        if let Some(quality) = f.quality {
            numbers.push(Number::new(Message::new("ask-quality"), writer.number(quality, 3)));
        }
        if let Some(hole) = &f.hole
            && let Some(knudsen) = hole.knudsen
            && Passing::of(knudsen) != Passing::Continuum
        {
            numbers.push(Number::new(Message::new("outflow-knudsen"), short(knudsen, writer)));
        }
        let standing = if f.coefficient_assumed {
            Message::new("outflow-coefficient-assumed").with("coefficient", coefficient)
        } else {
            Message::new("outflow-coefficient-stated").with("coefficient", coefficient)
        };
        let first = match f.phase {
            "vapour" => Message::new("caution-outflow-gas-first"),
            _ => Message::new("caution-outflow-liquid-first"),
        };
        let mut blocks = vec![
            Block::Caution(Caution {
                first: first.into(),
                rest: Some(Message::new("caution-outflow-rest").into()),
            }),
            Block::Paragraph(Message::new("outflow-behind").with("phase", phase).into()),
        ];
        if let Some(hole) = &f.hole {
            let sentence = Message::new("outflow-now")
                .with("hole", writer.write(Length::from_metre(hole.diameter_m)).to_string())
                .with("low", hourly(hole.equilibrium_kg_s.min(hole.frozen_kg_s), writer))
                .with("high", hourly(hole.equilibrium_kg_s.max(hole.frozen_kg_s), writer));
            let range = Message::new("outflow-range")
                .with("low", hourly(hole.least_kg_s, writer))
                .with("high", hourly(hole.most_kg_s, writer));
            blocks.extend([Block::Paragraph(sentence.into()), Block::Paragraph(range.into())]);
        }
        blocks.extend([
            Block::Numbers(numbers),
            Block::Table(self.bounds(writer)),
            Block::Paragraph(standing.into()),
            Block::Paragraph(match f.phase {
                "vapour" => Message::new("outflow-sure-vapour").into(),
                _ => Message::new("outflow-sure-liquid").into(),
            }),
        ]);
        if f.frozen_by_exponent {
            blocks.push(Block::Paragraph(Message::new("outflow-by-exponent").into()));
        }
        if f.extrapolated {
            blocks.push(Block::Paragraph(Message::new("outflow-extrapolated").into()));
        }
        blocks.extend([
            Block::Caution(Caution {
                first: Message::new("caution-nitrogen-first").into(),
                rest: Some(Message::new("caution-nitrogen-rest").into()),
            }),
            Block::Paragraph(
                Message::new("outflow-test")
                    .with("pressure", pressure(f.test_pressure_pa).to_string())
                    .with(
                        "temperature",
                        writer.write(Temperature::from_kelvin(f.test_temperature_k)).to_string(),
                    )
                    .into(),
            ),
            Block::Table(self.gases(writer)),
            Block::Paragraph(air_sentence(self.air, writer).into()),
        ]);
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
