//! Turns the files of `data/` into constants, so that nothing is read or parsed at run time.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};
use toml_edit::{DocumentMut, Item, Table, Value};

fn main() {
    let here = env::var("CARGO_MANIFEST_DIR").expect("cargo sets it");
    // In the repository the data stand at its root; a published package carries them through the links in its own folder.
    let data = [Path::new(&here).join("../../data"), Path::new(&here).join("data")]
        .into_iter()
        .find(|place| place.join("fluids").is_dir())
        .expect("the data");
    let mut out = String::new();
    let fluids = fluids(&data, &mut out);
    let names: Vec<&str> = fluids.iter().map(|f| f.0.as_str()).collect();
    pairs(&data, &fluids, &mut out);
    blends(&data, &names, &mut out);
    let target = PathBuf::from(env::var("OUT_DIR").expect("cargo sets it")).join("coefficients.rs");
    fs::write(target, out).expect("the build folder can be written");
    viscosities(&data);
    scaled(&data);
    println!("cargo::rerun-if-changed=build.rs");
    for folder in ["fluids", "mixtures", "refrigerants", "transport"] {
        println!("cargo::rerun-if-changed={}", data.join(folder).display());
    }
}

/// The viscosities of dilute gases: the rows at 25 °C and 1 bar.
fn viscosities(data: &Path) {
    let document = read(&data.join("transport/vapour_viscosity.toml"));
    let rows = document["viscosity"].as_array_of_tables().expect("rows of viscosity");
    let mut out = String::from("static DILUTE_VISCOSITIES: &[(&str, f64)] = &[\n");
    for row in rows
        .iter()
        .filter(|row| num(row, "temperature_k") == "298.15" && num(row, "pressure_pa") == "100000.0")
    {
        assert!(row.get("source").is_some(), "a viscosity without a source");
        writeln!(out, "    ({}, {}),", text(row, "substance"), num(row, "viscosity_pa_s"))
            .expect("a string takes text");
    }
    out.push_str("];\n");
    let target = PathBuf::from(env::var("OUT_DIR").expect("cargo sets it")).join("viscosities.rs");
    fs::write(target, out).expect("the build folder can be written");
}

/// The parameters of viscosity, conductivity and surface tension.
fn scaled(data: &Path) {
    let document = read(&data.join("transport/entropy_scaling.toml"));
    for source in ["viscosity", "conductivity"] {
        assert!(document["sources"].get(source).is_some(), "{source} without a source");
    }
    let list = |row: &Table, key: &str| -> Option<Vec<String>> {
        Some(row.get(key)?.as_array().expect("a row of numbers").iter().map(number).collect())
    };
    let optional = |value: Option<Vec<String>>| match value {
        Some(numbers) => format!("Some([{}])", numbers.join(", ")),
        None => "None".to_owned(),
    };
    let mut out = String::from("static SCALED: &[Scaled] = &[\n");
    for row in document["substance"].as_array_of_tables().expect("rows of substance") {
        let molecule = row.get("epsilon_k").map(|_| vec![num(row, "epsilon_k"), num(row, "sigma_nm")]);
        let tension = rows(row.get("surface_tension"));
        let tension = if tension.is_empty() {
            "None".to_owned()
        } else {
            assert!(row.get("surface_tension_source").is_some(), "a surface tension without a source");
            let terms: Vec<String> =
                tension.iter().map(|term| format!("({}, {})", term[0], term[1])).collect();
            format!("Some(({}, &[{}]))", num(row, "surface_tension_tc_k"), terms.join(", "))
        };
        writeln!(
            out,
            "    Scaled {{ name: {}, dilute_viscosity: {}, dilute_conductivity: {}, molecule: {}, viscosity: {}, conductivity: {}, critical: {}, tension: {} }},",
            text(row, "name"),
            dilute_viscosity(row),
            dilute_conductivity(row),
            optional(molecule),
            optional(list(row, "viscosity")),
            optional(list(row, "conductivity")),
            optional(list(row, "critical")),
            tension
        )
        .expect("a string takes text");
    }
    out.push_str("];\n");
    let target = PathBuf::from(env::var("OUT_DIR").expect("cargo sets it")).join("scaled.rs");
    fs::write(target, out).expect("the build folder can be written");
}

