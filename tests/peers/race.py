"""Races a turn of latchstroke's against general solvers on the same equations, machines and errors, in one run.

The machines are the six of the tests' working set (12 pt at 60, 24 pt at 40, 36 pt at 15 turns/min; latch aside and set). Each peer takes
the loosest tolerance at which it, and the next tighter one, is good: the fill time of tests/reference/reference_table.csv to 1e-4; and,
in a second race, besides the greatest pressures of well and mould, to 1e-4 of what CVODE has at 1e-10. Two sorts of peers:

- plain, on the plain equations: turn.c has SUNDIALS CVODE (BDF, Adams) with Newton's method, a dense Jacobian by differences and its root
  finding, and ARKODE's explicit pair of order 5; SciPy's DOP853 and LSODA take the same right-hand side compiled, with the modes of
  tests/reference/pump_model.py;
- given ours: `given` has the same solvers, ARKODE's implicit methods and diffsol's four on latchstroke's own compiled equations, and gives
  them its modes and events, its scaled numbers, its exact Jacobian, the damping of a full mould that has rung, and the tolerances of its
  phases. What is left to differ is the stepping. They need not do latchstroke's energy sums.

A clock on a busy machine tells little, so that a turn is counted too: instructions by valgrind. Times are the least of
several rounds in which the peers take turns. SciPy is timed alone; its cost is Python's.

Wants a C compiler, SUNDIALS with its headers (libsundials-dev), valgrind, and the packages of tests/reference/requirements.txt for SciPy.
Not one of the tests.

    python race.py [--rounds 8] [--no-scipy] [--csv race.csv]
"""

import argparse
import csv
import ctypes
import math
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
sys.path.insert(0, str(HERE.parent / "reference"))

LIBRARIES = ["cvode", "arkode", "nvecserial", "sunmatrixdense", "sunlinsoldense", "m"]
CASES = [(12, 60, 0), (12, 60, 1), (24, 40, 0), (24, 40, 1), (36, 15, 0), (36, 15, 1)]
TOLERANCES = [10.0 ** (-n / 2) for n in range(5, 19)]
GOOD = 1e-4
PLAIN = {"CVODE BDF": "bdf", "CVODE Adams": "adams", "ARKODE explicit 5": "erk"}
GIVEN = {
    "CVODE BDF": "bdf", "CVODE Adams": "adams", "ARKODE explicit 5": "erk", "ARKODE implicit 4": "dirk4", "ARKODE implicit 5": "dirk5",
    "diffsol BDF": "diffsol-bdf", "diffsol tsit45": "diffsol-tsit45", "diffsol esdirk34": "diffsol-esdirk34",
    "diffsol tr-bdf2": "diffsol-trbdf2"}


def build(folder):
    """The C peer as a program and as a library, the peers that are given ours, and ours."""
    links = [f"-lsundials_{name}" if name != "m" else "-lm" for name in LIBRARIES]
    program, library = folder / "turn", folder / "turn.so"
    subprocess.run(["cc", "-O3", "-o", program, HERE / "turn.c", *links], check=True)
    subprocess.run(["cc", "-O3", "-shared", "-fPIC", "-o", library, HERE / "turn.c", *links], check=True)
    subprocess.run(["cargo", "build", "-q", "--release", "-p", "latchstroke-core", "--example", "ours"], check=True, cwd=ROOT)
    subprocess.run(["cargo", "build", "-q", "--release"], check=True, cwd=HERE / "given")
    return program, library, HERE / "given/target/release/given", ROOT / "target/release/examples/ours"


class Program:
    """A peer that is a program."""

    def __init__(self, solves, *words):
        self.solves = solves
        self.words = [str(word) for word in words]

    def command(self, case, rtol, repeats):
        """What to run."""
        return [*self.words, *map(str, case), repr(rtol), str(repeats)]

    def turn(self, case, rtol, repeats=1):
        """Fill time, s; greatest pressures of well and mould, Pa; least time of a turn, s."""
        told = subprocess.run(self.command(case, rtol, repeats), capture_output=True, text=True)
        return [math.nan] * 4 if told.returncode else [float(word) for word in told.stdout.split()]

    def instructions(self, case, rtol):
        """Instructions of a turn: those of the function that solves it, and of all that it calls."""
        counted = ["valgrind", "--tool=callgrind", "--callgrind-out-file=/dev/null", f"--toggle-collect={self.solves}"]
        told = subprocess.run([*counted, *self.command(case, rtol, 1)], capture_output=True, text=True)
        return int(re.search(r"Collected : (\d+)", told.stderr).group(1))


