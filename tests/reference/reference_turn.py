"""Reference solution of one turn of the pump, for testing the Rust program.

Integrates the equations of `pump_model.py` with SUNDIALS CVODE (BDF) and with SciPy DOP853, and
writes `reference_table.csv` (the invented working set) and the traces `reference_traces_*.csv`.

    python -m venv /tmp/venv-ref && /tmp/venv-ref/bin/pip install -r requirements.txt
    /tmp/venv-ref/bin/python reference_turn.py            # table and traces, cross-checks printed
    /tmp/venv-ref/bin/python reference_turn.py --table    # the table only
    /tmp/venv-ref/bin/python reference_turn.py run_back   # the traces named only
"""

import math
import platform
import sys
from copy import copy
from dataclasses import asdict, replace
from pathlib import Path

import numpy as np
import scipy
import sksundae
from scipy.integrate import solve_ivp
from sksundae.cvode import CVODE

from machine import POINT, Machine
from pump_model import STATE, Pump, air_viscosity

HERE = Path(__file__).parent
# Size of each state; the absolute tolerance is rtol times this.
SCALE = np.array([1e-2, 1.0, 1e-2, 1.0, 3e-8, 1e-4, 1e-6, 1e-7, 1e4, 1.0])
RTOL = 1e-10
RTOL_LOOSE = 1e-8
RTOL_DRAFT = 1e-7  # where only the times of events are wanted
FINE_STEP = 1e-5  # s, spacing of the samples from which peaks are taken
TIME_SLACK = 1e-12  # s, times nearer than this are one
# Square types of the invented working set: points and pace.
CASES = ((12, 60), (24, 40), (36, 15))
VERSIONS = (f"solver SUNDIALS {sksundae.SUNDIALS_VERSION} CVODE BDF through scikit-sundae"
            f" {sksundae.__version__}; checked with SciPy {scipy.__version__} DOP853;"
            f" NumPy {np.__version__}; Python {platform.python_version()}")
TOLERANCES = (f"relative tolerance {RTOL:g}; absolute tolerance that times "
              + ", ".join(f"{k} {v:g}" for k, v in zip(STATE, SCALE)))
# Legs of the cam that are solved. In the return stroke metal that bears any pull would hold the
# piston back with some 30 MPa of tension, which no metal does: that reading ends with the dwell.
LEGS = {"parts": None, "holds": 3}


def square(points, pace, latch_set):
    """The invented working set with a square type of the stated points (body = set)."""
    return Machine(pace_per_min=pace, body_m=points * POINT, set_m=points * POINT,
                   latch_set=latch_set)


def variant(latch_set):
    """A second invented machine: other cam law, a real lever, oblong type, slit vent, late rise."""
    return Machine(
        pace_per_min=20.0, cam_law="3-4-5 polynomial", cam_lift_m=0.028, rise_start_deg=15.0,
        rise_deg=90.0, dwell_deg=70.0, return_deg=110.0, block_mass_kg=3.1,
        train_stiffness_n_m=2.5e6, train_damping_n_s_m=1800.0, rod_mass_kg=1.05,
        spring_mass_kg=0.42, spring_rate_n_m=11500.0, preload_n=420.0, lever_ratio=1.25,
        lever_inertia_kg_m2=0.004, lever_radius_m=0.08, piston_mass_kg=0.7, trip_lift_m=0.010,
        latch_set=latch_set, piston_diameter_m=0.018, piston_clearance_m=30e-6,
        coulomb_friction_n=28.0, viscous_friction_n_s_m=45.0, port_travel_m=0.0025,
        nozzle_diameter_m=0.0024, nozzle_length_m=0.016, nozzle_loss=1.2,
        body_m=36 * POINT, set_m=20 * POINT, vent_kind="slit", slit_thickness_m=0.045e-3,
        slit_width_m=0.005, slit_length_m=0.003, vent_area_m2=0.045e-3 * 0.005,
        pot_temperature_c=345.0, mould_temperature_c=75.0)