/// Pairs of a number and an exponent.
fn terms(row: &Table, key: &str) -> String {
    let terms: Vec<String> = rows(row.get(key))
        .iter()
        .map(|term| format!("({}, {})", term[0], term[1].trim_end_matches(".0")))
        .collect();
    format!("&[{}]", terms.join(", "))
}

fn dilute_viscosity(row: &Table) -> String {
    let Some(lead) = row.get("dilute_viscosity").and_then(Item::as_array) else { return "None".to_owned() };
    assert!(row.get("dilute_viscosity_source").is_some(), "a viscosity without a source");
    let lead: Vec<String> = lead.iter().map(number).collect();
    format!("Some(([{}], {}))", lead.join(", "), terms(row, "dilute_viscosity_terms"))
}

fn dilute_conductivity(row: &Table) -> String {
    if row.get("dilute_conductivity_t_k").is_none() {
        return "None".to_owned();
    }
    assert!(row.get("dilute_conductivity_source").is_some(), "a conductivity without a source");
    let (above, below) = (terms(row, "dilute_conductivity_above"), terms(row, "dilute_conductivity_below"));
    format!("Some(({}, {above}, {below}))", num(row, "dilute_conductivity_t_k"))
}

fn read(path: &Path) -> DocumentMut {
    println!("cargo::rerun-if-changed={}", path.display());
    let text = fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    text.parse().unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// A number with all its digits, as Rust writes it.
fn number(value: &Value) -> String {
    match value {
        Value::Integer(n) => format!("{:?}", *n.value() as f64),
        Value::Float(x) => format!("{:?}", *x.value()),
        other => panic!("a number was expected: {other:?}"),
    }
}

fn get<'a>(table: &'a Table, path: &str) -> &'a Item {
    let mut parts = path.split('.');
    let first = parts.next().expect("a path has a first part");
    let mut item = table.get(first).unwrap_or_else(|| panic!("`{first}` is missing"));
    for part in parts {
        item = item.get(part).unwrap_or_else(|| panic!("`{path}` is missing"));
    }
    item
}

fn num(table: &Table, path: &str) -> String {
    number(get(table, path).as_value().unwrap_or_else(|| panic!("`{path}` is no number")))
}

fn text(table: &Table, path: &str) -> String {
    format!("{:?}", get(table, path).as_str().unwrap_or_else(|| panic!("`{path}` is no text")))
}

fn rows(item: Option<&Item>) -> Vec<Vec<String>> {
    let Some(item) = item else { return Vec::new() };
    let list = item.as_array().expect("an array of rows");
    list.iter().map(|row| row.as_array().expect("a row of numbers").iter().map(number).collect()).collect()
}

/// Writes `[Kind { a: 1.0, ... }, ...]`; fields marked with `#` are whole numbers.
fn structs(kind: &str, fields: &[&str], rows: &[Vec<String>]) -> String {
    let mut out = String::from("&[");
    for row in rows {
        assert_eq!(row.len(), fields.len(), "a row of {kind} has {} numbers", row.len());
        write!(out, "{kind} {{ ").expect("a string takes all");
        for (field, value) in fields.iter().zip(row) {
            match field.strip_prefix('#') {
                Some(whole) => {
                    let value = value.strip_suffix(".0").expect("a whole number");
                    write!(out, "{whole}: {value}, ").expect("a string takes all");
                }
                None => write!(out, "{field}: {value}, ").expect("a string takes all"),
            }
        }
        out.push_str("}, ");
    }
    out.push(']');
    out
}

fn powers(residual: &Table) -> String {
    let mut list = rows(residual.get("power"));
    for row in &mut list {
        row.push("0.0".into());
    }
    list.extend(rows(residual.get("power_both")));
    structs("Power", &["n", "t", "#d", "#l", "m"], &list)
}