class Mode(ctypes.Structure):
    """The modes as turn.c numbers them."""

    _fields_ = [(name, ctypes.c_int) for name in ("cam", "latch", "stop", "inlet", "mould", "metal", "sealed")]


NUMBERS = {
    "cam": ("before", "rise", "dwell", "return", "after"), "latch": ("aside", "holding", "let_go"),
    "stop": ("bearing", "apart", "overlapping"), "inlet": ("open", "closed", "parted"),
    "mould": ("empty", "filling", "full"), "metal": ("liquid", "mushy", "solid"), "sealed": (False, True)}


def scipy_peer(library, method):
    """SciPy's integrator on the compiled right-hand side."""
    import numpy as np
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


def fill_times():
    """Fill time, s, of each case by the reference program."""
    text = (HERE.parent / "reference" / "reference_table.csv").read_text().splitlines()
    rows = csv.DictReader(line for line in text if not line.startswith("#"))
    table = {row["case"]: 1e-3 * float(row["fill_ms"]) for row in rows if row["reading"] == "parts"}
    return {case: table[f"{case[0]}pt_{case[1]}_{'set' if case[2] else 'aside'}"] for case in CASES}


def loosest(errors):
    """The loosest tolerance that is good, as the next tighter one is."""
    good = [error < GOOD for error in errors]
    return next((k for k in range(len(good)) if good[k] and all(good[k:k + 2])), None)


class Race:
    """The peers, what is true, and what each of them is off by."""

    def __init__(self, peers, slow):
        self.peers, self.slow = peers, slow
        fills, converged = fill_times(), {case: peers["given CVODE BDF"].turn(case, 1e-10) for case in CASES}
        self.truth = {case: [fills[case], *converged[case][1:3]] for case in CASES}
        self.errors = {}
        for name, peer in peers.items():
            for case in CASES:
                self.errors[name, case] = [self.off(peer.turn(case, rtol), case) for rtol in TOLERANCES]

    def off(self, told, case):
        """Errors of the fill time, and of the worse of the two pressures."""
        errors = [abs(own / true - 1.0) if math.isfinite(own) else math.inf for own, true in zip(told, self.truth[case])]
        return errors[0], max(errors[1:])

    def chosen(self, name, case, with_pressure):
        """The loosest tolerance that is good."""
        errors = [max(both) if with_pressure else both[0] for both in self.errors[name, case]]
        place = loosest(errors)
        return None if place is None else TOLERANCES[place]

    def times(self, settings, rounds):
        """The least time, s, of every (name, case, tolerance), the peers taking turns."""
        best = dict.fromkeys(settings, math.inf)
        for _ in range(rounds):
            for name, case, rtol in settings:
                time_of = self.peers[name].turn(case, rtol, 10)[3]
                best[name, case, rtol] = min(best[name, case, rtol], time_of)
        return best


def mean(ratios):
    """The geometric mean of those there are."""
    ratios = [ratio for ratio in ratios if ratio is not None]
    return math.exp(sum(map(math.log, ratios)) / len(ratios)) if ratios else math.nan


