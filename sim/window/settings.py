"""What the user has set: kept as one JSON file in the user's configuration folder."""

import json
import shutil
from pathlib import Path
from typing import Annotated, Literal

import platformdirs
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from sim.aircraft.fields import Line, plain
from sim.aircraft.textfile import load_json, write_text_atomic
from sim.errors import InputError, line_of
from sim.paths import user_folder
from sim.window.sticks.mapping import DeviceMapping

FILE = "window.json"


class Settings(BaseModel):
    """Everything kept between two evenings."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    trainee: Annotated[Line, Field(max_length=60)] = ""
    shown_round: bool = False
    text_scale: Annotated[float, Field(ge=1.0, le=2.0)] = 1.0
    stick_mode: Annotated[int, Field(ge=1, le=4)] = 2
    units: Literal["metric", "imperial"] = "metric"
    volume: Annotated[float, Field(ge=0.0, le=1.0)] = 0.6
    full_screen: bool = False
    frames_per_s: Literal[30, 60] = 60
    keys: dict[Line, Line] = {}
    devices: tuple[DeviceMapping, ...] = ()


def settings_path() -> Path:
    """Return where the settings are kept."""
    return user_folder(platformdirs.user_config_dir("dryhop", appauthor=False)) / FILE


def loaded(path: Path) -> tuple[Settings, str]:
    """Return the settings kept, and a warning if some can't be used.

    What is unknown or out of range falls back to the usual, each by itself; a copy of such a file
    is laid aside first, so that nothing is lost.
    """
    if not path.exists():
        return Settings(), ""
    try:
        kept = load_json(path)
    except InputError as error:
        return Settings(), aside(path, str(error))
    if not isinstance(kept, dict):
        return Settings(), aside(path, "the file is no list of settings")
    good, bad = {}, []
    for name, value in kept.items():
        try:
            Settings.model_validate_json(json.dumps({name: value}))
            good[name] = value
        except ValidationError as error:
            bad.append(f"{plain(name)}: {error.errors()[0]['msg']}")
        except RecursionError:
            bad.append(f"{plain(name)}: nested too deeply")
    settings = Settings.model_validate_json(json.dumps(good))
    return settings, aside(path, "; ".join(bad)) if bad else ""


def forget(path: Path, trainee: str) -> None:
    """Take a person's name out of the settings kept, and out of the copy laid aside."""
    settings = loaded(path)[0]
    if settings.trainee == trainee:
        keep(path, settings.model_copy(update={"trainee": ""}))
    copy = _aside(path)
    if copy.exists() and trainee in copy.read_text(encoding="utf-8", errors="replace"):
        copy.unlink()


def _aside(path: Path) -> Path:
    return path.with_suffix(".unreadable.json")


def aside(path: Path, why: str) -> str:
    """Lay a copy of a settings file aside; return what to say about it."""
    copy = _aside(path)
    said = f"Not all settings hold ({why}); the usual ones stand in."
    try:
        shutil.copyfile(path, copy)
    except OSError:
        return said
    return f"{said} A copy lies in {copy.name}."


def keep(path: Path, settings: Settings) -> str:
    """Write the settings whole or not at all; return what went wrong, or nothing."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_text_atomic(path, json.dumps(settings.model_dump(mode="json"), indent=2) + "\n")
    except OSError as error:
        return f"The settings could not be kept: {line_of(error)}."
    return ""
