"""Parameters of a machine, and the modes that one turn of it passes through.

`Machine.suction` says what the metal in the well does when the piston draws on it:
- "parts": liquid metal bears no pull, so at zero absolute pressure it parts. The well then holds a
  void at that pressure until the volume pressed into the well is back to what it was;
- "holds": the metal bears any pull, and the well pressure has no floor.

`Machine.cam_law` "measured" takes the lift from `cam_readings`; any other law leaves them empty.
A spring's free and solid length are nought where its coils are taken never to touch; a second spring
inside the first is there where its rate is not nought.
"""

import math
from dataclasses import dataclass

POINT = 0.013837 * 0.0254  # m
INCH = 0.0254  # m


@dataclass(frozen=True)
class Machine:
    """Parameters in SI (temperatures degC, angles deg); the invented set by default."""

    pace_per_min: float = 40.0
    cam_law: str = "cycloidal"
    cam_readings: str = ""  # angle in deg:lift in mm, of a measured cam
    cam_lift_m: float = 0.030
    rise_start_deg: float = 0.0
    rise_deg: float = 80.0
    dwell_deg: float = 100.0
    return_deg: float = 90.0
    block_mass_kg: float = 2.5
    train_stiffness_n_m: float = 4e6
    train_damping_n_s_m: float = 1500.0
    closure: str = "two-way"  # or "one-way": the cam only pushes, against a return spring
    return_force_n: float = 0.0
    return_rate_n_m: float = 0.0
    rod_mass_kg: float = 1.2
    spring_mass_kg: float = 0.35
    spring_rate_n_m: float = 9000.0
    preload_n: float = 350.0
    spring_free_m: float = 0.0
    spring_solid_m: float = 0.0
    spring_bound_rate_n_m: float = 0.0
    inner_spring_mass_kg: float = 0.0
    inner_spring_rate_n_m: float = 0.0
    inner_preload_n: float = 0.0
    inner_spring_free_m: float = 0.0
    inner_spring_solid_m: float = 0.0
    inner_spring_bound_rate_n_m: float = 0.0
    stop_stiffness_n_m: float = 2e7
    stop_damping_n_s_m: float = 3000.0
    lever_ratio: float = 1.0
    lever_inertia_kg_m2: float = 0.0
    lever_radius_m: float = 1.0
    piston_mass_kg: float = 0.8
    trip_lift_m: float = 0.014
    release_delay_s: float = 0.0
    latch_set: bool = False
    piston_diameter_m: float = 0.0175
    piston_clearance_m: float = 25e-6
    piston_length_m: float = 0.040
    coulomb_friction_n: float = 20.0
    viscous_friction_n_s_m: float = 30.0
    friction_speed_m_s: float = 0.002
    port_travel_m: float = 0.003
    metal_density_kg_m3: float = 10200.0
    metal_viscosity_pa_s: float = 2.2e-3
    metal_bulk_modulus_pa: float = 0.4e9
    well_volume_m3: float = 12e-6
    nozzle_diameter_m: float = 0.0026
    nozzle_length_m: float = 0.020
    nozzle_loss: float = 1.0
    channel_diameter_m: float = 0.008
    channel_length_m: float = 0.120
    prime_volume_m3: float = 0.15e-6
    body_m: float = 12 * POINT
    set_m: float = 12 * POINT
    depth_m: float = 0.92 * INCH
    vent_kind: str = "area"  # or "slit": the lesser of nozzle and viscous flow, area = slit section
    vent_area_m2: float = 0.35e-6
    vent_coefficient: float = 0.6
    slit_thickness_m: float = 0.0
    slit_width_m: float = 0.0
    slit_length_m: float = 0.0
    air_temperature_k: float = 373.0
    pot_temperature_c: float = 350.0
    mould_temperature_c: float = 60.0
    film_w_m2_k: float = 12e3
    packed_film_w_m2_k: float = 12e3  # once the mould is full
    liquidus_c: float = 270.0
    solidus_c: float = 240.0
    latent_heat_j_kg: float = 50e3
    specific_heat_j_kg_k: float = 150.0
    solid_conductivity_w_m_k: float = 20.0
    sealing_fraction: float = 0.35
    suction: str = "parts"  # or "holds"


@dataclass(frozen=True)
class Mode:
    """Which branch of each piece of the right-hand side is in force."""

    cam: str = "before"  # before, rise, dwell, return, after; of a measured cam "piece n"
    follower: str = "bearing"  # of one-way closure: bearing, apart, overlapping (as the stop)
    coils: tuple = (False, False)  # whether those of each spring touch
    latch: str = "aside"  # aside, holding, spread (still holding for its delay), let_go
    release_at: float = math.inf  # s, when a spread latch lets go
    stop: str = "bearing"  # bearing, apart, overlapping (still overlapping, force already zero)
    inlet: str = "open"  # open, closed, parted (closed, with a void in the well)
    mould: str = "empty"  # empty, filling, full (vents shut)
    metal: str = "liquid"  # liquid, mushy, solid
    sealed: bool = False
