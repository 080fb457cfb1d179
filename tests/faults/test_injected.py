"""What each fault puts in, at severity 0 and at severity 1: keys, sizes, places, chances."""

import re
from collections import defaultdict
from collections.abc import Iterator
from math import hypot

import numpy as np
import pytest
from pydantic import BaseModel

from sim.aircraft.changes import with_value
from sim.aircraft.design import hover, reach_m
from sim.faults.catalogue import CATALOGUE
from sim.faults.drives import least_cooling
from sim.faults.site import plate_ut
from sim.keys import FaultId
from tests.worlds import sound_world

SEEDS = range(40)  # own: each of four places is then left out once in 100 000 lists
ROTOR, MOTOR = "build.rotors.*.", "build.rotors.*.motor."
SENSORS, CONTROL = "build.sensors.", "setup.controller."

DESIGN = sound_world().airframe
REACH_M, HOVER_A = reach_m(DESIGN), DESIGN.sheet.hover_current_a  # m, A
HOVER_N_M, CELLS_V = hover(DESIGN).torque_n_m, 4.16 * DESIGN.cells  # N m, V
BARE_N_M = (
    DESIGN.motor.no_load_a * 30.0 / (np.pi * DESIGN.motor.kv_rpm_v)
)  # N m; what turns a bare motor
PLAN = DESIGN.sheet.setup


def gains(mild: float, bad: float, parts: str = "pid") -> dict[str, tuple[float, ...]]:
    """Return the sheet's gains of roll and pitch times two factors."""
    return {
        f"{CONTROL}{axis}.{part}": (mild * gain, bad * gain)
        for axis in ("roll", "pitch")
        for part in parts
        for gain in (getattr(getattr(PLAN, axis), part),)
    }