def leg_cvode(pump, mode, guards, times, state, rtol):
    """One leg between mode changes by CVODE: samples, and (time, state, fired names) or None."""
    def rhs(t, s, out):
        out[:] = pump.rates(t, s.tolist(), mode)

    def roots(t, s, out):
        values = s.tolist()
        for i, (_, function, _) in enumerate(guards):
            out[i] = function(t, values)

    roots.terminal = [True] * len(guards)
    roots.direction = [direction for _, _, direction in guards]
    solver = CVODE(rhs, method="BDF", rtol=rtol, atol=rtol * SCALE, eventsfn=roots,
                   num_events=len(guards), max_num_steps=500_000)
    found = solver.solve(times, np.array(state))
    if not found.success:
        raise RuntimeError(f"CVODE stopped at {found.t[-1]} s in {mode}: {found.message}")
    if found.t_events is None or len(found.t_events) == 0:
        return found.t, found.y, None
    fired = [g[0] for g, sign in zip(guards, found.i_events[-1]) if sign]
    return found.t[:-1], found.y[:-1], (found.t_events[-1], found.y_events[-1].tolist(), fired)


def leg_dop853(pump, mode, guards, times, state, rtol):
    """One leg between mode changes by SciPy's explicit Runge-Kutta of order 8; as `leg_cvode`."""
    events = []
    for _, function, direction in guards:
        def event(t, s, function=function):
            return function(t, s.tolist())
        event.terminal, event.direction = True, direction
        events.append(event)
    # Open vents on the last air of a mould that froze before it was full again are too stiff for an
    # explicit method.
    method = "Radau" if mode.sealed and mode.mould == "filling" else "DOP853"
    # A first trial step that is far too long overflows and is rejected; that is no fault.
    with np.errstate(invalid="ignore", over="ignore"):
        found = solve_ivp(lambda t, s: pump.rates(t, s.tolist(), mode), (times[0], times[-1]),
                          np.array(state), method=method, rtol=rtol, atol=rtol * SCALE,
                          t_eval=times, events=events)
    if found.status < 0:
        raise RuntimeError(f"DOP853 stopped in {mode}: {found.message}")
    if found.status == 0:
        return found.t, found.y.T, None
    i = next(i for i, t in enumerate(found.t_events) if len(t))
    return found.t, found.y.T, (found.t_events[i][0], found.y_events[i][0].tolist(),
                                [guards[i][0]])


