"""Races a turn of latchstroke's against general solvers on the same equations, machines and errors, in one run.

The machines are the six of the tests' working set (12 pt at 60, 24 pt at 40, 36 pt at 15 turns/min; latch aside and set). Each peer takes
the loosest tolerance at which it, and the next tighter one, has the fill time of tests/reference/reference_table.csv to 1e-4; its time
is the least of several rounds, in which the peers take turns. The peers:

- turn.c: SUNDIALS CVODE (BDF, Adams) with Newton's method, a dense Jacobian by differences and its root finding, and ARKODE's explicit
  pair of order 5, on the plain equations;
- SciPy's DOP853 and LSODA on the same right-hand side compiled, with the modes of tests/reference/pump_model.py;
- latchstroke, which has modes of its own, an exact Jacobian, and damps the ringing of a full mould once it no longer matters.

Wants a C compiler, SUNDIALS with its headers (libsundials-dev) and the packages of tests/reference/requirements.txt. Not one of the tests.

    python race.py [--rounds 8] [--no-scipy] [--csv work_precision.csv]
"""

import argparse
import csv
import ctypes
import math
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
sys.path.insert(0, str(HERE.parent / "reference"))

LIBRARIES = ["cvode", "arkode", "nvecserial", "sunmatrixdense", "sunlinsoldense", "m"]
CASES = [(12, 60, 0), (12, 60, 1), (24, 40, 0), (24, 40, 1), (36, 15, 0), (36, 15, 1)]
TOLERANCES = [10.0 ** (-n / 2) for n in range(5, 17)]
GOOD = 1e-4


def build(folder):
    """The C peer as a program and as a library, and ours."""
    links = [f"-lsundials_{name}" if name != "m" else "-lm" for name in LIBRARIES]
    program, library = folder / "turn", folder / "turn.so"
    subprocess.run(["cc", "-O3", "-o", program, HERE / "turn.c", *links], check=True)
    subprocess.run(["cc", "-O3", "-shared", "-fPIC", "-o", library, HERE / "turn.c", *links], check=True)
    subprocess.run(["cargo", "build", "-q", "--release", "-p", "latchstroke", "--example", "ours"], check=True, cwd=ROOT)
    return program, library, ROOT / "target" / "release" / "examples" / "ours"


def converged():
    """Fill time, s, of each case by the reference program."""
    text = (HERE.parent / "reference" / "reference_table.csv").read_text().splitlines()
    rows = csv.DictReader(line for line in text if not line.startswith("#"))
    table = {row["case"]: 1e-3 * float(row["fill_ms"]) for row in rows if row["reading"] == "parts"}
    return {case: table[f"{case[0]}pt_{case[1]}_{'set' if case[2] else 'aside'}"] for case in CASES}


def program_peer(words):
    """A peer that is a program: (case, rtol) to fill time and least time, s."""
    def run(case, rtol, repeats=3):
        told = subprocess.run([*words, *map(str, case), repr(rtol), str(repeats)], capture_output=True, text=True)
        if told.returncode:
            return math.nan, math.nan
        fill, _, least = map(float, told.stdout.split())
        return fill, least
    return run


class Mode(ctypes.Structure):
    """The modes as turn.c numbers them."""

    _fields_ = [(name, ctypes.c_int) for name in ("cam", "latch", "stop", "inlet", "mould", "metal", "sealed")]


NUMBERS = {
    "cam": ("before", "rise", "dwell", "return", "after"), "latch": ("aside", "holding", "let_go"),
    "stop": ("bearing", "apart", "overlapping"), "inlet": ("open", "closed", "parted"),
    "mould": ("empty", "filling", "full"), "metal": ("liquid", "mushy", "solid"), "sealed": (False, True)}