# fault: {key: size at severity 0, size at severity 1}; a size is a number's or a vector's length
SIZES: dict[str, dict[str, tuple[float, ...]]] = {
    "transmitter-pack-low": {"build.radio.transmitter_pack_v": (6.95, 6.40)},  # V
    "aerial-damaged": {
        "build.radio.loss_at_range": (0.55, 0.95),
        "build.radio.loss_near": (0.03, 0.20),
    },
    "stick-rates-wild": {
        CONTROL + "rate_limit_deg_s": (450.0, 900.0),
        CONTROL + "yaw_rate_limit_deg_s": (250.0, 450.0),
    },
    "gyro-bias-moved": {SENSORS + "gyro_moved_deg_s": (1.5, 5.0)},
    "gyro-warmup-drift": {SENSORS + "gyro_warm_deg_s": (2.0, 5.0)},
    "sensor-mount-loose": {
        SENSORS + "loose_mount_hz": (0.5 * PLAN.damping_cutoff_hz, 0.2 * PLAN.damping_cutoff_hz)
    },
    "sensor-mount-stiff": {SENSORS + "shake_gain": (6.0, 18.0)},
    "rate-gain-high": gains(3.0, 3.8),
    "rate-gain-low": gains(0.42, 0.25),
    "damping-gain-high": gains(2.7, 3.9, "d"),
    "integral-windup-on-pad": {
        **gains(2.0, 4.0, "i"),
        CONTROL + "integral_from_throttle": (0.0, 0.0),
    },
    "tilt-limit-wild": {CONTROL + "tilt_limit_deg": (45.0, 75.0)},
    "hover-throttle-mismatch": {CONTROL + "throttle_gain": (1.6, 2.3)},
    "pack-cell-weak": {
        "build.pack.weak_capacity_ratio": (0.85, 0.60),
        "build.pack.weak_resistance_ratio": (1.6, 3.0),
        "build.pack.weak_charge_gap": (0.06, 0.16),
    },
    "pack-high-resistance": {
        "build.pack.resistance_factor": (4.6, 7.0),
        "build.pack.capacity_factor": (0.85, 0.70),
    },
    "pack-swollen-or-dented": {
        "build.pack.temperature_degc": (21.0, 26.0),
        "build.pack.swollen": (1.0, 1.0),
    },
    "connector-high-resistance": {"build.leads.connector_ohm": (0.061 / HOVER_A, 0.369 / HOVER_A)},
    "regulator-brownout": {
        "build.leads.regulator_extra_v": tuple(
            share * CELLS_V - DESIGN.electronics.least_supply_v for share in (0.81, 0.91)
        ),
        "build.leads.avionics_extra_a": tuple(
            share * DESIGN.electronics.current_a for share in (1.14, 2.85)
        ),
    },
    "voltage-scale-wrong": {SENSORS + "volt_scale": (1.03, 1.10)},
    "cg-offset": {"build.frame.cg_offset_m": (0.044 * REACH_M, 0.138 * REACH_M)},
    "pack-strap-loose": {"build.frame.strap_shift_m": (0.063 * REACH_M, 0.189 * REACH_M)},
    "arm-joint-loose": {
        "build.frame.loose_arm_hz": (0.67 * PLAN.gyro_cutoff_hz, 0.25 * PLAN.gyro_cutoff_hz)
    },
    "motor-mount-tilted": {MOTOR + "axis_lean_deg": (1.2, 4.0)},
    "over-mass": {"build.frame.mass_factor": (1.18, 1.58)},
    "leg-snag-or-bent": {
        "build.frame.leg_lift_m": (
            0.05 * DESIGN.frame.foot_down_m,
            0.167 * DESIGN.frame.foot_down_m,
        )
    },
    "prop-nick-imbalance": {
        ROTOR + "propeller.extra_unbalance_g_mm": (0.5, 2.0),
        ROTOR + "propeller.nicked": (1.0, 1.0),
    },
    "prop-hub-slip": {ROTOR + "propeller.slip_n_m": (1.30 * HOVER_N_M, 0.87 * HOVER_N_M)},
    "motor-bearing-rough": {
        MOTOR + "friction_n_m": (
            0.58 * BARE_N_M + 0.033 * HOVER_N_M,
            0.58 * BARE_N_M + 0.233 * HOVER_N_M,
        )
    },
    "motor-shaft-bent": {MOTOR + "bell_unbalance_g_mm": (0.22, 0.60)},
    "phase-joint-bad": {MOTOR + "gap_rate_per_s": (0.1, 1.0), MOTOR + "gap_s": (0.12, 0.30)},
    "idle-too-low": {CONTROL + "idle": tuple(x * DESIGN.motor.start_command for x in (1.0, 0.38))},
    "idle-too-high": {
        CONTROL + "idle": tuple(x * DESIGN.sheet.hover_throttle for x in (0.505, 0.758))
    },
    "drive-desync": {MOTOR + "desync_chance": (0.08, 0.30)},
    "drive-thermal-limit": {
        MOTOR + "cooling_factor": tuple(x * least_cooling(DESIGN) for x in (0.58, 0.32))
    },
    "signal-ground-missing": {MOTOR + "command_noise": (0.02, 0.06)},
    "loose-debris": {"conduct.loose_pieces": (2, 14)},
    "floor-steel": {"site.pad_steel": (4.5 / plate_ut(DESIGN), 13.3 / plate_ut(DESIGN))},
    "pack-cold": {"build.pack.temperature_degc": (12.0, 4.0)},
    "no-eye-protection": {"conduct.others_ungoggled": (1, 4)},
    "hand-in-disc-armed": {"conduct.reaches_per_min": (0.3, 3.3)},
    "no-abort-plan": {"conduct.abort_late_s": (1.0, 2.0)},
    "card-interrupted": {"conduct.rings_per_min": (0.2, 0.8)},
    "repair-not-reverified": {"conduct.repairs_untried": (1, 3)},
    "person-in-ring": {"conduct.person_in_ring": (1.0, 1.0), "conduct.strays": (1, 4)},
}


def flat(model: BaseModel, before: str = "") -> Iterator[tuple[str, object]]:
    for name in type(model).model_fields:
        value = getattr(model, name)
        if isinstance(value, BaseModel):
            yield from flat(value, f"{before}{name}.")
        else:
            yield before + name, value


def size(value: object) -> float:
    return hypot(*value) if isinstance(value, tuple) else abs(float(value))  # type: ignore[arg-type]


def anywhere(key: str) -> str:
    return re.sub(r"rotors\.\w+\.", "rotors.*.", key)


