//! Viscosity, conductivity and surface tension against CoolProp: its reference correlations of pure fluids, and those of
//! R-404A, R-407C, R-410A and R-507A, which rest on measurements of the blends (Geller and others 2000 and 2001; Okada and
//! others 1999), as the last column of `data/checks/coolprop_transport.csv` says.
#![allow(clippy::unwrap_used)]

use std::path::Path;
use units::{Density, Temperature};

struct Row {
    refrigerant: String,
    phase: String,
    temperature: Temperature,
    density: Density,
    viscosity: Option<f64>,
    conductivity: Option<f64>,
    tension: Option<f64>,
    papers: Vec<String>,
}

fn rows() -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/checks/coolprop_transport.csv");
    let text = std::fs::read_to_string(path).unwrap();
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |at: usize| cells[at].parse::<f64>().ok();
        Row {
            refrigerant: cells[0].into(),
            phase: cells[1].into(),
            temperature: Temperature::from_kelvin(number(2).unwrap()),
            density: Density::from_kilogram_per_cubic_metre(number(3).unwrap()),
            viscosity: number(4),
            conductivity: number(5),
            tension: number(6),
            papers: cells[7].split(' ').map(str::to_owned).collect(),
        }
    });
    rows.collect()
}

/// Papers whose models are estimates themselves (corresponding states), and no reference for another.
const ESTIMATES: [&str; 3] = ["Bell-PURDUE-2016-ETA", "Klein-IJR-1997", "ECS"];

/// Relative differences of one quantity, with what they are of.
#[derive(Default)]
struct Found(Vec<(f64, String)>);

impl Found {
    fn note(&mut self, row: &Row, own: f64, wanted: f64) {
        let off = own / wanted - 1.0;
        self.0.push((off, format!("{} {} {:.2} K", row.refrigerant, row.phase, row.temperature.kelvin())));
    }

    /// Asserts the mean and the worst of at least so many.
    #[track_caller]
    fn within(&self, what: &str, least: usize, mean: f64, worst: f64) {
        let own_mean = self.0.iter().map(|(off, _)| off.abs()).sum::<f64>() / self.0.len() as f64;
        let own_worst = self.0.iter().max_by(|a, b| a.0.abs().total_cmp(&b.0.abs())).unwrap();
        println!(
            "{what}: {} values, mean {own_mean:.3}, worst {:+.3} at {}",
            self.0.len(),
            own_worst.0,
            own_worst.1
        );
        assert!(self.0.len() >= least, "{what}: only {} values", self.0.len());
        assert!(own_mean < mean && own_worst.0.abs() < worst, "{what}: mean {own_mean}, worst {own_worst:?}");
    }
}

#[test]
fn viscosity_conductivity_and_tension_agree_with_reference_correlations() {
    let [mut viscosity, mut conductivity, mut tension] = [const { Vec::new() }; 3].map(Found);
    let [mut blend_viscosity, mut blend_conductivity, mut blend_tension] =
        [const { Vec::new() }; 3].map(Found);
    for row in rows() {
        let fluid = refrigerant::find(&row.refrigerant).unwrap().fluid();
        let own = refrigerant::transport(&fluid, row.density, row.temperature).unwrap();
        let blend = !fluid.is_pure();
        if let Some(wanted) = row.viscosity.filter(|_| !ESTIMATES.contains(&row.papers[0].as_str())) {
            let found = if blend { &mut blend_viscosity } else { &mut viscosity };
            found.note(&row, own.viscosity_pa_s, wanted);
        }
        if let Some(wanted) = row.conductivity {
            let found = if blend { &mut blend_conductivity } else { &mut conductivity };
            found.note(&row, own.conductivity_w_m_k.unwrap(), wanted);
        }
        if let Some(wanted) = row.tension {
            let found = if blend { &mut blend_tension } else { &mut tension };
            found.note(&row, refrigerant::surface_tension(&fluid, row.temperature).unwrap(), wanted);
        }
    }
    viscosity.within("viscosity of pure fluids", 180, 0.025, 0.095);
    blend_viscosity.within("viscosity of blends, Geller and others 2000", 60, 0.04, 0.08);
    conductivity.within("conductivity of pure fluids", 250, 0.05, 0.16);
    blend_conductivity.within("conductivity of blends, Geller and others 2001", 60, 0.08, 0.2);
    tension.within("surface tension of pure fluids", 100, 1e-5, 1e-4);
    blend_tension.within("surface tension of blends, Okada and others 1999", 20, 0.03, 0.06);
}