class Turn:
    """Samples (arrays `t`, `s`, list `modes`) and `events` (name, time, state) of one turn.

    It ends at time `end`: that of the turn, or of the dwell if the metal holds (see `LEGS`).
    """

    def __init__(self, machine, times, leg=leg_cvode, rtol=RTOL):
        """Solve the turn of `machine`, sampled at the increasing `times`."""
        self.pump = Pump(machine)
        self.events, self.modes, ts, ss = [], [], [], []
        state, mode = self.pump.start()
        t, legs = 0.0, self.pump.legs[:LEGS[machine.suction]]
        self.end = legs[-1][1]
        for phase, end in legs:
            mode = replace(mode, cam=phase)
            while end - t > TIME_SLACK:
                at_start = (times >= t) & (times <= t + TIME_SLACK)
                if at_start.any():
                    ts.append(times[at_start])
                    ss.append(np.tile(state, (int(at_start.sum()), 1)))
                    self.modes += [mode] * int(at_start.sum())
                # The samples are padded with the ends of the leg (and a midpoint, since CVODE
                # reads two times as a request for its own steps), and the padding dropped.
                upto = times <= end if end == self.end else times < end
                inside = times[(times > t + TIME_SLACK) & upto]
                grid = np.unique(np.concatenate(([t, 0.5 * (t + end), end], inside)))
                guards = self.pump.guards(mode)
                found_t, found_s, hit = leg(self.pump, mode, guards, grid, state, rtol)
                keep = np.isin(found_t, inside)
                ts.append(found_t[keep])
                ss.append(found_s[keep])
                self.modes += [mode] * int(keep.sum())
                if hit is None:
                    t, state = end, list(found_s[-1])
                    break
                t, state, fired = hit
                while fired:
                    name = fired.pop(0)
                    before = (state, mode)
                    state, mode = self.pump.switch(name, t, state, mode)
                    self.events.append((name, t, *before))
                    named = {g[0] for g in self.pump.guards(mode)}
                    fired = [n for n in fired if n in named]
                    at_once = self.pump.at_once(mode, state)
                    if at_once is not None:
                        fired.insert(0, at_once)
        self.t, self.s, self.last = np.concatenate(ts), np.concatenate(ss), state

    def at(self, times):
        """The same turn with the samples at some of its times only."""
        fewer, keep = copy(self), np.isin(self.t, times)
        fewer.t, fewer.s = self.t[keep], self.s[keep]
        fewer.modes = [mode for mode, kept in zip(self.modes, keep) if kept]
        return fewer

    def first(self, name):
        """Time, state and mode just before the first event of that name, or None."""
        return next((e[1:] for e in self.events if e[0] == name), None)

    def fill_time(self):
        """Mould entry reached to full, s, or NaN for a short cast."""
        full = self.first("full")
        return full[0] - self.first("mould entry reached")[0] if full else math.nan

    def peak(self, values):
        """Greatest sampled value, refined by a parabola where the samples are smooth there."""
        i = int(np.argmax(values))
        if 0 < i < len(values) - 1 and self.modes[i - 1] == self.modes[i] == self.modes[i + 1]:
            a, b, c = values[i - 1:i + 2]
            curve = a - 2.0 * b + c
            if curve < 0.0:
                return b - (a - c) ** 2 / (8.0 * curve)
        return values[i]

    def peak_speed(self):
        """Greatest forward piston speed i x' until the mould is sealed; it may fall at an event."""
        sealed = self.first("entry sealed")
        until = sealed[0] if sealed else self.end
        speeds = self.s[:np.searchsorted(self.t, until), 3]
        at_events = (s[3] for _, t, s, _ in self.events if t <= until)
        return self.pump.m.lever_ratio * max(self.peak(speeds), *at_events)

    def well_pressures(self):
        """Well gauge pressure at each sample."""
        return np.array([self.pump.well_pressure(s[4], mode)
                         for s, mode in zip(self.s, self.modes)])

    def cavity_pressures(self):
        """Cavity gauge pressure at each sample."""
        return np.array([self.pump.cavity_pressure(s[6], s[7], mode)
                         for s, mode in zip(self.s, self.modes)])

    def cam_forces(self):
        """Force of the lever train on the block at each sample."""
        return np.array([self.pump.contact_force(t, s[0], s[1], mode)
                         for t, s, mode in zip(self.t, self.s, self.modes)])


def fine_times(machine):
    """Times every `FINE_STEP` from the start of a turn."""
    turn = 60.0 / machine.pace_per_min
    return np.linspace(0.0, turn, round(turn / FINE_STEP) + 1)[:-1]


def fine_turn(machine, leg=leg_cvode, rtol=RTOL):
    """A turn sampled every `FINE_STEP` from its start."""
    return Turn(machine, fine_times(machine), leg, rtol)


