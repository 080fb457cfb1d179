"""By hand: what is read while the aircraft is turned and held: marks, field, faces."""

from dataclasses import replace

import numpy as np

from sim.bench.byhand.spans import calm, nose_near, tilted_near
from sim.bench.checks.attitude import (
    MARK_S,
    MARKS_DEG,
    TURN_MARKS,
    field_told_ut,
    mark_told,
    marks_reading,
    turn_reading,
)
from sim.bench.checks.handling import FACE_S, FACES, face_told
from sim.bench.person import Subject, senses
from sim.bench.reading import Reading, not_read
from sim.bench.recorded import Form, Mask, Recorded, longest
from sim.bench.rig import History, Rig
from sim.errors import Refusal
from sim.keys import CheckKey
from sim.units import RAD_PER_DEG

LEVEL_DEG = 10.0  # deg; own: held by eye; heading and field are read with the tilt taken out
OVER_MARK_DEG = 10.0  # deg; own: an eye allows for a nose that is not quite over the mark
PASSES_DEG = 5.0  # deg; own: near enough to a mark of the turn to be read there
FACE_DEG = 20.0  # deg; own: a face is plain; gravity's size does not hang on the angle
LEAST_MARKS = 3  # 1; own: a quarter of the turn, less is no turn


def in_hands(recorded: Recorded) -> Mask:
    """Tell for each row whether it was held in the hands, under power."""
    held = recorded.each(lambda s: s.conduct.hold == "hands" and s.conduct.pack_plugged)
    return held > 0.0


def heading_marks(rig: Rig, recorded: Recorded) -> Reading:
    """Read the heading where the nose was held still over a mark, the longest time for each."""
    whole = recorded.whole
    ready = in_hands(recorded) & calm(whole) & tilted_near(whole, 0.0, 0.0, LEVEL_DEG)
    found = {
        name: longest(recorded.where(ready & nose_near(whole, mark, OVER_MARK_DEG), MARK_S))
        for name, mark in MARKS_DEG.items()
    }
    over = {name: span.history.last(MARK_S) for name, span in found.items() if span}
    if not over:
        raise Refusal(
            "No mark has been read: hold it level and still with the nose over a mark until the "
            "heading has settled, then go on to the next.",
            "moved",
        )
    rng = senses(rig, Subject.MARKS)
    values: dict[str, float] = {}
    for name, seen in over.items():
        nose_deg = float(np.unwrap(seen["heading_rad"]).mean()) / RAD_PER_DEG
        values |= mark_told(rig, rng, name, nose_deg, seen)
    lines = [f"{name}_{what}" for name in MARKS_DEG for what in ("off_deg", "field_ut")]
    return replace(marks_reading(rig, values), missing=not_read(lines, values))


def field_turn(rig: Rig, recorded: Recorded) -> Reading:
    """Read the field where the nose came by each twelfth of the turn, held level."""
    whole = recorded.whole
    level = in_hands(recorded) & tilted_near(whole, 0.0, 0.0, LEVEL_DEG)
    passed = {}
    for k in range(TURN_MARKS):
        heading = 360.0 * k / TURN_MARKS
        rows = whole.rows[level & nose_near(whole, heading, PASSES_DEG)]
        if len(rows):
            passed[heading] = History(rows)
    if len(passed) < LEAST_MARKS:
        raise Refusal(
            "It has hardly been turned: hold it level and turn the nose once right round.", "moved"
        )
    rng = senses(rig, Subject.FIELD)
    sizes = [field_told_ut(rig, rng, seen) for seen in passed.values()]
    reading = turn_reading(rig, list(passed), sizes)
    return replace(reading, missing=not_read(["once_a_turn_ut", "twice_a_turn_ut"], reading.values))


def six_faces(rig: Rig, recorded: Recorded) -> Reading:
    """Read gravity on each face it was held still on, the longest time for each."""
    whole = recorded.whole
    still = in_hands(recorded) & calm(whole)
    found = {
        name: longest(recorded.where(still & tilted_near(whole, roll, pitch, FACE_DEG), FACE_S))
        for name, (roll, pitch) in FACES.items()
    }
    on = {name: span.history.last(FACE_S) for name, span in found.items() if span}
    if not on:
        raise Refusal(
            "No face has been read: hold it still on one face for two seconds, then on the next.",
            "held_still",
        )
    rng = senses(rig, Subject.FACES)
    values: dict[str, float] = {}
    for name, seen in on.items():
        values |= face_told(rig, rng, name, seen)
    return Reading("six-faces", values, missing=not_read([f"{n}_m_s2" for n in FACES], values))


FORMS: dict[CheckKey, Form] = {
    "heading-marks": heading_marks,
    "field-turn": field_turn,
    "six-faces": six_faces,
}
