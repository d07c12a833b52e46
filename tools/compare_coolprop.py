"""How long CoolProp takes for the questions of crates/refrigerant/examples/speed.rs: name, question, median nanoseconds.

Run by `cargo xtask compare` in an environment with CoolProp 8.0.0. The calls go through its low-level interface
(AbstractState), so that Python's share is a fraction of a microsecond. A mixture is the same as ours: HEOS with its own
pairs; `BICUBIC` is its table, of pure fluids only.
"""

import statistics
import time

import CoolProp.CoolProp as CP

BLENDS = {
    "R-134a": ["R134a"],
    "R-404A": ["R125", "R143a", "R134a"],
    "R-448A": ["R32", "R125", "R1234yf", "R134a", "R1234ze(E)"],
}
MASS = {"R-134a": [1.0], "R-404A": [0.44, 0.52, 0.04], "R-448A": [0.26, 0.26, 0.20, 0.21, 0.07]}


def median(call, least=0.02, batches=21):
    start = time.perf_counter_ns()
    runs = 0
    while time.perf_counter_ns() - start < least * 1e9:
        call()
        runs += 1
    batch = max(runs // 4, 1)
    if batch == 1:
        batches = 7
    times = []
    for _ in range(batches):
        start = time.perf_counter_ns()
        for _ in range(batch):
            call()
        times.append((time.perf_counter_ns() - start) / batch)
    return statistics.median(times)


def state(name, backend="HEOS"):
    own = CP.AbstractState(backend, "&".join(BLENDS[name]))
    if len(BLENDS[name]) > 1:
        own.set_mass_fractions(MASS[name])
    return own


def say(name, what, call):
    try:
        value = f"{median(call):.1f}"
    except Exception as error:  # what it cannot do is said, not hidden
        value = "failed: " + str(error).splitlines()[0].replace(",", ";")[:60]
    print(f"{name},{what},{value}", flush=True)


for name in BLENDS:
    own = state(name)
    t = 263.15
    say(name, "bubble at temperature", lambda: own.update(CP.QT_INPUTS, 0.0, t))
    say(name, "dew at temperature", lambda: own.update(CP.QT_INPUTS, 1.0, t))
    own.update(CP.QT_INPUTS, 1.0, t)
    dew = own.p()
    say(name, "bubble at pressure", lambda: own.update(CP.PQ_INPUTS, dew, 0.0))
    say(name, "dew at pressure", lambda: own.update(CP.PQ_INPUTS, dew, 1.0))
    own.specify_phase(CP.iphase_gas)
    own.update(CP.PT_INPUTS, dew, t + 20.0)
    entropy = own.smass()
    own.unspecify_phase()
    high = 4.0 * dew
    try:
        own.update(CP.PSmass_INPUTS, high, entropy)
        hot, enthalpy = own.T(), own.hmass()
        say(name, "gas at pressure and temperature", lambda: own.update(CP.PT_INPUTS, high, hot))
        say(name, "gas at pressure and entropy", lambda: own.update(CP.PSmass_INPUTS, high, entropy))
        say(name, "gas at pressure and enthalpy", lambda: own.update(CP.HmassP_INPUTS, enthalpy, high))
    except ValueError as error:
        print(f"{name},gas at pressure and entropy,failed: {str(error)[:60]}")
    own.update(CP.PQ_INPUTS, dew, 0.3)
    wet = own.hmass()
    say(name, "two phases at pressure and enthalpy", lambda: own.update(CP.HmassP_INPUTS, wet, dew))

table = state("R-134a", "BICUBIC&HEOS")
temperatures = [233.15 + 0.09 * (k * 7 % 1000) for k in range(1000)]
place = iter(())


def by_table():
    global place
    t = next(place, None)
    if t is None:
        place = iter(temperatures)
        t = temperatures[0]
    table.update(CP.QT_INPUTS, 1.0, t)


say("R-134a", "table: dew pressure at temperature", by_table)
