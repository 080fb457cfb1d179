"""Five invented builds, as people would describe them, unlike those of the shipped fleet."""

from typing import Any

from sim.describe.answers import Answers


def frame(front: float, rear: float, length: float, legs: float, **more: float) -> dict[str, float]:
    """Return a frame whose feet stand under two thirds of its arms."""
    return {
        "front_width_mm": front,
        "rear_width_mm": rear,
        "length_mm": length,
        "rotors_above_mm": 0.15 * length,
        "legs_length_mm": 0.7 * length,
        "legs_width_mm": 0.7 * rear,
        "legs_height_mm": legs,
        "compass_forward_mm": 0.0,
        "compass_above_mm": 0.4 * length,
        **more,
    }


BUILDS: dict[str, dict[str, Any]] = {
    "from-a-drawer": {  # nothing weighed that need not be
        "mass_g": 520.0,
        "frame": frame(190.0, 190.0, 190.0, 60.0),
        "propeller": {"diameter_in": 5.0, "pitch_in": 3.0},
        "motor": {"kv_rpm_v": 2150.0},
        "pack": {"cells": 3, "capacity_ah": 1.5, "mass_g": 128.0, "size_mm": (75.0, 35.0, 25.0),
                 "above_mm": 14.0},
    },
    "seven-inch": {  # wide in front, everything weighed
        "mass_g": 780.0,
        "frame": frame(290.0, 240.0, 210.0, 70.0),
        "front_right_clockwise": False,
        "propeller": {"diameter_in": 7.0, "pitch_in": 4.0, "mass_g": 5.2},
        "motor": {"kv_rpm_v": 1150.0, "mass_g": 34.0, "diameter_mm": 27.5, "resistance_ohm": 0.13,
                  "no_load_a": 0.6},
        "pack": {"cells": 4, "capacity_ah": 2.6, "mass_g": 255.0, "size_mm": (130.0, 43.0, 21.0),
                 "above_mm": 18.0, "cell_ohm": 0.0055},
        "board_delay_ms": 2,
    },
    "school-project": {  # swung on strings, hover logged
        "mass_g": 1180.0,
        "frame": frame(330.0, 330.0, 330.0, 120.0),
        "propeller": {"diameter_in": 9.0, "pitch_in": 4.7},
        "motor": {"kv_rpm_v": 950.0, "mass_g": 52.0},
        "pack": {"cells": 3, "capacity_ah": 3.0, "mass_g": 240.0, "size_mm": (110.0, 35.0, 28.0),
                 "above_mm": -20.0},
        "swing": {"strings_apart_mm": 300.0, "length_mm": 1500.0, "roll_s": 1.85, "pitch_s": 1.95,
                  "yaw_s": 2.55},
        "hover_throttle": 0.47,
        "hover_current_a": 9.8,
    },
    "mapping-frame": {
        "mass_g": 1900.0,
        "frame": frame(370.0, 370.0, 420.0, 180.0),
        "propeller": {"diameter_in": 12.0, "pitch_in": 6.0},
        "motor": {"kv_rpm_v": 480.0, "mass_g": 88.0},
        "pack": {"cells": 6, "capacity_ah": 3.3, "mass_g": 500.0, "size_mm": (135.0, 44.0, 40.0),
                 "above_mm": -30.0},
    },
    "big-and-slow": {
        "mass_g": 3600.0,
        "frame": frame(460.0, 460.0, 460.0, 210.0),
        "propeller": {"diameter_in": 14.0, "pitch_in": 6.0},
        "motor": {"kv_rpm_v": 420.0, "mass_g": 150.0},
        "pack": {"cells": 6, "capacity_ah": 8.0, "mass_g": 1100.0, "size_mm": (165.0, 65.0, 60.0),
                 "above_mm": -40.0},
        "link_frame_ms": 20,
    },
}  # fmt: skip


def answers(name: str, **changes: Any) -> Answers:
    """Return the answers for a build, some of them changed: `motor__kv_rpm_v=500.0`."""
    data: dict[str, Any] = {"name": name, "about": "invented for a test", "origin": "invented"}
    data |= {k: dict(v) if isinstance(v, dict) else v for k, v in BUILDS[name].items()}
    for key, value in changes.items():
        first, _, rest = key.partition("__")
        if rest:
            data[first][rest] = value
        else:
            data[first] = value
    return Answers.model_validate(data)
