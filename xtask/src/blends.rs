//! How far every blend is from its designated bubble and dew temperature at 101.325 kPa, as a page of the manual.

use refrigerant::{Fit, Grade, Refrigerant};
use std::fmt::Write as _;
use units::AbsolutePressure;

const PAGE: &str = "docs/blends.md";

const HEAD: &str = "\
# Blends and their designated temperatures

Made by `cargo xtask docs-blends`; a test holds it to the engine.

Bubble and dew temperature at 101.325 kPa, in °C, by the full model, and how far they lie from the designated ones
(own less listed, in kelvin). The listed ones stand with their source in `data/mixtures/designated.toml`: they come from
older mixing models, rounded to 0.1 °C, and are no measurements. Where a pair was fitted to measurements, by whomever, its
published parameters stay as published and the distance is stated here; where nobody fitted it, `cargo xtask fit-pairs`
anchors it to these temperatures (`data/mixtures/anchored.toml`), and the grade reads \"anchored\".

How to read a distance: R-404A, R-407C and R-410A agree with measurements within 0.1 % in pressure and are still 0.1 to
0.3 K off what is listed. At these temperatures 0.1 K is about 0.45 % in pressure. Blends with R-744 lie at the temperature
where it freezes, beyond the measurements that its pairs rest on; blends with the same pairs as one that agrees
(R-417A beside R-417B and R-417C, R-422B and R-422C beside R-422A and R-422D) were listed from another model.

Pairs that are not fitted with a departure function stand in the last column: \"2\" two parameters fitted to measurements,
\"2016\" the automatic fit of 2016, \"anchored\", or \"estimated\" by the rule of Lorentz and Berthelot.

| blend | grade | bubble | dew | bubble off | dew off | pairs without a departure function |
|---|---|---|---|---|---|---|
";

/// Returns bubble and dew temperature at 101.325 kPa, in °C.
pub fn at_one_atmosphere(fluid: &fluid::Fluid) -> Option<(f64, f64)> {
    let p = AbsolutePressure::from_pascal(101_325.0);
    let bubble = fluid.bubble_at_pressure(p).ok()?.temperature.celsius();
    let dew = fluid.dew_at_pressure(p).ok()?.temperature.celsius();
    Some((bubble, dew))
}

fn grade(known: &Refrigerant) -> &'static str {
    match known.grade() {
        Grade::Pure => "pure",
        Grade::A => "A",
        Grade::AMinus => "A-",
        Grade::B => "B",
        Grade::Anchored => "anchored",
        Grade::C => "C",
    }
}

fn pairs(known: &Refrigerant) -> String {
    let list: Vec<String> = known
        .sources()
        .pairs
        .iter()
        .filter_map(|p| {
            let how = match p.fit {
                Fit::Departure => return None,
                Fit::TwoParameter => "2",
                Fit::Automatic => "2016",
                Fit::Anchored => "anchored",
                Fit::Estimated => "estimated",
            };
            let short = |name: &str| name.trim_start_matches("R-").to_owned();
            Some(format!("{}/{} {how}", short(p.pair[0]), short(p.pair[1])))
        })
        .collect();
    list.join(", ")
}

/// Writes the page.
pub fn run() -> Result<(), String> {
    std::fs::write(PAGE, page()).map_err(|e| format!("{PAGE}: {e}"))
}

fn page() -> String {
    let mut out = HEAD.to_owned();
    let (mut listed, mut near) = (0, 0);
    for known in refrigerant::all().iter().filter(|r| r.composition().len() > 1) {
        let Some((bubble, dew)) = at_one_atmosphere(&known.fluid()) else {
            let why = match known.fluid().bubble_at_pressure(AbsolutePressure::from_pascal(101_325.0)) {
                Err(fluid::FluidError::TwoLiquids) => "the liquid parts in two at 101.325 kPa",
                _ => "solid or no liquid at 101.325 kPa",
            };
            let _ = writeln!(
                out,
                "| {} | {} | {why} | | | | {} |",
                known.designation(),
                grade(known),
                pairs(known)
            );
            continue;
        };
        let (mut bubble_off, mut dew_off) = (String::new(), String::new());
        if let Some(wanted) = known.designated() {
            let off = bubble - wanted.bubble.celsius();
            let other = wanted.dew.map(|wanted| dew - wanted.celsius());
            bubble_off = format!("{off:+.2}");
            dew_off = other.map_or(String::new(), |off| format!("{off:+.2}"));
            listed += 1;
            near += i32::from(off.abs().max(other.map_or(0.0, f64::abs)) <= 0.35);
        }
        let _ = writeln!(
            out,
            "| {} | {} | {bubble:.2} | {dew:.2} | {bubble_off} | {dew_off} | {} |",
            known.designation(),
            grade(known),
            pairs(known)
        );
    }
    let _ =
        write!(out, "\n{near} of {listed} blends with designated temperatures lie within 0.35 K of both.\n");
    out
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    fn committed(file: &str) -> String {
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(file)).expect("a file")
    }

    #[test]
    fn the_page_is_what_the_engine_says() {
        assert!(super::page() == committed(super::PAGE), "run `cargo xtask docs-blends`");
    }

    /// The fit made anew gives what is committed: nobody touched a parameter by hand.
    #[test]
    fn the_anchored_pairs_are_what_the_fit_gives() {
        assert!(
            crate::fit_pairs::file().expect("a fit") == committed("data/mixtures/anchored.toml"),
            "run `cargo xtask fit-pairs`"
        );
    }
}
