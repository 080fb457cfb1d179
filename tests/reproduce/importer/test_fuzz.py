"""Ten thousand spoiled recordings and maps: each ends with an answer or one clear message."""

import random
import re
from functools import cache

import pytest

from sim.aircraft import library
from sim.commands.ends import BAD_INPUT, FINE, NO, ended
from sim.commands.reproduce import confirmed, read
from sim.diagnosis.recordings import Plan, made
from sim.reproduce.importer.converting import recording
from sim.reproduce.importer.guessing import guess, nothing_known
from sim.reproduce.importer.mapping import load_map, map_text
from sim.reproduce.importer.reading import read_table
from tests.reproduce.importer.disguises import disguised

PARTS, EACH = 20, 500  # ten thousand in all, half of them recordings, half maps
SLICE = 60  # of each, in the normal tests
WORDS = (b"", b",", b";", b"\t", b"\n", b"\r", b'"', b"'", b"#", b"\x00", b"\xff", b"\xef\xbb\xbf", b"nan", b"inf", b"-inf", b"1e308", b"-1e400", b"1e-320", b"0x10", b"1_0", b"--1", b"1,5", b"99999999999999999999", b"true", b"12:30:61", b"\xe2\x88\x925", b"\xc2\xa0", b"time", b"roll", b"time_s")  # fmt: skip
YAML_WORDS = (b": ", b"- ", b"{", b"}", b"[", b"]", b"&a", b"*a", b"!!python/object:os.system", b"|", b">", b"%", b"@", b"\t", b"  ", b"null", b"~", b"ask", b"-1", b"1", b"0", b"1e999", b".nan", b"yes", b"!!binary aGk=", b"<<: *a", b"? ", b"\xff", b"\x00", b"\x1b[31m", b"columns:", b"airframe:", b"2024-01-01")  # fmt: skip
WELL = re.compile(r"^\S.*")


@cache
def sample(which):
    """Return a good recording as text, another for each number."""
    flight = made(Plan(seed=which, manoeuvre="takeoff", rate_hz=100)).flight
    return disguised(flight, which)


@cache
def texts(folder):
    """Return [(recording, its map)] as bytes."""
    found = []
    for which in range(4):
        path = folder / "good.csv"
        sample(which).write(path, ".6g")
        table = read_table(path)
        known = nothing_known(library.TRAINER)
        guesses = guess(table, library.airframe(library.TRAINER), known)
        mapping = map_text(guesses.settled(), guesses.bases()).encode()
        lines = path.read_bytes().splitlines(keepends=True)
        found.append((b"".join(lines[:1] + lines[250:450]), mapping))
    return found


def spoiled(data, words, chance):
    """Return bytes changed in one of the ways in which files come to be wrong."""
    text = bytearray(data)
    for _ in range(chance.choice((1, 1, 2, 5, 40))):
        at = chance.randrange(len(text) + 1)
        match chance.randrange(7):
            case 0:
                text[at : at + chance.randrange(4)] = chance.choice(words)
            case 1:
                text[at : at + chance.randrange(1, 200)] = b""
            case 2:
                text[at:at] = text[at : at + chance.randrange(1, 400)]
            case 3:
                text[at : at + 1] = bytes([chance.randrange(256)])
            case 4:
                lines = text.split(b"\n")
                chance.shuffle(lines)
                text = bytearray(b"\n".join(lines))
            case 5:
                one = chance.choice(words)
                text = text.replace(chance.choice((b",", b"0", b":", b" ", b".")), one, chance.randrange(50))  # fmt: skip
            case 6:
                del text[at:]
        text = text or bytearray(b"\n")
    return bytes(text)


def answered(path, mapping):
    """Read a recording, with a map if there is one, into our columns."""
    table, guesses = read(path, mapping, None)
    kept = recording(table, confirmed(guesses, True, None))
    kept.text()
    return FINE


def tried(folder, capfd, seed, maps):
    chance = random.Random(seed)
    data, mapping = chance.choice(texts(folder))
    path, map_path = folder / "r.csv", folder / "map.yaml"
    path.write_bytes(data if maps else spoiled(data, WORDS, chance))
    map_path.write_bytes(spoiled(mapping, YAML_WORDS, chance) if maps else mapping)
    code = ended(lambda: answered(path, map_path if maps else None))
    said = capfd.readouterr().err
    assert code in (FINE, NO, BAD_INPUT), seed
    assert (code == FINE) == (not said), seed
    if code != FINE:
        assert WELL.match(said), seed
        assert "Traceback" not in said, seed
    if code == BAD_INPUT:
        assert str(folder) in said or "airframe" in said, (seed, said)
    return code


@pytest.mark.parametrize("maps", [False, True], ids=["recordings", "maps"])
def test_a_slice_of_spoiled_files_ends_with_a_code(tmp_path, capfd, maps):
    codes = {tried(tmp_path, capfd, seed, maps) for seed in range(SLICE)}
    assert BAD_INPUT in codes
    assert NO in codes or FINE in codes


@pytest.mark.slow
@pytest.mark.parametrize("maps", [False, True], ids=["recordings", "maps"])
@pytest.mark.parametrize("part", range(PARTS // 2))
def test_every_spoiled_file_ends_with_a_code(tmp_path, capfd, maps, part):
    for n in range(EACH):
        tried(tmp_path, capfd, 1000 + EACH * part + n, maps)


def test_a_spoiled_map_names_its_file_and_line(tmp_path):
    data, mapping = texts(tmp_path)[0]
    (tmp_path / "r.csv").write_bytes(data)
    bad = mapping.replace(b"unit: ", b"unit: furlongs #", 1)
    (tmp_path / "map.yaml").write_bytes(bad)
    line = bad[: bad.index(b"furlongs")].count(b"\n") + 1
    with pytest.raises(Exception, match=rf"map\.yaml:{line}: columns\.\w+\.unit"):
        load_map(tmp_path / "map.yaml", read_table(tmp_path / "r.csv"))
