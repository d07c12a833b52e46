//! The single questions: options in, a question of `job` asked, its answer out.

use crate::Outcome;
use crate::options::{Options, option_name};
use job::Refused;
use job::ask::pulldown::{RiseSeen, Seen};
use job::ask::{
    cold_box, displays, evacuation, fractionation, hold, opening, outflow, pipe, pulldown, recovery,
    refrigerants, rise, saturation, state, superheat, vessels,
};
use job::doubts::{ASSUMED_GAUGE_STEP, ASSUMED_HIGH_SIDE_GAUGE, ASSUMED_LOW_SIDE_GAUGE, ASSUMED_PROBE};
use report::Message;
use units::{
    AbsolutePressure, Cause, Doubt, Duration, Fraction, Length, Limit, Mass, MassFlow, Power,
    PressureDifference, PressureReading, SpecificEnthalpy, SpecificEntropy, Temperature,
    TemperatureDifference, Uncertain, Volume, VolumeFlow,
};

pub fn saturation(options: &Options<'_>) -> Result<Outcome, Refused> {
    let substance = options.substance()?;
    let air = options.air()?;
    let at = options
        .texts("at")
        .into_iter()
        .map(|text| saturation::At::read(text).map(|at| (text.to_owned(), at)))
        .collect::<Result<Vec<_>, _>>()?;
    options.answer(&saturation::saturation(&substance, &at, air)?)
}

pub fn state(options: &Options<'_>) -> Result<Outcome, Refused> {
    let substance = options.substance()?;
    let air = options.air()?;
    let pressure: PressureReading = options.need("pressure")?;
    let second = if let Some(t) = options.read::<Temperature>("temperature")? {
        (state::Second::Temperature(t), "temperature")
    } else if let Some(h) = options.read::<SpecificEnthalpy>("enthalpy")? {
        (state::Second::Enthalpy(h), "enthalpy")
    } else if let Some(s) = options.read::<SpecificEntropy>("entropy")? {
        (state::Second::Entropy(s), "entropy")
    } else {
        (state::Second::Quality(options.need::<Fraction>("quality")?), "quality")
    };
    let given = options.text(second.1).unwrap_or_default();
    options.answer(&state::state(&substance, pressure, (second.0, given), air)?)
}

pub fn pipe(options: &Options<'_>) -> Result<Outcome, Refused> {
    let substance = options.substance()?;
    let air = options.air()?;
    let pressure: PressureReading = options.need("pressure")?;
    let temperature =
        (options.need::<Temperature>("temperature")?, options.text("temperature").unwrap_or_default());
    let amount = match options.read::<Power>("capacity")? {
        Some(power) => pipe::Amount::Capacity(power, options.need("liquid")?),
        None => pipe::Amount::Mass(options.need("mass-flow")?),
    };
    let length = |name: &'static str| -> Result<Option<(Length, &str)>, Refused> {
        Ok(options.read::<Length>(name)?.map(|length| (length, options.text(name).unwrap_or_default())))
    };
    let line = pipe::Pipe {
        tube: length("tube")?,
        inside: length("inside")?,
        length: options.need("length")?,
        rise: length("rise")?.map(|(rise, _)| rise),
    };
    options.answer(&pipe::pipe(&substance, pressure, temperature, amount, &line, air)?)
}

pub fn superheat(options: &Options<'_>) -> Result<Outcome, Refused> {
    let substance = options.substance()?;
    let place = place(options, "suction", ASSUMED_LOW_SIDE_GAUGE)?;
    options.answer(&superheat::superheat(&substance, &place)?)
}

pub fn subcooling(options: &Options<'_>) -> Result<Outcome, Refused> {
    let substance = options.substance()?;
    let place = place(options, "liquid", ASSUMED_HIGH_SIDE_GAUGE)?;
    options.answer(&superheat::subcooling(&substance, &place)?)
}