@pytest.fixture(scope="module")
def sound(world):
    """The sound aircraft of people who do everything right, so that every wrong is a change."""
    for key in ("goggles_on", "spotter_present"):
        world = with_value(world, f"conduct.{key}", True)
    return world


@pytest.fixture(scope="module")
def put_in(sound):
    """Return what a fault changes: put_in(fault, severity, rng) gives values by key."""
    before = dict(flat(sound))

    def changes(fault: FaultId, severity: float, rng: object) -> dict[str, object]:
        after = CATALOGUE[fault].inject(sound, severity, rng)  # type: ignore[arg-type]
        return {key: value for key, value in flat(after) if value != before[key]}

    return changes


def ranges(put_in, fault, severity, seeds=SEEDS):
    """Return by key the values a fault puts in, over many seeds."""
    found = defaultdict(list)
    for seed in seeds:
        for key, value in put_in(fault, severity, np.random.default_rng(seed)).items():
            found[anywhere(key)].append(value)
    return found


@pytest.mark.parametrize("severity", [0, 1])
@pytest.mark.parametrize("fault", SIZES)
def test_sizes_at_both_ends_of_severity(put_in, fault, severity):
    found = ranges(put_in, fault, float(severity))
    assert set(found) == set(SIZES[fault])
    for key, ends in SIZES[fault].items():
        assert [size(v) for v in found[key]] == pytest.approx([ends[severity]] * len(found[key]))


def test_severity_goes_evenly_from_end_to_end(put_in):
    for fault, keys in SIZES.items():
        found = ranges(put_in, fault, 0.5, range(3))
        for key, (mild, bad) in keys.items():
            whole = isinstance(mild, int)  # counted things are rounded
            middle = pytest.approx((mild + bad) / 2.0, abs=0.51 if whole else 1e-9)
            assert all(size(v) == middle for v in found[key]), key


# fault: {key: ((least, most) at severity 0, the same at severity 1)}; where chance has a say
BETWEEN: dict[str, dict[str, tuple[tuple[float, float], tuple[float, float]]]] = {
    "stick-ends-short": {
        "setup.transmitter.roll.low_us": ((1050, 1060), (1150, 1160)),
        "setup.transmitter.pitch.low_us": ((1050, 1060), (1150, 1160)),
        "setup.transmitter.yaw.low_us": ((1050, 1060), (1150, 1160)),
        "setup.transmitter.roll.high_us": ((1940, 1950), (1840, 1850)),
        "setup.transmitter.pitch.high_us": ((1940, 1950), (1840, 1850)),
        "setup.transmitter.throttle.high_us": ((1940, 1950), (1840, 1850)),
        "setup.transmitter.yaw.high_us": ((1940, 1950), (1840, 1850)),
    },
    "pack-undercharged": {"build.pack.charge": ((0.67, 0.73), (0.32, 0.38))},
    "draught-from-door": {
        "site.wind_north_m_s": ((-0.8, -0.4), (-2.8, -1.4)),
        "site.wind_east_m_s": ((-0.4, 0.4), (-1.4, 1.4)),
        "site.gust_m_s": ((0.24, 0.24), (0.84, 0.84)),
    },
    "throttle-ends-unmatched": {
        MOTOR + "start_extra": ((0.024, 0.024), (0.060, 0.060)),
        MOTOR + "gain": ((0.95, 1.05), (0.90, 1.10)),
    },
    "prop-size-mismatch": {ROTOR + "propeller.diameter_ratio": ((0.965, 1.035), (0.90, 1.10))},
}
OF_TWO = {"throttle-ends-unmatched", "prop-size-mismatch"}  # at one end or the other, not between


@pytest.mark.parametrize("severity", [0, 1])
@pytest.mark.parametrize("fault", BETWEEN)
def test_chance_stays_between_its_ends_and_comes_near_them(put_in, fault, severity):
    found = ranges(put_in, fault, float(severity), range(200))
    assert set(found) == set(BETWEEN[fault])
    for key, ends in BETWEEN[fault].items():
        least, most = ends[severity]
        # 1; own: of 200 draws the outermost lie within a twentieth of the ends
        play = 0.05 * (most - least) if fault not in OF_TWO else 0.0
        values = found[key]
        assert min(values) == pytest.approx(least + play / 2.0, abs=play / 2.0 + 1e-9)
        assert max(values) == pytest.approx(most - play / 2.0, abs=play / 2.0 + 1e-9)
        if fault in OF_TWO:
            assert {round(v, 6) for v in values} == {least, most}