def write_table():
    """Write fill time, peak speed and bulk limit of the working set in both readings."""
    rows, worst = [], {"DOP853": 0.0, f"relative tolerance {RTOL_LOOSE:g}": 0.0}
    for suction in LEGS:
        for points, pace in CASES:
            for latch in ("aside", "set"):
                machine = replace(square(points, pace, latch == "set"), suction=suction)
                tight = fine_turn(machine)
                values = np.array([1e3 * tight.fill_time(), tight.peak_speed()])
                others = (fine_turn(machine, leg_dop853), fine_turn(machine, rtol=RTOL_LOOSE))
                for name, run in zip(worst, others):
                    found = np.array([1e3 * run.fill_time(), run.peak_speed()])
                    worst[name] = max(worst[name], np.abs(found / values - 1.0).max())
                bulk = 1e3 * tight.pump.bulk_limit()
                rows.append(f"{points}pt_{pace}_{latch},{suction},{values[0]:.9g},"
                            f"{values[1]:.9g},{bulk:.9g}")
                print(rows[-1], f"least well pressure {tight.well_pressures().min():.0f} Pa",
                      flush=True)
    lines = [
        "# invented working set, square types: points_pace_latch",
        "# fill_ms: mould entry reached to full; peak_speed_m_s: piston, forward, until sealed",
        f"# {VERSIONS}",
        f"# {TOLERANCES}",
        "# greatest relative difference of fill time and peak speed: "
        + ", ".join(f"{name} {value:.1e}" for name, value in worst.items()),
        "case,reading,fill_ms,peak_speed_m_s,bulk_limit_ms", *rows]
    (HERE / "reference_table.csv").write_text("\n".join(lines) + "\n")


def trace_times(turn, upto=None):
    """400 even times about the stroke, 60 more over the rest of the turn (a few before it).

    The stroke ends a little after the mould is full, or with the last event `upto` names.
    """
    full = turn.first("full")[0]
    moves = turn.first("latch lets go")[0] if turn.pump.m.latch_set else turn.pump.legs[0][1]
    start = max(0.0, moves - 0.02 * (full - moves))
    end = full + 0.15 * (full - moves)
    if upto is not None:
        end = 1e-3 + max(e[1] for e in turn.events if e[0] == upto)
    before = np.linspace(0.0, start, 11)[:-1] if start > 0.0 else np.array([])
    after = np.linspace(end, turn.end, 61 - len(before))[1:]
    return np.concatenate((before, np.linspace(start, end, 400), after))


def lasting_pressure(turn):
    """Mean cavity pressure over the last four own periods before the entry seals, and their length.

    The period is that of the rod on the metal of the well, the slowest thing that rings.
    """
    m, pump = turn.pump.m, turn.pump
    rate = m.spring_rate_n_m + m.inner_spring_rate_n_m + pump.ia**2 * pump.well_rate
    span = 4.0 * 2.0 * math.pi * math.sqrt(pump.rod_mass / rate)
    sealed = turn.first("entry sealed")[0]
    inside = (turn.t >= sealed - span) & (turn.t <= sealed)
    return turn.cavity_pressures()[inside].mean(), span


def results(turn):
    """What the turn reports, as (name, value) in SI."""
    pump, m, well = turn.pump, turn.pump.m, turn.well_pressures()
    _, at_full, _ = turn.first("full")
    peak_cavity = turn.peak(turn.cavity_pressures())
    e_full = pump.e_in - at_full[8]
    out = [
        ("fill_time_s", turn.fill_time()),
        ("peak_piston_speed_m_s", turn.peak_speed()),
        ("peak_well_pressure_Pa", turn.peak(well)),
        ("least_well_pressure_Pa", -turn.peak(-well)),
        ("peak_cavity_pressure_Pa", peak_cavity),
        ("peak_matrix_force_N", peak_cavity * m.body_m * m.set_m),
        ("peak_cam_force_N", turn.peak(turn.cam_forces())),
        ("bulk_limit_s", pump.bulk_limit()),
        ("mean_enthalpy_at_full_J_kg", e_full),
        ("solid_fraction_at_full", max(0.0, 1.0 - e_full / pump.e_m)),
        ("heat_to_walls_until_full_J", at_full[9]),
        ("heat_to_walls_until_end_J", turn.last[9]),
        ("air_left_at_full_kg", at_full[7]),
        ("trapped_air_fraction_at_end",
         1.0 - pump.metal_in_mould(turn.last[6]) / pump.volume),
    ]
    if turn.first("entry sealed"):
        out += zip(("lasting_cavity_pressure_Pa", "lasting_over_s"), lasting_pressure(turn))
    if m.latch_set:
        _, trip, mode = turn.first("latch lets go")
        out.append(("spring_force_at_trip_N", pump.spring_force(trip[0], trip[2], mode)))
    if pump.one_way:
        out.append(("least_cam_force_N", -turn.peak(-turn.cam_forces())))
    strike = next((s for n, t, s, _ in turn.events if n == "shoulder strikes" and t > 0.0), None)
    if strike is not None:
        out.append(("first_strike_speed_m_s", strike[3] - strike[1]))
    return out


