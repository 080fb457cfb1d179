"""The file itself: a ZIP archive of a few members with fixed names, and a list of them with digests.

The archive has no comment, no folders, nothing beside its members, and its list `manifest.json` comes
first: of each member its length and SHA-256, and over all of the list another SHA-256. The digests find
damage; they do not prove who made the file. Of a file from anywhere nothing is believed: it is read in
small pieces up to fixed limits, and no name in it is ever used as a place on the disk.

Format: ZIP as in ISO/IEC 21320-1, by the standard library.
"""

import hashlib
import io
import json
import struct
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import Path
from stat import S_IFMT, S_IFREG
from typing import Annotated, Literal, NamedTuple, NoReturn

from pydantic import Field, ValidationError

from sim.aircraft.fields import FILE_NAME, Line, Strict
from sim.errors import InputError, Problem, shown

EXTENSION = ".dryhop"
MANIFEST = "manifest.json"
MOST_BYTES = 1 << 26  # bytes, packed, and all members unpacked; own: some times a very long evening
MOST_MANIFEST = 1 << 14  # bytes; own: ten times the longest list
MOST_MEMBERS = 8  # own: more than any kind has
MOST_LISTED = 1 << 12  # bytes; own: five times what the archive's own list of as many members takes
MOST_RATIO = 100  # 1; own: text of ours packs to a tenth; deflate of one letter to a thousandth
PIECE = 1 << 16  # bytes read at once; own
EPOCH = (
    1980,
    1,
    1,
    0,
    0,
    0,
)  # the earliest time an archive knows: the same content, the same bytes
PLAIN_FILE = (S_IFREG | 0o644) << 16  # as archives keep the mode of a file
END = struct.Struct("<4s4H2LH")  # the last record of an archive (the ZIP application note, 4.3.16)
FAR_END = b"PK\x06\x07"  # begins the locator of an archive larger than 4 GB, just before the last
FAR_END_BYTES = 20  # bytes; as above, its length
READ_FAILS = (
    zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError,
    KeyError, OverflowError, struct.error, UnicodeDecodeError,
)  # fmt: skip

Kind = Literal["run", "drill"]
Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
Name = Annotated[str, Field(pattern=FILE_NAME)]
"""What a file may be called: small letters, digits and dashes, so that it is one on every system."""


class Member(Strict):
    """One file inside: its length, bytes, and its SHA-256."""

    bytes: Annotated[int, Field(ge=0, le=MOST_BYTES)]
    sha256: Digest


class Manifest(Strict):
    """The list of what is inside. ended : when a run was over, seconds since 1970, UTC."""

    kind: Kind
    name: Name
    dryhop: Line
    ended: Annotated[float, Field(ge=0, lt=1e11)] | None = None
    members: Annotated[dict[Line, Member], Field(min_length=1, max_length=MOST_MEMBERS)]
    sha256: Digest

    def text(self) -> str:
        """Return the list as its file holds it."""
        return json.dumps(self.model_dump(), indent=1) + "\n"

    @property
    def right_digest(self) -> str:
        """The SHA-256 over everything in it but that itself."""
        rest = self.model_dump(exclude={"sha256"})
        return sha256(json.dumps(rest, sort_keys=True, separators=(",", ":")).encode())


class Content(NamedTuple):
    """What a file holds: its list, and its members by name."""

    manifest: Manifest
    members: Mapping[str, bytes]


def sha256(data: bytes) -> str:
    """Return the SHA-256 of some bytes, in hex."""
    return hashlib.sha256(data).hexdigest()


def refuse(path: Path, rule: str, key: str = "", value: object = ...) -> NoReturn:
    """Raise the InputError that says what is wrong with a shared file."""
    text = "" if value is ... else shown(value)
    raise InputError((Problem(str(path), None, key, text, rule),))


# --- packing -------------------------------------------------------------------------------------


def listed(
    kind: Kind, name: str, dryhop: str, members: Mapping[str, bytes], ended: float | None
) -> Manifest:
    """Return the list of some members."""
    inside = {key: Member(bytes=len(data), sha256=sha256(data)) for key, data in members.items()}
    blank = Manifest(
        kind=kind, name=name, dryhop=dryhop, ended=ended, members=inside, sha256="0" * 64
    )
    return blank.model_copy(update={"sha256": blank.right_digest})