fn place<'a>(
    options: &Options<'a>,
    pressure: &'static str,
    assumed: PressureDifference,
) -> Result<superheat::Place<'a>, Refused> {
    let air = options.air()?;
    let (reading, value) = options.pressure(pressure, assumed, air)?;
    let at_least: Option<TemperatureDifference> = options.read("at-least")?;
    let at_most: Option<TemperatureDifference> = options.read("at-most")?;
    let limit = match (at_least, at_most) {
        (Some(low), Some(high)) if low >= high => {
            let given = options.text("at-most").unwrap_or_default();
            return Err(Refused::new(
                "order",
                "--at-most",
                given,
                "more than --at-least",
                Message::new("refused-order"),
            ));
        }
        (Some(low), Some(high)) => Some(Limit::Between(low, high)),
        (Some(low), None) => Some(Limit::AtLeast(low)),
        (None, Some(high)) => Some(Limit::AtMost(high)),
        (None, None) => None,
    };
    Ok(superheat::Place {
        pressure: value,
        pressure_given: options.text(pressure).unwrap_or_default(),
        by_gauge: reading.is_gauge(),
        line: options.temperature("line", ASSUMED_PROBE)?,
        limit,
        air,
    })
}

pub fn hold(options: &Options<'_>) -> Result<Outcome, Refused> {
    let substance = options.substance()?;
    let air = options.air()?;
    let working: PressureReading = options.need("working")?;
    let (start, start_by_gauge) = end(options, "start", air)?;
    let (finish, end_by_gauge) = end(options, "end", air)?;
    let duration = hours(options)?;
    let asked = hold::HoldAsked {
        substance,
        working: working.absolute(air),
        working_temperature: options.read("working-temperature")?,
        start,
        end: finish,
        volume: options.need_positive("volume", "20 L")?,
        duration,
        wanted: options.read::<MassFlow>("wanted")?,
        settled: options.read::<Duration>("settled")?,
        liquid_present: options.flag("liquid-present").then_some(true),
        air,
        by_gauge: working.is_gauge() || start_by_gauge || end_by_gauge,
    };
    options.answer(&hold::hold(&asked)?)
}

/// Reads the length of a hold: a bare number is hours, and `24h` or `2 days` say their unit.
fn hours(options: &Options<'_>) -> Result<Duration, Refused> {
    let text = options.text("hours").unwrap_or_default();
    let read = match text.trim().parse::<f64>() {
        Ok(bare) => Some(Duration::from_hour(bare)),
        Err(_) => text.parse().ok(),
    };
    read.filter(|time| time.second() > 0.0 && time.second().is_finite()).ok_or_else(|| {
        Refused::new("not_positive", "--hours", text, "24", Message::new("refused-not-positive"))
    })
}

/// Reads one end of a hold test, `300psig@70F`, with its doubts: the gauge's accuracy is one error common to both ends,
/// its last digit and the gas temperature belong to each.
fn end(
    options: &Options<'_>,
    name: &'static str,
    air: units::Atmosphere,
) -> Result<(hold::End, bool), Refused> {
    let text = options.text(name).unwrap_or_default();
    let Some((pressure, temperature)) = text.split_once('@') else {
        let message = Message::new("refused-order");
        return Err(Refused::new("form", option_name(name), text, "300psig@70F", message));
    };
    let unreadable = |error: units::ReadError| Refused::unreadable(option_name(name), &error);
    let reading: PressureReading = pressure.trim().parse().map_err(unreadable)?;
    let temperature: Temperature = temperature.trim().parse().map_err(unreadable)?;
    let mut value = Uncertain::exact(reading.absolute(air));
    if let Some(u) = options.not_negative::<PressureDifference>("gauge-u")? {
        value = value.and(Doubt::new(Cause::Accuracy, "gauge"), u.pascal());
    } else if let Some(half) = options.not_negative::<PressureDifference>("gauge-accuracy")? {
        value = value.and(Doubt::new(Cause::Accuracy, "gauge"), half.pascal() / units::math::sqrt(3.0));
    }
    match options.not_negative::<PressureDifference>("gauge-resolution")? {
        Some(step) => value = value.and_resolution(format!("{name} pressure"), step.pascal()),
        None => {
            let doubt = Doubt::new(Cause::AssumedAccuracy, format!("{name} pressure"));
            value = value.and(doubt, ASSUMED_GAUGE_STEP.pascal() / units::math::sqrt(12.0));
        }
    }
    let of = format!("{name} temperature");
    let temperature =
        options.doubtful(temperature, &of, ASSUMED_PROBE, "temperature-accuracy", "temperature-u")?;
    Ok((hold::End { pressure: value, temperature }, reading.is_gauge()))
}

