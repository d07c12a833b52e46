#!/usr/bin/env python3
"""Writes data/checks/coolprop_transport.csv: viscosity, conductivity and surface tension by CoolProp.

    pip install -r tools/reference/requirements.txt
    python tools/reference/transport.py > data/checks/coolprop_transport.csv

Saturated liquid and vapour from -40 to 60 C, as far as 0.95 of the critical temperature, and vapour 30 K above its dew
point. R-404A, R-407C, R-410A and R-507A are CoolProp's pseudo-pure fluids: their correlations rest on measurements of the
blends. The key behind the fluid's name in CoolProp's files names the paper of each correlation.
"""
import json

import CoolProp
import CoolProp.CoolProp as CP

NAMES = {
    "R-12": "R12", "R-22": "R22", "R-32": "R32", "R-124": "R124", "R-125": "R125", "R-134a": "R134a",
    "R-142b": "R142b", "R-143a": "R143a", "R-152a": "R152A", "R-218": "R218", "R-227ea": "R227EA",
    "R-236fa": "R236FA", "R-290": "n-Propane", "R-600": "n-Butane", "R-600a": "IsoButane", "R-717": "Ammonia",
    "R-744": "CarbonDioxide", "R-1234yf": "R1234yf", "R-1234ze(E)": "R1234ze(E)", "R-1270": "Propylene",
    "R-404A": "R404A", "R-407C": "R407C", "R-410A": "R410A", "R-507A": "R507A",
}


def keys(fluid):
    """The papers of viscosity, conductivity and surface tension, as CoolProp's file names them."""
    data = json.loads(CP.get_fluid_param_string(fluid, "JSON"))[0]
    out = []
    for part in ("viscosity", "conductivity"):
        given = data.get("TRANSPORT", {}).get(part) or {}
        given = given[0] if isinstance(given, list) else given
        out.append(given.get("BibTeX") or given.get("type") or given.get("hardcoded") or "")
    out.append(data["ANCILLARIES"].get("surface_tension", {}).get("BibTeX", ""))
    return out


def number(call):
    try:
        value = call()
        return f"{value:.6g}" if 0 < value < 1e9 else ""
    except ValueError:
        return ""


print(f"# CoolProp {CoolProp.__version__}, HEOS; made by tools/reference/transport.py. Empty: it has none.")
print("refrigerant,phase,temperature_k,density_kg_m3,viscosity_pa_s,conductivity_w_m_k,surface_tension_n_m,papers")
for name, fluid in NAMES.items():
    state = CoolProp.AbstractState("HEOS", fluid)
    papers = " ".join(key or "-" for key in keys(fluid))
    for celsius in (-40, -20, 0, 20, 40, 60):
        t = celsius + 273.15
        if t > 0.95 * state.T_critical():
            continue
        for phase in ("liquid", "vapour", "gas"):
            try:
                if phase == "gas":
                    state.update(CoolProp.QT_INPUTS, 1, t)
                    state.update(CoolProp.PT_INPUTS, state.p(), t + 30)
                else:
                    state.update(CoolProp.QT_INPUTS, 0 if phase == "liquid" else 1, t)
            except ValueError:
                continue
            tension = number(state.surface_tension) if phase == "liquid" else ""
            print(f"{name},{phase},{state.T():.2f},{state.rhomass():.7g},{number(state.viscosity)},"
                  f"{number(state.conductivity)},{tension},{papers}")
