#!/usr/bin/env python3
"""Writes data/checks/fractionation.csv: liquid alone losing vapour at a temperature, integrated with CoolProp's vapour.

Needs what coolprop_grid.py needs; run from the project's root. 400 steps of the midpoint rule; the last column is the
bubble pressure of what remains.
"""

import CoolProp
import CoolProp.CoolProp as CP

CASES = [
    ("R-407C", "R32&R125&R134a", [0.23, 0.25, 0.52], 298.15, 0.3),
    ("R-454C", "R32&R1234yf", [0.215, 0.785], 298.15, 0.5),
    ("R-448A", "R32&R125&R1234yf&R134a&R1234ze(E)", [0.26, 0.26, 0.20, 0.21, 0.07], 298.15, 0.3),
    ("R-448A", "R32&R125&R1234yf&R134a&R1234ze(E)", [0.26, 0.26, 0.20, 0.21, 0.07], 253.15, 0.6),
]
STEPS = 400


def main():
    with open("data/checks/fractionation.csv", "w", encoding="utf8") as out:
        out.write(f"# CoolProp {CoolProp.__version__} (Python package), HEOS; made by tools/reference/fractionation.py\n")
        out.write("refrigerant,T_K,lost,mass_fractions,p_bubble_Pa\n")
        for name, parts, start, t, lost in CASES:
            s = CP.AbstractState("HEOS", parts)
            molar = [CP.PropsSI("M", part) for part in parts.split("&")]

            def leaving(masses):
                total = sum(masses)
                s.set_mass_fractions([m / total for m in masses])
                s.update(CP.QT_INPUTS, 0.0, t)
                y = s.mole_fractions_vapor()
                weights = [a * m for a, m in zip(y, molar)]
                return [w / sum(weights) for w in weights]

            masses, step = list(start), lost / STEPS
            for _ in range(STEPS):
                a = leaving(masses)
                b = leaving([m - 0.5 * step * w for m, w in zip(masses, a)])
                masses = [m - step * w for m, w in zip(masses, b)]
            leaving(masses)
            fractions = " ".join(f"{m / sum(masses):.10f}" for m in masses)
            out.write(f"{name},{t},{lost},{fractions},{s.p():.8g}\n")


if __name__ == "__main__":
    main()
