/* One turn of the pump, its plain equations in C, integrated by SUNDIALS: the peer that the solver of sim/core is raced against.
 *
 * Written apart from it, after tests/reference/pump_model.py: the same state but for the heat that the walls have taken up, the same
 * modes, guards and resets, nothing damped that the machine does not damp. The machine is the tests' invented working set.
 *
 *     turn METHOD POINTS PACE LATCH RTOL REPEATS    (METHOD: bdf, adams, erk; LATCH: 0 aside, 1 set)
 *
 * prints the fill time, s, the greatest pressure of well and of mould, Pa, and the least processor time of a turn, s. `rates` is called
 * from Python too (race.py). SI throughout; pressures are gauge.
 */
#include <arkode/arkode_erkstep.h>
#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <time.h>

#define PI 3.14159265358979323846
enum { Y, YD, X, XD, SIGMA, Q, VN, MA, D, SIZE };
static const double GAMMA = 1.4, R_AIR = 287.05, P_ATM = 101325.0, ROUNDING = 1e-5;
static const double SCALE[SIZE] = {1e-2, 1.0, 1e-2, 1.0, 3e-8, 1e-4, 1e-6, 1e-7, 1e4};

enum { BEFORE, RISE, DWELL, RETURN, AFTER };
enum { ASIDE, HOLDING, LET_GO };
enum { BEARING, APART, OVERLAPPING };
enum { OPEN, CLOSED, PARTED };
enum { EMPTY, FILLING, FULL };
enum { LIQUID, MUSHY, SOLID };

typedef struct { int cam, latch, stop, inlet, mould, metal, sealed; } Mode;

/* The working set, and what follows from it. */
typedef struct {
    double cam_times[4], turn, x_rest, rod_mass, ia, leak, well_rate, floor, inertance, head, channel_head, reynolds,
        channel_reynolds, volume, cooling, ma0, e_m, e_in;
    int latch_set;
} Pump;

static const double LIFT = 0.030, BLOCK = 2.5, TRAIN_K = 4e6, TRAIN_C = 1500.0, SPRING_K = 9000.0, PRELOAD = 350.0, STOP_K = 2e7,
                    STOP_C = 3000.0, TRIP = 0.014, FRICTION = 20.0, DRAG = 30.0, FRICTION_SPEED = 0.002, PORT = 0.003, RHO = 10200.0,
                    MU = 2.2e-3, BULK = 0.4e9, NOZZLE_D = 0.0026, NOZZLE_L = 0.020, LOSS = 1.0, CHANNEL_D = 0.008, CHANNEL_L = 0.120,
                    PRIME = 0.15e-6, VENT_CA = 0.6 * 0.35e-6, AIR_T = 373.0, WALL = 60.0, LIQUIDUS = 270.0, SOLIDUS = 240.0,
                    CP = 150.0, SEAL = 0.35;

void prepare(Pump *m, double points, double pace, int latch_set)
{
    double side = points * 0.013837 * 0.0254, depth = 0.92 * 0.0254, omega = 6.0 * pace, piston = 0.0175, bore = PI * piston * piston / 4.0;
    double edges[4] = {0.0, 80.0, 180.0, 270.0};
    for (int i = 0; i < 4; i++) m->cam_times[i] = edges[i] / omega;
    m->turn = 360.0 / omega;
    m->latch_set = latch_set;
    m->x_rest = PRELOAD / (STOP_K + SPRING_K);
    m->rod_mass = 1.2 + 0.35 / 3.0 + 0.8;
    m->ia = bore;
    m->leak = PI * piston * pow(25e-6, 3) / (12.0 * MU * 0.040);
    m->well_rate = BULK / 12e-6;
    m->floor = -P_ATM / m->well_rate;
    double nozzle = PI * NOZZLE_D * NOZZLE_D / 4.0, channel = PI * CHANNEL_D * CHANNEL_D / 4.0;
    m->inertance = RHO * (NOZZLE_L / nozzle + CHANNEL_L / channel);
    m->head = 0.5 * RHO / (nozzle * nozzle);
    m->channel_head = 0.5 * RHO / (channel * channel);
    m->reynolds = 4.0 * RHO / (PI * NOZZLE_D * MU);
    m->channel_reynolds = 4.0 * RHO / (PI * CHANNEL_D * MU);
    m->volume = side * side * depth;
    m->cooling = (2.0 * side * side + 4.0 * side * depth) / (1.0 / 12e3 + side / (6.0 * 20.0));
    m->ma0 = P_ATM * m->volume / (R_AIR * AIR_T);
    m->e_m = 50e3 + CP * (LIQUIDUS - SOLIDUS);
    m->e_in = m->e_m + CP * (350.0 - LIQUIDUS);
}

