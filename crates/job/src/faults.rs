//! Faults of a running system from a case in plain JSON: for outside evaluation, and for whoever has no job file.

pub mod visit;

use crate::Refused;
use cycle::{Head, Surroundings, Table};
use diagnosis::fault::{Belief, CAUSES, Cause, Diagnosis, Fault, Kind, Plate, Reading, diagnose, proved};
use report::Message;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// The longest line that is read.
pub const LONGEST_LINE: usize = 64 * 1024;

/// A reading's name in a case, what it is, its sensible range in its own unit, and what makes it SI by sum.
const READINGS: [(&str, Kind, f64, f64, f64); 12] = [
    ("suction_pressure_pa", Kind::Low, 1e4, 3e6, 0.0),
    ("head_pressure_pa", Kind::High, 1e5, 6e6, 0.0),
    ("suction_line_c", Kind::SuctionLine, -70.0, 80.0, 273.15),
    ("liquid_line_c", Kind::LiquidLine, -40.0, 90.0, 273.15),
    ("discharge_c", Kind::Discharge, -20.0, 200.0, 273.15),
    ("air_off_coil_c", Kind::CoilAir, -70.0, 50.0, 273.15),
    ("air_off_condenser_c", Kind::CondenserAir, -40.0, 90.0, 273.15),
    ("after_drier_c", Kind::AfterDrier, -60.0, 90.0, 273.15),
    ("power_w", Kind::Power, 20.0, 500_000.0, 0.0),
    ("bubbles", Kind::Glass, 0.0, 1.0, 0.0),
    ("coil_fans", Kind::CoilFans, 0.0, 1.0, 0.0),
    ("condenser_fans", Kind::CondenserFans, 0.0, 1.0, 0.0),
];
/// Spread of a reading without one of its own: of pressures and power a share, of temperatures kelvin (common practice,
/// no source).
const USUAL: [f64; 9] = [0.02, 0.012, 0.9, 0.8, 1.5, 0.5, 0.7, 0.5, 0.02];

/// Returns a fault's word in JSON.
#[must_use]
pub fn word(fault: Fault) -> &'static str {
    match fault {
        Fault::None => "none",
        Fault::Under => "undercharge",
        Fault::Over => "overcharge",
        Fault::CondenserDirt => "condenser_dirt",
        Fault::CondenserFan => "condenser_fan",
        Fault::CoilIce => "coil_ice",
        Fault::CoilFan => "coil_fan",
        Fault::Restriction => "liquid_restriction",
        Fault::Underfeed => "valve_underfeeds",
        Fault::Overfeed => "valve_overfeeds",
        Fault::ValveLeak => "compressor_valves",
        Fault::NonCondensable => "non_condensables",
        Fault::Gauge => "gauge_off",
        Fault::HeadLow => "head_control_does_not_hold",
        Fault::HeadHigh => "head_control_holds_too_much",
        Fault::SomethingElse => "something_else",
    }
}

fn cause_word(cause: Cause) -> String {
    cause.second.map_or_else(
        || word(cause.first).to_owned(),
        |second| format!("{}+{}", word(cause.first), word(second)),
    )
}

/// Reads cases one by one; keeps the tables of the refrigerants it has met.
#[derive(Default)]
pub struct Cases {
    tables: BTreeMap<String, Table>,
}

