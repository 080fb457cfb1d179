"""What the entries of the registries are called, as types; every layer may use them.

Written by `python tools/write_keys.py` from the registries: add an entry there, then run it.
"""

from typing import Literal

# fmt: off

CheckKey = Literal[
    "board-list", "board-touch", "breath-and-torch", "compass-ramp", "failsafe", "field-turn",
    "first-power", "hand-tilt", "heading-marks", "idle-creep", "level-and-still", "light-on-legs",
    "look-and-tug", "one-motor", "pack-at-rest", "pad-look", "pad-survey", "people-and-room",
    "propellers", "propellers-in-hand", "rails", "ramp-and-snap", "range-walk",
    "restrained-run-up", "settings-sheet", "six-faces", "steady-throttle", "stick-display",
    "stick-to-motor", "switches", "tilt-while-armed", "touch-after", "voltage-and-alarm",
    "warm-creep", "weigh-and-balance",
]
"""A check of `sim.bench.checklist`; once done, the fact of the same name."""

CardKey = Literal[
    "after-hop", "arrival", "before-power", "board", "control", "last-gate", "link", "load",
    "motors", "place", "power", "sensors", "teach",
]
"""A card of `sim.procedure.cards`."""

FaultId = Literal[
    "accel-cal-bad", "aerial-damaged", "arm-joint-loose", "arm-lock-absent", "axis-gains-unequal",
    "baro-uncovered", "board-rotation-untold", "card-interrupted", "ceiling-or-wall-close",
    "cg-offset", "channel-order-mixed", "connector-high-resistance", "damping-gain-high",
    "draught-from-door", "drive-desync", "drive-thermal-limit", "failsafe-holds-last",
    "filter-cutoff-wrong", "floor-steel", "gyro-bias-moved", "gyro-warmup-drift",
    "hand-in-disc-armed", "hover-throttle-mismatch", "idle-too-high", "idle-too-low",
    "integral-windup-on-pad", "lead-polarity-reversed", "leg-snag-or-bent", "level-trim-off",
    "loop-sign-reversed", "loose-debris", "low-volt-alarm-unset", "mag-current-coupling",
    "mag-hard-iron-offset", "mag-mount-rotated", "mag-soft-iron", "mixer-geometry-wrong",
    "mode-switch-swapped", "model-memory-wrong", "motor-bearing-rough", "motor-mount-tilted",
    "motor-order-swapped", "motor-shaft-bent", "motor-spin-reversed", "motor-weak-or-shorted",
    "no-abort-plan", "no-eye-protection", "no-spotter", "nose-lost", "over-mass",
    "pack-cell-count-wrong", "pack-cell-weak", "pack-charged-unattended", "pack-cold",
    "pack-high-resistance", "pack-strap-loose", "pack-swollen-or-dented", "pack-undercharged",
    "person-in-ring", "phase-joint-bad", "pitch-channel-reversed", "position-hold-indoors",
    "prop-hub-slip", "prop-nick-imbalance", "prop-size-mismatch", "prop-upside-down",
    "prop-wrong-hand", "props-on-at-bench", "rate-gain-high", "rate-gain-low",
    "regulator-brownout", "repair-not-reverified", "roll-channel-reversed", "sensor-mount-loose",
    "sensor-mount-stiff", "signal-ground-missing", "stick-centre-off", "stick-ends-short",
    "stick-rates-wild", "stop-switch-unset", "throttle-channel-reversed",
    "throttle-ends-unmatched", "tilt-limit-wild", "transmitter-pack-low", "voltage-scale-wrong",
    "wire-in-disc", "yaw-channel-reversed", "yaw-mix-sign-wrong",
]
"""A fault of `sim.faults.catalogue`."""

PartKey = Literal[
    "aerial", "ballast", "barometer-cover", "compass-lead", "connector", "frame-screws",
    "lead-polarity", "legs", "motor-front-left", "motor-front-right", "motor-rear-left",
    "motor-rear-right", "pack", "pack-place", "pack-strap", "phase-leads-front-left",
    "phase-leads-front-right", "phase-leads-rear-left", "phase-leads-rear-right",
    "propeller-front-left", "propeller-front-right", "propeller-rear-left", "propeller-rear-right",
    "regulator", "sensor-mount", "signal-lead-front-left", "signal-lead-front-right",
    "signal-lead-rear-left", "signal-lead-rear-right", "transmitter-pack", "wire-tie-front-left",
    "wire-tie-front-right", "wire-tie-rear-left", "wire-tie-rear-right",
]
"""A part of `sim.bench.parts`."""

Preparation = Literal[
    "bigger-room", "brief-abort", "clear-ring", "goggles", "hands-rule", "mark-nose", "move-pad",
    "restart-card", "retest-repairs", "shut-door", "spotter", "sweep", "warm-pack", "watch-charge",
]
"""What sets people and room to rights, of `sim.procedure`."""

