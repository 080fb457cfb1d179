"""Same scenario, seed and actions give the same bits; the journal proves it, or says where not."""

from contextlib import suppress

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.cli import main
from sim.runs import replay
from sim.session import actions as act
from sim.session.envelope import SCENARIO
from sim.session.journal import (
    JOURNAL,
    TRACE,
    Differs,
    Recorder,
    apply,
    digest,
    entries,
    step_of,
)
from sim.session.scenario import load
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.others import random_action, random_sticks, to_the_pad


def test_an_untouched_run_replays(short):
    assert replay(short) == 200 + 500 + 2600 + 50  # ticks: switch on, carry, plug in, sticks


def fingerprint(seed, drill="club-loaner"):
    rng, session = np.random.default_rng(seed), Session(load(drill), seed)
    hands = Hands(session, session)
    for _ in range(60):
        hands.tries(random_action(rng))
        session.advance(random_sticks(rng), 0.04)
    return session.rig.fingerprint()


def test_same_seed_same_bits_other_seed_other_bits():
    assert fingerprint(5) == fingerprint(5)
    assert fingerprint(5) != fingerprint(6)


def test_looking_changes_nothing(done):
    looked, blind = done("on plug"), done("on plug")
    for _ in range(3):
        looked.view()
        looked.truth()
        looked.record()
    for session in (looked, blind):
        session.do(act.Read(check="steady-throttle"))
    assert looked.rig.fingerprint() == blind.rig.fingerprint()


def flipped(path, byte, bit):
    content = bytearray(path.read_bytes())
    content[byte % len(content)] ^= 1 << bit
    path.write_bytes(content)


def test_every_flip_of_a_journal_bit_that_leaves_text_breaks_the_chain(short):
    """All of them, on the reader alone; the replays below are samples of the same."""
    good = (short / JOURNAL).read_bytes()
    assert len(list(entries(good.decode()))) == good.count(b"\n")
    passed = []
    for place in range(8 * len(good)):
        bad = bytearray(good)
        bad[place // 8] ^= 1 << place % 8
        try:
            text = bad.decode()
        except UnicodeDecodeError:
            continue
        with suppress(Differs):
            passed.append((place, len(list(entries(text)))))
    assert passed == []


@pytest.mark.parametrize("name", [JOURNAL, SCENARIO, TRACE])
def test_one_bit_makes_replay_name_a_tick(short, name):
    path = short / name
    good = path.read_bytes()

    @settings(max_examples=150, deadline=None, database=None)
    @given(st.integers(0, len(good) - 1), st.integers(0, 7))
    def differs(byte, bit):
        try:
            flipped(path, byte, bit)
            with pytest.raises(Differs, match=r"differs at tick \d+"):
                replay(short)
        finally:
            path.write_bytes(good)

    differs()


# 0x80 of any ASCII byte leaves UTF-8; the others leave other letters, or break YAML and JSON
@pytest.mark.parametrize("bit", [0, 6, 7])
@pytest.mark.parametrize("name", [JOURNAL, SCENARIO, TRACE])
def test_the_command_says_so_in_one_line(copied, name, bit, monkeypatch, capsys):
    flipped(copied / name, 20, bit)
    monkeypatch.setattr("sys.argv", ["dryhop", "replay", str(copied)])
    with pytest.raises(SystemExit) as ended:
        main()
    said = capsys.readouterr()
    assert ended.value.code == 1
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert "tick" in said.err


JUNK = {
    "blank line": b"\n",
    "half a line": b"x",
    "empty object": b"{}\n",
    "a number": b"5\n",
    "not UTF-8": b"\xff\n",
    "deep": b"[" * 100_000 + b"\n",
    "endless tick": b'{"tick":1e999,"~":"0"}\n',
    "no number": b'{"tick":NaN,"~":"0"}\n',
    "zero byte": b"\0\n",
}


@pytest.mark.parametrize("junk", JUNK.values(), ids=JUNK)
def test_junk_after_the_end_is_noticed(copied, junk):
    with (copied / JOURNAL).open("ab") as file:
        file.write(junk)
    with pytest.raises(Differs, match=r"at tick \d+"):
        replay(copied)


@pytest.mark.parametrize("lines", range(9))
@pytest.mark.parametrize("extra", [0, 9])
def test_a_cut_journal_is_noticed(copied, lines, extra):
    kept = (copied / JOURNAL).read_bytes().splitlines(keepends=True)
    assert len(kept) > 9
    (copied / JOURNAL).write_bytes(b"".join(kept[:lines]) + kept[lines][:extra])
    with pytest.raises(Differs):
        replay(copied)


def test_lines_repeated_dropped_or_swapped_are_noticed(copied):
    lines = (copied / JOURNAL).read_bytes().splitlines(keepends=True)
    for changed in (
        [*lines, lines[-1]],
        [lines[0], *lines[2:]],
        [lines[0], lines[2], lines[1], *lines[3:]],
    ):
        (copied / JOURNAL).write_bytes(b"".join(changed))
        with pytest.raises(Differs):
            replay(copied)


@pytest.mark.parametrize("name", [JOURNAL, SCENARIO, TRACE])
def test_other_line_ends_are_other_bits(copied, name):
    path = copied / name
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    with pytest.raises(Differs):
        replay(copied)


def test_a_missing_trace_is_noticed(copied):
    (copied / TRACE).unlink()
    with pytest.raises(Differs):
        replay(copied)


def fitted_by_corner(hands):
    """Fit by corner: two exchanged, spares that may be bad, one only finger-tight."""
    hands.do(act.SwitchTransmitter(on=True))
    hands.do(act.FitProp(place="front_left", piece="front_right"))
    hands.do(act.RemoveProp(place="front_left"))
    hands.do(act.FitProp(place="front_left", piece="spare-left-hand"))
    hands.do(act.FitProp(place="front_right", piece="spare-right-hand"))
    hands.do(act.FitProp(place="rear_right", piece="rear_right"))
    hands.do(act.FitProp(place="rear_left", piece="rear_left", tightness="finger-tight"))


def test_corners_bad_spares_and_a_second_hop_replay_bit_for_bit(sticks):
    drill = load("quiet-morning").model_copy(update={"bad_spares": 0.9})
    lines: list[str] = []
    session = Session(drill, 4)
    recorder = Recorder(session, lines.append, "quiet-morning")
    hands = Hands(recorder, session)
    fitted_by_corner(hands)
    built = session.rig.world.build
    for _ in range(2):
        to_the_pad(hands)
        hands.do(act.Arm())
        while session.phase != "hop":
            hands.fly(sticks(0.6), 0.1)
        hands.fly(sticks(0.35), 1.0)
        hands.do(act.Disarm())
        hands.fly(sticks(), 8.0)
        hands.do(act.UnplugPack())
        hands.do(act.Carry(to="bench", hold="hands"))
        hands.do(act.RemoveProps())
        hands.do(act.Swap(part="propeller-rear-left"))
    assert len(session.record().hops) == 2
    again = Session(drill, 4)
    for entry in list(entries("".join(lines)))[1:]:
        apply(again, step_of(entry))
        assert digest(again.rig.fingerprint()) == entry.content["state"]
    assert again.rig.world == session.rig.world
    assert again.record().hops == session.record().hops
    assert again.record().events == session.record().events
    assert np.array_equal(again.record().track.rows, session.record().track.rows)
    sound = Session(load("quiet-morning"), 4)
    fitted_by_corner(Hands(sound, sound))
    assert sound.rig.world.build != built  # at least one of the spares was bad