impl Cases {
    /// Returns the prediction for one case, both as JSON.
    ///
    /// # Errors
    /// A line that is not such a case: what is wrong, the value seen, what would be sensible.
    pub fn predict(&mut self, line: &str) -> Result<Value, Refused> {
        if line.len() > LONGEST_LINE {
            let sensible = LONGEST_LINE.to_string();
            return Err(bad(
                "too_long",
                "line",
                &line.len().to_string(),
                &sensible,
                Message::new("fault-line-long"),
            ));
        }
        let case: Value = serde_json::from_str(line).map_err(|e| {
            bad("not_json", "line", &e.to_string(), "{\"system\": {…}, …}", Message::new("fault-not-json"))
        })?;
        let top =
            Object::of(&case, "case", &["id", "system", "baseline", "box_air_c", "ambient_c", "readings"])?;
        let system = top.object("system")?;
        let name = system.text("refrigerant")?.unwrap_or_default();
        if !self.tables.contains_key(name) {
            let sensible = "R-404A, R-448A, R-134a";
            let refused = || {
                bad(
                    "unknown_refrigerant",
                    "system.refrigerant",
                    name,
                    sensible,
                    Message::new("fault-refrigerant"),
                )
            };
            let found = refrigerant::find(name).ok_or_else(refused)?;
            let table = Table::new(&found.fluid()).map_err(|_| refused())?;
            self.tables.insert(name.to_owned(), table);
        }
        let table = self.tables.get(name).ok_or_else(|| {
            bad(
                "unknown_refrigerant",
                "system.refrigerant",
                name,
                "R-404A",
                Message::new("fault-refrigerant"),
            )
        })?;
        let system = plate(&system)?.system(table);
        let belief = match top.has("baseline") {
            true => {
                let visit = top.object("baseline")?.only(&["box_air_c", "ambient_c", "readings"])?;
                let at = surroundings(&visit)?;
                proved(table, &system, at, &readings(&visit)?)
            }
            false => Belief::nameplate(),
        };
        let at = surroundings(&top)?;
        let said = diagnose(table, &system, &belief, at, &readings(&top)?);
        let mut answer = prediction(&said);
        if let (Some(id), Some(answer)) = (case.get("id"), answer.as_object_mut()) {
            answer.insert("id".to_owned(), id.clone());
        }
        Ok(answer)
    }
}

