//! Two thousand calls of the engine, natively and in wasm, compared bit by bit with each other and with the file.

use crate::steps::{Step, cargo, target_dir};
use std::fmt::Write as _;
use wasmi::{Engine, Linker, Module, Store};

const FILE: &str = "data/checks/same_bits.csv";
/// At least so many calls of lines and states, over all refrigerants.
const ROWS: usize = 2000;
/// Whose outflow and transport are called: a pure fluid, a blend of little glide, one of much, and one with terms of its own.
const FLOWING: [&str; 4] = ["R-134a", "R-404A", "R-448A", "R-744"];

struct Row {
    refrigerant: u32,
    call: u32,
    a: f64,
    b: f64,
    bits: u64,
}

/// Compares native, wasm and the file.
pub fn run() -> Result<(), String> {
    let rows = read()?;
    if rows.len() < ROWS {
        return Err(format!("{FILE}: {} calls, wanted {ROWS}", rows.len()));
    }
    let answers = rows.iter().filter(|row| row.bits != u64::MAX).count();
    if answers * 100 < rows.len() * 95 {
        return Err(format!("{FILE}: only {answers} of {} calls have an answer", rows.len()));
    }
    for (call, name) in (0u32..).zip(same_bits::CALLS) {
        if !rows.iter().any(|row| row.call == call && row.bits != u64::MAX) {
            return Err(format!("{FILE}: no answer of the call {name}"));
        }
    }
    let wasm = WasmDoor::open()?;
    let mut differ = String::new();
    let mut count = 0;
    for (at, row) in rows.iter().enumerate() {
        let native = same_bits::answer_bits(row.refrigerant, row.call, row.a, row.b);
        let in_wasm = wasm.answer(row)?;
        if native != row.bits || in_wasm != row.bits {
            count += 1;
            if count <= 20 {
                let _ = writeln!(
                    differ,
                    "  line {}: {} {}, {}: file {:016x}, native {native:016x}, wasm {in_wasm:016x}",
                    at + 3,
                    same_bits::CALLS.get(row.call as usize).unwrap_or(&"?"),
                    row.a,
                    row.b,
                    row.bits
                );
            }
        }
    }
    if count > 0 {
        return Err(format!("same bits: {count} of {} calls differ\n{differ}", rows.len()));
    }
    eprintln!("same bits: {} calls, native = wasm = file", rows.len());
    Ok(())
}

/// Writes the file anew from the native answers; a changed line is a changed result and wants a reason.
pub fn write() -> Result<(), String> {
    let refrigerants = refrigerant::all();
    let each = ROWS.div_ceil(refrigerants.len());
    let mut out = String::from(
        "# Calls of the engine and the bits of their answers; the same natively and in wasm. Written by `cargo xtask same-bits write`.\n\
         refrigerant,call,a,b,bits\n",
    );
    let mut draw = Draw(20_261_125);
    for (number, refrigerant) in (0u32..).zip(refrigerants) {
        let fluid = refrigerant.fluid();
        let mut made = 0;
        let mut tries = 0;
        while made < each && tries < each * 20 {
            tries += 1;
            let call = (made % same_bits::LINES_AND_STATES) as u32;
            let t = 225.0 + 90.0 * draw.next();
            let Ok(dew) = fluid.dew_at_temperature(units::Temperature::from_kelvin(t)) else { continue };
            let p = dew.pressure.pascal();
            let (a, b) = match call {
                0 | 1 => (t, 0.0),
                2 | 3 => (p, 0.0),
                4 | 5 => (p * (0.2 + 0.7 * draw.next()), t + 5.0 + 60.0 * draw.next()),
                6 => (p, dew.enthalpy.joule_per_kilogram() + 150e3 * (draw.next() - 0.6)),
                _ => (p, dew.entropy.joule_per_kilogram_kelvin() + 500.0 * (draw.next() - 0.6)),
            };
            let bits = same_bits::answer_bits(number, call, a, b);
            let _ = writeln!(out, "{number},{call},{a:?},{b:?},{bits:016x}");
            made += 1;
        }
    }
    for name in FLOWING {
        let number = refrigerants.iter().position(|one| one.designation() == name);
        let number = number.ok_or_else(|| format!("{name} is not in the catalogue"))? as u32;
        let t = 260.0 + 30.0 * draw.next();
        let p =
            same_bits::answer(number, 0, t, 0.0).ok_or_else(|| format!("{name}: no bubble point at {t}"))?;
        let dew =
            same_bits::answer(number, 1, t, 0.0).ok_or_else(|| format!("{name}: no dew point at {t}"))?;
        // Liquid, two phases, vapour on the lines; a liquid and a vapour off them.
        let (liquid, vapour) = ((1.2 * p, t - 3.0), (0.8 * dew, t + 5.0));
        let on_lines = [0.0, 0.1 + 0.8 * draw.next(), 1.0].map(|quality| (t, quality));
        let mut calls: Vec<(u32, (f64, f64))> = on_lines.iter().flat_map(|at| [(8, *at), (9, *at)]).collect();
        calls.extend([liquid, vapour].iter().flat_map(|at| [10, 11, 12, 13].map(|call| (call, *at))));
        calls.push((14, (t, 0.0)));
        for (call, (a, b)) in calls {
            let bits = same_bits::answer_bits(number, call, a, b);
            let _ = writeln!(out, "{number},{call},{a:?},{b:?},{bits:016x}");
        }
    }
    std::fs::write(FILE, out).map_err(|e| format!("{FILE}: {e}"))
}

