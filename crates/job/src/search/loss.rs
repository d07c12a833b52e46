//! The loss as a leak: how fine an opening it would be on each side, what it passes in each state and under nitrogen, and
//! how that stands to what a detector is rated to see.

use super::section::{YEAR, per_year};
use super::{Search, USUAL_RATING};
use crate::opening::{input, number};
use crate::visit::Visit;
use diagnosis::search::posterior::chance_of_flow;
use diagnosis::search::{Access, Method, Side, State};
use field::leak::{
    Gas, LaminarDrive, Viscosity, compare_with_detector, duty_weighted_hole, equivalent_capillary,
    orifice_flow,
};
use record::Known;
use report::{Block, Cell, Column, Input, Message, Number, Opened, Row, Table, Text, Value};
use units::{AbsolutePressure, Cause, Doubt, Fraction, Length, MassFlow, Temperature, Uncertain, Writer};

/// When a leak passes gas.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// While the system does this.
    State(State),
    /// Under nitrogen at the most that the nameplate allows on that side.
    Nitrogen,
}

/// What a leak passes then.
#[derive(Clone, Debug, PartialEq)]
pub struct Flow {
    /// When.
    pub when: When,
    /// The pressure behind it.
    pub pressure: AbsolutePressure,
    /// As a hole.
    pub hole: MassFlow,
    /// As a fine, laminar path; absent without a viscosity.
    pub capillary: Option<MassFlow>,
}

/// The loss put down to one leak on one side.
#[derive(Clone, Debug, PartialEq)]
pub struct SideLeak {
    /// The side.
    pub side: Side,
    /// The hole that would lose as much over running and off time.
    pub hole: Uncertain<Length>,
    /// The fine path of 5 mm that would.
    pub capillary: Option<Uncertain<Length>>,
    /// What it passes: running, off, under nitrogen where a nameplate limit is recorded. Nitrogen is told as the
    /// refrigerant that would fill the same volume.
    pub flows: Vec<Flow>,
    /// The share of the time running that was used, and whether it was assumed.
    pub running: (Fraction, bool),
}

fn absolute(bar: f64) -> AbsolutePressure {
    AbsolutePressure::from_pascal(bar * 1e5)
}

/// Returns the highest pressure that the nameplate allows on a side, where it is recorded.
#[must_use]
pub fn allowed(visit: &Visit, side: Side) -> Option<AbsolutePressure> {
    let system = &visit.system.value;
    let limit = match side {
        Side::Low => &system.low_side_limit,
        Side::High => &system.high_side_limit,
    };
    limit.as_ref().and_then(Known::value).map(|limit| limit.absolute(visit.air))
}

impl Search {
    /// Returns the present loss, if it is a leak, with its doubt.
    #[must_use]
    pub fn loss(&self) -> Uncertain<MassFlow> {
        let flow = MassFlow::from_kilogram_per_second(self.rate.mean / YEAR);
        Uncertain::new(flow, Doubt::new(Cause::Judgement, "refills"), self.rate.u / YEAR)
    }