/// Returns a diagnosis as JSON.
#[must_use]
pub fn prediction(said: &Diagnosis) -> Value {
    let round = |x: f64, to: f64| (x * to).round() / to;
    let chances: Map<String, Value> = CAUSES
        .iter()
        .zip(said.chances)
        .map(|(cause, p)| (cause_word(*cause), json!(round(p, 1e5))))
        .collect();
    let mut charge = json!({ "at_least": round(said.charge.0, 1e3) });
    if let Some(high) = said.charge.1 {
        charge["at_most"] = json!(round(high, 1e3));
    }
    let of = |kind: Kind| READINGS[kind as usize].0;
    let shift = |kind: Kind| READINGS[kind as usize].4;
    json!({
        "first": cause_word(said.ranked()[0].0),
        "chances": chances,
        "charge_share": charge,
        "against": said.against.iter().map(|a| json!({
            "reading": of(a.kind),
            "expected": round(a.expected - shift(a.kind), 1e2),
            "measured": round(a.measured - shift(a.kind), 1e2),
            "spread": round(a.sd, 1e2),
        })).collect::<Vec<_>>(),
        "next": said.next.iter().map(|n| json!({
            "reading": of(n.kind), "gain_nats": round(n.gain, 1e3), "minutes": n.minutes,
        })).collect::<Vec<_>>(),
        "not_seen": said.unseen.iter().map(|u| json!({
            "fault": word(u.fault), "shown_by": u.shown_by.iter().map(|k| of(*k)).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}

fn bad(code: &'static str, field: &str, given: &str, sensible: &str, message: Message) -> Refused {
    let given: String = given.chars().take(80).collect();
    Refused::new(code, field, given, sensible, message)
}

/// A JSON object with a path for its refusals.
struct Object<'a> {
    path: String,
    of: &'a Map<String, Value>,
}

impl<'a> Object<'a> {
    fn of(value: &'a Value, path: &str, known: &[&str]) -> Result<Self, Refused> {
        let of = value.as_object().ok_or_else(|| {
            bad(
                "not_an_object",
                path,
                &value.to_string(),
                &format!("{{\"{}\": …}}", known.join("\", \"")),
                Message::new("fault-object"),
            )
        })?;
        Self { path: path.to_owned(), of }.only(known)
    }

    fn only(self, known: &[&str]) -> Result<Self, Refused> {
        match self.of.keys().find(|key| !known.is_empty() && !known.contains(&key.as_str())) {
            Some(key) => {
                Err(bad("unknown_key", &self.path, key, &known.join(", "), Message::new("fault-key")))
            }
            None => Ok(self),
        }
    }

    fn has(&self, key: &str) -> bool {
        self.of.get(key).is_some_and(|value| !value.is_null())
    }

    fn name(&self, key: &str) -> String {
        if self.path == "case" { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    fn object(&self, key: &str) -> Result<Object<'a>, Refused> {
        let value = self.of.get(key).unwrap_or(&Value::Null);
        Object::of(value, &self.name(key), &[])
    }

    fn text(&self, key: &str) -> Result<Option<&'a str>, Refused> {
        match self.of.get(key) {
            None | Some(Value::Null) => Ok(None),
            Some(Value::String(text)) => Ok(Some(text)),
            Some(other) => Err(bad(
                "not_a_text",
                &self.name(key),
                &other.to_string(),
                "\"R-404A\"",
                Message::new("fault-value"),
            )),
        }
    }

    fn number(&self, key: &str, low: f64, high: f64) -> Result<Option<f64>, Refused> {
        match self.of.get(key) {
            None | Some(Value::Null) => Ok(None),
            Some(value) => within(value, &self.name(key), low, high).map(Some),
        }
    }

    fn need(&self, key: &str, low: f64, high: f64) -> Result<f64, Refused> {
        self.number(key, low, high)?.ok_or_else(|| {
            bad("missing", &self.name(key), "-", &format!("{low} … {high}"), Message::new("fault-missing"))
        })
    }
}

fn within(value: &Value, name: &str, low: f64, high: f64) -> Result<f64, Refused> {
    value.as_f64().filter(|x| (low..=high).contains(x)).ok_or_else(|| {
        bad("out_of_range", name, &value.to_string(), &format!("{low} … {high}"), Message::new("fault-value"))
    })
}

fn plate(system: &Object<'_>) -> Result<Plate, Refused> {
    const KNOWN: [&str; 11] = [
        "refrigerant",
        "capacity_w",
        "evaporating_c",
        "condensing_c",
        "coil_difference_k",
        "split_k",
        "superheat_k",
        "head",
        "head_c",
        "receiver_m3",
        "charge_kg",
    ];
    let system = Object { path: system.path.clone(), of: system.of }.only(&KNOWN)?;
    let head = match system.text("head")? {
        None | Some("none") => Head::Free,
        Some(how @ ("flooding" | "fans")) => {
            let at = system.need("head_c", 0.0, 60.0)? + 273.15;
            if how == "fans" { Head::Fans(at) } else { Head::Flooding(at) }
        }
        Some(other) => {
            return Err(bad(
                "unknown_word",
                "system.head",
                other,
                "none, flooding, fans",
                Message::new("fault-value"),
            ));
        }
    };
    let evaporating = system.need("evaporating_c", -45.0, 15.0)? + 273.15;
    Ok(Plate {
        capacity: system.need("capacity_w", 100.0, 500_000.0)?,
        evaporating,
        condensing: system.need("condensing_c", 20.0, 60.0)? + 273.15,
        coil_difference: system.number("coil_difference_k", 2.0, 25.0)?.unwrap_or(7.0),
        split: system.number("split_k", 3.0, 30.0)?.unwrap_or(10.0),
        superheat: system.number("superheat_k", 1.0, 20.0)?.unwrap_or(6.0),
        head,
        receiver: system.number("receiver_m3", 1e-4, 2.0)?,
        charge: system.number("charge_kg", 0.05, 2000.0)?,
    })
}

fn surroundings(visit: &Object<'_>) -> Result<Surroundings, Refused> {
    Ok(Surroundings {
        box_air: visit.need("box_air_c", -45.0, 30.0)? + 273.15,
        ambient: visit.need("ambient_c", -40.0, 55.0)? + 273.15,
    })
}

fn readings(visit: &Object<'_>) -> Result<Vec<Reading>, Refused> {
    let known: Vec<&str> = READINGS.iter().map(|r| r.0).collect();
    let given = visit.object("readings")?.only(&known)?;
    let mut all = Vec::new();
    for (name, kind, low, high, shift) in READINGS {
        let Some(value) = given.of.get(name).filter(|value| !value.is_null()) else { continue };
        let path = given.name(name);
        let (value, sd) = match value {
            Value::Bool(yes) if kind == Kind::Glass => (f64::from(u8::from(*yes)), None),
            Value::Array(pair) if pair.len() == 2 => {
                (within(&pair[0], &path, low, high)?, Some(within(&pair[1], &path, 1e-6, high - low)?))
            }
            value => (within(value, &path, low, high)?, None),
        };
        let usual = USUAL.get(kind as usize).copied().unwrap_or(0.0);
        let usual = if matches!(kind, Kind::Low | Kind::High | Kind::Power) { usual * value } else { usual };
        all.push(Reading { kind, value: value + shift, sd: sd.unwrap_or(usual) });
    }
    if all.is_empty() {
        return Err(bad("missing", &given.path, "-", &known.join(", "), Message::new("fault-missing")));
    }
    Ok(all)
}