def scipy_peer(library, method):
    """SciPy's integrator on the compiled right-hand side."""
    from scipy.integrate import solve_ivp

    import reference_turn
    compiled = ctypes.CDLL(str(library))
    compiled.prepare.argtypes = [ctypes.c_void_p, ctypes.c_double, ctypes.c_double, ctypes.c_int]
    numbers = np.ctypeslib.ndpointer(dtype=float, flags="C")
    compiled.rates.argtypes = [ctypes.c_double, numbers, numbers, ctypes.c_void_p, ctypes.c_void_p]

    def run(case, rtol, repeats=1):
        prepared = ctypes.create_string_buffer(4096)
        compiled.prepare(prepared, *case)
        out = np.zeros(10)

        def leg(pump, mode, guards, times, state, tolerance):
            flags = Mode(**{name: words.index(getattr(mode, name)) for name, words in NUMBERS.items()})

            def rates(t, s):
                compiled.rates(t, np.ascontiguousarray(s), out, prepared, ctypes.byref(flags))
                return out.copy()

            events = []
            for _, function, direction in guards:
                def event(t, s, function=function):
                    return function(t, s)
                event.terminal, event.direction = True, direction
                events.append(event)
            with np.errstate(all="ignore"):
                found = solve_ivp(rates, (times[0], times[-1]), np.array(state), method=method, rtol=tolerance,
                                  atol=tolerance * reference_turn.SCALE, t_eval=[times[-1]], events=events)
            if found.status < 0:
                raise RuntimeError(found.message)
            if found.status == 0:
                return found.t, found.y.T, None
            i = next(i for i, t in enumerate(found.t_events) if len(t))
            return np.array([]), np.zeros((0, 10)), (found.t_events[i][0], found.y_events[i][0].tolist(), [guards[i][0]])

        machine = reference_turn.square(case[0], case[1], bool(case[2]))
        begun = time.thread_time()
        try:
            turn = reference_turn.Turn(machine, np.array([0.0]), leg, rtol)
        except (RuntimeError, ValueError):  # Too loose: it stopped, or its roots were lost between two steps.
            return math.nan, math.nan
        return turn.fill_time(), time.thread_time() - begun
    return run


def loosest(errors):
    """The loosest tolerance that is good, as the next tighter one is."""
    good = [error < GOOD for error in errors]
    return next((k for k in range(len(good)) if good[k] and all(good[k:k + 2])), None)


def main():
    """Build, agree, race, tell."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--rounds", type=int, default=8)
    words.add_argument("--no-scipy", action="store_true")
    words.add_argument("--csv", type=Path)
    told = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        program, library, ours = build(Path(folder))
        peers = {
            "latchstroke": program_peer([ours]),
            "CVODE BDF": program_peer([program, "bdf"]),
            "CVODE Adams": program_peer([program, "adams"]),
            "ARKODE explicit 5": program_peer([program, "erk"])}
        slow = {} if told.no_scipy else {
            f"SciPy {method}": scipy_peer(library, method) for method in ("DOP853", "LSODA")}
        race(peers, slow, told)


def race(peers, slow, told):
    """Finds each peer's tolerance, then lets them take turns."""
    truth, rows, chosen = converged(), [], {}
    for name, peer in {**peers, **slow}.items():
        for case in CASES:
            errors = []
            for rtol in TOLERANCES:
                fill, seconds = peer(case, rtol)
                error = abs(fill / truth[case] - 1.0) if math.isfinite(fill) else math.inf
                errors.append(error)
                rows.append((name, *case, rtol, error, seconds))
                if name in slow and len(errors) > 1 and max(errors[-2:]) < GOOD:
                    break
            place = loosest(errors)
            chosen[name, case] = (math.nan, math.inf) if place is None else (TOLERANCES[place], errors[place])
    # Ours as it is used, too.
    best = {(name, case): math.inf for name in peers for case in CASES}
    default = {case: math.inf for case in CASES}
    for _ in range(told.rounds):
        for case in CASES:
            for name, peer in peers.items():
                best[name, case] = min(best[name, case], peer(case, chosen[name, case][0], 10)[1])
            default[case] = min(default[case], peers["latchstroke"](case, 0.0, 10)[1])
    for name in slow:
        for case in CASES:
            best[name, case] = min(row[6] for row in rows if row[0] == name and row[1:4] == case and row[4] == chosen[name, case][0])
    tell(truth, chosen, best, default, [*peers, *slow], rows)
    if told.csv:
        with told.csv.open("w", newline="") as file:
            out = csv.writer(file)
            out.writerow(["peer", "points", "turns_per_min", "latch_set", "tolerance", "fill_error", "seconds"])
            out.writerows(rows)


def tell(truth, chosen, best, default, names, rows):
    """The table."""
    print("Agreement with the reference program at the tightest tolerance tried, greatest of the six:")
    for name in names:
        tight = [min((row[4], row[5]) for row in rows if row[0] == name and row[1:4] == case)[1] for case in CASES]
        print(f"  {name:18} {max(tight):.1e}")
    head = "".join(f"{points} pt {'set' if latch else 'aside'}".rjust(14) for points, _, latch in CASES)
    print(f"\nMilliseconds a turn at a fill time within {GOOD:g}; in brackets the tolerance\n{'':20}{head}   times ours")
    for name in [*names, "ours, default"]:
        times = [default[case] if name == "ours, default" else best[name, case] for case in CASES]
        ratio = math.exp(sum(math.log(t / best["latchstroke", case]) for t, case in zip(times, CASES)) / len(CASES))
        cells = "".join(
            f"{1e3 * t:>8.3f}{'' if name == 'ours, default' else f'({chosen[name, case][0]:.0e})':>6}" for t, case in zip(times, CASES))
        print(f"{name:20}{cells}   {ratio:.2f}")


if __name__ == "__main__":
    main()