static double friction_factor(double re)
{
    if (re < 1.0) return 64.0 / re;
    double a = pow(2.457 * 0.9 * (log(re) - log(7.0)), 16), b = pow(37530.0 / re, 16);
    return 8.0 * pow(pow(8.0 / re, 12) + pow(a + b, -1.5), 1.0 / 12.0);
}

static double vent_flow(double pa)
{
    double up = fmax(pa, P_ATM), down = fmin(pa, P_ATM), drop = (up - down) / up;
    double critical = pow(2.0 / (GAMMA + 1.0), GAMMA / (GAMMA - 1.0)), log_r = log1p(-fmin(drop, 1.0 - critical));
    double g = -exp(2.0 / GAMMA * log_r) * expm1((GAMMA - 1.0) / GAMMA * log_r);
    double flow = VENT_CA * up * sqrt(2.0 * GAMMA / ((GAMMA - 1.0) * R_AIR * AIR_T)) * sqrt(g * drop / (drop + ROUNDING));
    return copysign(flow, pa - P_ATM);
}

static double metal_in(double vn) { return fmax(vn - PRIME, 0.0); }

static double air_pressure(const Pump *m, const double *s)
{
    double va = fmax(m->volume - metal_in(s[VN]), 0.001 * m->volume);
    return P_ATM * (s[MA] / m->ma0) * (m->volume / va);
}

static double stop_force(const double *s) { return STOP_K * (s[X] - s[Y]) + STOP_C * (s[XD] - s[YD]); }

/* Time derivatives of the state in a mode. */
void rates(double t, const double *s, double *out, const Pump *m, const Mode *mode)
{
    const double *at = m->cam_times;
    double yc = 0.0, ycd = 0.0;
    if (mode->cam == RISE || mode->cam == RETURN) {
        int k = mode->cam == RISE ? 0 : 2;
        double span = at[k + 1] - at[k], a = 2.0 * PI * (t - at[k]) / span, shape = (a - sin(a)) / (2.0 * PI);
        yc = LIFT * (k ? 1.0 - shape : shape);
        ycd = (k ? -LIFT : LIFT) * (1.0 - cos(a)) / span;
    } else if (mode->cam == DWELL) {
        yc = LIFT;
    }
    double p = mode->inlet == PARTED ? -P_ATM : m->well_rate * s[SIGMA];
    double spring = SPRING_K * fmax(0.0, PRELOAD / SPRING_K + s[Y] - s[X]), stop = mode->stop == BEARING ? stop_force(s) : 0.0;
    int held = mode->latch == HOLDING;
    out[Y] = s[YD];
    out[YD] = (TRAIN_K * (yc - s[Y]) + TRAIN_C * (ycd - s[YD]) - spring + stop) / BLOCK;
    out[X] = held ? 0.0 : s[XD];
    out[XD] = held ? 0.0 : (spring - stop - FRICTION * tanh(s[XD] / FRICTION_SPEED) - DRAG * s[XD] - m->ia * p) / m->rod_mass;
    out[SIGMA] = mode->inlet == OPEN ? 0.0 : m->ia * s[XD] - s[Q] - m->leak * p;
    double pa = air_pressure(m, s), q = s[Q], size = fabs(q), vf = metal_in(s[VN]);
    out[Q] = 0.0;
    if (mode->inlet != OPEN && !mode->sealed) {
        double back = pa - P_ATM, loss = m->head * (1.0 + LOSS);
        if (mode->mould == FULL) back += BULK * fmax((vf - 0.98 * m->volume) / m->volume, 0.0);
        if (size * m->reynolds > 1e-12)
            loss += m->head * friction_factor(m->reynolds * size) * NOZZLE_L / NOZZLE_D +
                    m->channel_head * friction_factor(m->channel_reynolds * size) * CHANNEL_L / CHANNEL_D;
        out[Q] = (p - back - loss * q * size) / m->inertance;
    }
    out[VN] = q;
    out[MA] = mode->mould == FULL ? 0.0 : -vent_flow(pa);
    out[D] = 0.0;
    if (mode->mould != EMPTY) {
        double e = m->e_in - s[D];
        double metal = mode->metal == LIQUID  ? LIQUIDUS + (e - m->e_m) / CP
                       : mode->metal == MUSHY ? SOLIDUS + e / m->e_m * (LIQUIDUS - SOLIDUS)
                                              : SOLIDUS + e / CP;
        out[D] = m->cooling * (metal - WALL) / (m->volume * RHO);
        if (q > 0.0 && mode->mould != FULL) out[D] -= vf > 0.0 ? q * s[D] / vf : 0.5 * out[D];
    }
}