def main():
    """Build, agree, race, tell."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--rounds", type=int, default=8)
    words.add_argument("--no-scipy", action="store_true")
    words.add_argument("--csv", type=Path)
    told = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        program, library, given, ours = build(Path(folder))
        peers = {"latchstroke": Program("latchstroke_core::turn::solve_until_closed", ours)}
        peers |= {f"plain {name}": Program("solve", program, word) for name, word in PLAIN.items()}
        peers |= {f"given {name}": Program("given::turn::turn", given, word) for name, word in GIVEN.items()}
        slow = {} if told.no_scipy else {f"plain SciPy {method}": scipy_peer(library, method) for method in ("DOP853", "LSODA")}
        tell(Race(peers, slow), told)


def tell(race, told):
    """The tables."""
    print("Agreement of fill time, and of the pressures, at the tightest tolerance tried, greatest of the six:")
    for name in race.peers:
        tight = [race.errors[name, case][-1] for case in CASES]
        print(f"  {name:26} {max(t[0] for t in tight):.1e}  {max(t[1] for t in tight):.1e}")
    settings = {("latchstroke", case, 0.0) for case in CASES}
    for with_pressure in (False, True):
        for name in race.peers:
            chosen = {(name, case, race.chosen(name, case, with_pressure)) for case in CASES}
            settings |= {setting for setting in chosen if setting[2] is not None}
    counted = {(name, case, rtol): race.peers[name].instructions(case, rtol) for name, case, rtol in settings}
    times = race.times(sorted(settings), told.rounds)
    rows = []
    for good, with_pressure in (("fill time", False), ("fill time and pressures", True)):
        own = [("latchstroke", case, race.chosen("latchstroke", case, with_pressure)) for case in CASES]
        print(f"\nGood to {GOOD:g} in {good}: millions of instructions a turn, in brackets the tolerance; times ours, instructions and time")
        print(" " * 28 + "".join(f"{p} pt {'set' if latch else 'aside'}".rjust(15) for p, _, latch in CASES))
        for name in race.peers:
            cells, ratios, clocks = "", [], []
            for case, mine in zip(CASES, own):
                setting = (name, case, race.chosen(name, case, with_pressure))
                if setting[2] is None:
                    cells, ratios, clocks = cells + "-".rjust(15), [*ratios, None], [*clocks, None]
                    continue
                cells += f"{1e-6 * counted[setting]:.2f} ({setting[2]:.0e})".rjust(15)
                ratios.append(counted[setting] / counted[mine])
                clocks.append(times[setting] / times[mine])
                errors = race.errors[name, case][TOLERANCES.index(setting[2])]
                rows.append((good, name, *case, setting[2], *errors, counted[setting], times[setting]))
            reached = sum(ratio is not None for ratio in ratios)
            of = "" if reached == len(CASES) else f"  ({reached} of {len(CASES)})"
            print(f"{name:28}{cells}   {mean(ratios):6.2f} {mean(clocks):6.2f}{of}")
    print("\nlatchstroke at its default accuracy: instructions, time, errors of fill time and pressures")
    for case in CASES:
        errors = race.off(race.peers["latchstroke"].turn(case, 0.0), case)
        setting = ("latchstroke", case, 0.0)
        rows.append(("default", "latchstroke", *case, 0.0, *errors, counted[setting], times[setting]))
        print(f"  {case}: {1e-6 * counted[setting]:.2f} million, {1e3 * times[setting]:.3f} ms, {errors[0]:.1e}, {errors[1]:.1e}")
    rows += against_scipy(race, times)
    if told.csv:
        with told.csv.open("w", newline="") as file:
            out = csv.writer(file, lineterminator="\n")
            out.writerow(["good_in", "peer", "points", "turns_per_min", "latch_set", "tolerance", "fill_error", "pressure_error",
                          "instructions", "seconds"])
            out.writerows([f"{cell:.3g}" if isinstance(cell, float) else cell for cell in row] for row in rows)


def against_scipy(race, times):
    """SciPy's times at a good fill time, over ours."""
    rows = []
    for name, peer in race.slow.items():
        ratios = []
        for case in CASES:
            errors, clocks = [], []
            for rtol in TOLERANCES:
                fill, clock = peer(case, rtol)
                errors.append(abs(fill / race.truth[case][0] - 1.0) if math.isfinite(fill) else math.inf)
                clocks.append(clock)
                if len(errors) > 1 and max(errors[-2:]) < GOOD:
                    break
            place = loosest(errors)
            mine = times["latchstroke", case, race.chosen("latchstroke", case, False)]
            ratios.append(None if place is None else clocks[place] / mine)
            if place is not None:
                rows.append(("fill time", name, *case, TOLERANCES[place], errors[place], "", "", clocks[place]))
        print(f"{name}: {mean(ratios):.0f} times our time, good in fill time")
    return rows


if __name__ == "__main__":
    main()
