"""Equations of one turn of the pump, written apart from the Rust program.

The state is y, y', x, x', sigma, Q, V_n, m_a, d, U (see `STATE`). sigma is the volume pressed into
the well since its inlet closed, p = (beta/V_well) sigma; it goes on counting while the metal has
parted, when p stays at zero absolute. d is what each kilogram of the metal in the mould has given
up: its specific enthalpy is e = e_in - d and H = rho V_f e. From H' = rho Q e_in - (heat to the
walls) for metal that comes in and H' = rho Q e - (heat to the walls) for metal that leaves,

    d' = (heat to the walls)/(rho V_f) - max(Q, 0) d/V_f,

whose terms stay finite as the mould begins to fill (d is nought there) and as the last metal leaves.
What goes to and fro at the entry of a full mould is one and the same metal, so that the last term
falls away there. U is the heat the walls have taken up in all, which steers nothing.
Everything is SI; pressures are gauge unless a name says otherwise.

The right-hand side is smooth within a `Mode`; `guards` names the crossings that end a mode and
`switch` makes the next one. `reference_turn.py` integrates it with two unrelated solvers.
"""

import math
from dataclasses import replace

from scipy.interpolate import PchipInterpolator

from machine import Mode

STATE = ("y", "yd", "x", "xd", "sigma", "q", "vn", "ma", "d", "u")
GAMMA = 1.4  # ratio of specific heats of air
R_AIR = 287.05  # J/(kg K)
P_ATM = 101325.0  # Pa
CRITICAL_RATIO = (2.0 / (GAMMA + 1.0)) ** (GAMMA / (GAMMA - 1.0))
# Relative pressure drop (about 1 Pa) below which the vent law is rounded off. Without it the flow
# has an infinite slope at equal pressures.
VENT_ROUNDING = 1e-5


def cam_shape(law, u):
    """Normalised lift s(u) and slope ds/du of a rise."""
    if law == "cycloidal":
        a = 2.0 * math.pi * u
        return u - math.sin(a) / (2.0 * math.pi), 1.0 - math.cos(a)
    if law == "simple harmonic":
        a = math.pi * u
        return 0.5 * (1.0 - math.cos(a)), 0.5 * math.pi * math.sin(a)
    if law == "3-4-5 polynomial":
        return u**3 * (10.0 - 15.0 * u + 6.0 * u * u), 30.0 * u * u * (1.0 - u) ** 2
    raise ValueError(f"no such cam law: {law}")


def friction_factor(re):
    """Darcy friction factor of a smooth pipe, all regimes (Churchill 1977)."""
    if re < 1.0:
        return 64.0 / re  # equal to the full formula to rounding, without its overflow
    a = (2.457 * 0.9 * (math.log(re) - math.log(7.0))) ** 16
    b = (37530.0 / re) ** 16
    return 8.0 * ((8.0 / re) ** 12 + (a + b) ** -1.5) ** (1.0 / 12.0)


def nozzle_air_flow(c_area, p_up, p_down, temperature):
    """Isentropic mass flow kg/s from p_up to p_down (absolute), choked below the critical ratio.

    Multiplied by sqrt(D/(D + VENT_ROUNDING)), D = (p_up - p_down)/p_up.
    """
    drop = (p_up - p_down) / p_up
    log_r = math.log1p(-min(drop, 1.0 - CRITICAL_RATIO))
    # r^(2/gamma) - r^((gamma+1)/gamma), written so as not to cancel near r = 1.
    g = -math.exp(2.0 / GAMMA * log_r) * math.expm1((GAMMA - 1.0) / GAMMA * log_r)
    root = math.sqrt(g * drop / (drop + VENT_ROUNDING))
    return c_area * p_up * math.sqrt(2.0 * GAMMA / ((GAMMA - 1.0) * R_AIR * temperature)) * root