    /// Returns the loss as one leak on this side; absent where the refrigerant is not known or nothing drives it out.
    #[must_use]
    pub fn side_leak(&self, visit: &Visit, side: Side) -> Option<SideLeak> {
        let fluid = &visit.substance.as_ref()?.fluid;
        let outside = visit.air.pressure;
        let gas = |state: State| Gas::of(fluid, absolute(self.pressures.of(side, state)), None).ok();
        let (running, off) = (gas(State::Running)?, gas(State::Off)?);
        let share = Fraction::from_ratio(self.run_share.0);
        let loss = self.loss();
        let by_hole = duty_weighted_hole(&loss, &running, &off, outside, None, Some(share)).ok()?;
        let nitrogen = allowed(visit, side).and_then(|pressure| {
            let fluid = refrigerant::nitrogen();
            let gas = Gas::of(&fluid, pressure, Some(Temperature::from_celsius(20.0))).ok()?;
            // The same count of molecules of the refrigerant fills the same volume.
            let as_refrigerant = running.molar_mass / gas.molar_mass;
            let viscosity = refrigerant::vapour_viscosity(&fluid).map(Viscosity::from_pascal_second);
            Some((gas, as_refrigerant, viscosity))
        });
        let area = by_hole.running.kilogram_per_second() / by_hole.hole.flow.flux;
        let own = refrigerant::vapour_viscosity(fluid).map(Viscosity::from_pascal_second);
        let strength =
            |gas: &Gas, viscosity| LaminarDrive { inside: gas.pressure, outside, viscosity }.strength();
        // Mass by laminar flow: strength times density at the mean pressure, whose part that changes is M/T.
        let drive = |gas: &Gas, viscosity| strength(gas, viscosity).max(0.0) / gas.temperature.kelvin();
        let mean =
            own.map(|eta| share.ratio() * drive(&running, eta) + (1.0 - share.ratio()) * drive(&off, eta));
        let laminar = |gas: &Gas, viscosity: Option<Viscosity>| {
            let (mean, viscosity) = (mean.filter(|mean| *mean > 0.0)?, viscosity?);
            let times = drive(gas, viscosity) / mean;
            Some(MassFlow::from_kilogram_per_second(loss.value().kilogram_per_second() * times))
        };
        let capillary = own.zip(laminar(&running, own)).and_then(|(eta, flow)| {
            let part = flow.kilogram_per_second() / loss.value().kilogram_per_second();
            let while_running = loss.map(flow, part);
            equivalent_capillary(&while_running, &running, eta, outside, None).ok()
        });
        let mut flows: Vec<Flow> =
            [(State::Running, &running, by_hole.running), (State::Off, &off, by_hole.off)]
                .into_iter()
                .map(|(state, gas, hole)| Flow {
                    when: When::State(state),
                    pressure: gas.pressure,
                    hole,
                    capillary: laminar(gas, own),
                })
                .collect();
        if let Some(gas) = gas(State::Defrost)
            && let Ok(flow) = orifice_flow(&gas, outside, by_hole.hole.discharge_coefficient)
        {
            flows.push(Flow {
                when: When::State(State::Defrost),
                pressure: gas.pressure,
                hole: MassFlow::from_kilogram_per_second(area * flow.flux),
                capillary: laminar(&gas, own),
            });
        }
        if let Some((gas, as_refrigerant, viscosity)) = &nitrogen
            && let Ok(flow) = orifice_flow(gas, outside, by_hole.hole.discharge_coefficient)
        {
            flows.push(Flow {
                when: When::Nitrogen,
                pressure: gas.pressure,
                hole: MassFlow::from_kilogram_per_second(area * flow.flux * as_refrigerant),
                // The ratio of throughputs is that of the refrigerant's masses of the same volume.
                capillary: laminar(gas, *viscosity),
            });
        }
        Some(SideLeak {
            side,
            hole: by_hole.hole.diameter.clone(),
            capillary: capillary.map(|found| found.diameter),
            flows,
            running: (share, self.run_share.1),
        })
    }

    /// Returns the chance that a look of this kind sees a leak of the size of the loss that is there, behind a place laid
    /// open, at this pressure of the system's own gas: over the sizes it may have and both flow laws.
    #[must_use]
    pub fn sees(&self, visit: &Visit, side: Side, method: Method, access: Access, bar: f64) -> Option<f64> {
        let leak = self.side_leak(visit, side)?;
        let fluid = &visit.substance.as_ref()?.fluid;
        let gas = Gas::of(fluid, absolute(bar), None).ok()?;
        self.sees_gas(visit, &leak, method, access, &gas, 1.0, refrigerant::vapour_viscosity(fluid))
    }

    /// The same under nitrogen at the most that the nameplate allows on that side.
    #[must_use]
    pub fn sees_under_nitrogen(
        &self,
        visit: &Visit,
        side: Side,
        method: Method,
        access: Access,
    ) -> Option<f64> {
        let leak = self.side_leak(visit, side)?;
        let flow = leak.flows.iter().find(|flow| flow.when == When::Nitrogen)?;
        Some(self.chance_of(method, access, &shares(flow, &self.loss())))
    }

