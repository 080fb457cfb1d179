"""By hand: what is read while the aircraft stands alone: on the plate, on the pad."""

from sim.bench.byhand.spans import calm, nose_near
from sim.bench.checks.attitude import ANGLES, PAD_S, STAND_S, crept_deg, level_told, look_told
from sim.bench.person import Subject, senses
from sim.bench.reading import Reading, not_read
from sim.bench.recorded import Form, Mask, Recorded, longest
from sim.bench.rig import Rig
from sim.errors import Refusal
from sim.keys import CheckKey

WAYS_DEG = {"ahead": 0.0, "turned": 180.0}  # deg; how it is set down on the plate
ROUND_DEG = 20.0  # deg; own: turned round by eye


def standing(recorded: Recorded) -> Mask:
    """Tell for each row whether it stood on its legs, powered and disarmed."""
    stood = recorded.each(
        lambda s: s.conduct.hold == "standing" and s.conduct.pack_plugged and not s.armed
    )
    return stood > 0.0


def level_and_still(rig: Rig, recorded: Recorded) -> Reading:
    """Read level and rates at the end of the longest stand each way round."""
    whole = recorded.whole
    alone = standing(recorded) & calm(whole)
    stands = {
        name: stand
        for name, way in WAYS_DEG.items()
        if (stand := longest(recorded.where(alone & nose_near(whole, way, ROUND_DEG), STAND_S)))
    }
    if not stands:
        raise Refusal(
            "It has not stood long enough: let it stand alone until the display is still, then "
            "turn it half round on the plate and let it stand again.",
            "held_still",
        )
    rng = senses(rig, Subject.LEVEL)
    values: dict[str, float] = {}
    for name, span in stands.items():
        values |= level_told(rig, rng, name, span.history.last(STAND_S))
    latest = max(stands.values(), key=lambda span: span.ends_s)
    values["crept_deg"] = crept_deg(rng, latest.history.last(STAND_S))
    lines = [f"{what}_{name}" for name in WAYS_DEG for what in (*ANGLES, "rate")]
    units = {"rate": "deg_s"}
    named = [f"{line}_{units.get(line.split('_')[0], 'deg')}" for line in lines]
    return Reading("level-and-still", values, missing=not_read(named, values))


def pad_look(rig: Rig, recorded: Recorded) -> Reading:
    """Read level, heading and rate at the end of the longest time it stood alone on the pad."""
    on_pad = recorded.each(lambda s: s.conduct.place == "pad") > 0.0
    look = longest(recorded.where(on_pad & standing(recorded) & calm(recorded.whole), PAD_S))
    if look is None:
        raise Refusal(
            "Stand back and wait until the display is still: a few seconds.", "held_still"
        )
    return look_told(rig, look.history.last(PAD_S))


FORMS: dict[CheckKey, Form] = {"level-and-still": level_and_still, "pad-look": pad_look}