def test_a_compass_is_spoilt_on_every_side(put_in):
    """Iron lies mostly level, a fifth of it up or down; a current's field at most three tenths."""
    for fault, key, ends, upright in (
        ("mag-hard-iron-offset", "mag_hard_iron_ut", (5.0, 12.0), 0.2),
        ("mag-current-coupling", "mag_per_amp_ut_a", (3.7 / HOVER_A, 11.1 / HOVER_A), 0.3),
    ):
        for severity in (0, 1):
            v = np.array(ranges(put_in, fault, float(severity), range(200))[SENSORS + key])
            assert np.hypot(v[:, 0], v[:, 1]) == pytest.approx(ends[severity])
            share = v[:, 2] / ends[severity]
            assert (share.min(), share.max()) == pytest.approx((-upright, upright), rel=0.1)
            assert np.abs(v[:, :2].mean(axis=0)).max() < 0.2 * ends[severity]  # 2.8 sigma


def test_iron_is_added_to_what_is_there(sound):
    before = with_value(sound, SENSORS + "mag_hard_iron_ut", (100.0, 200.0, 300.0))
    after = CATALOGUE["mag-hard-iron-offset"].inject(before, 0.0, np.random.default_rng(1))
    moved = np.subtract(after.build.sensors.mag_hard_iron_ut, (100.0, 200.0, 300.0))
    assert hypot(moved[0], moved[1]) == pytest.approx(5.0)
    assert abs(moved[2]) <= 1.0


@pytest.mark.parametrize(("severity", "stretch"), [(0.0, 0.10), (1.0, 0.20)])
def test_soft_iron_stretches_one_way_and_squeezes_the_other(put_in, severity, stretch):
    for bent in ranges(put_in, "mag-soft-iron", severity)[SENSORS + "mag_soft_iron"]:
        m = np.array(bent)
        assert m == pytest.approx(m.T)
        found = np.linalg.eigvalsh(m)
        assert found == pytest.approx([1.0 - stretch, 1.0, 1.0 + stretch])
        assert m[2] == pytest.approx([0.0, 0.0, 1.0])


@pytest.mark.parametrize(("severity", "tilt"), [(0.0, 2.0), (1.0, 6.0)])
def test_a_bench_out_of_level_tilts_to_any_side(put_in, severity, tilt):
    found = ranges(put_in, "level-trim-off", severity, range(200))
    roll, pitch = (np.array(found[f"setup.level_trim_{axis}_deg"]) for axis in ("roll", "pitch"))
    assert np.hypot(roll, pitch) == pytest.approx(tilt)
    for axis in (roll, pitch):
        assert (axis.min(), axis.max()) == pytest.approx((-tilt, tilt), rel=0.01)


@pytest.mark.parametrize(("severity", "bias", "scale"), [(0.0, 0.3, 0.03), (1.0, 1.0, 0.05)])
def test_an_accelerometer_errs_on_each_axis_either_way(put_in, severity, bias, scale):
    found = ranges(put_in, "accel-cal-bad", severity)
    for matrix, offset in (
        (SENSORS + "accel_matrix", SENSORS + "accel_bias_m_s2"),
        ("setup.accelerometer.matrix", "setup.accelerometer.offset_m_s2"),
    ):
        assert np.abs(found[offset]) == pytest.approx(bias)
        assert (np.sign(found[offset]).min(axis=0) == -1.0).all()
        assert (np.sign(found[offset]).max(axis=0) == 1.0).all()
        for m in found[matrix]:
            assert np.abs(np.array(m) - np.eye(3)) == pytest.approx(scale * np.eye(3))


