"""Where the shipped data files are, beside the package or inside it, and where a user's go."""

import os
import tempfile
from pathlib import Path

import platformdirs

_PACKAGE = Path(__file__).resolve().parent


def _data_dir(name: str, in_checkout: str) -> Path:
    packaged = _PACKAGE / "_data" / name
    return packaged if packaged.is_dir() else _PACKAGE.parent / in_checkout


def assets_dir() -> Path:
    """Return the folder of airframes, sites, packs and tables."""
    return _data_dir("assets", "assets")


def scenarios_dir() -> Path:
    """Return the folder of the shipped drills."""
    return _data_dir("scenarios", "scenarios")


def named_in(folder: Path) -> list[str]:
    """Return the names of the YAML files of a folder, in order; none if there is no such folder."""
    try:
        found = os.listdir(folder)  # a tenth of what asking for a pattern takes
    except OSError:
        return []
    return sorted(name.removesuffix(".yaml") for name in found if name.endswith(".yaml"))


def authority_dir() -> Path:
    """Return the folder of outside check values."""
    return _data_dir("authority", "tests/authority")


def user_folder(found: str) -> Path:
    """Return a folder of the user's own as the system names it, or one among temporary files.

    Without a home to be found, the system's name of it begins with a bare `~`.
    """
    if found.startswith("~"):
        return Path(tempfile.gettempdir()) / "dryhop-without-home"
    return Path(found)


def user_data() -> Path:
    """Return the folder of what a user made: runs that found no other place, airframes described."""
    return user_folder(platformdirs.user_data_dir("dryhop", appauthor=False))


def user_cache() -> str:
    """Return where a user's files go that may be deleted at any time (an explicit setting wins)."""
    return os.environ.get("DRYHOP_CACHE_DIR") or platformdirs.user_cache_dir("dryhop")


def own_tables() -> Path:
    """Return the folder of what was measured of airframes of the user's own."""
    return user_folder(user_cache()) / "tables"


def own_drills() -> Path:
    """Return the folder of the drills that a user made or was given."""
    return user_data() / "drills"


def opened_runs() -> Path:
    """Return the folder of runs that a user was given; they are in no logbook until imported."""
    return user_data() / "opened"


def own_reports() -> Path:
    """Return the folder of the reports of failures that a user wrote."""
    return user_data() / "reports"


def own_airframes() -> Path:
    """Return the folder of the airframe files that a user described."""
    return user_data() / "airframes"
