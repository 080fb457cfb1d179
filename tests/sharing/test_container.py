"""The file itself: what goes in comes out, and everything that is not as we make it is refused."""

import io
import json
import struct
import zipfile

import pytest

from sim.aircraft.fields import slug
from sim.errors import InputError
from sim.sharing import container
from sim.sharing.container import (
    END,
    MANIFEST,
    MOST_BYTES,
    MOST_MANIFEST,
    MOST_MEMBERS,
    MOST_RATIO,
    Content,
    Kind,
    listed,
    packed,
    sha256,
    unpacked,
)

ALLOWED: dict[Kind, dict[str, int]] = {
    "run": {"a.txt": 1000, "b.txt": 200_000},
    "drill": {"drill.yaml": 1000},
}
MEMBERS = {"a.txt": b"first\n", "b.txt": b"second\n" * 3}
SYMLINK = 0o120777 << 16


def content(members=None, name="evening"):
    members = MEMBERS if members is None else members
    return Content(listed("run", name, "1.0", members, 5.0), members)


def opened(tmp_path, data):
    return unpacked(tmp_path / "f.dryhop", data, ALLOWED)


def archive(entries, comment=b""):
    """Return an archive of (name or info, data), written as they are."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for info, data in entries:
            made.writestr(info, data)
        made.comment = comment
    return out.getvalue()


def with_manifest(inside, /, **changes):
    """Return an archive with a list of right digests over these members, some of it changed."""
    manifest = json.loads(content(dict(inside)).manifest.text()) | changes
    rest = {key: value for key, value in manifest.items() if key != "sha256"}
    told = json.dumps(rest, sort_keys=True, separators=(",", ":")).encode()
    if "sha256" not in changes:
        manifest["sha256"] = sha256(told)
    return archive([(MANIFEST, json.dumps(manifest)), *inside.items()])


def refused(tmp_path, data, says):
    with pytest.raises(InputError) as told:
        opened(tmp_path, data)
    [problem] = told.value.problems
    assert says in str(problem)
    assert str(problem).startswith(str(tmp_path / "f.dryhop"))


def test_what_goes_in_comes_out_and_the_same_gives_the_same_bytes(tmp_path):
    data = packed(content())
    assert data == packed(content())
    found = opened(tmp_path, data)
    assert found == content()
    assert zipfile.ZipFile(io.BytesIO(data)).namelist() == [MANIFEST, "a.txt", "b.txt"]


def test_what_packs_too_well_is_stored_so_that_it_can_be_opened(tmp_path):
    even = {"a.txt": b"", "b.txt": b"0" * 200_000}
    data = packed(content(even))
    assert len(data) > 200_000
    assert opened(tmp_path, data).members == even


def test_its_digests_are_those_of_another_program(tmp_path):
    assert sha256(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    # FIPS 180-2, appendix B.1: the digest of "abc"


@pytest.mark.parametrize(
    "name",
    [
        "../a.txt", "/etc/passwd", "..\\a.txt", "C:\\a.txt", "a.txt/", "x/a.txt", "a.txt\x00.png",
        "A.TXT", "a.txt ", "a\u202e.txt", "\x1b[2Ja.txt", "", ".", "nul", "manifest.json",
    ],
)  # fmt: skip
def test_no_name_but_the_fixed_ones_is_taken(tmp_path, name):
    info = zipfile.ZipInfo("placeholder.txt")
    data = archive([(MANIFEST, content().manifest.text()), (info, b"x")])
    raw = name.encode()[:15].ljust(15, b" ") if len(name.encode()) != 15 else name.encode()
    data = data.replace(b"placeholder.txt", raw)
    refused(tmp_path, data, "")


@pytest.mark.parametrize("name", ["../a.txt", "/etc/passwd", "..\\a.txt", "a.txt/", "nul"])
def test_a_name_on_its_own_list_is_no_better(tmp_path, name):
    refused(tmp_path, with_manifest({name: b"x"}), "no such member")


def test_a_member_twice(tmp_path):
    with pytest.warns(UserWarning, match="Duplicate name"):
        data = archive(
            [(MANIFEST, content().manifest.text()), *MEMBERS.items(), ("a.txt", b"first\n")]
        )
    refused(tmp_path, data, "twice")


def test_a_member_that_is_a_link_a_folder_or_locked(tmp_path):
    for bad in (SYMLINK, 0o040755 << 16, 0o010644 << 16):
        info = zipfile.ZipInfo("a.txt")
        info.external_attr = bad
        data = archive([(MANIFEST, content().manifest.text()), (info, b"first\n")])
        refused(tmp_path, data, "not a plain member")
    data = bytearray(packed(content()))
    for mark, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        where = data.rfind(mark)
        data[where + at] |= 1
    refused(tmp_path, bytes(data), "not a plain member")


@pytest.mark.parametrize("way", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_another_way_of_packing(tmp_path, way):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", way) as made:
        made.writestr(MANIFEST, content().manifest.text())
    refused(tmp_path, out.getvalue(), "another way than deflate")


def test_a_bomb_is_left_before_it_is_unpacked(tmp_path):
    bomb = b"0" * 190_000
    told = content({"b.txt": bomb}).manifest.text()
    data = archive([(MANIFEST, told), ("b.txt", bomb)])
    assert len(data) < 190_000 / MOST_RATIO
    refused(tmp_path, data, "too large")


def test_a_length_that_is_a_lie(tmp_path):
    data = bytearray(archive([(MANIFEST, content().manifest.text()), ("a.txt", b"0" * 3000)]))
    for mark, at in ((b"PK\x03\x04", 22), (b"PK\x01\x02", 24)):
        where = data.rfind(mark)
        data[where + at : where + at + 4] = struct.pack("<L", 6)
    refused(tmp_path, bytes(data), "")


def test_just_at_the_limit_and_one_byte_over(tmp_path):
    fits = {"a.txt": bytes(range(250)) * 4}
    assert opened(tmp_path, packed(content(fits))).members == fits
    refused(tmp_path, packed(content({"a.txt": fits["a.txt"] + b"!"})), "more than 1000 bytes")


def test_members_that_are_too_large_only_together(tmp_path, monkeypatch):
    """Each has its own limit, and a bomb may be cut into as many as are allowed."""
    inside = {"a.txt": b"1" * 600, "b.txt": b"2" * 500}
    monkeypatch.setattr(container, "MOST_BYTES", 1100)
    monkeypatch.setattr(
        container, "_require_end", lambda path, data: None
    )  # nor packed is it larger
    assert opened(tmp_path, packed(content(inside))).members == inside
    inside["b.txt"] += b"2"
    refused(tmp_path, packed(content(inside)), "all members together more than 1100 bytes")


def test_more_members_than_the_archive_counts_are_not_even_listed(tmp_path, monkeypatch):
    """The last record says how many there are; what lists them may hold a million more."""
    data = archive([(f"{n}.txt", b"") for n in range(3000)])
    *head, _, _, size, offset, comment = END.unpack(data[-END.size :])
    forged = data[: -END.size] + END.pack(*head, 3, 3, size, offset, comment)
    read = []
    monkeypatch.setattr(zipfile, "ZipFile", lambda *_: read.append(1))
    refused(tmp_path, forged, "too much in it")
    assert read == []


def test_a_file_too_large_is_not_looked_into(tmp_path):
    refused(tmp_path, b"\x00" * (MOST_BYTES + 1), "too large")


def test_a_list_too_long(tmp_path):
    long = content().manifest.text() + " " * MOST_MANIFEST
    refused(tmp_path, archive([(MANIFEST, long)]), "too large")
    many = [(f"m{n}.txt", b"") for n in range(MOST_MEMBERS + 1)]
    refused(tmp_path, archive([(MANIFEST, "{}"), *many]), "too much in it")


def test_an_archive_of_another_make(tmp_path):
    good = packed(content())
    refused(tmp_path, b"", "does not end as one")
    refused(tmp_path, good[:-1], "does not end as one")
    refused(tmp_path, good + b"\n", "does not end as one")
    refused(tmp_path, b"junk" + good, "another make")
    refused(tmp_path, archive([("a.txt", b"")], comment=b"hello"), "")
    refused(tmp_path, archive([("a.txt", b"first\n")]), "does not come first")
    refused(tmp_path, archive([]), "does not come first")
    ends = list(END.unpack(good[-END.size :]))
    for field, value in ((1, 1), (2, 1), (3, 9), (4, 9), (5, 7), (6, 7)):
        other = [*ends[:field], value, *ends[field + 1 :]]
        refused(tmp_path, good[: -END.size] + END.pack(*other), "another make")
    far = b"PK\x06\x07" + b"\x00" * 16
    ends[5] += len(far)
    refused(tmp_path, good[: -END.size] + far + END.pack(*ends), "another make")


def test_damage_is_found_wherever_it_is(tmp_path):
    good = packed(content({"a.txt": bytes(range(250))}))
    for at in range(len(good)):
        bad = bytearray(good)
        bad[at] ^= 0x40
        try:
            found = opened(tmp_path, bytes(bad))
        except InputError:
            continue
        assert found.members == {"a.txt": bytes(range(250))}  # a time or a mode says nothing
        assert found.manifest == content({"a.txt": bytes(range(250))}).manifest


def test_members_that_are_not_those_of_the_list(tmp_path):
    told = content().manifest.text()
    changed = MEMBERS | {"b.txt": b"SECOND\n" * 3}
    refused(tmp_path, archive([(MANIFEST, told), *changed.items()]), "digest stated")
    refused(tmp_path, archive([(MANIFEST, told), ("a.txt", b"first\n")]), "is missing")
    swapped = {"a.txt": MEMBERS["b.txt"], "b.txt": MEMBERS["a.txt"]}
    refused(tmp_path, archive([(MANIFEST, told), *swapped.items()]), "digest stated")


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"kind": "program"}, "kind"),
        ({"name": "../x"}, "name"),
        ({"name": "a\x1b[2J"}, "name"),
        ({"name": ""}, "name"),
        ({"dryhop": "1\u202e"}, "dryhop"),
        ({"ended": -1}, "ended"),
        ({"ended": 1e300}, "ended"),
        ({"ended": 10**400}, "ended"),
        ({"ended": "now"}, "ended"),
        ({"members": {}}, "members"),
        ({"members": {"a.txt": {"bytes": 6, "sha256": "x"}}}, "sha256"),
        ({"members": {"a.txt": {"bytes": -6, "sha256": "0" * 64}}}, "bytes"),
        ({"members": {"a.txt": {"bytes": 10**30, "sha256": "0" * 64}}}, "bytes"),
        ({"more": 1}, "more"),
        ({"sha256": "0" * 64}, "does not have the digest it states"),
        ({"sha256": "zz"}, "sha256"),
    ],
)
def test_a_list_that_is_not_as_it_should_be(tmp_path, changes, says):
    refused(tmp_path, with_manifest(MEMBERS, **changes), says)


@pytest.mark.parametrize("told", [b"", b"[]", b"null", b"\xff", b"[" * 9000, b'{"a":' * 2000])
def test_a_list_that_is_none(tmp_path, told):
    refused(tmp_path, archive([(MANIFEST, told)]), "")


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("First evening", "first-evening"),
        ("../../etc/passwd", "etc-passwd"),
        ("Zum schönen Abend!", "zum-sch-nen-abend"),
        ("", "shared"),
        ("\x1b[31m", "31m"),
        ("-" * 80 + "a", "a"),
        ("a" * 80, "a" * 60),
    ],
)
def test_a_name_is_one_on_every_system(text, name):
    assert slug(text) == name
    assert content(name=slug(text)).manifest.name == name
