//! Saturation against published tables; the source of each row stands in the data file.

use std::fmt::Write as _;
use std::path::Path;
use toml_edit::{DocumentMut, Table};
use units::Temperature;

fn number(row: &Table, key: &str) -> Option<f64> {
    let value = row.get(key)?;
    value.as_float().or_else(|| value.as_integer().map(|n| n as f64))
}

#[test]
fn saturation_agrees_with_published_tables() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/checks/saturation_published.toml");
    let document: DocumentMut = std::fs::read_to_string(path).unwrap().parse().unwrap();
    let mut failed = String::new();
    let mut compared = 0;
    for row in document["row"].as_array_of_tables().unwrap() {
        let name = row["refrigerant"].as_str().unwrap();
        let source = document["sources"][row["source"].as_str().unwrap()]["title"].as_str().unwrap();
        let fluid = refrigerant::find(name).unwrap().fluid();
        let m = fluid.molar_mass();
        let t = Temperature::from_kelvin(number(row, "temperature_k").unwrap());
        let (bubble, dew) = (fluid.bubble_at_temperature(t).unwrap(), fluid.dew_at_temperature(t).unwrap());
        let (liquid, vapour) =
            (bubble.density.kilogram_per_cubic_metre(), dew.density.kilogram_per_cubic_metre());
        let values = [
            ("bubble_pressure_pa", bubble.pressure.pascal(), 5e-4),
            ("dew_pressure_pa", dew.pressure.pascal(), 5e-4),
            ("liquid_density_kg_m3", liquid, 6e-4),
            ("vapour_density_kg_m3", vapour, 6e-4),
            ("liquid_density_mol_m3", liquid / m, 6e-4),
            ("vapour_density_mol_m3", vapour / m, 6e-4),
            ("liquid_volume_m3_kg", 1.0 / liquid, 6e-4),
        ];
        for (key, own, tolerance) in values {
            let Some(wanted) = number(row, key) else { continue };
            compared += 1;
            let off = own / wanted - 1.0;
            println!("{name} {} K {key}: {own:.6e} for {wanted}, {:+.4} %", t.kelvin(), 100.0 * off);
            if off.abs() > tolerance {
                writeln!(failed, "{name} {} K {key}: {own} for {wanted}, {off:+.1e}; {source}", t.kelvin())
                    .unwrap();
            }
        }
    }
    assert!(failed.is_empty(), "\n{failed}");
    assert!(compared >= 50, "only {compared} values");
}