def write_trace(path, what, machine, upto=None):
    """Solve `machine`, write its trace to `path`, and print how far the other solver differs."""
    draft = fine_turn(machine, rtol=RTOL_DRAFT)
    times = trace_times(draft, upto)
    all_times = np.union1d(times, fine_times(machine))
    whole, other, loose = (Turn(machine, all_times, leg, rtol) for leg, rtol in (
        (leg_cvode, RTOL), (leg_dop853, RTOL), (leg_cvode, RTOL_LOOSE)))
    fine, turn = whole.at(fine_times(machine)), whole.at(times)
    span = np.abs(turn.s).max(axis=0)
    for name, run in (("DOP853", other), ("loose", loose)):
        run = run.at(times)
        late = max(abs(a[1] - b[1]) for a, b in zip(run.events, turn.events))
        worst = np.abs(run.s - turn.s).max(axis=0) / np.where(span > 0.0, span, 1.0)
        print(f"{path.name}: {name} differs by at most, relative to the largest value: "
              + ", ".join(f"{k} {v:.1e}" for k, v in zip(STATE, worst))
              + f"; same events {[e[0] for e in run.events] == [e[0] for e in turn.events]},"
              + f" times within {late:.1e} s", flush=True)
    figures = results(fine)
    print(f"{path.name}: DOP853's figures differ by a share of "
          + ", ".join(f"{name} {b / a - 1.0 if a else b:.1e}" for (name, a), (_, b)
                      in zip(figures, results(other.at(fine_times(machine))))), flush=True)
    pump = turn.pump
    lines = [
        f"# {what}", f"# {VERSIONS}", f"# {TOLERANCES}",
        "# pressures gauge; rod_lift_m is x, which is rest_deflection at rest; piston"
        " travel is lever_ratio times rod_lift_m; least pressures and forces are the least of all"
        " samples",
    ]
    if turn.end < pump.turn:
        lines.append("# ends as the cam begins its return, in which metal that bears any pull would"
                     " hold the piston back with some 30 MPa of tension")
    lines += [f"# {k} = {v!r}" for k, v in asdict(machine).items()]
    if machine.vent_kind == "slit":
        lines.append(f"# air_viscosity_pa_s = {air_viscosity(machine.air_temperature_k):.9g}")
    lines += [f"# rest_deflection_m = {pump.x_rest:.9g}", f"# cavity_volume_m3 = {pump.volume:.9g}",
              f"# start_air_mass_kg = {pump.ma0:.9g}", f"# moving_mass_kg = {pump.rod_mass:.9g}"]
    lines += [f"# event {name} = {t:.12g}" for name, t, *_ in turn.events]
    lines += [f"# result {name} = {value:.9g}" for name, value in figures]
    lines.append("time_s,shaft_angle_deg,block_lift_m,rod_lift_m,rod_speed_m_s,well_pressure_Pa,"
                 "flow_m3_s,metal_past_nozzle_m3,air_mass_kg,heat_J,cavity_pressure_Pa")
    for t, s, p, p_cav in zip(turn.t, turn.s, turn.well_pressures(), turn.cavity_pressures()):
        heat = (pump.e_in - s[8]) * machine.metal_density_kg_m3 * pump.metal_in_mould(s[6])
        row = (t, pump.omega * t, s[0], s[2], s[3], p, s[5], s[6], s[7], heat, p_cav)
        lines.append(",".join(f"{v:.9g}" for v in row))
    path.write_text("\n".join(lines) + "\n")
    print(f"  {path.name}: fill {1e3 * fine.fill_time():.6f} ms, {path.stat().st_size} bytes,"
          f" {len(turn.t)} rows", flush=True)