fn ancillary(table: &Table, name: &str) -> String {
    let at = |key: &str| format!("guess.{name}.{key}");
    let one_plus = get(table, &at("form")).as_str() == Some("one_plus");
    let over = get(table, &at("over_temperature")).as_bool().expect("true or false");
    let terms: Vec<String> =
        rows(Some(get(table, &at("terms")))).iter().map(|row| format!("({}, {})", row[0], row[1])).collect();
    format!(
        "Ancillary {{ one_plus: {one_plus}, over_temperature: {over}, temperature: {}, value: {}, terms: &[{}] }}",
        num(table, &at("temperature_k")),
        num(table, &at("value")),
        terms.join(", ")
    )
}

fn ideal(table: &Table) -> String {
    let part = table["ideal"].as_table().expect("a table `ideal`");
    let pair = |key: &str| -> Option<(f64, f64)> {
        let list = part.get(key)?.as_array()?;
        let at = |i: usize| list.get(i).map(number)?.parse().ok();
        Some((at(0)?, at(1)?))
    };
    let lead = pair("lead").expect("`ideal.lead`");
    let offset = pair("offset").unwrap_or((0.0, 0.0));
    let mut terms =
        vec![format!("Ideal::Lead {{ a1: {:?}, a2: {:?} }}", lead.0 + offset.0, lead.1 + offset.1)];
    if let Some(a) = part.get("log_tau").and_then(Item::as_value) {
        terms.push(format!("Ideal::LogTau {{ a: {} }}", number(a)));
    }
    for row in rows(part.get("power")) {
        terms.push(format!("Ideal::Power {{ n: {}, t: {} }}", row[0], row[1]));
    }
    for row in rows(part.get("planck_einstein")) {
        terms.push(format!("Ideal::PlanckEinstein {{ n: {}, t: {} }}", row[0], row[1]));
    }
    let reducing = num(table, "reducing.temperature_k");
    for row in rows(part.get("planck_einstein_kelvin")) {
        terms.push(format!("Ideal::PlanckEinstein {{ n: {}, t: {} / {reducing} }}", row[0], row[1]));
    }
    for row in rows(part.get("heat_capacity")) {
        let from = num(table, "ideal.heat_capacity_reference_k");
        terms.push(format!("Ideal::HeatCapacity {{ c: {}, t: {}, from: {from} }}", row[0], row[1]));
    }
    if let Some(c) = part.get("heat_capacity_constant").and_then(Item::as_value) {
        let from = num(table, "ideal.heat_capacity_constant_reference_k");
        terms.push(format!("Ideal::HeatCapacity {{ c: {}, t: 0.0, from: {from} }}", number(c)));
    }
    format!("&[{}]", terms.join(", "))
}

fn source(table: &Table) -> String {
    let optional = |key: &str| match table.get(key) {
        Some(item) => format!("Some({:?})", item.as_str().expect("text")),
        None => "None".into(),
    };
    let year = match table.get("year") {
        Some(item) => format!("Some({})", item.as_integer().expect("a year")),
        None => "None".into(),
    };
    format!(
        "Source {{ authors: {}, title: {}, published_in: {}, year: {year}, volume: {}, pages: {}, doi: {} }}",
        optional("authors"),
        text(table, "title"),
        text(table, "published_in"),
        optional("volume"),
        optional("pages"),
        optional("doi"),
    )
}

