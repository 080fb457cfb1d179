"""Where the shipped data files are: beside the package in a checkout, inside it when installed."""

from pathlib import Path

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


def authority_dir() -> Path:
    """Return the folder of outside check values."""
    return _data_dir("authority", "tests/authority")
