"""Keep compiled kernels in a user folder that changes name whenever a kernel source changes.

Numba notices an edit of the function it caches but not of the functions that one calls. Keying the
folder by a hash of all kernel sources removes the trap, and works for read-only installations too.
"""

import hashlib
import os
from pathlib import Path

import platformdirs


def source_key(folder: Path) -> str:
    """Return a short hash of every Python file below `folder` (names and contents)."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*.py")):
        digest.update(path.relative_to(folder).as_posix().encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def cache_dir() -> Path:
    """Return the folder this version's compiled kernels live in (an explicit setting wins)."""
    root = os.environ.get("DRYHOP_CACHE_DIR") or platformdirs.user_cache_dir("dryhop")
    return Path(root) / f"kernel-{source_key(Path(__file__).parent)}"


def is_warm() -> bool:
    """Return True if a compiled flight model is already in the cache folder."""
    return any(cache_dir().rglob("run.run-*.nbc"))


def use_cache_keyed_by_source() -> None:
    """Point numba at the keyed folder; must run before any kernel function is decorated."""
    folder = str(cache_dir())
    os.environ["NUMBA_CACHE_DIR"] = folder
    import numba

    numba.config.CACHE_DIR = folder  # type: ignore[attr-defined]