# A dial indicator's readings (mm) each 15 deg, the dial at 1.00 mm or so with the block down.
READINGS = (1.03, 1.01, 1.17, 2.86, 7.27, 13.95, 20.94, 26.07, 28.52, 28.98, 28.99, 29.01, 29.02,
            29.00, 28.77, 27.32, 23.77, 18.38, 12.30, 7.04, 3.39, 1.53, 0.99, 1.05)


def special():
    """Machines that each try one thing more: file name, what, machine, last event followed."""
    at_18 = square(18, 40, True)
    one_way = {"closure": "one-way", "return_rate_n_m": 300.0}
    return (
        ("measured_cam", "measured cam", replace(
            square(18, 30, True), cam_law="measured", cam_readings=" ".join(
                f"{15 * i}:{lift}" for i, lift in enumerate(READINGS)), cam_lift_m=0.0,
            rise_start_deg=0.0, rise_deg=0.0, dwell_deg=0.0, return_deg=0.0), None),
        ("coil_bound", "two springs whose coils touch before the latch lets go", replace(
            at_18, spring_rate_n_m=6500.0, preload_n=250.0, spring_mass_kg=0.28,
            spring_free_m=0.120, spring_solid_m=0.069, spring_bound_rate_n_m=6.5e5,
            inner_spring_rate_n_m=2500.0, inner_preload_n=110.0, inner_spring_mass_kg=0.1,
            inner_spring_free_m=0.110, inner_spring_solid_m=0.0527,
            inner_spring_bound_rate_n_m=2.5e5), None),
        ("one_way_stays", "one-way closure, the follower stays on its cam", replace(
            square(18, 30, False), **one_way, return_force_n=150.0), None),
        ("one_way_leaves", "one-way closure, the follower leaves its cam and lands", replace(
            square(12, 80, True), **one_way, return_force_n=60.0), None),
        ("release_delay", "latch that lets go 4 ms after its prongs are spread", replace(
            at_18, release_delay_s=4e-3), None),
        ("run_back", "small type with wide vents, out of which the metal runs back", replace(
            square(6, 40, True), vent_area_m2=1e-6), "vents reopen"),
        ("emptied", "smallest type, which the metal leaves altogether", replace(
            square(4, 40, True), film_w_m2_k=60e3, packed_film_w_m2_k=60e3), "vents reopen"),
        ("packed", "more heat flow once the mould is packed", replace(
            at_18, film_w_m2_k=8e3, packed_film_w_m2_k=30e3), None),
        ("unprimed", "no volume between nozzle and mould", replace(
            at_18, prime_volume_m3=0.0), None),
    )


def main():
    """Write the table; unless told `--table`, write the traces too, or those named."""
    told = sys.argv[1:]
    named = [name for name in told if name != "--table"]
    if not named:
        write_table()
    if "--table" in told:
        return
    scenarios = {
        "12pt_60": ("invented working set, 12 pt square, pace 60", lambda s: square(12, 60, s)),
        "24pt_40": ("invented working set, 24 pt square, pace 40", lambda s: square(24, 40, s)),
        "variant": ("second invented machine, 36 pt body, 20 pt set, pace 20", variant),
    }
    wanted = [(name, latch, "parts") for name in scenarios for latch in ("aside", "set")]
    wanted += [(name, "set", "holds") for name in ("12pt_60", "24pt_40")]
    traces = []
    for name, latch, suction in wanted:
        what, build = scenarios[name]
        traces.append((f"{name}_{latch}_{suction}", f"{what}, latch {latch}, reading: {suction}",
                       replace(build(latch == "set"), suction=suction), None))
    for name, what, machine, upto in (*traces, *special()):
        if not named or name in named:
            write_trace(HERE / f"reference_traces_{name}.csv", what, machine, upto)


if __name__ == "__main__":
    main()
