"""Reference solution of one turn of the pump, for testing the Rust program.

Integrates the equations of `pump_model.py` with SUNDIALS CVODE (BDF) and with SciPy DOP853, and
writes `reference_table.csv` (the invented working set) and the traces `reference_traces_*.csv`.

    python -m venv /tmp/venv-ref && /tmp/venv-ref/bin/pip install -r requirements.txt
    /tmp/venv-ref/bin/python reference_turn.py            # table and traces, cross-checks printed
    /tmp/venv-ref/bin/python reference_turn.py --table    # the table only
"""

import math
import platform
import sys
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
SCALE = np.array([1e-2, 1.0, 1e-2, 1.0, 3e-8, 1e-4, 1e-6, 1e-7, 1.0])
RTOL = 1e-10
RTOL_LOOSE = 1e-8
FINE_STEP = 1e-5  # s, spacing of the samples from which peaks are taken
TIME_SLACK = 1e-12  # s, times nearer than this are one
# Square types of the invented working set: points and pace.
CASES = ((12, 60), (24, 40), (36, 15))
VERSIONS = (f"solver SUNDIALS {sksundae.SUNDIALS_VERSION} CVODE BDF through scikit-sundae"
            f" {sksundae.__version__}; checked with SciPy {scipy.__version__} DOP853;"
            f" NumPy {np.__version__}; Python {platform.python_version()}")
TOLERANCES = (f"relative tolerance {RTOL:g}; absolute tolerance that times "
              + ", ".join(f"{k} {v:g}" for k, v in zip(STATE, SCALE)))