fn read() -> Result<Vec<Row>, String> {
    let text = std::fs::read_to_string(FILE).map_err(|e| format!("{FILE}: {e}"))?;
    let wrong = |line: &str| format!("{FILE}: not a row: {line}");
    text.lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with("refrigerant"))
        .map(|line| {
            let parts: Vec<&str> = line.split(',').collect();
            let [refrigerant, call, a, b, bits] = parts.as_slice() else { return Err(wrong(line)) };
            Ok(Row {
                refrigerant: refrigerant.parse().map_err(|_| wrong(line))?,
                call: call.parse().map_err(|_| wrong(line))?,
                a: a.parse().map_err(|_| wrong(line))?,
                b: b.parse().map_err(|_| wrong(line))?,
                bits: u64::from_str_radix(bits, 16).map_err(|_| wrong(line))?,
            })
        })
        .collect()
}

/// Numbers between 0 and 1 from a seed; quality does not matter here, sameness does.
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// The same door, built for wasm and run by an interpreter.
struct WasmDoor {
    store: std::cell::RefCell<Store<()>>,
    door: wasmi::TypedFunc<(u32, u32, f64, f64), u64>,
}

impl WasmDoor {
    fn open() -> Result<Self, String> {
        let words = [
            "build",
            "--quiet",
            "--release",
            "--locked",
            "--target",
            "wasm32-unknown-unknown",
            "--package",
            "same-bits",
        ];
        Step::new("wasm module", 900, cargo(words)).run()?;
        let path = target_dir().join("wasm32-unknown-unknown/release/same_bits.wasm");
        let bytes = std::fs::read(&path).map_err(|e| format!("{}: {e}", path.display()))?;
        let engine = Engine::default();
        let module = Module::new(&engine, &bytes[..]).map_err(|e| format!("wasm module: {e}"))?;
        let mut store = Store::new(&engine, ());
        let instance = Linker::new(&engine)
            .instantiate_and_start(&mut store, &module)
            .map_err(|e| format!("wasm module: {e}"))?;
        let door = instance.get_typed_func(&store, "answer_bits").map_err(|e| format!("wasm module: {e}"))?;
        Ok(Self { store: std::cell::RefCell::new(store), door })
    }

    fn answer(&self, row: &Row) -> Result<u64, String> {
        self.door
            .call(&mut *self.store.borrow_mut(), (row.refrigerant, row.call, row.a, row.b))
            .map_err(|e| format!("wasm: {e}"))
    }
}
