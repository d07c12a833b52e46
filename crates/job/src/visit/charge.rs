//! Charge, receiver, winter, cylinders and the low-pressure control of the system described.

use super::Visit;
use super::readings::head_temperature;
use crate::doubts::known;
use field::charge::{PumpDownRoom, ReceiverCapacity, WinterCharge};
use field::controls::{Conditions, ControlCheck, ControlJob, LowPressureControl};
use field::cylinder::SafeFill;
use record::{CylinderUse, Known, LowPressureJob};
use units::{Cause, Doubt, Mass, PressureDifference, Temperature, Uncertain, Volume};

/// Half-width of a control's scale nobody stated: 2 psi. A judgement, named as assumed.
pub const ASSUMED_CONTROL_SCALE: PressureDifference = PressureDifference::from_psi(2.0);

/// A winter charge with what it was asked for.
pub struct Winter {
    /// The charge.
    pub charge: WinterCharge,
    /// Volume of the condenser.
    pub volume: Uncertain<Volume>,
    /// The head setting, as dew temperature.
    pub head: Temperature,
    /// The coldest ambient.
    pub coldest: Temperature,
}

/// What can be said of the charge and its vessels.
pub struct ChargeResult {
    /// The charge on the nameplate.
    pub nameplate: Option<Uncertain<Mass>>,
    /// What the receiver holds on the hottest day.
    pub receiver: Option<ReceiverCapacity>,
    /// Whether the nameplate charge fits.
    pub room: Option<PumpDownRoom>,
    /// The winter charge.
    pub winter: Option<Winter>,
    /// The cylinders whose collar was read, with their limit.
    pub cylinders: Vec<(String, SafeFill)>,
    /// The low-pressure control as left.
    pub control: Option<ControlCheck>,
}

/// Returns what can be said.
#[must_use]
pub fn charge(visit: &Visit) -> ChargeResult {
    let system = &visit.system.value;
    let nameplate = system.charge.as_ref().and_then(|charge| known(charge, "charge"));
    let mut out = ChargeResult {
        nameplate: nameplate.clone(),
        receiver: None,
        room: None,
        winter: None,
        cylinders: Vec::new(),
        control: None,
    };
    let Some(substance) = &visit.substance else { return out };
    let fluid = &substance.fluid;
    let hottest = system.hottest_ambient.as_ref().and_then(Known::value).copied();
    if let (Some(volume), Some(hottest)) =
        (system.receiver_volume.as_ref().and_then(|v| known(v, "receiver volume")), hottest)
    {
        let fill = system.receiver_fill.as_ref().and_then(Known::value).copied();
        out.receiver = field::charge::receiver_capacity(fluid, &volume, hottest, fill).ok();
        if let (Some(capacity), Some(charge)) = (&out.receiver, &nameplate) {
            out.room = Some(field::charge::pump_down_room(capacity, charge, Mass::from_kilogram(0.0)));
        }
    }
    out.winter = winter(visit);
    out.cylinders = visit
        .cylinders
        .values()
        .filter(|cylinder| cylinder.used_for == Some(CylinderUse::Recovery))
        .filter_map(|cylinder| {
            let water = *cylinder.water_capacity.as_ref().and_then(Known::value)?;
            let tare = *cylinder.tare.as_ref().and_then(Known::value)?;
            let limit = field::cylinder::safe_fill(fluid, water, tare, None).ok()?;
            Some((cylinder.id.clone(), limit))
        })
        .collect();
    out.control = control(visit);
    out
}

fn winter(visit: &Visit) -> Option<Winter> {
    use record::HeadControl;
    let system = &visit.system.value;
    let fluid = &visit.substance.as_ref()?.fluid;
    // Only a control that floods the condenser needs liquid for it.
    let floods = matches!(
        system.head_control.as_ref().and_then(Known::value),
        Some(HeadControl::FloodingValve | HeadControl::ValveAndFans)
    );
    if !floods {
        return None;
    }
    let volume = known(system.condenser_volume.as_ref()?, "condenser volume")?;
    let split = *system.design_split.as_ref().and_then(Known::value)?;
    let head = head_temperature(visit, system.head_setting.as_ref().and_then(Known::value)?)?;
    let coldest = *system.coldest_ambient.as_ref().and_then(Known::value)?;
    let flooded = field::charge::flooded_fraction(split, head, coldest).ok()?;
    let charge = field::charge::winter_charge(fluid, &volume, flooded, head, coldest, None).ok()?;
    Some(Winter { charge, volume, head, coldest })
}

fn control(visit: &Visit) -> Option<ControlCheck> {
    let system = &visit.system.value;
    let fluid = &visit.substance.as_ref()?.fluid;
    let job = match system.low_pressure_job.as_ref().and_then(Known::value)? {
        LowPressureJob::PumpDown => ControlJob::PumpDown,
        LowPressureJob::HoldBox => ControlJob::BoxTemperature,
        LowPressureJob::Protect => ControlJob::Protection,
    };
    let setting = |known: &Option<Known<units::PressureReading>>, key: &str| {
        let value = known.as_ref().and_then(Known::value)?.absolute(visit.air);
        let doubt = Doubt::new(Cause::AssumedAccuracy, key);
        Some(Uncertain::within(value, doubt, ASSUMED_CONTROL_SCALE.pascal()))
    };
    let control = LowPressureControl {
        job,
        cut_in: setting(&system.low_cut_in, "low cut-in")?,
        cut_out: setting(&system.low_cut_out, "low cut-out")?,
    };
    let box_target = system.box_target.as_ref().and_then(Known::value).copied();
    let coldest_ambient = system.coldest_ambient.as_ref().and_then(Known::value).copied();
    // Whichever is colder can hold the suction down while the unit stands.
    let coldest_place = match (box_target, coldest_ambient) {
        (Some(a), Some(b)) => Some(if a < b { a } else { b }),
        (a, b) => a.or(b),
    };
    let td = system.design_td.as_ref().and_then(Known::value).copied();
    let lowest = system
        .design_evaporating
        .as_ref()
        .and_then(Known::value)
        .copied()
        .or_else(|| box_target.zip(td).map(|(target, td)| target - td));
    let conditions = Conditions {
        coldest_place: coldest_place.map(Uncertain::exact),
        lowest_saturated_suction: lowest.map(Uncertain::exact),
        box_range: None,
        evaporator_td: td,
        deepest: None,
        bypass: false,
        outside: visit.air.pressure,
    };
    field::controls::low_pressure_control(fluid, &control, &conditions).ok()
}