/// Writes the components in the order of their file names; returns name and CAS number of each.
fn fluids(data: &Path, out: &mut String) -> Vec<(String, String)> {
    let mut paths: Vec<PathBuf> = fs::read_dir(data.join("fluids"))
        .expect("data/fluids")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    paths.sort();
    let mut known = Vec::new();
    out.push_str("pub(crate) static COMPONENTS: &[Known] = &[\n");
    for path in &paths {
        let document = read(path);
        let t = document.as_table();
        let residual = t["residual"].as_table().expect("a table `residual`");
        let chemical = match t.get("chemical_name") {
            Some(name) => format!("Some({:?})", name.as_str().expect("text")),
            None => "None".into(),
        };
        writeln!(
            out,
            "Known {{ chemical_name: {chemical}, source: {}, component: Component {{ name: {}, cas: {}, molar_mass: {}, \
             gas_constant: {}, acentric_factor: {}, reducing_temperature: {}, reducing_density: {}, \
             critical_temperature: {}, critical_pressure: {}, critical_density: {}, triple_point: {}, \
             highest_temperature: {}, highest_pressure: {}, power: {}, gaussian: {}, gao: {}, non_analytic: {}, \
             ideal: {}, saturation_pressure: {}, liquid_density: {}, vapour_density: {} }} }},",
            source(t["source"].as_table().expect("a table `source`")),
            text(t, "name"),
            text(t, "cas"),
            num(t, "molar_mass_kg_per_mol"),
            num(t, "gas_constant_j_per_mol_k"),
            num(t, "acentric_factor"),
            num(t, "reducing.temperature_k"),
            num(t, "reducing.density_mol_per_m3"),
            num(t, "critical.temperature_k"),
            num(t, "critical.pressure_pa"),
            num(t, "critical.density_mol_per_m3"),
            num(t, "range.triple_point_k"),
            num(t, "range.highest_temperature_k"),
            num(t, "range.highest_pressure_pa"),
            powers(residual),
            structs(
                "Gaussian",
                &["n", "t", "#d", "eta", "epsilon", "beta", "gamma"],
                &rows(residual.get("gaussian"))
            ),
            structs(
                "Gao",
                &["n", "t", "#d", "eta", "epsilon", "beta", "gamma", "b"],
                &rows(residual.get("gao"))
            ),
            structs(
                "NonAnalytic",
                &["n", "a", "b", "beta", "capital_a", "capital_b", "capital_c", "capital_d"],
                &rows(residual.get("non_analytic"))
            ),
            ideal(t),
            ancillary(t, "saturation_pressure"),
            ancillary(t, "liquid_density"),
            ancillary(t, "vapour_density"),
        )
        .expect("a string takes all");
        let plain = |key: &str| t[key].as_str().expect("text").to_owned();
        known.push((plain("name"), plain("cas")));
    }
    out.push_str("];\n");
    known
}

fn sources(tables: &[&Table], name: &str, out: &mut String) -> BTreeMap<String, usize> {
    let mut numbers = BTreeMap::new();
    let each = tables.iter().flat_map(|table| table["sources"].as_table().expect("a table `sources`"));
    writeln!(out, "pub(crate) static {name}: &[Source] = &[").expect("a string takes all");
    for (index, (key, item)) in each.enumerate() {
        numbers.insert(key.to_owned(), index);
        writeln!(out, "{},", source(item.as_table().expect("a source"))).expect("a string takes all");
    }
    out.push_str("];\n");
    numbers
}