    fn sees_gas(
        &self,
        visit: &Visit,
        leak: &SideLeak,
        method: Method,
        access: Access,
        gas: &Gas,
        as_refrigerant: f64,
        viscosity: Option<f64>,
    ) -> Option<f64> {
        let running = leak.flows.iter().find(|flow| flow.when == When::State(State::Running))?;
        let outside = visit.air.pressure;
        let fluid = &visit.substance.as_ref()?.fluid;
        let base = Gas::of(fluid, running.pressure, None).ok()?;
        let cd = field::leak::DISCHARGE_COEFFICIENT;
        let Ok(now) = orifice_flow(gas, outside, cd) else { return Some(0.0) };
        let then = orifice_flow(&base, outside, cd).ok()?;
        let hole = running.hole.kilogram_per_second() * now.flux / then.flux * as_refrigerant;
        let own = refrigerant::vapour_viscosity(fluid);
        let drive = |gas: &Gas, eta: f64| {
            let viscosity = Viscosity::from_pascal_second(eta);
            LaminarDrive { inside: gas.pressure, outside, viscosity }.strength() / gas.temperature.kelvin()
        };
        let fine = running
            .capillary
            .zip(own)
            .zip(viscosity)
            .map(|((flow, own), eta)| flow.kilogram_per_second() * drive(gas, eta) / drive(&base, own));
        let loss = self.loss().value().kilogram_per_second();
        let shares: Vec<f64> = core::iter::once(hole).chain(fine).map(|flow| flow / loss).collect();
        Some(self.chance_of(method, access, &shares))
    }

    /// The chance over the sizes that the looks have left, each law as likely.
    fn chance_of(&self, method: Method, access: Access, shares: &[f64]) -> f64 {
        let sight = self.book.sight(method);
        let half = match (method, self.detector) {
            (Method::Electronic, Some(rated)) => super::FIELD_HALF_SEEN * rated,
            _ => sight.half_seen,
        };
        let reach = self.book.reach_of(access).1;
        let count = shares.len().max(1) as f64;
        let seen: f64 = self
            .now
            .sizes
            .iter()
            .map(|(kg, p)| {
                let of = |share: &f64| chance_of_flow(kg * share, half, sight.slope);
                p * shares.iter().map(of).sum::<f64>() / count
            })
            .sum();
        seen * sight.still.mean() * reach
    }

    /// Returns the loss, and the openings that would lose as much: numbers that open.
    pub(super) fn loss_numbers(&self, visit: &Visit, writer: &Writer) -> Vec<Number> {
        if self.evidence.intervals == 0 {
            return Vec::new();
        }
        let (from, to) = self.rate.interval;
        let range = format!("{} – {}", per_year(writer, from), per_year(writer, to));
        let charge = units::Mass::from_kilogram(self.evidence.charge_kg);
        let charge = Input::new(Message::new("seek-charge"), Value::from(writer.write(charge)));
        let charge = if self.evidence.charge_assumed {
            charge.from_origin(Message::new("seek-assumed"))
        } else {
            charge
        };
        let spans = Value::as_written(self.evidence.intervals.to_string());
        let best = Input::new(Message::new("seek-mean"), Value::as_written(per_year(writer, self.rate.mean)));
        let mut out =
            vec![Number::new(Message::new("seek-loss-number"), Value::as_written(range)).opens(Opened {
                inputs: vec![best, charge, Input::new(Message::new("seek-stretches"), spans)],
                method: Message::new("seek-method-loss").into(),
                doubts: Vec::new(),
                source: Message::new("seek-source-judgement").into(),
            })];
        for leak in [Side::High, Side::Low].into_iter().filter_map(|side| self.side_leak(visit, side)) {
            let inputs = self.inputs(&leak, visit, writer);
            let (hole, fine) = match leak.side {
                Side::High => (Message::new("seek-hole-high"), Message::new("seek-fine-high")),
                Side::Low => (Message::new("seek-hole-low"), Message::new("seek-fine-low")),
            };
            let method = || Message::new("seek-method-hole");
            let source = || Message::new("seek-source-hole");
            out.push(number(hole, &leak.hole, writer, inputs.clone(), method(), source()));
            if let Some(capillary) = &leak.capillary {
                let (method, source) = (Message::new("seek-method-fine"), Message::new("seek-source-fine"));
                out.push(number(fine, capillary, writer, inputs, method, source));
            }
        }
        out
    }

    fn inputs(&self, leak: &SideLeak, visit: &Visit, writer: &Writer) -> Vec<Input> {
        let mut inputs = vec![input(Message::new("seek-loss-number"), &self.loss(), writer)];
        for flow in leak.flows.iter().filter(|flow| flow.when != When::Nitrogen) {
            let value = Value::from(writer.write(flow.pressure.gauge(visit.air)));
            inputs.push(Input::new(when_words(flow.when), value));
        }
        let share = format!("{:.0}\u{a0}%", 100.0 * leak.running.0.ratio());
        let share = Input::new(Message::new("seek-run-share"), Value::as_written(share));
        inputs.push(if leak.running.1 { share.from_origin(Message::new("seek-assumed")) } else { share });
        inputs
    }

