"""Where compiled code is kept: a user folder for each state of the sources, place and compiler.

Numba notices an edit of the function it keeps but not of the functions that one calls. Naming the
folder by a hash of all kernel sources removes the trap, and works for read-only installations too.
The name holds all else that makes numba compile anew, but for another processor, so a folder with
compiled code in it means that there is nothing to wait for. Numba itself need not be loaded to ask.
"""

import hashlib
import os
import sys
import tempfile
from contextlib import suppress
from functools import cache
from importlib.metadata import version
from pathlib import Path
from stat import S_ISDIR

from sim.paths import user_cache

SEAL = "seal"
FLIGHT = ("run.run",)  # module and function of what every command flies with
KEPT = (*FLIGHT, "faces.seen", "faces.fill", "faces.halve")
# the same of all that is kept on disk, with what it calls, before a window shows anything


def key(folder: Path) -> str:
    """Return a short hash of what compiled code depends on.

    That is every Python file below `folder` (names and contents), where the folder is and when the
    modules with the kept functions were written, this Python, and the version of the compiler.
    """
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*.py")):
        digest.update(path.relative_to(folder).as_posix().encode())
        digest.update(path.read_bytes())
    modules = sorted({name.partition(".")[0] for name in KEPT})
    written = [(folder / f"{module}.py").stat().st_mtime_ns for module in modules]
    about = (folder.resolve(), written, sys.implementation.cache_tag, version("numba"))
    digest.update(repr(about).encode())
    return digest.hexdigest()[:16]


def cache_dir() -> Path:
    """Return the folder this version's compiled kernels live in (an explicit setting wins).

    It is made if it is not there. Where nothing can be written, a folder of this user's own among
    the temporary files stands in, and if need be one that nobody else knows of.
    """
    name = f"kernel-{key(Path(__file__).parent)}"
    wanted = user_cache()
    user = getattr(os, "geteuid", lambda: "user")()
    for root in (Path(wanted), Path(tempfile.gettempdir()) / f"dryhop-{user}"):
        if _usable(root / name, private=root != Path(wanted)):
            return root / name
    return _nobody_elses() / name


@cache
def _nobody_elses() -> Path:
    return Path(tempfile.mkdtemp(prefix="dryhop-"))


def _usable(folder: Path, private: bool) -> bool:
    """Tell whether a folder can be written; `private`: and by nobody else, since code lies there."""
    if folder.parts[0].startswith("~"):  # nobody's home
        return False
    try:
        folder.parent.mkdir(mode=0o700 if private else 0o777, parents=True, exist_ok=True)
        about = folder.parent.lstat()
        if private and not _own(about):
            return False
        folder.mkdir(exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def _own(about: os.stat_result) -> bool:
    """Tell whether a folder among the temporary files is this user's, and only theirs to write."""
    if not hasattr(os, "geteuid"):  # a system where temporary files are each user's own
        return True
    return S_ISDIR(about.st_mode) and about.st_uid == os.geteuid() and not about.st_mode & 0o022


def _kept(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*.nb[ci]") if path.is_file())


def _digest(folder: Path) -> str:
    digest = hashlib.sha256()
    for path in _kept(folder):
        digest.update(path.name.encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()


def seal() -> None:
    """Note what the compiled code is now, so that damage is noticed; nothing if none is kept."""
    folder = cache_dir()
    if _kept(folder):
        with suppress(OSError):
            (folder / SEAL).write_text(_digest(folder))


def is_warm(needed: tuple[str, ...] = KEPT) -> bool:
    """Return True if what is needed of this installation's kernel is already compiled.

    Compiled code that is not what `seal` noted is deleted: running it could do anything.
    """
    folder = cache_dir()
    try:
        if not all(any(folder.rglob(f"{name}-*.nbc")) for name in needed):
            return False
        if not (folder / SEAL).exists():  # somebody may still be at it
            return True
        if (folder / SEAL).read_text(errors="replace") == _digest(folder):
            return True
        for path in (*_kept(folder), folder / SEAL):
            path.unlink(missing_ok=True)
    except OSError:
        pass  # what can't be read can't be used
    return False