def packed(content: Content) -> bytes:
    """Return the file that holds this; the same content gives the same bytes."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        whole = {MANIFEST: content.manifest.text().encode(), **content.members}
        for name, data in whole.items():
            info = zipfile.ZipInfo(name, EPOCH)
            info.external_attr = PLAIN_FILE
            info.create_system = 3  # made as on POSIX systems, wherever it is made
            small = len(zlib.compress(data)) * MOST_RATIO
            info.compress_type = (
                zipfile.ZIP_DEFLATED if small > 2 * len(data) else zipfile.ZIP_STORED
            )
            archive.writestr(info, data)
    return out.getvalue()


# --- unpacking -----------------------------------------------------------------------------------


def unpacked(path: Path, data: bytes, allowed: Mapping[Kind, Mapping[str, int]]) -> Content:
    """Return what a file holds, every length and digest checked.

    Parameters
    ----------
    path : Path
        What the file is called, for messages.
    data : bytes
        The file, at most `MOST_BYTES` long.
    allowed : mapping
        For each kind, the members it may have and how many bytes each may be long.

    Raises
    ------
    InputError
        With one problem, if anything is not as `packed` makes it.
    """
    _require_end(path, data)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = archive.infolist()
            if not infos or infos[0].filename != MANIFEST:
                refuse(path, f"no shared file: {MANIFEST} does not come first")
            manifest = _manifest(path, _read(path, archive, infos[0], MOST_MANIFEST))
            sizes = allowed[manifest.kind]
            members: dict[str, bytes] = {}
            left = MOST_BYTES
            for info in infos[1:]:
                name = info.orig_filename
                if name not in sizes or name not in manifest.members:
                    refuse(path, f"a {manifest.kind} has no such member", name)
                if name in members:
                    refuse(path, "a member that is there twice", name)
                if info.file_size > left:
                    refuse(path, f"too large: all members together more than {MOST_BYTES} bytes")
                members[name] = _read(path, archive, info, min(sizes[name], left))
                left -= len(members[name])
    except READ_FAILS as error:
        refuse(path, f"not readable as an archive: {str(error)[:100] or type(error).__name__}")
    _require_digests(path, manifest, members)
    return Content(manifest, members)


def _require_end(path: Path, data: bytes) -> None:
    """Refuse what does not end as archives of ours do, before anything of it is read."""
    if len(data) > MOST_BYTES:
        refuse(path, f"too large: more than {MOST_BYTES} bytes")
    tail = data[-END.size :]
    if len(tail) < END.size or not tail.startswith(b"PK\x05\x06"):
        refuse(path, "no shared file: it does not end as one")
    _, disk, first, here, count, size, offset, comment = END.unpack(tail)
    far = data[-END.size - FAR_END_BYTES :].startswith(FAR_END)
    if disk or first or comment or far or here != count or offset + size + END.size != len(data):
        refuse(path, "no shared file: an archive of another make")
    if count > MOST_MEMBERS + 1 or size > MOST_LISTED:  # the count may be a lie
        refuse(path, f"too much in it: more than {MOST_MEMBERS} members")


def _read(path: Path, archive: zipfile.ZipFile, info: zipfile.ZipInfo, most: int) -> bytes:
    """Return a member, read in pieces up to a length."""
    name = info.orig_filename
    mode = S_IFMT(info.external_attr >> 16)
    if info.flag_bits & 1 or mode not in (0, S_IFREG):
        refuse(path, "not a plain member: locked, a link or a folder", name)
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        refuse(path, "packed in another way than deflate", name)
    most = min(most, MOST_RATIO * max(1, info.compress_size))
    if info.file_size > most:
        refuse(path, f"too large: more than {most} bytes", name)
    found = io.BytesIO()
    with archive.open(info) as member:
        while piece := member.read(PIECE):
            if found.tell() + len(piece) > most:
                refuse(path, f"too large: more than {most} bytes", name)
            found.write(piece)
    return found.getvalue()


def _manifest(path: Path, data: bytes) -> Manifest:
    try:
        manifest = Manifest.model_validate_json(data, strict=True)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        at = ".".join(map(str, first["loc"]))[:80]
        refuse(path, f"{MANIFEST} is not as it should be: {first['msg'][:100]}", at)
    if manifest.sha256 != manifest.right_digest:
        refuse(path, f"damaged, or changed by hand: {MANIFEST} does not have the digest it states")
    return manifest


def _require_digests(path: Path, manifest: Manifest, members: Mapping[str, bytes]) -> None:
    """Refuse members that are not those of the list."""
    for name, stated in manifest.members.items():
        if name not in members:
            refuse(path, "a member on the list is missing", name)
        data = members[name]
        if len(data) != stated.bytes or sha256(data) != stated.sha256:
            refuse(path, "damaged, or changed by hand: it does not have the digest stated", name)