/// What transport takes from the equations of state, against what their states say.
#[test]
fn residual_entropy_and_the_slope_of_density_are_those_of_the_states() {
    for name in ["R-134a", "R-744", "R-448A"] {
        let fluid = refrigerant::find(name).unwrap().fluid();
        let t = Temperature::from_celsius(20.0);
        let dense = fluid.bubble_at_temperature(t).unwrap().density;
        let thin = Density::from_kilogram_per_cubic_metre(1e-4);
        let molar = match fluid.components() {
            [only] => only.gas_constant,
            _ => 8.314_462_618_153_24,
        };
        let r = molar / fluid.molar_mass();
        let state = |density| fluid.state_at_density_temperature(density, t).unwrap();
        let real = state(dense).entropy.joule_per_kilogram_kelvin()
            - state(thin).entropy.joule_per_kilogram_kelvin();
        let ratio = dense.kilogram_per_cubic_metre() / thin.kilogram_per_cubic_metre();
        let wanted = real / r + units::math::ln(ratio);
        let own = fluid.residual_entropy(dense, t) - fluid.residual_entropy(thin, t);
        assert!((own / wanted - 1.0).abs() < 1e-9, "{name}: {own}, {wanted}");
        let liquid = state(dense);
        let (cp, cv) = (liquid.cp.unwrap(), liquid.cv.unwrap());
        let w = liquid.speed_of_sound.unwrap().metre_per_second();
        let wanted =
            cp.joule_per_kilogram_kelvin() / (cv.joule_per_kilogram_kelvin() * w * w * fluid.molar_mass());
        let own = fluid.density_slope(dense, t);
        assert!((own / wanted - 1.0).abs() < 1e-9, "{name}: {own}, {wanted}");
    }
}

/// R-22's liquid at 0 °C has 216.1 uPa s (ASHRAE Handbook, Fundamentals, thermophysical properties, from memory); CoolProp's
/// estimate for it is 171.
#[test]
fn where_the_peer_estimates_the_handbook_decides() {
    let fluid = refrigerant::find("R-22").unwrap().fluid();
    let t = Temperature::from_celsius(0.0);
    let liquid = fluid.bubble_at_temperature(t).unwrap().density;
    let own = refrigerant::transport(&fluid, liquid, t).unwrap().viscosity_pa_s;
    assert!((own / 216.1e-6 - 1.0).abs() < 0.03, "{own}");
}

#[test]
fn what_has_no_parameters_has_no_answer() {
    let t = Temperature::from_celsius(0.0);
    let gas = Density::from_kilogram_per_cubic_metre(5.0);
    assert_eq!(refrigerant::transport(&refrigerant::find("R-1336mzz(E)").unwrap().fluid(), gas, t), None);
    let nitrogen = refrigerant::nitrogen();
    let own = refrigerant::transport(&nitrogen, Density::from_kilogram_per_cubic_metre(1.2), t).unwrap();
    assert_eq!(own.conductivity_w_m_k, None);
    // 16.63 uPa s at 0 °C and 1 bar, CoolProp 8.0.0.
    assert!((own.viscosity_pa_s / 16.63e-6 - 1.0).abs() < 0.02, "{own:?}");
    assert_eq!(
        refrigerant::surface_tension(
            &refrigerant::find("R-744").unwrap().fluid(),
            Temperature::from_celsius(40.0)
        ),
        None
    );
}
