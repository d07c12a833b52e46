#!/usr/bin/env python3
"""Writes data/checks/outflow.csv: the largest mass flux along isentropes, with CoolProp's states.

Needs what coolprop_grid.py needs; run from the project's root. Equilibrium: SciPy's bounded minimiser over the throat
pressure after a coarse scan, each state from a flash of pressure and entropy. Frozen: the isentrope of the vapour as one
phase, followed in density at imposed phase, the quality kept and the liquid incompressible; a row is empty there where no
single phase lasts that far.
"""

import math

import CoolProp
import CoolProp.CoolProp as CP
from scipy.optimize import brentq, minimize_scalar

AIR = 101325.0
# Name, fluid, start (phase or pressure and temperature), outside.
R404A = ("R125&R143a&R134a", [0.44, 0.52, 0.04])
CASES = [
    ("nitrogen", "Nitrogen", ("pt", 1.0e6, 300.0), AIR),
    ("nitrogen", "Nitrogen", ("pt", 1.3e5, 300.0), AIR),
    ("nitrogen", "Nitrogen", ("pt", 2.0e7, 300.0), AIR),
    ("R-134a", "R134a", ("pt", 3.0e5, 300.0), AIR),
    ("R-134a", "R134a", ("qt", 1.0, 318.15), AIR),
    ("R-134a", "R134a", ("qt", 1.0, 258.15), AIR),
    ("R-134a", "R134a", ("qt", 0.0, 318.15), AIR),
    ("R-134a", "R134a", ("qt", 0.0, 258.15), AIR),
    ("R-134a", "R134a", ("pt", 1.5e6, 303.15), AIR),
    ("R-134a", "R134a", ("pt", 1.5e6, 303.15), 1.2e6),
    ("R-134a", "R134a", ("pt", 1.2e6, 316.0), AIR),
    ("R-134a", "R134a", ("qt", 0.02, 318.15), AIR),
    ("R-134a", "R134a", ("qt", 0.3, 318.15), AIR),
    ("R-134a", "R134a", ("qt", 0.3, 318.15), 1.0e6),
    ("R-22", "R22", ("qt", 1.0, 313.15), AIR),
    ("R-22", "R22", ("qt", 0.0, 313.15), AIR),
    ("R-22", "R22", ("pt", 1.8e6, 308.15), AIR),
    ("R-22", "R22", ("qt", 0.5, 273.15), AIR),
    ("R-744", "CO2", ("qt", 1.0, 283.15), AIR),
    ("R-744", "CO2", ("qt", 0.0, 283.15), AIR),
    ("R-744", "CO2", ("pt", 1.0e7, 323.15), AIR),
    ("R-744", "CO2", ("pt", 1.0e7, 308.15), AIR),
    ("R-744", "CO2", ("qt", 0.2, 268.15), AIR),
    ("R-404A", R404A, ("qt", 1.0, 313.15), AIR),
    ("R-404A", R404A, ("qt", 1.0, 258.15), AIR),
    ("R-404A", R404A, ("pt", 1.5e6, 333.15), AIR),
    ("R-404A", R404A, ("qt", 0.0, 313.15), AIR),
    ("R-404A", R404A, ("pt", 1.9e6, 308.15), AIR),
    ("R-404A", R404A, ("qt", 0.3, 298.15), AIR),
]


def state(fluid):
    if isinstance(fluid, str):
        return CP.AbstractState("HEOS", fluid)
    parts, masses = fluid
    s = CP.AbstractState("HEOS", parts)
    s.set_mass_fractions(masses)
    return s


def start(s, given):
    kind, a, b = given
    if kind == "pt":
        s.update(CP.PT_INPUTS, a, b)
    else:
        s.update(CP.QT_INPUTS, a, b)


def mass_quality(s, fluid, given):
    """The vapour's share of the mass; CoolProp's own is by amount."""
    if isinstance(fluid, str) or given[1] in (0.0, 1.0):
        return given[1]
    vapour = state(fluid)
    vapour.set_mole_fractions(s.mole_fractions_vapor())
    return given[1] * vapour.molar_mass() / s.molar_mass()


def largest(flux, p0, outside):
    """The largest flux between the pressures, and where."""
    count = 60
    best, at, k_best = 0.0, None, None
    grid = [p0 * (outside / p0) ** (k / count) for k in range(1, count + 1)]
    for k, p in enumerate(grid):
        g = flux(p)
        if g is None:
            break
        if g > best:
            best, at, k_best = g, p, k
        elif g < 0.6 * best:
            break
    else:
        k = count
    if k_best is None or (k_best == k - 1 and k < count):
        return None
    if k_best == count - 1:
        near = flux(at * 1.0005)
        if near is None or near <= best:
            return best, at
    low = grid[min(k_best + 1, count - 1)]
    high = p0 if k_best == 0 else grid[k_best - 1]
    found = minimize_scalar(
        lambda p: -(flux(p) or 0.0), bounds=(low, high), method="bounded", options={"xatol": 1e-9 * high, "maxiter": 200}
    )
    return max((best, at), (-found.fun, found.x))


