"""The same tick, forced by a recording: what the model would have done in each tick of a real flight.

Before every tick the body is put where the recording has it and the delay line is filled with the
recorded commands, so nothing can run away: what the model makes of one tick is compared with what
came of it. Rotors, pack, filters, estimate and radio run along on recorded inputs and need no
estimate of their own. The caller prepends standing still, disarmed, in which they settle.
"""

from sim.kernel.clock import TICK_S
from sim.kernel.frames import to_angles
from sim.kernel.jit import entry, inner
from sim.kernel.radio import Sticks
from sim.kernel.run import craft_in, state_in, write_state
from sim.kernel.step import step

FORCED = (
    *(f"position_{axis}_m" for axis in "xyz"),
    *(f"attitude_{part}" for part in "wxyz"),
    *(f"velocity_{axis}_m_s" for axis in "xyz"),
    *(f"rate_{axis}_rad_s" for axis in "xyz"),
    *(f"output_{place}" for place in range(4)),
    *(f"stick_{axis}" for axis in ("roll", "pitch", "throttle", "yaw")),
    "armed",
    "standing",  # 1 where the floor carries it all, and gravity alone is felt
    *(f"shown_{part}" for part in "wxyz"),
    "aboard",  # 1: the controller believes the attitude `shown`; 0: what its estimate makes of it
)
"""Columns of what forces each tick."""

ANSWER = (
    *(f"turning_{axis}_rad_s2" for axis in "xyz"),  # mean over the row
    *(f"felt_{axis}_m_s2" for axis in "xyz"),  # mean of the accelerometer's reading
    *(f"accel_{axis}_m_s2" for axis in "xyz"),  # the reading at the row
    *(f"output_{place}" for place in range(4)),  # the controller's own
    *(f"integral_{axis}" for axis in ("roll", "pitch", "yaw")),
    "supply_v",
    "shown_v",
    "shown_a",
    *(f"field_{axis}_ut" for axis in "xyz"),
    "shown_roll_rad",
    "shown_pitch_rad",
    "shown_heading_rad",
    *(f"speed_{place}_rad_s" for place in range(4)),
    *(f"gyro_{axis}_rad_s" for axis in "xyz"),
)
"""Columns of what the model answers, a row for each of the recording."""

MEANS = 6  # columns of ANSWER, the first, that are means over a row


@inner
def force(row, now):
    """Write one row of FORCED into the row of a state."""
    row.body__position_m__x, row.body__position_m__y, row.body__position_m__z = (
        now[0],
        now[1],
        now[2],
    )
    row.body__attitude__w, row.body__attitude__x = now[3], now[4]
    row.body__attitude__y, row.body__attitude__z = now[5], now[6]
    row.body__velocity_m_s__x, row.body__velocity_m_s__y = now[7], now[8]
    row.body__velocity_m_s__z = now[9]
    row.body__rate_rad_s__x, row.body__rate_rad_s__y, row.body__rate_rad_s__z = (
        now[10],
        now[11],
        now[12],
    )
    row.armed = now[21]
    row.crash, row.rail_low_ticks, row.reset_ticks = 0.0, 0.0, 0.0
    row.rotors__0__broken, row.rotors__1__broken = 0.0, 0.0
    row.rotors__2__broken, row.rotors__3__broken = 0.0, 0.0
    if now[27] > 0.0:
        row.estimator__attitude__w, row.estimator__attitude__x = now[23], now[24]
        row.estimator__attitude__y, row.estimator__attitude__z = now[25], now[26]