pub fn rise(options: &Options<'_>) -> Result<Outcome, Refused> {
    let path = options.text("file").unwrap_or_default();
    let text = crate::jobs::read_text(path, "minute,micron")?;
    let readings = rise::series(&text)?;
    let volume = Uncertain::exact(options.need_positive::<Volume>("volume", "20 L")?);
    let coldest = options
        .read::<Temperature>("coldest")?
        .map(|t| Uncertain::within(t, Doubt::new(Cause::AssumedAccuracy, "probe"), ASSUMED_PROBE.kelvin()));
    let air = options.air()?;
    let limit: Option<AbsolutePressure> = options.read::<PressureReading>("limit")?.map(|p| p.absolute(air));
    let u = match options.not_negative::<PressureDifference>("gauge-u")? {
        Some(u) => Some(u.pascal()),
        None => options
            .not_negative::<PressureDifference>("gauge-accuracy")?
            .map(|half| half.pascal() / units::math::sqrt(3.0)),
    };
    options.answer(&rise::rise(readings, volume, u, coldest.as_ref(), limit)?)
}

pub fn cold_box(options: &Options<'_>) -> Result<Outcome, Refused> {
    fn read<'a>(
        options: &'a Options<'_>,
        name: &'static str,
    ) -> Result<Option<(Temperature, &'a str)>, Refused> {
        let text = options.text(name).unwrap_or_default();
        Ok(options.read::<Temperature>(name)?.map(|t| (t, text)))
    }
    let text = |name: &str| options.text(name).unwrap_or_default();
    let side = |name: &'static str| options.need_positive::<Length>(name, "10 ft");
    let asked = cold_box::BoxAsked {
        sides: (side("length")?, side("width")?, side("height")?, text("length")),
        foam: (options.need_positive::<Length>("insulation", "4 in")?, text("insulation")),
        inside: (options.need("inside")?, text("inside")),
        around: (options.need("around")?, text("around")),
        limit: read(options, "limit")?,
        target: read(options, "target")?,
        goods: options.positive::<Mass>("goods", "600 lb")?,
        besides: options.read::<Power>("besides")?,
        capacity: options.positive::<Power>("capacity", "8000 Btu/h")?,
    };
    options.answer(&cold_box::cold_box(&asked)?)
}

pub fn fractionation(options: &Options<'_>) -> Result<Outcome, Refused> {
    let text = |name: &'static str| options.text(name).unwrap_or_default();
    let from = match text("from") {
        "vapour" | "vapor" | "gas" => fractionation::LeakFrom::Vapour,
        "liquid" => fractionation::LeakFrom::Liquid,
        other => {
            let message = report::Message::new("refused-leak-phase");
            return Err(Refused::new("unknown_phase", "from", other, "vapour, liquid", message));
        }
    };
    let asked = fractionation::FractionationAsked {
        substance: options.substance()?,
        lost: (options.need("lost")?, text("lost")),
        temperature: (options.need("at")?, text("at")),
        from,
        vapour: options.read("vapour")?.map(|share| (share, text("vapour"))),
        air: options.air()?,
    };
    options.answer(&fractionation::fractionation(&asked)?)
}

pub fn outflow(options: &Options<'_>) -> Result<Outcome, Refused> {
    let text = |name: &'static str| options.text(name).unwrap_or_default();
    let behind = if let Some(pressure) = options.read::<PressureReading>("pressure")? {
        outflow::Behind::Pressure(pressure, text("pressure"))
    } else if let Some(quality) = options.read::<Fraction>("quality")? {
        outflow::Behind::Saturated(quality, text("quality"))
    } else {
        let quality = match text("from") {
            "vapour" | "vapor" | "gas" => 1.0,
            "liquid" => 0.0,
            other => {
                let message = report::Message::new("refused-leak-phase");
                return Err(Refused::new("unknown_phase", "from", other, "vapour, liquid", message));
            }
        };
        outflow::Behind::Saturated(Fraction::from_ratio(quality), text("from"))
    };
    let asked = outflow::OutflowAsked {
        substance: options.substance()?,
        temperature: (options.need("at")?, text("at")),
        behind,
        hole: options.positive::<Length>("hole", "0.1 mm")?,
        coefficient: options.read("coefficient")?.map(|cd| (cd, text("coefficient"))),
        outside: options.read::<PressureReading>("outside")?.map(|p| (p, text("outside"))),
        test: options.read::<PressureReading>("test")?.map(|p| (p, text("test"))),
        air: options.air()?,
    };
    options.answer(&outflow::outflow(&asked)?)
}