/* The crossings that end a mode, each with the direction in which it is crossed. */
enum { SPREAD, STRIKES, STOP_GONE, STOP_BACK, LEAVES, PORT_CLOSES, PORT_OPENS, PARTS, MEETS, ENTERED, EMPTIED, FILLED, REOPENS,
       LIQUIDUS_PASSED, LIQUIDUS_REGAINED, SOLIDUS_PASSED, SEALED };
static const int DIRECTION[] = {1, 1, -1, 1, -1, 1, -1, -1, 1, 1, -1, 1, -1, -1, 1, -1, -1};

typedef struct { Pump pump; Mode mode; int guards[16], count; } Turn;

static double guard(const Pump *m, const double *s, int which)
{
    double e = m->e_in - s[D];
    switch (which) {
    case SPREAD: return s[Y] - TRIP;
    case STRIKES: case LEAVES: return s[X] - s[Y];
    case STOP_GONE: case STOP_BACK: return stop_force(s);
    case PORT_CLOSES: case PORT_OPENS: return s[X] - PORT;
    case PARTS: case MEETS: return s[SIGMA] - m->floor;
    case ENTERED: case EMPTIED: return s[VN] - PRIME;
    case FILLED: case REOPENS: return s[VN] - PRIME - 0.98 * m->volume;
    case LIQUIDUS_PASSED: case LIQUIDUS_REGAINED: return e - m->e_m;
    case SOLIDUS_PASSED: return e;
    default: return e - (1.0 - SEAL) * m->e_m;
    }
}

static void list_guards(Turn *turn)
{
    const Mode *o = &turn->mode;
    int n = 0, *g = turn->guards;
    if (o->latch == HOLDING) g[n++] = SPREAD;
    if (o->stop == APART) g[n++] = STRIKES;
    else if (o->stop == BEARING) g[n++] = STOP_GONE;
    else g[n++] = STOP_BACK, g[n++] = LEAVES;
    if (o->inlet == OPEN) g[n++] = PORT_CLOSES;
    else g[n++] = PORT_OPENS, g[n++] = o->inlet == PARTED ? MEETS : PARTS;
    if (o->inlet != OPEN && !o->sealed) {
        if (o->mould == EMPTY) g[n++] = ENTERED;
        else if (o->mould == FILLING) g[n++] = EMPTIED, g[n++] = FILLED;
        else g[n++] = REOPENS;
    }
    if (o->mould != EMPTY) {
        if (o->metal == LIQUID) g[n++] = LIQUIDUS_PASSED;
        else if (o->metal == MUSHY) g[n++] = LIQUIDUS_REGAINED, g[n++] = SOLIDUS_PASSED;
        if (!o->sealed) g[n++] = SEALED;
    }
    turn->count = n;
}

static void happen(Turn *turn, double *s, int which)
{
    Mode *o = &turn->mode;
    switch (which) {
    case SPREAD: o->latch = LET_GO; break;
    case STRIKES: case STOP_BACK: o->stop = BEARING; break;
    case STOP_GONE: o->stop = OVERLAPPING; break;
    case LEAVES: o->stop = APART; break;
    case PORT_CLOSES: case PORT_OPENS: s[SIGMA] = s[Q] = 0.0; o->inlet = which == PORT_CLOSES ? CLOSED : OPEN; break;
    case PARTS: case MEETS: s[SIGMA] = turn->pump.floor; o->inlet = which == PARTS ? PARTED : CLOSED; break;
    case ENTERED: case REOPENS: o->mould = FILLING; break;
    case EMPTIED: s[D] = 0.0; o->mould = EMPTY; o->metal = LIQUID; break;
    case FILLED: o->mould = FULL; break;
    case LIQUIDUS_PASSED: o->metal = MUSHY; break;
    case LIQUIDUS_REGAINED: o->metal = LIQUID; break;
    case SOLIDUS_PASSED: o->metal = SOLID; break;
    default: s[Q] = 0.0; o->sealed = 1;
    }
}