    /// Returns what such a leak passes on each side in each state, and how that stands to each detector.
    pub(super) fn loss_tables(&self, visit: &Visit, writer: &Writer) -> Vec<Block> {
        if self.evidence.intervals == 0 {
            return Vec::new();
        }
        let mut rows = Vec::new();
        for leak in [Side::High, Side::Low].into_iter().filter_map(|side| self.side_leak(visit, side)) {
            for flow in &leak.flows {
                let name = match leak.side {
                    Side::High => Message::new("seek-high").with("when", when_words(flow.when)),
                    Side::Low => Message::new("seek-low").with("when", when_words(flow.when)),
                };
                let cell = |flow: MassFlow| Cell::Value(Value::from(writer.write(flow)));
                rows.push(Row::new(vec![
                    Cell::Text(name.into()),
                    Cell::Value(Value::from(writer.write(flow.pressure.gauge(visit.air)))),
                    cell(flow.hole),
                    flow.capillary.map_or(Cell::Empty, cell),
                ]));
            }
        }
        let mut out = Vec::new();
        if !rows.is_empty() {
            let columns = vec![
                Column::words(Message::new("seek-where-when")),
                Column::numbers(Message::new("seek-pressure")),
                Column::numbers(Message::new("seek-as-hole")),
                Column::numbers(Message::new("seek-as-fine")),
            ];
            let caption = Some(Message::new("seek-passes").into());
            out.push(Block::Table(Table { caption, columns, rows }));
            out.push(Block::Paragraph(Message::new("seek-passes-liquid").into()));
        }
        out.extend(self.detectors(visit, writer));
        out
    }

    /// The loss against each detector: as rated, and as it is trusted in the field.
    fn detectors(&self, visit: &Visit, writer: &Writer) -> Option<Block> {
        let mut known: Vec<(Text, MassFlow)> = visit
            .bench
            .instruments()
            .filter_map(|instrument| {
                let name = instrument.what.as_deref().unwrap_or(instrument.id.as_str());
                Some((Text::verbatim(name), instrument.sensitivity.as_ref()?.value))
            })
            .collect();
        if known.is_empty() {
            let rated = MassFlow::from_kilogram_per_second(USUAL_RATING / YEAR);
            known.push((Message::new("seek-usual-detector").into(), rated));
        }
        let rows: Vec<Row> = known
            .into_iter()
            .filter_map(|(name, rated)| {
                let compared = compare_with_detector(&self.loss(), rated, None).ok()?;
                let times = |of: &Uncertain<Fraction>| {
                    Cell::Value(Value::as_written(super::section::rounded(of.value().ratio()).to_string()))
                };
                Some(Row::new(vec![
                    Cell::Text(name),
                    Cell::Value(Value::from(writer.write(rated))),
                    times(&compared.times_rated),
                    times(&compared.times_field),
                ]))
            })
            .collect();
        (!rows.is_empty()).then(|| {
            Block::Table(Table {
                caption: Some(Message::new("seek-detectors").into()),
                columns: vec![
                    Column::words(Message::new("seek-detector")),
                    Column::numbers(Message::new("seek-rated")),
                    Column::numbers(Message::new("seek-times-rated")),
                    Column::numbers(Message::new("seek-times-field")),
                ],
                rows,
            })
        })
    }
}

/// The shares of the loss that a flow is, one for each law.
fn shares(flow: &Flow, loss: &Uncertain<MassFlow>) -> Vec<f64> {
    let of = |flow: MassFlow| flow.kilogram_per_second() / loss.value().kilogram_per_second();
    core::iter::once(of(flow.hole)).chain(flow.capillary.map(of)).collect()
}

/// Returns when, in words.
pub(super) const fn when_words(when: When) -> Message {
    match when {
        When::State(State::Running) => Message::new("seek-when-running"),
        When::State(State::Off) => Message::new("seek-when-off"),
        When::State(State::Defrost) => Message::new("seek-when-defrost"),
        When::Nitrogen => Message::new("seek-when-nitrogen"),
    }
}