pub fn displays(options: &Options<'_>) -> Result<Outcome, Refused> {
    let air = options.air()?;
    let (_, pressure) = options.pressure("pressure", ASSUMED_LOW_SIDE_GAUGE, air)?;
    let step = options
        .positive::<TemperatureDifference>("step", "1 F")?
        .unwrap_or(TemperatureDifference::from_fahrenheit(1.0));
    let shown = |name: &'static str| -> Result<Uncertain<Temperature>, Refused> {
        Ok(Uncertain::exact(options.need::<Temperature>(name)?).and_resolution(name, step.kelvin()))
    };
    let asked = displays::DisplaysAsked {
        substance: options.substance()?,
        pressure: (pressure, options.text("pressure").unwrap_or_default()),
        drop: options.read("drop")?.unwrap_or(PressureDifference::from_pascal(0.0)),
        first: shown("first")?,
        second: shown("second")?,
        air,
    };
    options.answer(&displays::displays(&asked)?)
}

/// Reads a rise in a time, `6psi/3min`.
fn rise_seen(options: &Options<'_>, name: &'static str) -> Result<Option<RiseSeen>, Refused> {
    let Some(text) = options.text(name) else { return Ok(None) };
    let Some((rise, over)) = text.split_once('/') else {
        let message = Message::new("refused-order");
        return Err(Refused::new("form", option_name(name), text, "6psi/3min", message));
    };
    let unreadable = |error: units::ReadError| Refused::unreadable(option_name(name), &error);
    let rise: PressureDifference = rise.trim().parse().map_err(unreadable)?;
    let over: Duration = over.trim().parse().map_err(unreadable)?;
    if over.second() <= 0.0 || rise.pascal() < 0.0 {
        let message = Message::new("refused-not-positive");
        return Err(Refused::new("not_positive", option_name(name), text, "6psi/3min", message));
    }
    Ok(Some(RiseSeen { rise, over }))
}

pub fn pulldown(options: &Options<'_>) -> Result<Outcome, Refused> {
    let text = |name: &str| options.text(name).unwrap_or_default();
    let asked = pulldown::PulldownAsked {
        substance: options.substance()?,
        stalled: (options.need("stalled")?, text("stalled")),
        head: (options.need("head")?, text("head")),
        lowest_suction: options.read("lowest-suction")?.map(|t| (t, text("lowest-suction"))),
        cut_in: options.read("cut-in")?,
        seen: Seen {
            liquid_shut: rise_seen(options, "rise")?,
            second_shut: rise_seen(options, "second-rise")?,
            later: rise_seen(options, "later-rise")?,
            suction_shut: rise_seen(options, "suction-rise")?,
        },
        air: options.air()?,
    };
    options.answer(&pulldown::pulldown(&asked)?)
}

pub fn opening(options: &Options<'_>) -> Result<Outcome, Refused> {
    let text = |name: &str| options.text(name).unwrap_or_default();
    let rise = options.positive::<PressureDifference>("rise", "1 psi")?;
    let over = options.positive::<Duration>("rise-time", "60 s")?;
    let asked = opening::OpeningAsked {
        substance: options.substance()?,
        volume: (options.need_positive::<Volume>("volume", "12 L")?, text("volume")),
        temperature: (options.need::<Temperature>("temperature")?, text("temperature")),
        bore: (options.need_positive::<Length>("bore", "4.8 mm")?, text("bore")),
        open_for: (options.need_positive::<Duration>("open-for", "5 s")?, text("open-for")),
        pressure: options.read::<PressureReading>("pressure")?.map(|p| (p, text("pressure"))),
        rise: rise.zip(over).map(|(rise, over)| (rise, over, text("rise"))),
        residue: options.positive::<Mass>("residue", "50 g")?,
        air: options.air()?,
    };
    options.answer(&opening::opening(&asked)?)
}

/// Reads a cylinder that stands ready, `7B=6lb:R-404A`; without a refrigerant it is empty.
fn ready(text: &str) -> Result<recovery::ReadyCylinder, Refused> {
    let form = || Refused::new("form", "--cylinder", text, "7B=6lb:R-404A", Message::new("refused-order"));
    let (name, rest) = text.split_once('=').filter(|(name, _)| !name.trim().is_empty()).ok_or_else(form)?;
    let (room, holds) = match rest.split_once(':') {
        Some((room, holds)) => (room, Some(job::Substance::read(holds.trim(), None)?.name)),
        None => (rest, None),
    };
    let room: Mass = room.trim().parse().map_err(|e| Refused::unreadable("--cylinder", &e))?;
    Ok(recovery::ReadyCylinder { name: name.trim().to_owned(), holds, room })
}