static int right_hand_side(double t, N_Vector s, N_Vector out, void *data)
{
    Turn *turn = data;
    rates(t, N_VGetArrayPointer(s), N_VGetArrayPointer(out), &turn->pump, &turn->mode);
    return 0;
}

static int roots(double t, N_Vector s, double *out, void *data)
{
    (void)t;
    Turn *turn = data;
    for (int i = 0; i < turn->count; i++) out[i] = guard(&turn->pump, N_VGetArrayPointer(s), turn->guards[i]);
    return 0;
}

/* The integrators, behind one handle: CVODE's two multistep methods and ARKODE's explicit pair of order 5. */
typedef struct { void *memory; int explicit_pair; } Solver;

static void begin_leg(Solver *solver, Turn *turn, double t, N_Vector s, double end)
{
    int directions[16];
    list_guards(turn);
    for (int i = 0; i < turn->count; i++) directions[i] = DIRECTION[turn->guards[i]];
    if (solver->explicit_pair) {
        ERKStepReInit(solver->memory, right_hand_side, t, s);
        ERKStepRootInit(solver->memory, turn->count, roots);
        ERKStepSetRootDirection(solver->memory, directions);
        ERKStepSetNoInactiveRootWarn(solver->memory);
        ERKStepSetStopTime(solver->memory, end);
    } else {
        CVodeReInit(solver->memory, t, s);
        CVodeRootInit(solver->memory, turn->count, roots);
        CVodeSetRootDirection(solver->memory, directions);
        CVodeSetNoInactiveRootWarn(solver->memory);
        CVodeSetStopTime(solver->memory, end);
    }
}

static int step(Solver *solver, double end, N_Vector s, double *t)
{
    return solver->explicit_pair ? ERKStepEvolve(solver->memory, end, s, t, ARK_ONE_STEP) : CVode(solver->memory, end, s, t, CV_ONE_STEP);
}

static int inside(Solver *solver, double t, N_Vector s)
{
    return solver->explicit_pair ? ERKStepGetDky(solver->memory, t, 0, s) : CVodeGetDky(solver->memory, t, 0, s);
}

static int rooted(Solver *solver, int *fired)
{
    return solver->explicit_pair ? ERKStepGetRootInfo(solver->memory, fired) : CVodeGetRootInfo(solver->memory, fired);
}

/* Pressures of well and mould, Pa, and their slopes, Pa/s; a slope is nought where no peak is sought. */
typedef struct { double pressure[2], slope[2]; } Seen;

static Seen see(const Turn *turn, const double *s)
{
    const Pump *m = &turn->pump;
    const Mode *mode = &turn->mode;
    Seen seen = {{0.0, 0.0}, {0.0, 0.0}};
    if (mode->inlet == CLOSED) {
        seen.pressure[0] = m->well_rate * s[SIGMA];
        seen.slope[0] = m->well_rate * (m->ia * s[XD] - s[Q] - m->leak * seen.pressure[0]);
    }
    if (mode->mould != EMPTY && !mode->sealed) {
        seen.pressure[1] = air_pressure(m, s) - P_ATM;
        if (mode->mould == FULL) {
            seen.pressure[1] += BULK * fmax((metal_in(s[VN]) - 0.98 * m->volume) / m->volume, 0.0);
            seen.slope[1] = BULK / m->volume * s[Q];
        }
    }
    return seen;
}

/* At which share of a step the cubic of these values and slopes is highest; its slope falls through nought between. */
static double top(double p0, double a, double p1, double b)
{
    double low = 0.0, high = 1.0, rise = p1 - p0;
    for (int i = 0; i < 30; i++) {
        double u = 0.5 * (low + high), slope = a + 2.0 * u * (3.0 * rise - 2.0 * a - b) + 3.0 * u * u * (a + b - 2.0 * rise);
        if (slope > 0.0) low = u;
        else high = u;
    }
    return 0.5 * (low + high);
}

/* Takes the greatest pressures of a step into `peaks`; a peak within it is looked up on the solver's interpolant. */
static Seen look(Solver *solver, Turn *turn, double start, double end, N_Vector s, N_Vector between, const Seen *before, double *peaks)
{
    Seen now = see(turn, N_VGetArrayPointer(s));
    for (int i = 0; i < 2; i++) {
        peaks[i] = fmax(peaks[i], now.pressure[i]);
        if (before->slope[i] > 0.0 && now.slope[i] < 0.0 && fmax(before->pressure[i], now.pressure[i]) > 0.95 * peaks[i]) {
            double h = end - start, share = top(before->pressure[i], h * before->slope[i], now.pressure[i], h * now.slope[i]);
            if (!inside(solver, start + share * h, between))
                peaks[i] = fmax(peaks[i], see(turn, N_VGetArrayPointer(between)).pressure[i]);
        }
    }
    return now;
}

