"""Steps the opening of a gas-filled section in time, with properties and an integrator of other hands.

Writes data/checks/opening_integrated.csv. Needs: pip install CoolProp scipy (8.0.0 and 1.17.1 made the file).
"""

from math import pi, sqrt

import CoolProp.CoolProp as CP
from scipy.integrate import solve_ivp

OUTSIDE = 101325.0


def emptied(fluid, volume, kelvin, start, bore, coefficient, path):
    area = pi / 4 * bore * bore
    gas = CP.AbstractState("HEOS", fluid)
    gas.specify_phase(CP.iphase_gas)

    def flow():
        # The isentropic exponent of the gas where it stands: rho w^2 / p.
        p, rho = gas.p(), gas.rhomass()
        g = rho * gas.speed_sound() ** 2 / p
        if p <= OUTSIDE:
            return 0.0
        if p / OUTSIDE >= ((g + 1) / 2) ** (g / (g - 1)):
            return coefficient * area * sqrt(g * rho * p) * (2 / (g + 1)) ** ((g + 1) / (2 * (g - 1)))
        r = OUTSIDE / p
        return coefficient * area * sqrt(2 * g / (g - 1) * p * rho * (r ** (2 / g) - r ** ((g + 1) / g)))

    def at(y):
        gas.update(CP.DmassT_INPUTS, y[0] / volume, kelvin if path == "iso" else y[1])

    def change(_, y):
        at(y)
        out = flow()
        if path == "iso":
            return [-out]
        # m du = -out (h - u), and du = cv dT + (du/drho)_T drho.
        by_density = gas.first_partial_deriv(CP.iUmass, CP.iDmass, CP.iT)
        du = -out * (gas.hmass() - gas.umass()) / y[0]
        return [-out, (du + by_density * out / volume) / gas.cvmass()]

    def ended(_, y):
        at(y)
        return gas.p() - OUTSIDE - 1.0

    ended.terminal = True
    gas.update(CP.PT_INPUTS, start, kelvin)
    mass = gas.rhomass() * volume
    first = [mass] if path == "iso" else [mass, kelvin]
    run = solve_ivp(change, (0, 20000), first, events=ended, rtol=1e-8, atol=1e-12, method="LSODA")
    return run.t[-1], mass - run.y[0][-1]


CASES = [
    (12, 17, 170274, 4.8, 0.65),
    (12, 17, 170274, 2.0, 0.65),
    (12, 17, 122009, 4.8, 0.65),
    (3, 0, 140000, 6.0, 0.8),
    (25, 35, 400000, 3.0, 0.8),
]

with open("data/checks/opening_integrated.csv", "w", encoding="utf-8") as out:
    out.write("# CoolProp 8.0.0 (Python package), HEOS, stepped in time by scipy 1.17.1 down to 1 Pa above 101325 Pa; made by tools/reference/opening_integration.py\n")
    out.write("refrigerant,volume_l,wall_c,start_pa,bore_mm,discharge_coefficient,path,time_s,released_g\n")
    for name, fluid in (("R-134a", "R134a"), ("R-744", "R744")):
        for volume, celsius, start, bore, coefficient in CASES:
            for path in ("iso", "adi"):
                time, mass = emptied(fluid, volume / 1e3, celsius + 273.15, float(start), bore / 1e3, coefficient, path)
                out.write(f"{name},{volume},{celsius},{start},{bore},{coefficient},{path},{time:.4f},{mass * 1000:.4f}\n")
