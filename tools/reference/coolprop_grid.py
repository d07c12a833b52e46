#!/usr/bin/env python3
"""Writes data/checks/coolprop_saturation.csv and coolprop_caloric.csv from CoolProp, for the tests of `refrigerant`.

Needs Python 3.11 or newer and requirements.txt of this folder. Run from the project's root:

    python3 -m venv venv && venv/bin/pip install -r tools/reference/requirements.txt
    venv/bin/python tools/reference/coolprop_grid.py

Every refrigerant of data/fluids and data/refrigerants is asked for bubble and dew pressure and density at ten
temperatures from -60 °C, or the triple point, to 0.95 of the critical temperature, and for three single-phase states.
What CoolProp cannot give is written as a failed row. Pairs without parameters get those of data/mixtures/anchored.toml
or, where they stand in no file, the Lorentz-Berthelot rule, as here.
"""

import pathlib
import tomllib
import warnings

import CoolProp
import CoolProp.CoolProp as CP

DATA = pathlib.Path("data")
STEPS = 10


def refrigerants():
    fluids = {}
    for path in sorted((DATA / "fluids").glob("*.toml")):
        fluid = tomllib.loads(path.read_text(encoding="utf8"))
        fluids[fluid["name"]] = fluid
    names = {}
    for name in CP.get_global_param_string("FluidsList").split(","):
        names.setdefault(CP.get_fluid_param_string(name, "CAS"), name)
    cas = {name: names[fluid["cas"]] for name, fluid in fluids.items()}
    for name, fluid in fluids.items():
        yield name, [(cas[name], 1.0)], fluid["range"]["triple_point_k"]
    for blend in tomllib.loads((DATA / "refrigerants/blends.toml").read_text(encoding="utf8"))["blend"]:
        parts = [(cas[name], fraction) for name, fraction in blend["parts"]]
        moles = [fraction / fluids[name]["molar_mass_kg_per_mol"] for name, fraction in blend["parts"]]
        triples = [fluids[name]["range"]["triple_point_k"] for name, _ in blend["parts"]]
        yield blend["designation"], parts, sum(m * t for m, t in zip(moles, triples)) / sum(moles)


def anchored():
    for pair in tomllib.loads((DATA / "mixtures/anchored.toml").read_text(encoding="utf8"))["pair"]:
        first, second = pair["cas"]
        CP.apply_simple_mixing_rule(first, second, "Lorentz-Berthelot")
        # CoolProp keeps a pair in the order of its numbers; beta of the other order is one over beta.
        turned = first > second
        for ours, theirs in (("beta_t", "betaT"), ("gamma_t", "gammaT"), ("beta_v", "betaV"), ("gamma_v", "gammaV")):
            value = 1.0 / pair[ours] if turned and ours.startswith("beta") else pair[ours]
            CP.set_mixture_binary_pair_data(min(first, second), max(first, second), theirs, value)


def state(parts):
    while True:
        try:
            out = CP.AbstractState("HEOS", "&".join(name for name, _ in parts))
            break
        except ValueError as error:
            numbers = [n for n in str(error).replace("[", " ").replace("]", " ").replace(",", " ").split() if n.count("-") == 2]
            if len(numbers) < 2:
                raise
            CP.apply_simple_mixing_rule(numbers[0], numbers[1], "Lorentz-Berthelot")
    if len(parts) > 1:
        out.set_mass_fractions([fraction for _, fraction in parts])
    return out


def end_point(s, pure):
    if pure:
        return s.T_critical()
    try:
        points = [p for p in s.all_critical_points() if p.stable]
        return max(points, key=lambda p: p.T).T
    except ValueError:
        return s.T_reducing()


def saturation(s, quality, t):
    s.update(CP.QT_INPUTS, quality, t)
    return s.p(), s.rhomass()


def number(x):
    return f"{x:.13g}"


def grid(out, name, parts, triple):
    s = state(parts)
    end = end_point(s, len(parts) == 1)
    low, high = max(213.15, triple + 0.01), 0.95 * end
    if name == "nitrogen":
        low = triple + 0.01
    for k in range(STEPS):
        t = round(low + (high - low) * k / (STEPS - 1), 3)
        row = []
        for quality in (0, 1):
            try:
                row += [number(x) for x in saturation(s, quality, t)]
            except ValueError:
                row += ["failed", "failed"]
        out.write(",".join([name, number(t), *row]) + "\n")
    return end


def single(s, phase, p, t):
    s.specify_phase(phase)
    s.update(CP.PT_INPUTS, p, t)
    values = (t, p, s.rhomass(), s.hmass(), s.smass(), s.cpmass(), s.cvmass(), s.speed_sound())
    s.unspecify_phase()
    return values


def caloric(out, name, parts, triple, end):
    """Suction vapour, the isentropic discharge, and a compressed liquid; enthalpy and entropy less those of suction."""
    s = state(parts)
    t = max(0.72 * end, triple + 10.0)
    try:
        dew, _ = saturation(s, 1, t)
        bubble, _ = saturation(s, 0, t)
        suction = single(s, CP.iphase_gas, dew, t + 20.0)
        # The isentropic discharge at 3 times the pressure, by a secant in temperature.
        p2 = 3.0 * dew
        a, b = t + 60.0, t + 80.0
        fa = single(s, CP.iphase_gas, p2, a)[4] - suction[4]
        for _ in range(60):
            discharge = single(s, CP.iphase_gas, p2, b)
            fb = discharge[4] - suction[4]
            if abs(fb) < 1e-9 or b == a:
                break
            a, b, fa = b, b - fb * (b - a) / (fb - fa), fb
        liquid = single(s, CP.iphase_liquid, 1.5 * bubble, t - 5.0)
        states = [("suction", suction), ("discharge", discharge), ("liquid", liquid)]
    except (ValueError, ZeroDivisionError):
        states = [("suction", None), ("discharge", None), ("liquid", None)]
    for kind, v in states:
        if v is None:
            row = ["failed"] * 8
        else:
            row = [number(x) for x in (v[0], v[1], v[2], v[3] - suction[3], v[4] - suction[4], v[5], v[6], v[7])]
        out.write(",".join([name, kind, *row]) + "\n")


def main():
    warnings.simplefilter("ignore")
    anchored()
    head = f"# CoolProp {CoolProp.__version__} (Python package), HEOS; made by tools/reference/coolprop_grid.py\n"
    with open(DATA / "checks/coolprop_saturation.csv", "w", encoding="utf8") as grid_file, open(
        DATA / "checks/coolprop_caloric.csv", "w", encoding="utf8"
    ) as caloric_file:
        grid_file.write(head + "refrigerant,T_K,p_bubble_Pa,rho_bubble_kg_m3,p_dew_Pa,rho_dew_kg_m3\n")
        caloric_file.write(head + "refrigerant,state,T_K,p_Pa,rho_kg_m3,dh_J_kg,ds_J_kg_K,cp_J_kg_K,cv_J_kg_K,w_m_s\n")
        for name, parts, triple in refrigerants():
            end = grid(grid_file, name, parts, triple)
            caloric(caloric_file, name, parts, triple, end)
            print(name, f"{end:.2f}", flush=True)


if __name__ == "__main__":
    main()