CHOICES = {
    "channel-order-mixed": {
        ("setup.transmitter.order", ("pitch", "roll", "throttle", "yaw")),
        ("setup.transmitter.order", ("roll", "yaw", "throttle", "pitch")),
    },
    "mag-mount-rotated": {(SENSORS + "compass_turn_deg", x) for x in (90.0, -90.0, 180.0)},
    "board-rotation-untold": {
        *((SENSORS + "board_turn_deg", x) for x in (90.0, -90.0, 180.0)),
        (SENSORS + "board_upside_down", True),
    },
    "loop-sign-reversed": {(CONTROL + "roll_sense", -1), (CONTROL + "pitch_sense", -1)},
    "pack-cell-count-wrong": {("build.pack.cells", 2), ("build.pack.cells", 4)},
    "prop-wrong-hand": {(ROTOR + "propeller.right_hand", False)},
    "prop-upside-down": {(ROTOR + "propeller.right_way_up", False)},
    "motor-spin-reversed": {(MOTOR + "spin_right", False)},
    "wire-in-disc": {(MOTOR + "wire_in_disc", True)},
    "motor-weak-or-shorted": {(MOTOR + "strength", 0.90), (MOTOR + "shorted_share", 0.015)},
    "ceiling-or-wall-close": {("site.room.ceiling_m", 2.1), ("site.room.west_m", -1.45)},
    "filter-cutoff-wrong": {
        (CONTROL + "gyro_cutoff_hz", 18.0),
        (CONTROL + "gyro_cutoff_hz", 200.0),
        (CONTROL + "damping_cutoff_hz", 150.0),
    },
    "low-volt-alarm-unset": {(CONTROL + "low_cell_alarm_v", 3.25), (CONTROL + "alarm_cells", 2)},
}
AT_WORST = {
    "motor-weak-or-shorted": {(MOTOR + "strength", 0.78), (MOTOR + "shorted_share", 0.05)},
    "channel-order-mixed": {
        ("setup.transmitter.order", ("pitch", "yaw", "throttle", "roll")),
    },
    "ceiling-or-wall-close": {("site.room.ceiling_m", 1.75), ("site.room.west_m", -1.38)},
    "filter-cutoff-wrong": {
        (CONTROL + "gyro_cutoff_hz", 10.0),
        (CONTROL + "gyro_cutoff_hz", 400.0),
        (CONTROL + "damping_cutoff_hz", 250.0),
    },
    "low-volt-alarm-unset": {(CONTROL + "low_cell_alarm_v", 0.0)},
}


@pytest.mark.parametrize("fault", CHOICES)
def test_one_of_some_choices(put_in, fault):
    for severity, choices in ((0.0, CHOICES), (1.0, CHOICES | AT_WORST)):
        found = {
            (key, round(value, 9) if isinstance(value, float) else value)
            for key, values in ranges(put_in, fault, severity).items()
            for value in values
        }
        assert found == choices[fault]


def test_every_place_has_its_turn(put_in):
    at_a_place = [f for f, keys in SIZES.items() if any(k.startswith(ROTOR) for k in keys)]
    for fault in (*at_a_place, "prop-wrong-hand", "motor-spin-reversed", "wire-in-disc"):
        places = [
            {key.split(".")[2] for key in put_in(fault, 0.5, np.random.default_rng(seed))}
            for seed in SEEDS
        ]
        assert all(len(at) == 1 for at in places), fault
        assert len(set().union(*places)) == 4, fault


def test_two_leads_are_crossed(put_in):
    for seed in SEEDS:
        crossed = put_in("motor-order-swapped", 0.5, np.random.default_rng(seed))
        a, b = (key.split(".")[2] for key in crossed)
        assert list(crossed.values()) == [b, a] != [a, b]


class Coin:
    """Chance whose every share is the same; all else is drawn."""

    def __init__(self, share: float) -> None:
        self.share, self.rng = share, np.random.default_rng(5)

    def random(self) -> float:
        return self.share

    def __getattr__(self, name: str) -> object:
        return getattr(self.rng, name)