def air_viscosity(temperature):
    """Dynamic viscosity of air, Pa s, at a temperature in K (Sutherland's law)."""
    return 1.458e-6 * temperature**1.5 / (temperature + 110.4)


class Reading:
    """A cam known by readings: lift by shaft angle (deg), nought at the start of the turn.

    SciPy's PCHIP through the readings, repeated a turn before and a turn after.
    """

    def __init__(self, text):
        """Join the readings stated as `angle:lift` in deg and mm."""
        points = [tuple(map(float, pair.split(":"))) for pair in text.split()]
        angles = [a + turn for turn in (-360.0, 0.0, 360.0) for a, _ in points]
        curve = PchipInterpolator(angles, [1e-3 * lift for _, lift in points] * 3)
        self.start = float(curve(0.0))
        self.edges = sorted({0.0, 360.0} | {a for a, _ in points if 0.0 < a < 360.0})
        self.pieces = []
        for a, b in zip(self.edges, self.edges[1:]):
            i = int(curve.x.searchsorted(0.5 * (a + b))) - 1
            self.pieces.append((float(curve.x[i]), *(float(c) for c in curve.c[:, i])))

    def at(self, theta, piece):
        """Lift and its slope by angle on the stated piece."""
        origin, c3, c2, c1, c0 = self.pieces[piece]
        d = theta - origin
        return (c0 - self.start + d * (c1 + d * (c2 + d * c3)),
                c1 + d * (2.0 * c2 + d * 3.0 * c3))


class Spring:
    """One helical spring of the nest."""

    def __init__(self, rate, preload, free, solid, bound_rate):
        """Work out its squeeze at rest and the room left until its coils touch."""
        self.rate, self.bound_rate, self.rest = rate, bound_rate, preload / rate
        self.room = free - solid - self.rest if free > 0.0 else math.inf

    def force(self, closing, touching):
        """Force with the abutment `closing` nearer to the nut than at rest."""
        bound = self.bound_rate * (closing - self.room) if touching else 0.0
        return self.rate * max(0.0, self.rest + closing) + bound