Calibration = Literal[
    "compass", "drives", "faces", "level", "sticks", "voltage",
]
"""What a calibration stores, of `sim.session.calibrating`."""

SettingKey = Literal[
    "setup.controller.alarm_cells", "setup.controller.arming_rules",
    "setup.controller.attitude_gain_per_s", "setup.controller.bias_gain_per_s2",
    "setup.controller.board_turn_deg", "setup.controller.board_upside_down",
    "setup.controller.compass_gain_per_s", "setup.controller.compass_turn_deg",
    "setup.controller.damping_cutoff_hz", "setup.controller.dead_band",
    "setup.controller.failsafe", "setup.controller.gyro_cutoff_hz",
    "setup.controller.heading_gain_per_s", "setup.controller.heading_hold",
    "setup.controller.idle", "setup.controller.integral_from_throttle",
    "setup.controller.integral_limit", "setup.controller.layout",
    "setup.controller.level_gain_per_s", "setup.controller.low_cell_alarm_v",
    "setup.controller.output_delay_ms", "setup.controller.pitch.d", "setup.controller.pitch.i",
    "setup.controller.pitch.p", "setup.controller.pitch_sense", "setup.controller.position_hold",
    "setup.controller.rate_limit_deg_s", "setup.controller.roll.d", "setup.controller.roll.i",
    "setup.controller.roll.p", "setup.controller.roll_sense", "setup.controller.stop_switch",
    "setup.controller.throttle_gain", "setup.controller.tilt_limit_deg",
    "setup.controller.volt_scale", "setup.controller.yaw.d", "setup.controller.yaw.i",
    "setup.controller.yaw.p", "setup.controller.yaw_rate_limit_deg_s",
    "setup.controller.yaw_sense", "setup.inputs.pitch", "setup.inputs.roll",
    "setup.inputs.throttle", "setup.inputs.yaw", "setup.transmitter.memory",
    "setup.transmitter.mode_switch_right", "setup.transmitter.order",
    "setup.transmitter.pitch.centre_us", "setup.transmitter.pitch.direction",
    "setup.transmitter.pitch.high_us", "setup.transmitter.pitch.low_us",
    "setup.transmitter.pitch.trim_us", "setup.transmitter.roll.centre_us",
    "setup.transmitter.roll.direction", "setup.transmitter.roll.high_us",
    "setup.transmitter.roll.low_us", "setup.transmitter.roll.trim_us",
    "setup.transmitter.throttle.centre_us", "setup.transmitter.throttle.direction",
    "setup.transmitter.throttle.high_us", "setup.transmitter.throttle.low_us",
    "setup.transmitter.throttle.trim_us", "setup.transmitter.yaw.centre_us",
    "setup.transmitter.yaw.direction", "setup.transmitter.yaw.high_us",
    "setup.transmitter.yaw.low_us", "setup.transmitter.yaw.trim_us",
]
"""A value of the setup that a person can change."""