@pytest.mark.parametrize(
    ("fault", "chance"),
    [
        ("pitch-channel-reversed", 0.3),  # in the controller, else at the transmitter
        ("pack-cell-count-wrong", 0.7),  # a cell more
        ("ceiling-or-wall-close", 0.7),  # a low ceiling
        ("accel-cal-bad", 0.5),
        ("motor-weak-or-shorted", 0.5),
        ("filter-cutoff-wrong", 0.5),
        ("axis-gains-unequal", 0.5),
        ("low-volt-alarm-unset", 0.5),
        ("channel-order-mixed", 0.5),
        ("throttle-ends-unmatched", 0.5),
        ("prop-size-mismatch", 0.5),
        ("motor-mount-tilted", 0.5),
    ],
)
def test_where_chance_turns_over(put_in, fault, chance):
    rare, under, over, common = (
        put_in(fault, 0.3, Coin(share)) for share in (0.0, chance - 0.01, chance + 0.01, 0.999)
    )
    assert rare == under != over == common


def test_trim_is_commoner_than_a_moved_middle(put_in):
    for share, what in ((0.69, "trim_us"), (0.71, "centre_us")):
        assert all(key.endswith(what) for key in put_in("stick-centre-off", 0.5, Coin(share)))
    signs = {share: put_in("stick-centre-off", 0.5, Coin(share)) for share in (0.49, 0.51)}
    assert all(value > 0.0 for value in signs[0.49].values())
    assert all(value < 0.0 for value in signs[0.51].values())


def test_which_of_two_is_commoner(put_in):
    assert "setup.inputs.pitch" in put_in("pitch-channel-reversed", 0.5, Coin(0.1))
    assert put_in("pack-cell-count-wrong", 0.5, Coin(0.1)) == {"build.pack.cells": 4}
    assert set(put_in("ceiling-or-wall-close", 0.5, Coin(0.1))) == {"site.room.ceiling_m"}


@pytest.mark.parametrize(("severity", "us"), [(0.0, 35.0), (1.0, 75.0)])
def test_centres_move_on_one_or_two_sticks_never_the_throttle(put_in, severity, us):
    counts, keys = set(), set()
    for seed in SEEDS:
        off = put_in("stick-centre-off", severity, np.random.default_rng(seed))
        counts.add(len(off))
        keys |= set(off)
        for key, value in off.items():
            assert abs(value - (1500.0 if key.endswith("centre_us") else 0.0)) == us
    assert counts == {1, 2}
    assert keys == {
        f"setup.transmitter.{c}.{what}"
        for c in ("roll", "pitch", "yaw")
        for what in ("trim_us", "centre_us")
    }


def test_trim_goes_either_way(put_in):
    off = ranges(put_in, "stick-centre-off", 0.0)
    for key, values in off.items():
        middle = 1500.0 if key.endswith("centre_us") else 0.0
        assert {v - middle for v in values} == {-35.0, 35.0}, key


@pytest.mark.parametrize(("severity", "factor"), [(0.0, 1.7), (1.0, 2.2)])
def test_one_axis_is_up_or_down_by_the_same_factor(put_in, severity, factor):
    found = ranges(put_in, "axis-gains-unequal", severity)
    for part in "pid":
        sheet = getattr(PLAN.pitch, part)
        values = {round(v / sheet, 9) for v in found.pop(f"{CONTROL}pitch.{part}")}
        assert values == {round(factor, 9), round(1.0 / factor, 9)}
    assert not found


def test_the_worst_alarm_is_none_at_all(put_in):
    for severity, volts in ((0.79, 3.01), (0.81, 0.0)):
        put = put_in("low-volt-alarm-unset", severity, Coin(0.9))
        assert put == {CONTROL + "low_cell_alarm_v": volts}


def test_an_order_of_three_from_a_middling_severity(put_in):
    for severity, moved in ((0.49, 2), (0.5, 3)):
        (order,) = put_in("channel-order-mixed", severity, Coin(0.1)).values()
        assert sum(a != b for a, b in zip(order, ("roll", "pitch", "throttle", "yaw"), strict=True)) == moved  # fmt: skip


def test_a_charge_is_never_raised(sound):
    low = with_value(sound, "build.pack.charge", 0.2)
    after = CATALOGUE["pack-undercharged"].inject(low, 0.0, np.random.default_rng(1))
    assert after.build.pack.charge == 0.2


def test_of_one_cell_none_can_be_left_out(sound):
    for cells, counted in ((2, 1), (1, sound.setup.controller.alarm_cells)):
        small = with_value(sound, "airframe.cells", cells)
        after = CATALOGUE["low-volt-alarm-unset"].inject(small, 0.5, Coin(0.1))  # type: ignore[arg-type]
        assert after.setup.controller.alarm_cells == counted
    assert after.setup.controller.low_cell_alarm_v == pytest.approx(3.1)