fn pairs(data: &Path, fluids: &[(String, String)], out: &mut String) {
    let departure = read(&data.join("mixtures/departure.toml"));
    let mut functions = BTreeMap::new();
    for function in departure["function"].as_array_of_tables().expect("functions") {
        functions.insert(function["name"].as_str().expect("a name").to_owned(), powers(function));
    }
    let documents = [read(&data.join("mixtures/pairs.toml")), read(&data.join("mixtures/anchored.toml"))];
    let tables: Vec<&Table> = documents.iter().map(|d| d.as_table()).collect();
    let numbers = sources(&tables, "PAIR_SOURCES", out);
    let mut entries = Vec::new();
    for pair in tables.iter().filter_map(|t| t.get("pair")?.as_array_of_tables()).flatten() {
        let cas: Vec<&str> =
            pair["cas"].as_array().expect("two numbers").iter().map(|v| v.as_str().expect("text")).collect();
        let place = |wanted: &str| fluids.iter().position(|(_, cas)| cas == wanted);
        let (Some(i), Some(j)) = (place(cas[0]), place(cas[1])) else {
            panic!("a pair of {cas:?} has a component that is not in data/fluids")
        };
        let reducing = if pair.contains_key("xi_k") {
            format!(
                "Reducing::XiZeta {{ xi: {}, zeta: {} }}",
                num(pair, "xi_k"),
                num(pair, "zeta_m3_per_mol")
            )
        } else {
            format!(
                "Reducing::BetaGamma {{ beta_t: {}, gamma_t: {}, beta_v: {}, gamma_v: {} }}",
                num(pair, "beta_t"),
                num(pair, "gamma_t"),
                num(pair, "beta_v"),
                num(pair, "gamma_v")
            )
        };
        let (factor, terms) = match pair.get("departure").and_then(Item::as_str) {
            Some(name) => (num(pair, "factor"), functions[name].clone()),
            None => ("0.0".into(), "&[]".into()),
        };
        let fit = match pair["fit"].as_str() {
            Some("departure") => "Departure",
            Some("two_parameter") => "TwoParameter",
            Some("two_parameter_2016") => "Automatic",
            Some("anchored") => "Anchored",
            other => panic!("unknown fit {other:?}"),
        };
        let source = numbers[pair["source"].as_str().expect("a source")];
        entries.push(((i, j), format!(
            "KnownPair {{ first: {i}, second: {j}, fit: Fit::{fit}, source: {source}, pair: Pair {{ reducing: {reducing}, \
             factor: {factor}, departure: {terms} }} }},"
        )));
    }
    out.push_str("pub(crate) static PAIRS: &[KnownPair] = &[\n");
    for (n, ((i, j), entry)) in entries.iter().enumerate() {
        let twice = entries[..n].iter().any(|((a, b), _)| (a, b) == (i, j) || (a, b) == (j, i));
        assert!(!twice, "the pair {} with {} stands twice in data/mixtures", fluids[*i].0, fluids[*j].0);
        out.push_str(entry);
        out.push('\n');
    }
    out.push_str("];\n");
}

fn blends(data: &Path, names: &[&str], out: &mut String) {
    let document = read(&data.join("refrigerants/blends.toml"));
    let numbers = sources(&[document.as_table()], "BLEND_SOURCES", out);
    let designated = read(&data.join("mixtures/designated.toml"));
    let points = designated["point"].as_array_of_tables().expect("points");
    out.push_str("pub(crate) static BLENDS: &[KnownBlend] = &[\n");
    for blend in document["blend"].as_array_of_tables().expect("blends") {
        let designation = text(blend, "designation");
        let mut parts = String::new();
        let mut list = String::new();
        let mut sum = 0.0;
        for part in blend["parts"].as_array().expect("parts") {
            let part = part.as_array().expect("a name and a fraction");
            let name = part.get(0).and_then(Value::as_str).expect("a name");
            let fraction = number(part.get(1).expect("a fraction"));
            sum += fraction.parse::<f64>().expect("a number");
            let place = names.iter().position(|known| *known == name);
            let place = place.unwrap_or_else(|| panic!("{designation}: {name} is not in data/fluids"));
            write!(parts, "{place}, ").expect("a string takes all");
            write!(list, "({name:?}, {fraction}), ").expect("a string takes all");
        }
        assert!((sum - 1.0).abs() < 1e-9, "{designation}: the parts sum to {sum}");
        let source = numbers[blend["source"].as_str().expect("a source")];
        let listed = points.iter().find(|point| text(point, "designation") == designation).map_or_else(
            || "None".to_owned(),
            |point| {
                let dew = point.get("dew_c").and_then(Item::as_value);
                let dew = dew.map_or_else(|| "None".to_owned(), |value| format!("Some({})", number(value)));
                format!("Some(({}, {dew}))", num(point, "bubble_c"))
            },
        );
        writeln!(
            out,
            "KnownBlend {{ designation: {designation}, components: &[{parts}], composition: &[{list}], source: {source}, \
             designated: {listed} }},"
        )
        .expect("a string takes all");
    }
    out.push_str("];\n");
}