class Pump:
    """A `Machine` with its constants worked out, its right-hand side, guards and mode changes."""

    def __init__(self, m):
        """Work out the constants of machine `m`."""
        self.m = m
        self.omega = 6.0 * m.pace_per_min  # deg/s
        self.turn = 360.0 / self.omega
        if m.cam_law == "measured":
            self.reading = Reading(m.cam_readings)
            self.legs = [(f"piece {i}", edge / self.omega)
                         for i, edge in enumerate(self.reading.edges[1:])]
        else:
            edges = [m.rise_start_deg]
            for width in (m.rise_deg, m.dwell_deg, m.return_deg):
                edges.append(edges[-1] + width)
            self.cam_times = [edge / self.omega for edge in edges]
            names = ("before", "rise", "dwell", "return", "after")
            self.legs = list(zip(names, [*self.cam_times, self.turn]))
        self.one_way = m.closure == "one-way"
        self.springs = [Spring(m.spring_rate_n_m, m.preload_n, m.spring_free_m, m.spring_solid_m,
                               m.spring_bound_rate_n_m)]
        if m.inner_spring_rate_n_m > 0.0:
            self.springs.append(Spring(
                m.inner_spring_rate_n_m, m.inner_preload_n, m.inner_spring_free_m,
                m.inner_spring_solid_m, m.inner_spring_bound_rate_n_m))
        # The train yields under the return spring, F_r0 + k_r y = -k_f y; the stop yields and the
        # springs with it: k_st d = sum of k (s - d).
        self.y_rest = (-m.return_force_n / (m.train_stiffness_n_m + m.return_rate_n_m)
                       if self.one_way else 0.0)
        self.x_rest = self.y_rest + sum(s.rate * s.rest for s in self.springs) / (
            m.stop_stiffness_n_m + sum(s.rate for s in self.springs))
        self.rod_mass = (m.rod_mass_kg + (m.spring_mass_kg + m.inner_spring_mass_kg) / 3.0
                         + m.lever_inertia_kg_m2 / m.lever_radius_m**2
                         + m.lever_ratio**2 * m.piston_mass_kg)
        piston_area = math.pi * m.piston_diameter_m**2 / 4.0
        self.ia = m.lever_ratio * piston_area
        self.leak = (math.pi * m.piston_diameter_m * m.piston_clearance_m**3
                     / (12.0 * m.metal_viscosity_pa_s * m.piston_length_m))
        self.well_rate = m.metal_bulk_modulus_pa / m.well_volume_m3
        self.sigma_floor = -P_ATM / self.well_rate
        nozzle_area = math.pi * m.nozzle_diameter_m**2 / 4.0
        channel_area = math.pi * m.channel_diameter_m**2 / 4.0
        self.inertance = m.metal_density_kg_m3 * (
            m.nozzle_length_m / nozzle_area + m.channel_length_m / channel_area)
        self.head = 0.5 * m.metal_density_kg_m3 / nozzle_area**2
        self.channel_head = 0.5 * m.metal_density_kg_m3 / channel_area**2
        self.reynolds, self.channel_reynolds = (
            4.0 * m.metal_density_kg_m3 / (math.pi * bore * m.metal_viscosity_pa_s)
            for bore in (m.nozzle_diameter_m, m.channel_diameter_m))
        self.volume = m.body_m * m.set_m * m.depth_m
        wetted = 2.0 * m.body_m * m.set_m + 2.0 * (m.body_m + m.set_m) * m.depth_m
        within = min(m.body_m, m.set_m) / (6.0 * m.solid_conductivity_w_m_k)
        # W/K of a cavity wetted all over, before and after it is packed.
        self.cooling, self.packed_cooling = (
            wetted / (1.0 / film + within) for film in (m.film_w_m2_k, m.packed_film_w_m2_k))
        self.ma0 = P_ATM * self.volume / (R_AIR * m.air_temperature_k)
        self.slit = (m.slit_width_m * m.slit_thickness_m**3 / (
            24.0 * air_viscosity(m.air_temperature_k) * R_AIR * m.air_temperature_k
            * m.slit_length_m)
            if m.vent_kind == "slit" else None)
        c_p = m.specific_heat_j_kg_k
        self.e_m = m.latent_heat_j_kg + c_p * (m.liquidus_c - m.solidus_c)
        self.e_in = self.e_m + c_p * (m.pot_temperature_c - m.liquidus_c)

    def start(self):
        """State and mode at the start of a turn: all at rest, the stop carrying the preload."""
        mode = Mode(latch="holding" if self.m.latch_set else "aside")
        return [self.y_rest, 0.0, self.x_rest, 0.0, 0.0, 0.0, 0.0, self.ma0, 0.0, 0.0], mode

    def cam(self, t, phase):
        """Lift and lift speed the cam asks of the block at time t in the stated phase."""
        if self.m.cam_law == "measured":
            lift, slope = self.reading.at(self.omega * t, int(phase.split()[1]))
            return lift, slope * self.omega
        lift, (t0, t1, t2, t3) = self.m.cam_lift_m, self.cam_times
        if phase == "rise":
            s, ds = cam_shape(self.m.cam_law, (t - t0) / (t1 - t0))
            return lift * s, lift * ds / (t1 - t0)
        if phase == "return":
            s, ds = cam_shape(self.m.cam_law, (t - t2) / (t3 - t2))
            return lift * (1.0 - s), -lift * ds / (t3 - t2)
        return (lift, 0.0) if phase == "dwell" else (0.0, 0.0)

    def well_pressure(self, sigma, mode):
        """Gauge pressure of the well; at zero absolute while the metal has parted."""
        return -P_ATM if mode.inlet == "parted" else self.well_rate * sigma

    def metal_in_mould(self, vn):
        """Metal volume past the mould entry, V_f."""
        return max(vn - self.m.prime_volume_m3, 0.0)

    def temperature(self, e, metal):
        """Metal temperature in degC on the stated branch of T(e)."""
        m = self.m
        if metal == "liquid":
            return m.liquidus_c + (e - self.e_m) / m.specific_heat_j_kg_k
        if metal == "mushy":
            return m.solidus_c + e / self.e_m * (m.liquidus_c - m.solidus_c)
        return m.solidus_c + e / m.specific_heat_j_kg_k

    def air_pressure(self, vn, ma):
        """Absolute pressure of the air in the cavity (isothermal)."""
        va = max(self.volume - self.metal_in_mould(vn), 0.001 * self.volume)
        return P_ATM * (ma / self.ma0) * (self.volume / va)

    def cavity_pressure(self, vn, ma, mode):
        """Gauge pressure against the metal front: the air's, and that of the metal once full."""
        p = self.air_pressure(vn, ma) - P_ATM
        if mode.mould == "full":
            over = (self.metal_in_mould(vn) - 0.98 * self.volume) / self.volume
            p += self.m.metal_bulk_modulus_pa * max(over, 0.0)
        return p

    def vent_flow(self, pa):
        """Air mass flow kg/s out of the cavity at absolute pressure pa (negative: inwards)."""
        m = self.m
        c_area = m.vent_coefficient * m.vent_area_m2
        up, down = max(pa, P_ATM), min(pa, P_ATM)
        flow = nozzle_air_flow(c_area, up, down, m.air_temperature_k)
        if self.slit is not None:
            flow = min(flow, self.slit * (up * up - down * down))
        return math.copysign(flow, pa - P_ATM)

    def cam_force(self, t, y, yd, mode):
        """Force of the lever train on the block, without the limit `Mode.follower` looks after."""
        yc, ycd = self.cam(t, mode.cam)
        return self.m.train_stiffness_n_m * (yc - y) + self.m.train_damping_n_s_m * (ycd - yd)

    def contact_force(self, t, y, yd, mode):
        """Force of the cam on the block as it is: nought where the follower does not bear."""
        return self.cam_force(t, y, yd, mode) if mode.follower == "bearing" else 0.0

    def spring_force(self, y, x, mode):
        """Force of the springs between block and rod."""
        return sum(spring.force(y - x, touch) for spring, touch in zip(self.springs, mode.coils))

    def wall_flow(self, d, mode):
        """Heat flow into the walls, W for each cubic metre of metal in the mould."""
        temp = self.temperature(self.e_in - d, mode.metal)
        cooling = self.packed_cooling if mode.mould == "full" else self.cooling
        return cooling * (temp - self.m.mould_temperature_c) / self.volume

    def friction_loss(self, q):
        """Pressure lost in nozzle and channel at the flow q."""
        loss = self.head * (1.0 + self.m.nozzle_loss)
        m, size = self.m, abs(q)
        if size * self.reynolds > 1e-12:
            loss += (self.head * friction_factor(self.reynolds * size)
                     * m.nozzle_length_m / m.nozzle_diameter_m)
            loss += (self.channel_head * friction_factor(self.channel_reynolds * size)
                     * m.channel_length_m / m.channel_diameter_m)
        return loss * q * size

    def stop_force(self, y, yd, x, xd):
        """k_st d + c_st d' for d = x - y, without the limits that `Mode.stop` looks after."""
        return (self.m.stop_stiffness_n_m * (x - y)
                + self.m.stop_damping_n_s_m * (xd - yd))

    def rates(self, t, state, mode):
        """Time derivatives of the state in a mode."""
        m = self.m
        y, yd, x, xd, sigma, q, vn, ma, d, _ = state
        p = self.well_pressure(sigma, mode)
        f_s = self.spring_force(y, x, mode)
        f_stop = self.stop_force(y, yd, x, xd) if mode.stop == "bearing" else 0.0
        f_r = m.return_force_n + m.return_rate_n_m * y if self.one_way else 0.0
        ydd = (self.contact_force(t, y, yd, mode) - f_s + f_stop - f_r) / m.block_mass_kg
        held = mode.latch in ("holding", "spread")
        if held:
            xdd = 0.0
        else:
            xdd = (f_s - f_stop - m.coulomb_friction_n * math.tanh(xd / m.friction_speed_m_s)
                   - m.viscous_friction_n_s_m * xd - self.ia * p) / self.rod_mass
        sigmad = qd = 0.0
        if mode.inlet != "open":
            sigmad = self.ia * xd - q - self.leak * p
        if mode.inlet != "open" and not mode.sealed:
            back = self.cavity_pressure(vn, ma, mode) + self.friction_loss(q)
            qd = (p - back) / self.inertance
        mad = 0.0 if mode.mould == "full" else -self.vent_flow(self.air_pressure(vn, ma))
        dd = ud = 0.0
        if mode.mould != "empty":
            vf, flow = self.metal_in_mould(vn), self.wall_flow(d, mode)
            ud = flow * vf
            dd = flow / m.metal_density_kg_m3
            if q > 0.0 and mode.mould != "full":
                # At the very start d = d' t and V_f = Q t, so that fresh metal takes half.
                dd -= q * d / vf if vf > 0.0 else 0.5 * dd
        return [yd, ydd, 0.0 if held else xd, xdd, sigmad, qd, q, mad, dd, ud]

    def guards(self, mode):
        """(name, signed function of (t, state), direction) of every crossing that ends the mode."""
        m, out = self.m, []
        if mode.latch == "holding":
            out.append(("prongs spread", lambda t, s: s[0] - m.trip_lift_m, 1))
        elif mode.latch == "spread":
            out.append(("latch lets go", lambda t, s: t - mode.release_at, 1))
        if self.one_way:
            push = lambda t, s: self.cam_force(t, s[0], s[1], mode)  # noqa: E731
            squeeze = lambda t, s: self.cam(t, mode.cam)[0] - s[0]  # noqa: E731
            if mode.follower == "bearing":
                out.append(("follower leaves", push, -1))
            elif mode.follower == "apart":
                out.append(("follower returns", squeeze, 1))
            else:
                out.append(("follower force back", push, 1))
                out.append(("follower clear", squeeze, -1))
        for i, spring in enumerate(self.springs):
            if spring.room < math.inf:
                touch = lambda t, s, room=spring.room: s[0] - s[2] - room  # noqa: E731
                out.append((f"coils part {i}", touch, -1) if mode.coils[i]
                           else (f"coils touch {i}", touch, 1))
        if mode.stop == "apart":
            out.append(("shoulder strikes", lambda t, s: s[2] - s[0], 1))
        else:
            force = lambda t, s: self.stop_force(s[0], s[1], s[2], s[3])  # noqa: E731
            if mode.stop == "bearing":
                out.append(("stop force gone", force, -1))
            else:
                out.append(("stop force back", force, 1))
                out.append(("shoulder leaves", lambda t, s: s[2] - s[0], -1))
        beyond = lambda t, s: m.lever_ratio * s[2] - m.port_travel_m  # noqa: E731
        pressed = lambda t, s: s[4] - self.sigma_floor  # noqa: E731
        if mode.inlet == "open":
            out.append(("port closes", beyond, 1))
        else:
            out.append(("port opens", beyond, -1))
            if mode.inlet == "parted":
                out.append(("void closes", pressed, 1))
            elif m.suction == "parts":
                out.append(("metal parts", pressed, -1))
        if mode.inlet != "open" and not mode.sealed:  # else no metal moves
            level = m.prime_volume_m3 + 0.98 * self.volume
            entered = lambda t, s: s[6] - m.prime_volume_m3  # noqa: E731
            over = lambda t, s: s[6] - level  # noqa: E731
            if mode.mould == "empty":
                out.append(("mould entry reached", entered, 1))
            elif mode.mould == "filling":
                out.append(("mould emptied", entered, -1))
                out.append(("full", over, 1))
            else:
                out.append(("vents reopen", over, -1))
        if mode.mould != "empty":
            e = lambda s: self.e_in - s[8]  # noqa: E731
            if mode.metal == "liquid":
                out.append(("liquidus passed", lambda t, s: e(s) - self.e_m, -1))
            elif mode.metal == "mushy":
                out.append(("liquidus regained", lambda t, s: e(s) - self.e_m, 1))
                out.append(("solidus passed", lambda t, s: e(s), -1))
            if not mode.sealed:
                e_seal = (1.0 - m.sealing_fraction) * self.e_m
                out.append(("entry sealed", lambda t, s: e(s) - e_seal, -1))
        return out

    def switch(self, name, t, state, mode):
        """State and mode after the named crossing at time t."""
        s = list(state)
        if name in ("port closes", "port opens"):
            s[4], s[5] = 0.0, 0.0
            mode = replace(mode, inlet="closed" if name == "port closes" else "open")
        elif name in ("metal parts", "void closes"):
            s[4] = self.sigma_floor
            mode = replace(mode, inlet="parted" if name == "metal parts" else "closed")
        elif name == "prongs spread":
            mode = replace(mode, latch="spread", release_at=t + self.m.release_delay_s)
        elif name.startswith("coils"):
            _, what, which = name.split()
            coils = list(mode.coils)
            coils[int(which)] = what == "touch"
            mode = replace(mode, coils=tuple(coils))
        elif name == "mould emptied":
            s[8], mode = 0.0, replace(mode, mould="empty", metal="liquid")
        elif name == "entry sealed":
            s[5], mode = 0.0, replace(mode, sealed=True)
        else:
            field, value = {
                "latch lets go": ("latch", "let_go"), "shoulder strikes": ("stop", "bearing"),
                "stop force back": ("stop", "bearing"), "stop force gone": ("stop", "overlapping"),
                "shoulder leaves": ("stop", "apart"), "follower leaves": ("follower", "overlapping"),
                "follower clear": ("follower", "apart"),
                "follower returns": ("follower", "bearing"),
                "follower force back": ("follower", "bearing"),
                "mould entry reached": ("mould", "filling"), "full": ("mould", "full"),
                "vents reopen": ("mould", "filling"), "liquidus passed": ("metal", "mushy"),
                "liquidus regained": ("metal", "liquid"), "solidus passed": ("metal", "solid"),
            }[name]
            mode = replace(mode, **{field: value})
        return s, mode

    def at_once(self, mode, state):
        """What follows a crossing in no time: a latch without delay, a mould without priming."""
        if mode.latch == "spread" and self.m.release_delay_s == 0.0:
            return "latch lets go"
        if (mode.mould == "empty" and mode.inlet == "closed"
                and state[6] == self.m.prime_volume_m3 == 0.0):
            return "mould entry reached"
        return None

    def bulk_limit(self):
        """Time for a full cavity at pot temperature to reach the sealing fraction, closed form.

        With the heat flow of a mould that fills, since it is held against the fill time.
        """
        m = self.m
        mass = m.metal_density_kg_m3 * self.volume
        tw, f = m.mould_temperature_c, m.sealing_fraction
        t_seal = m.solidus_c + (1.0 - f) * (m.liquidus_c - m.solidus_c)
        superheat = m.specific_heat_j_kg_k * math.log(
            (m.pot_temperature_c - tw) / (m.liquidus_c - tw))
        mushy = (self.e_m / (m.liquidus_c - m.solidus_c)
                 * math.log((m.liquidus_c - tw) / (t_seal - tw)))
        return mass / self.cooling * (superheat + mushy)