def equilibrium(fluid, given, outside):
    s = state(fluid)
    start(s, given)
    p0, h0, s0 = s.p(), s.hmass(), s.smass()

    # A liquid's isentrope meets the bubble line here. CoolProp's flash of a mixture takes the wrong side close to the
    # line, so that there the line itself is asked.
    edge = None
    if s.phase() == CP.iphase_liquid and given[0] == "pt":

        def off(t):
            s.update(CP.QT_INPUTS, 0.0, t)
            return s.smass() - s0

        try:
            off(brentq(off, 0.85 * given[2], given[2], xtol=1e-10, rtol=1e-14))
            edge = s.p(), s.rhomass() * math.sqrt(2.0 * (h0 - s.hmass()))
        except ValueError:
            pass

    def flux(p):
        try:
            s.update(CP.PSmass_INPUTS, p, s0)
        except ValueError:
            return None
        return s.rhomass() * math.sqrt(max(0.0, 2.0 * (h0 - s.hmass())))

    found = largest(flux, p0, outside)
    if edge and found and edge[0] > outside and abs(found[1] / edge[0] - 1.0) < 1e-4:
        found = edge[1], edge[0]
    return found, p0


def frozen(fluid, given, outside):
    s = state(fluid)
    start(s, given)
    p0, t0 = s.p(), s.T()
    quality, v_l = 1.0, 0.0
    vapour = state(fluid)
    rho0 = s.rhomass()
    if given[0] == "qt":
        quality = mass_quality(s, fluid, given)
        liquid = s.saturated_liquid_keyed_output(CP.iDmass)
        v_l = 1.0 / liquid
        if quality == 0.0:
            return math.sqrt(2.0 * liquid * (p0 - outside)), outside
        rho0 = s.saturated_vapor_keyed_output(CP.iDmass)
        if not isinstance(fluid, str) and quality < 1.0:
            vapour.set_mole_fractions(s.mole_fractions_vapor())
            # Density by mass of a mixture's vapour is kept with its own molar mass.
            rho0 = s.saturated_vapor_keyed_output(CP.iDmolar) * vapour.molar_mass()
    elif s.phase() == CP.iphase_liquid:
        return math.sqrt(2.0 * rho0 * (p0 - outside)), outside
    vapour.specify_phase(CP.iphase_gas)
    vapour.update(CP.DmassT_INPUTS, rho0, t0)
    s0, h0 = vapour.smass(), vapour.hmass()

    def at_density(rho):
        def off(t):
            vapour.update(CP.DmassT_INPUTS, rho, t)
            return vapour.smass() - s0

        brentq(off, 0.4 * t0, t0 * 1.0001, xtol=1e-11, rtol=1e-13)
        return vapour.p()

    def flux(p):
        try:
            # Downwards from the start's density until the pressure is passed, so as to stay on one branch.
            high = rho0
            while True:
                low = high * 0.95
                if at_density(low) <= p:
                    break
                high = low
            brentq(lambda rho: at_density(rho) - p, low, high, xtol=1e-12, rtol=1e-13)
        except ValueError:
            return None
        freed = quality * (h0 - vapour.hmass()) + (1.0 - quality) * v_l * (p0 - p)
        volume = quality / vapour.rhomass() + (1.0 - quality) * v_l
        return math.sqrt(max(0.0, 2.0 * freed)) / volume

    return largest(flux, p0, outside)


def main():
    with open("data/checks/outflow.csv", "w", encoding="utf8") as out:
        out.write(f"# CoolProp {CoolProp.__version__} (Python package), HEOS; made by tools/reference/outflow.py\n")
        out.write("refrigerant,p0_Pa,T0_K,quality,outside_Pa,equilibrium_kg_s_m2,throat_Pa,frozen_kg_s_m2,frozen_throat_Pa\n")
        for name, fluid, given, outside in CASES:
            even, p0 = equilibrium(fluid, given, outside)
            ice = frozen(fluid, given, outside)
            t0 = given[2]
            quality = ""
            if given[0] == "qt":
                s = state(fluid)
                start(s, given)
                quality = f"{mass_quality(s, fluid, given):.12g}"
            cells = [f"{even[0]:.9g}", f"{even[1]:.7g}"] if even else ["", ""]
            cells += [f"{ice[0]:.9g}", f"{ice[1]:.7g}"] if ice else ["", ""]
            out.write(f"{name},{p0:.12g},{t0:g},{quality},{outside:g}," + ",".join(cells) + "\n")
            out.flush()


if __name__ == "__main__":
    main()
