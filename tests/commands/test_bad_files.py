"""Malformed drill files: exit 2 and one line with file, line and key (targets of the design)."""

import pytest

GOOD = """\
title: A drill
story: Nothing much.
purpose: Practise.
origin: invented
faults:
  - {id: rate-gain-high, severity: 0.5}
pack_charge: 0.9
hop:
  height_m: 1.0
  hover_s: 30
"""

# what is replaced, by what, line and words the message must hold
BAD = {
    "wrong unit": ("height_m: 1.0", "height_ft: 3.0", ":9: hop.height_ft", "height_m"),
    "unknown fault": ("rate-gain-high", "rate-gain-hihg", ":6: faults.0.id", "rate-gain-high"),
    "not a number": ("0.9", ".nan", ":7: pack_charge", "finite"),
    "infinite": ("0.9", "1e999", ":7: pack_charge", "finite"),
    "negative": ("hover_s: 30", "hover_s: -30", ":10: hop.hover_s", "-30"),
    "out of range": ("severity: 0.5", "severity: 1.5", ":6: faults.0.severity", "1.5"),
    "text for a number": ("pack_charge: 0.9", 'pack_charge: "0.9"', ":7: pack_charge", "number"),
    "missing key": ("purpose: Practise.\n", "", "purpose", "missing"),
    "unknown key": ("story:", "storey:", ":2: storey", "story"),
    "key twice": ("purpose: Practise.", "title: Again", ":3: title", "line 1"),
    "unknown site": ("hop:", "site: lockup-garag\nhop:", ":8: site", "lockup-garage"),
    "borrowed": ("origin: invented", "origin: borrowed", ":4: origin", "invented"),
    "tab": ("  height_m", "\theight_m", ":9:", "YAML"),
    "tag": ("0.9", "!!python/object/apply:os.getcwd []", ":7: pack_charge", "tag"),
    "second document": ("hop:", "---\nhop:", ":8:", "second document"),
    "a list": (GOOD, "- 1\n- 2\n", ":1:", "key: value"),
    "empty": (GOOD, "", "", "empty"),
    "control character": ("Nothing", "Noth\x00ing", ":2:", "U+0000"),
}


@pytest.fixture
def drill(tmp_path):
    path = tmp_path / "drill.yaml"
    path.write_text(GOOD)
    return path


COMMANDS = (["validate"], ["rehearse", "--stand-in", "clicker", "--json"], ["demo"])


def refused(dryhop, command, path, *words):
    said = dryhop(*command, path)
    assert said.code == 2
    assert said.out == ""
    assert said.err.count("\n") == 1, said.err
    assert said.err.startswith(str(path))
    for word in words:
        assert word in said.err


@pytest.mark.parametrize("command", COMMANDS, ids=lambda c: c[0])
@pytest.mark.parametrize(("old", "new", "place", "says"), BAD.values(), ids=BAD)
def test_malformed(dryhop, drill, command, old, new, place, says):
    assert old in GOOD
    drill.write_text(GOOD.replace(old, new, 1))
    refused(dryhop, command, drill, place, says)


def test_good_is_good(dryhop, drill):
    said = dryhop("validate", drill)
    assert (said.code, said.err) == (0, "")


@pytest.mark.parametrize("command", COMMANDS, ids=lambda c: c[0])
def test_missing_folder_or_huge(dryhop, tmp_path, command):
    refused(dryhop, command, tmp_path / "gone.yaml", "no such file")
    (tmp_path / "folder.yaml").mkdir()
    refused(dryhop, command, tmp_path / "folder.yaml", "folder")
    huge = tmp_path / "huge.yaml"
    with huge.open("wb") as file:
        file.truncate(100 << 20)  # sparse: takes no room on the disk
    refused(dryhop, command, huge, "too large")


def test_alias_bomb(dryhop, drill):
    bomb = ["a: &a [x, x, x, x, x, x, x, x, x]"]
    bomb += [
        f"{b}: &{b} [{', '.join([f'*{a}'] * 9)}]"
        for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    ]
    drill.write_text("\n".join(bomb))
    refused(dryhop, ["validate"], drill, ":1: a", "alias")


def test_deep_and_wide(dryhop, drill):
    drill.write_text("title: " + "[" * 5000 + "]" * 5000)
    refused(dryhop, ["validate"], drill, ":1:", "deeper")
    drill.write_text("title: [" + "0," * 30_000 + "0]")
    refused(dryhop, ["validate"], drill, ":1:", "too much")


def test_not_text(dryhop, drill):
    drill.write_bytes(GOOD.encode() + b"\xff\xfe\n")
    refused(dryhop, ["validate"], drill, ":11:", "UTF-8")


def test_each_wrong_thing_has_its_line_and_good_files_are_still_named(dryhop, drill, tmp_path):
    other = tmp_path / "other.yaml"
    other.write_text(GOOD)
    drill.write_text(GOOD.replace("0.9", "9.0").replace("hover_s: 30", "hover_s: 1"))
    said = dryhop("validate", drill, other)
    assert said.code == 2
    assert [line.split(" ")[0] for line in said.err.splitlines()] == [f"{drill}:7:", f"{drill}:10:"]
    assert "other.yaml: good" in said.out.replace("\n", "")


def test_an_escape_in_a_name_reaches_no_terminal(dryhop, drill):
    drill.write_text(GOOD.replace("rate-gain-high", '"\\e[31mred"'))
    said = dryhop("validate", drill)
    assert said.code == 2
    assert "\x1b" not in said.err


def test_a_map_of_columns_is_known_and_held_to_its_own_rules(dryhop, tmp_path):
    path = tmp_path / "map.yaml"
    good = "airframe: trainer-254mm\nattitude: aboard\ncolumns:\n  time_s: {column: t, unit: ms}\n"
    path.write_text(good)
    said = dryhop("validate", path)
    assert said.code == 0
    assert "map.yaml: good" in said.out.replace("\n", "")
    path.write_text(good.replace("unit: ms", "unit: hours"))
    refused(dryhop, ["validate"], path, ":4:", "columns.time_s.unit")