pub fn recovery(options: &Options<'_>) -> Result<Outcome, Refused> {
    let text = |name: &str| options.text(name).unwrap_or_default();
    let asked = recovery::RecoveryAsked {
        substance: options.substance()?,
        volume: (options.need_positive::<Volume>("volume", "60 L")?, text("volume")),
        temperature: (options.need::<Temperature>("temperature")?, text("temperature")),
        pressure: options.read::<PressureReading>("pressure")?.map(|p| (p, text("pressure"))),
        end: options.read::<PressureReading>("end")?.map(|p| (p, text("end"))),
        machine: (options.need_positive::<VolumeFlow>("machine", "2 cfm")?, text("machine")),
        liquid: options.positive::<Mass>("liquid", "5 lb")?,
        warmed: options.flag("warmed"),
        charge: options.positive::<Mass>("charge", "27 lb")?,
        cylinders: options.texts("cylinder").into_iter().map(ready).collect::<Result<_, _>>()?,
        air: options.air()?,
    };
    options.answer(&recovery::recovery(&asked)?)
}

pub fn evacuation(options: &Options<'_>) -> Result<Outcome, Refused> {
    let text = |name: &str| options.text(name).unwrap_or_default();
    let air = units::Atmosphere::sea_level_assumed();
    let vacuum = |p: PressureReading| p.absolute(air);
    let water = options.positive::<Mass>("water", "10 g")?;
    let coldest = options.read::<Temperature>("coldest")?;
    let asked = evacuation::EvacuationAsked {
        volume: (options.need_positive::<Volume>("volume", "20 L")?, text("volume")),
        pump: (options.need_positive::<VolumeFlow>("pump", "6 cfm")?, text("pump")),
        ultimate: options.read::<PressureReading>("ultimate")?.map(vacuum),
        hose: (
            options.need_positive::<Length>("hose", "8 mm")?,
            options.need_positive::<Length>("hose-length", "1.5 m")?,
            text("hose"),
        ),
        hoses: options.count("hoses").unwrap_or(1),
        cores_in: options.flag("cores-in"),
        target: (vacuum(options.need::<PressureReading>("target")?), text("target")),
        temperature: options.read("temperature")?.unwrap_or(Temperature::from_celsius(20.0)),
        water: water.zip(coldest).map(|(mass, wall)| (mass, wall, text("coldest"))),
    };
    options.answer(&evacuation::evacuation(&asked)?)
}

pub fn cylinder(options: &Options<'_>) -> Result<Outcome, Refused> {
    let substance = options.substance()?;
    let answer = vessels::cylinder(
        &substance,
        options.need_positive::<Mass>("water-capacity", "47.7 lb")?,
        options.need_positive::<Mass>("tare", "27 lb")?,
        options.read::<Mass>("gross")?,
    )?;
    options.answer(&answer)
}

pub fn receiver(options: &Options<'_>) -> Result<Outcome, Refused> {
    let substance = options.substance()?;
    let answer = vessels::receiver(
        &substance,
        options.need_positive::<Volume>("volume", "0.5 ft3")?,
        (options.need::<Temperature>("hottest")?, options.text("hottest").unwrap_or_default()),
        options.read::<Fraction>("fill")?,
        options.positive::<Mass>("charge", "14.2 kg")?,
    )?;
    options.answer(&answer)
}

pub fn winter(options: &Options<'_>) -> Result<Outcome, Refused> {
    let substance = options.substance()?;
    let asked = vessels::WinterAsked {
        condenser_volume: options.need_positive("condenser-volume", "0.35 ft3")?,
        design_split: options.need_positive("design-split", "15 F")?,
        head_setting: options.need("head-setting")?,
        coldest: options.need("coldest")?,
        liquid: options.read("liquid")?,
    };
    options.answer(&vessels::winter(&substance, &asked)?)
}

pub fn refrigerants(options: &Options<'_>) -> Result<Outcome, Refused> {
    options.answer(&refrigerants::refrigerants())
}