FixKey = Literal[
    "calibrate:compass", "calibrate:drives", "calibrate:faces", "calibrate:level",
    "calibrate:sticks", "calibrate:voltage", "plug", "prepare:bigger-room", "prepare:brief-abort",
    "prepare:clear-ring", "prepare:goggles", "prepare:hands-rule", "prepare:mark-nose",
    "prepare:move-pad", "prepare:restart-card", "prepare:retest-repairs", "prepare:shut-door",
    "prepare:spotter", "prepare:sweep", "prepare:warm-pack", "prepare:watch-charge",
    "remove-props", "setup.controller.alarm_cells", "setup.controller.arming_rules",
    "setup.controller.attitude_gain_per_s", "setup.controller.bias_gain_per_s2",
    "setup.controller.board_turn_deg", "setup.controller.board_upside_down",
    "setup.controller.compass_gain_per_s", "setup.controller.compass_turn_deg",
    "setup.controller.damping_cutoff_hz", "setup.controller.dead_band",
    "setup.controller.failsafe", "setup.controller.gyro_cutoff_hz",
    "setup.controller.heading_gain_per_s", "setup.controller.heading_hold",
    "setup.controller.idle", "setup.controller.integral_from_throttle",
    "setup.controller.integral_limit", "setup.controller.layout",
    "setup.controller.level_gain_per_s", "setup.controller.low_cell_alarm_v",
    "setup.controller.output_delay_ms", "setup.controller.pitch.d", "setup.controller.pitch.i",
    "setup.controller.pitch.p", "setup.controller.pitch_sense", "setup.controller.position_hold",
    "setup.controller.rate_limit_deg_s", "setup.controller.roll.d", "setup.controller.roll.i",
    "setup.controller.roll.p", "setup.controller.roll_sense", "setup.controller.stop_switch",
    "setup.controller.throttle_gain", "setup.controller.tilt_limit_deg",
    "setup.controller.volt_scale", "setup.controller.yaw.d", "setup.controller.yaw.i",
    "setup.controller.yaw.p", "setup.controller.yaw_rate_limit_deg_s",
    "setup.controller.yaw_sense", "setup.inputs.pitch", "setup.inputs.roll",
    "setup.inputs.throttle", "setup.inputs.yaw", "setup.transmitter.memory",
    "setup.transmitter.mode_switch_right", "setup.transmitter.order",
    "setup.transmitter.pitch.centre_us", "setup.transmitter.pitch.direction",
    "setup.transmitter.pitch.high_us", "setup.transmitter.pitch.low_us",
    "setup.transmitter.pitch.trim_us", "setup.transmitter.roll.centre_us",
    "setup.transmitter.roll.direction", "setup.transmitter.roll.high_us",
    "setup.transmitter.roll.low_us", "setup.transmitter.roll.trim_us",
    "setup.transmitter.throttle.centre_us", "setup.transmitter.throttle.direction",
    "setup.transmitter.throttle.high_us", "setup.transmitter.throttle.low_us",
    "setup.transmitter.throttle.trim_us", "setup.transmitter.yaw.centre_us",
    "setup.transmitter.yaw.direction", "setup.transmitter.yaw.high_us",
    "setup.transmitter.yaw.low_us", "setup.transmitter.yaw.trim_us", "swap:aerial", "swap:ballast",
    "swap:barometer-cover", "swap:compass-lead", "swap:connector", "swap:frame-screws",
    "swap:lead-polarity", "swap:legs", "swap:motor-front-left", "swap:motor-front-right",
    "swap:motor-rear-left", "swap:motor-rear-right", "swap:pack", "swap:pack-place",
    "swap:pack-strap", "swap:phase-leads-front-left", "swap:phase-leads-front-right",
    "swap:phase-leads-rear-left", "swap:phase-leads-rear-right", "swap:propeller-front-left",
    "swap:propeller-front-right", "swap:propeller-rear-left", "swap:propeller-rear-right",
    "swap:regulator", "swap:sensor-mount", "swap:signal-lead-front-left",
    "swap:signal-lead-front-right", "swap:signal-lead-rear-left", "swap:signal-lead-rear-right",
    "swap:transmitter-pack", "swap:wire-tie-front-left", "swap:wire-tie-front-right",
    "swap:wire-tie-rear-left", "swap:wire-tie-rear-right", "wait",
]
"""A fix as `sim.session.fixes` spells it."""

ThreatKey = Literal[
    "answers-unlike-the-hand", "attitude-misjudged", "charged-alone", "comes-loose",
    "corner-gives-way", "corrects-wrong-way", "cut-too-late", "hand-between-blades", "hurt-pack",
    "lifts-unevenly", "link-lost", "motors-mixed-up", "pack-not-up-to-it", "people-in-reach",
    "plus-and-minus", "power-lost-on-the-way", "repair-untried", "room-takes-part",
    "senses-led-astray", "shakes-or-slack", "switch-on-at-power", "throttle-astray",
]
"""A way to an unwanted event, of `sim.procedure.bowties`."""

BarrierKey = Literal[
    "abort-rehearsed", "arming-rules", "blades", "charge-watched", "compass-under-load",
    "cut-tried", "drives-touched", "failsafe-seen", "hands-agreed", "heading-read",
    "lead-measured", "level-read", "light-gate", "link-first", "load-test", "log-read",
    "meter-compared", "motor-places", "pack-look", "pad-surveyed", "people-asked",
    "propellers-off", "rails-read", "range-walked", "room-read", "sense-by-stick", "sense-by-tilt",
    "settings", "siblings-compared", "snapped", "sticks-read", "tugged", "warmed-up", "weighed",
]
"""What holds a threat back, of `sim.procedure.barriers`."""

MitigationKey = Literal[
    "clamp", "distance", "fire-box", "goggles", "low", "spotter", "stop-switch",
]
"""What softens an event, of `sim.procedure.barriers`."""

HazardKey = Literal[
    "area-unread", "arm-failsafe-untested", "arm-person-inside-ring", "arm-stop-untested",
    "charge-unattended", "crashed", "flew-at-pilot", "flew-on-past-alarm", "flew-too-high",
    "fly-damaged-pack", "fly-known-fault", "fly-unproved-fix", "hand-in-disc-armed",
    "hands-on-live", "interlock-defeated", "no-abort-within-2s", "no-abort-word", "no-goggles",
    "no-spotter", "power-with-props-on", "still-plugged", "swollen-pack-plugged",
    "wrong-polarity-plugged",
]
"""A kind of unsafe conduct, of `sim.procedure.hazards`."""