/* One turn: its fill time (NAN for a short cast), and the greatest pressures of well and mould. Nought unless it fails. */
__attribute__((noinline)) static int solve(Solver *solver, Turn *turn, N_Vector s, N_Vector between, double *fill, double *peaks)
{
    double *v = N_VGetArrayPointer(s), t = 0.0, entered = NAN;
    memset(&turn->mode, 0, sizeof turn->mode);
    turn->mode.latch = turn->pump.latch_set ? HOLDING : ASIDE;
    memset(v, 0, SIZE * sizeof *v);
    v[X] = turn->pump.x_rest;
    v[MA] = turn->pump.ma0;
    *fill = NAN;
    peaks[0] = peaks[1] = 0.0;
    for (int phase = RISE; phase <= AFTER; phase++) {
        double end = phase == AFTER ? turn->pump.turn : turn->pump.cam_times[phase];
        turn->mode.cam = phase;
        while (end - t > 1e-12) {
            begin_leg(solver, turn, t, s, end);
            int flag = 0, fired[16];
            Seen seen = see(turn, v);
            do {
                double start = t;
                flag = step(solver, end, s, &t);
                if (flag < 0) return flag;
                seen = look(solver, turn, start, t, s, between, &seen, peaks);
            } while (flag == CV_SUCCESS);
            if (flag != CV_ROOT_RETURN) break;
            rooted(solver, fired);
            int listed[16], count = turn->count;
            memcpy(listed, turn->guards, sizeof listed);
            for (int i = 0; i < count; i++) {
                if (!fired[i]) continue;
                happen(turn, v, listed[i]);
                if (listed[i] == ENTERED && isnan(entered)) entered = t;
                if (listed[i] == FILLED && isnan(*fill)) *fill = t - entered;
            }
        }
        t = end;
    }
    return 0;
}

static double now(void)
{
    struct timespec time;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &time);
    return time.tv_sec + 1e-9 * time.tv_nsec;
}

int main(int count, char **words)
{
    if (count != 7) return fprintf(stderr, "turn METHOD POINTS PACE LATCH RTOL REPEATS\n"), 2;
    double rtol = atof(words[5]), fill = NAN, peaks[2] = {NAN, NAN}, best = INFINITY;
    Turn turn = {0};
    prepare(&turn.pump, atof(words[2]), atof(words[3]), atoi(words[4]));
    SUNContext context;
    SUNContext_Create(NULL, &context);
    N_Vector s = N_VNew_Serial(SIZE, context), between = N_VNew_Serial(SIZE, context), atol = N_VNew_Serial(SIZE, context);
    for (int i = 0; i < SIZE; i++) N_VGetArrayPointer(atol)[i] = rtol * SCALE[i];
    N_VConst(0.0, s);
    Solver solver = {.explicit_pair = !strcmp(words[1], "erk")};
    turn.mode.cam = RISE;
    if (solver.explicit_pair) {
        solver.memory = ERKStepCreate(right_hand_side, 0.0, s, context);
        ERKStepSetOrder(solver.memory, 5);
        ERKStepSVtolerances(solver.memory, rtol, atol);
        ERKStepSetUserData(solver.memory, &turn);
        ERKStepSetMaxNumSteps(solver.memory, 2000000);
    } else {
        solver.memory = CVodeCreate(!strcmp(words[1], "bdf") ? CV_BDF : CV_ADAMS, context);
        CVodeInit(solver.memory, right_hand_side, 0.0, s);
        CVodeSVtolerances(solver.memory, rtol, atol);
        CVodeSetUserData(solver.memory, &turn);
        CVodeSetMaxNumSteps(solver.memory, 2000000);
        SUNMatrix matrix = SUNDenseMatrix(SIZE, SIZE, context);
        CVodeSetLinearSolver(solver.memory, SUNLinSol_Dense(s, matrix, context), matrix);
    }
    for (int i = 0; i < atoi(words[6]); i++) {
        double begun = now();
        int flag = solve(&solver, &turn, s, between, &fill, peaks);
        if (flag) return fprintf(stderr, "stopped: %d\n", flag), 1;
        best = fmin(best, now() - begun);
    }
    printf("%.12g %.9g %.9g %.6g\n", fill, peaks[0], peaks[1], best);
    return 0;
}