@inner
def fill_line(row, a, b, c, d):
    """Write four commands into every place of the delay line of a state's row."""
    row.line__0__0, row.line__0__1, row.line__0__2, row.line__0__3 = a, b, c, d
    row.line__1__0, row.line__1__1, row.line__1__2, row.line__1__3 = a, b, c, d
    row.line__2__0, row.line__2__1, row.line__2__2, row.line__2__3 = a, b, c, d
    row.line__3__0, row.line__3__1, row.line__3__2, row.line__3__3 = a, b, c, d
    row.line__4__0, row.line__4__1, row.line__4__2, row.line__4__3 = a, b, c, d
    row.line__5__0, row.line__5__1, row.line__5__2, row.line__5__3 = a, b, c, d
    row.line__6__0, row.line__6__1, row.line__6__2, row.line__6__3 = a, b, c, d
    row.line__7__0, row.line__7__1, row.line__7__2, row.line__7__3 = a, b, c, d


@inner
def felt_standing(row, now, gravity_m_s2):
    """Write what an accelerometer feels that stands still: gravity turned into body axes."""
    w, x, y, z = now[3], now[4], now[5], now[6]
    row.specific_force_m_s2__x = -gravity_m_s2 * 2.0 * (x * z - w * y)
    row.specific_force_m_s2__y = -gravity_m_s2 * 2.0 * (y * z + w * x)
    row.specific_force_m_s2__z = -gravity_m_s2 * (1.0 - 2.0 * (x * x + y * y))


@inner
def add_up(answer, state, now):
    """Add this tick to the means of a row."""
    b, s = state.body, state.sensors
    answer[0] += (b.rate_rad_s.x - now[10]) / TICK_S
    answer[1] += (b.rate_rad_s.y - now[11]) / TICK_S
    answer[2] += (b.rate_rad_s.z - now[12]) / TICK_S
    answer[3] += s.accel_m_s2.x
    answer[4] += s.accel_m_s2.y
    answer[5] += s.accel_m_s2.z


@inner
def write_answer(answer, state, ticks):
    """Write what ANSWER names at the end of a row of so many ticks."""
    s, shown = state.sensors, to_angles(state.estimator.attitude)
    for i in range(MEANS):
        answer[i] /= ticks
    answer[6], answer[7], answer[8] = s.accel_m_s2.x, s.accel_m_s2.y, s.accel_m_s2.z
    for i in range(4):
        answer[9 + i] = state.controller.output[i]
        answer[25 + i] = state.rotors[i].motor.speed_rad_s
    sums = state.controller.integral
    answer[13], answer[14], answer[15] = sums.x, sums.y, sums.z
    answer[16], answer[17], answer[18] = state.supply_v, s.volt_v, s.amp_a
    answer[19], answer[20], answer[21] = s.mag_ut.x, s.mag_ut.y, s.mag_ut.z
    answer[22], answer[23], answer[24] = shown.x, shown.y, shown.z
    answer[29], answer[30], answer[31] = s.gyro_rad_s.x, s.gyro_rad_s.y, s.gyro_rad_s.z


@entry
def forced(states, crafts, tables, forcing, laws, ends, answers):
    """Take every vehicle through a recording; write what it answers, row by row.

    states, crafts : structured arrays, one row a vehicle; forcing : float64[ticks, len(FORCED)];
    laws : float64[vehicles], 1 self-level, 0 rate control; ends : int64[rows], going up, the ticks after which a row
    of the recording lies; what comes before the first is settling. answers : float64[vehicles, rows,
    len(ANSWER)], zeros. Craft must have `delay_periods` of 1 or more. Lets go of Python's lock:
    threads may share a recording, each with vehicles of its own.
    """
    for v in range(states.shape[0]):
        row, craft = states[v], craft_in(crafts[v])
        done, since = 0, 0
        for i in range(ends[-1]):
            now = forcing[i]
            force(row, now)
            fill_line(row, now[13], now[14], now[15], now[16])
            if now[22] > 0.0:
                felt_standing(row, now, craft.body.gravity_m_s2)
            sticks = Sticks(now[17], now[18], now[19], now[20], 1.0, laws[v], 0.0)
            write_state(row, step(state_in(row), sticks, craft, tables))
            state = state_in(row)
            since += 1
            add_up(answers[v, done], state, now)
            if i + 1 == ends[done]:
                write_answer(answers[v, done], state, since)
                done, since = done + 1, 0
