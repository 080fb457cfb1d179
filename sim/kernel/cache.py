"""Where compiled code is kept: a user folder for each state of the sources, place and compiler.

Numba notices an edit of the function it keeps but not of the functions that one calls. Naming the
folder by a hash of all kernel sources removes the trap, and works for read-only installations too.
The name holds all else that makes numba compile anew, but for another processor, so a folder with
compiled code in it means that there is nothing to wait for. Numba itself need not be loaded to ask.
"""

import hashlib
import os
import sys
from importlib.metadata import version
from pathlib import Path

import platformdirs

KEPT = "run"  # the module whose function is kept on disk, with all it calls


def key(folder: Path) -> str:
    """Return a short hash of what compiled code depends on.

    That is every Python file below `folder` (names and contents), where the folder is and when the
    module with the kept function was written, this Python, and the version of the compiler.
    """
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*.py")):
        digest.update(path.relative_to(folder).as_posix().encode())
        digest.update(path.read_bytes())
    written = (folder / f"{KEPT}.py").stat().st_mtime_ns
    about = (folder.resolve(), written, sys.implementation.cache_tag, version("numba"))
    digest.update(repr(about).encode())
    return digest.hexdigest()[:16]


def cache_dir() -> Path:
    """Return the folder this version's compiled kernels live in (an explicit setting wins)."""
    root = os.environ.get("DRYHOP_CACHE_DIR") or platformdirs.user_cache_dir("dryhop")
    return Path(root) / f"kernel-{key(Path(__file__).parent)}"


def is_warm() -> bool:
    """Return True if the flight model of this installation is already compiled."""
    return any(cache_dir().rglob(f"{KEPT}.{KEPT}-*.nbc"))
