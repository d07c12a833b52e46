//! Reading check tables and comparing what was found with what they expect.

#![allow(dead_code, clippy::unwrap_used)]

use field::leak::Viscosity;
use fluid::Fluid;
use toml_edit::{DocumentMut, Item, Table, Value};
use units::{AbsolutePressure, Length, Temperature};

/// Returns the text of a file of `data/`.
pub fn read(file: &str) -> String {
    let path = format!("{}/../../data/{file}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn tables(file: &str, name: &str) -> Vec<Table> {
    let document: DocumentMut = read(file).parse().unwrap();
    document[name].as_array_of_tables().unwrap().iter().cloned().collect()
}

/// One row of a check table.
pub struct Row(Table);

/// Returns the rows of a check table, each with id, kind, source and status.
pub fn rows(file: &str) -> Vec<Row> {
    let rows: Vec<Row> = tables(file, "case").into_iter().map(Row).collect();
    for row in &rows {
        for key in ["id", "kind", "source", "status"] {
            assert!(!row.0[key].as_str().unwrap_or("").is_empty(), "{}: no {key}", row.id());
        }
        let status = row.0["status"].as_str().unwrap();
        assert!(
            ["published-seen", "measured-seen", "computed", "from-memory"].contains(&status),
            "{}: {status}",
            row.id()
        );
    }
    let mut ids: Vec<&str> = rows.iter().map(Row::id).collect();
    ids.sort_unstable();
    assert!(ids.windows(2).all(|pair| pair[0] != pair[1]), "an id stands twice");
    rows
}

fn as_number(value: &Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64))
}

impl Row {
    pub fn id(&self) -> &str {
        self.0["id"].as_str().unwrap()
    }
    pub fn kind(&self) -> &str {
        self.0["kind"].as_str().unwrap()
    }
    fn input(&self, key: &str) -> &Value {
        let inputs = self.0["inputs"].as_inline_table().unwrap();
        inputs.get(key).unwrap_or_else(|| panic!("{}: no input {key}", self.id()))
    }
    pub fn has(&self, key: &str) -> bool {
        self.0["inputs"].as_inline_table().unwrap().contains_key(key)
    }
    pub fn text(&self, key: &str) -> &str {
        self.input(key).as_str().unwrap()
    }
    pub fn number(&self, key: &str) -> f64 {
        as_number(self.input(key)).unwrap_or_else(|| panic!("{}: {key} is no number", self.id()))
    }
    pub fn numbers(&self, key: &str) -> Vec<f64> {
        self.input(key).as_array().unwrap().iter().map(|value| as_number(value).unwrap()).collect()
    }
    pub fn texts(&self, key: &str) -> Vec<String> {
        self.input(key).as_array().unwrap().iter().map(|value| value.as_str().unwrap().to_owned()).collect()
    }
}

/// What a calculation found, by expected key.
#[derive(Default)]
pub struct Found(Vec<(String, Vec<f64>)>);

impl Found {
    pub fn number(&mut self, key: &str, value: f64) {
        self.numbers(key, &[value]);
    }
    pub fn numbers(&mut self, key: &str, values: &[f64]) {
        self.0.retain(|(have, _)| have != key);
        self.0.push((key.to_owned(), values.to_vec()));
    }
    pub fn truth(&mut self, key: &str, value: bool) {
        self.number(key, f64::from(u8::from(value)));
    }

    /// Returns one line for each expected value that was not found or lies too far off. No value may be left unsaid.
    pub fn compare(&self, row: &Row) -> Vec<String> {
        let expected = row.0["expected"].as_inline_table().unwrap();
        let tolerance = row.0["tolerance"].as_inline_table().unwrap();
        let mut failures = Vec::new();
        assert!(!expected.is_empty(), "{}: nothing expected", row.id());
        for (key, value) in expected {
            let wanted: Vec<f64> = match value {
                Value::Array(list) => list.iter().map(|value| as_number(value).unwrap()).collect(),
                Value::Boolean(truth) => vec![f64::from(u8::from(*truth.value()))],
                other => vec![as_number(other).unwrap()],
            };
            let allowed = tolerance.get(key).and_then(as_number).unwrap_or(0.0);
            let Some((_, found)) = self.0.iter().find(|(have, _)| have == key) else {
                failures.push(format!("{}: {key} was not computed", row.id()));
                continue;
            };
            if found.len() != wanted.len() {
                failures.push(format!(
                    "{}: {key} has {} values instead of {}",
                    row.id(),
                    found.len(),
                    wanted.len()
                ));
            }
            for (found, wanted) in found.iter().zip(&wanted) {
                let off = (found - wanted).abs();
                if off.is_nan() || off > allowed {
                    failures
                        .push(format!("{}: {key} is {found}, expected {wanted} within {allowed}", row.id()));
                }
            }
        }
        failures
    }
}

/// Returns the fluid of a designation, or nitrogen.
pub fn fluid_named(name: &str) -> Fluid {
    match name {
        "nitrogen" => refrigerant::nitrogen(),
        _ => refrigerant::find(name).unwrap_or_else(|| panic!("no refrigerant {name}")).fluid(),
    }
}

/// Returns the viscosity that the table has for exactly this gas, pressure and temperature.
pub fn viscosity(name: &str, pressure: AbsolutePressure, temperature: Temperature) -> Viscosity {
    let number = |table: &Table, key: &str| table[key].as_float().unwrap();
    let rows = tables("transport/vapour_viscosity.toml", "viscosity");
    let row = rows.iter().find(|row| {
        row["substance"].as_str() == Some(name)
            && (number(row, "pressure_pa") / pressure.pascal() - 1.0).abs() < 1e-3
            && (number(row, "temperature_k") - temperature.kelvin()).abs() < 0.01
    });
    let row = row.unwrap_or_else(|| panic!("no viscosity of {name} at {pressure:?}, {temperature:?}"));
    Viscosity::from_pascal_second(number(row, "viscosity_pa_s"))
}

/// Returns the inside diameter of a tube of this outside diameter.
pub fn tube(outside: &str) -> Length {
    let rows = tables("tubes/copper.toml", "tube");
    let row: &Item = &rows
        .iter()
        .find(|row| row["outside_in"].as_str() == Some(outside))
        .unwrap_or_else(|| panic!("no tube {outside}"))["inside_in"];
    Length::from_inch(row.as_float().unwrap())
}