# In the return stroke metal that bears any pull would hold the piston back with some 30 MPa of
# tension, which no metal does. That reading is solved only until the return begins.
PHASES = {"parts": ("before", "rise", "dwell", "return", "after"),
          "holds": ("before", "rise", "dwell")}


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
    # A first trial step that is far too long overflows and is rejected; that is no fault.
    with np.errstate(invalid="ignore", over="ignore"):
        found = solve_ivp(lambda t, s: pump.rates(t, s.tolist(), mode), (times[0], times[-1]),
                          np.array(state), method="DOP853", rtol=rtol, atol=rtol * SCALE,
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

    It ends at time `end`: that of the turn, or of the dwell if the metal holds (see `PHASES`).
    """

    def __init__(self, machine, times, leg=leg_cvode, rtol=RTOL):
        """Solve the turn of `machine`, sampled at the increasing `times`."""
        self.pump = Pump(machine)
        self.events, self.modes, ts, ss = [], [], [], []
        state, mode = self.pump.start()
        t, phases = 0.0, PHASES[machine.suction]
        edges = [*self.pump.cam_times, self.pump.turn][:len(phases)]
        self.end = edges[-1]
        for phase, end in zip(phases, edges):
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
                for name in fired:
                    if any(name == g[0] for g in self.pump.guards(mode)):
                        before = state
                        state, mode = self.pump.switch(name, state, mode)
                        self.events.append((name, t, before))
        self.t, self.s = np.concatenate(ts), np.concatenate(ss)

    def first(self, name):
        """Time and state of the first event of that name, or None."""
        return next(((t, s) for n, t, s in self.events if n == name), None)

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
        at_events = (s[3] for _, t, s in self.events if t <= until)
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
        return np.array([self.pump.cam_force(t, s[0], s[1], mode)
                         for t, s, mode in zip(self.t, self.s, self.modes)])


def fine_turn(machine, leg=leg_cvode, rtol=RTOL):
    """A turn sampled every `FINE_STEP` from its start."""
    turn = 60.0 / machine.pace_per_min
    return Turn(machine, np.linspace(0.0, turn, round(turn / FINE_STEP) + 1)[:-1], leg, rtol)


def write_table():
    """Write fill time, peak speed and bulk limit of the working set in both readings."""
    rows, worst = [], {"DOP853": 0.0, f"relative tolerance {RTOL_LOOSE:g}": 0.0}
    for suction in PHASES:
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


def trace_times(turn):
    """400 even times about the stroke, 60 more over the rest of the turn (a few before it)."""
    full = turn.first("full")[0]
    moves = turn.first("latch lets go")[0] if turn.pump.m.latch_set else turn.pump.cam_times[0]
    start = max(0.0, moves - 0.02 * (full - moves))
    end = full + 0.15 * (full - moves)
    before = np.linspace(0.0, start, 11)[:-1] if start > 0.0 else np.array([])
    after = np.linspace(end, turn.end, 61 - len(before))[1:]
    return np.concatenate((before, np.linspace(start, end, 400), after))


def results(turn):
    """What the turn reports, as (name, value) in SI."""
    pump, at_full, well = turn.pump, turn.first("full")[1], turn.well_pressures()
    out = [
        ("fill_time_s", turn.fill_time()),
        ("peak_piston_speed_m_s", turn.peak_speed()),
        ("peak_well_pressure_Pa", turn.peak(well)),
        ("least_well_pressure_Pa", -turn.peak(-well)),
        ("peak_cavity_pressure_Pa", turn.peak(turn.cavity_pressures())),
        ("peak_cam_force_N", turn.peak(turn.cam_forces())),
        ("bulk_limit_s", pump.bulk_limit()),
        ("solid_fraction_at_full", max(
            0.0, 1.0 - pump.specific_enthalpy(at_full[6], at_full[8]) / pump.e_m)),
        ("air_left_at_full_kg", at_full[7]),
        ("trapped_air_fraction_at_end", 1.0 - pump.metal_in_mould(turn.s[-1, 6]) / pump.volume),
    ]
    if pump.m.latch_set:
        trip = turn.first("latch lets go")[1]
        out.append(("spring_force_at_trip_N", pump.spring_force(trip[0], trip[2])))
    strike = next((s for n, t, s in turn.events if n == "shoulder strikes" and t > 0.0), None)
    if strike is not None:
        out.append(("first_strike_speed_m_s", strike[3] - strike[1]))
    return out


def write_trace(path, what, machine):
    """Solve `machine`, write its trace to `path`, and print how far the other solver differs."""
    fine = fine_turn(machine)
    times = trace_times(fine)
    turn, other = Turn(machine, times), Turn(machine, times, leg_dop853)
    loose = Turn(machine, times, rtol=RTOL_LOOSE)
    span = np.abs(turn.s).max(axis=0)
    for name, run in (("DOP853", other), ("loose", loose)):
        late = max(abs(a[1] - b[1]) for a, b in zip(run.events, turn.events))
        worst = np.abs(run.s - turn.s).max(axis=0) / np.where(span > 0.0, span, 1.0)
        print(f"{path.name}: {name} differs by at most, relative to the largest value: "
              + ", ".join(f"{k} {v:.1e}" for k, v in zip(STATE, worst))
              + f"; same events {[e[0] for e in run.events] == [e[0] for e in turn.events]},"
              + f" times within {late:.1e} s", flush=True)
    pump = turn.pump
    lines = [
        f"# {what}", f"# {VERSIONS}", f"# {TOLERANCES}",
        "# pressures gauge; rod_lift_m is x, which is rest_deflection at rest; piston travel is"
        " lever_ratio times rod_lift_m",
    ]
    if turn.end < pump.turn:
        lines.append("# ends as the cam begins its return, in which metal that bears any pull would"
                     " hold the piston back with some 30 MPa of tension")
    lines += [f"# {k} = {v!r}" for k, v in asdict(machine).items()]
    if machine.vent_kind == "slit":
        lines.append(f"# air_viscosity_pa_s = {air_viscosity(machine.air_temperature_k):.9g}")
    lines += [f"# rest_deflection_m = {pump.x_rest:.9g}", f"# cavity_volume_m3 = {pump.volume:.9g}",
              f"# start_air_mass_kg = {pump.ma0:.9g}", f"# moving_mass_kg = {pump.rod_mass:.9g}"]
    lines += [f"# event {name} = {t:.12g}" for name, t, _ in turn.events]
    lines += [f"# result {name} = {value:.9g}" for name, value in results(fine)]
    lines.append("time_s,shaft_angle_deg,block_lift_m,rod_lift_m,rod_speed_m_s,well_pressure_Pa,"
                 "flow_m3_s,metal_past_nozzle_m3,air_mass_kg,heat_J,cavity_pressure_Pa")
    for t, s, p, p_cav in zip(turn.t, turn.s, turn.well_pressures(), turn.cavity_pressures()):
        heat = pump.e_in * machine.metal_density_kg_m3 * pump.metal_in_mould(s[6]) - s[8]
        row = (t, pump.omega * t, s[0], s[2], s[3], p, s[5], s[6], s[7], heat, p_cav)
        lines.append(",".join(f"{v:.9g}" for v in row))
    path.write_text("\n".join(lines) + "\n")
    print(f"  {path.name}: fill {1e3 * fine.fill_time():.6f} ms, {path.stat().st_size} bytes,"
          f" {len(turn.t)} rows", flush=True)


def main():
    """Write the table; unless told `--table`, write the traces too."""
    write_table()
    if "--table" in sys.argv[1:]:
        return
    scenarios = {
        "12pt_60": ("invented working set, 12 pt square, pace 60", lambda s: square(12, 60, s)),
        "24pt_40": ("invented working set, 24 pt square, pace 40", lambda s: square(24, 40, s)),
        "variant": ("second invented machine, 36 pt body, 20 pt set, pace 20", variant),
    }
    wanted = [(name, latch, "parts") for name in scenarios for latch in ("aside", "set")]
    wanted += [(name, "set", "holds") for name in ("12pt_60", "24pt_40")]
    for name, latch, suction in wanted:
        what, build = scenarios[name]
        write_trace(HERE / f"reference_traces_{name}_{latch}_{suction}.csv",
                    f"{what}, latch {latch}, reading: {suction}",
                    replace(build(latch == "set"), suction=suction))


if __name__ == "__main__":
    main()