@pytest.mark.parametrize(("cells", "share", "found"), [(6, 0.1, 5), (1, 0.9, 2), (6, 0.9, 5), (1, 0.1, 2)])  # fmt: skip
def test_there_are_packs_of_one_to_six_cells(sound, cells, share, found):
    pack = sound.pack_spec.model_copy(update={"cells": cells})
    world = sound.model_copy(update={"pack_spec": pack})
    after = CATALOGUE["pack-cell-count-wrong"].inject(world, 0.5, Coin(share))  # type: ignore[arg-type]
    assert after.build.pack.cells == found


def test_things_that_are_so_or_not_have_no_severity(put_in):
    so = {
        "model-memory-wrong": {"setup.transmitter.memory": "glider"},
        "failsafe-holds-last": {CONTROL + "failsafe": "hold"},
        "arm-lock-absent": {CONTROL + "arming_rules": False},
        "stop-switch-unset": {CONTROL + "stop_switch": False},
        "mode-switch-swapped": {"setup.transmitter.mode_switch_right": False},
        "baro-uncovered": {SENSORS + "baro_uncovered": True},
        "mixer-geometry-wrong": {CONTROL + "layout": "plus"},
        "yaw-mix-sign-wrong": {CONTROL + "yaw_sense": -1},
        "lead-polarity-reversed": {"build.leads.polarity_right": False},
        "position-hold-indoors": {CONTROL + "position_hold": True},
        "nose-lost": {"conduct.nose_marked": False},
        "props-on-at-bench": {"conduct.place": "bench", "conduct.hold": "hands"},
        "no-spotter": {"conduct.spotter_present": False, "conduct.helper_here": False},
        "pack-charged-unattended": {"conduct.charge_watched": False},
    }
    for fault, changes in so.items():
        for severity in (0.0, 1.0):
            assert put_in(fault, severity, np.random.default_rng(3)) == changes


def test_a_moved_start_needs_power(sound):
    off = with_value(with_value(sound, "conduct.pack_plugged", False), "conduct.transmitter_on", False)  # fmt: skip
    after = CATALOGUE["gyro-bias-moved"].inject(off, 0.5, np.random.default_rng(1))
    assert after.conduct.pack_plugged
    assert after.conduct.transmitter_on


def test_counted_things_are_rounded(put_in):
    for fault, severity, counted in (
        ("no-eye-protection", 0.49, {"conduct.others_ungoggled": 2}),  # 1 + 1.47
        ("no-eye-protection", 0.51, {"conduct.others_ungoggled": 3}),
        ("person-in-ring", 0.49, {"conduct.person_in_ring": True, "conduct.strays": 2}),
        ("repair-not-reverified", 0.24, {"conduct.repairs_untried": 1}),  # 1 + 0.48
        ("loose-debris", 0.29, {"conduct.loose_pieces": 5}),  # 2 + 3.48
    ):
        assert put_in(fault, severity, np.random.default_rng(1)) == counted


def test_a_board_is_turned_or_upside_down_never_both(put_in):
    for seed in SEEDS:
        assert len(put_in("board-rotation-untold", 0.5, np.random.default_rng(seed))) == 1


def test_soft_iron_may_stretch_any_way(put_in):
    bent = np.array(ranges(put_in, "mag-soft-iron", 0.0, range(200))[SENSORS + "mag_soft_iron"])
    for element in (bent[:, 0, 0] - 1.0, bent[:, 0, 1]):
        assert (element.min(), element.max()) == pytest.approx((-0.1, 0.1), rel=0.02)


def test_checks_of_a_reversed_channel():
    """The throttle has no stabiliser to look at, so the display is its only check."""
    display = ("stick-display",)
    assert CATALOGUE["throttle-channel-reversed"].revealed_by == display
    others = [f for f in CATALOGUE.values() if f.id.endswith("-channel-reversed")]
    for entry in others:
        if entry.id != "throttle-channel-reversed":
            assert entry.revealed_by == entry.proved_by == (*display, "stick-to-motor")
    assert len(others) == 4
