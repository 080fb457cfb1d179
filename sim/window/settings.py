"""What the user has set: kept as one JSON file in the user's configuration folder."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Literal

import platformdirs
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from sim.aircraft.textfile import write_text_atomic
from sim.window.input.mapping import DeviceMapping

FILE = "window.json"


class Settings(BaseModel):
    """Everything kept between two evenings."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    trainee: Annotated[str, Field(max_length=60)] = ""
    shown_round: bool = False
    text_scale: Annotated[float, Field(ge=1.0, le=2.0)] = 1.0
    stick_mode: Annotated[int, Field(ge=1, le=4)] = 2
    units: Literal["metric", "imperial"] = "metric"
    volume: Annotated[float, Field(ge=0.0, le=1.0)] = 0.6
    full_screen: bool = False
    frames_per_s: Literal[30, 60] = 60
    keys: dict[str, str] = {}
    devices: tuple[DeviceMapping, ...] = ()


def settings_path() -> Path:
    """Return where the settings are kept."""
    return Path(platformdirs.user_config_dir("dryhop", appauthor=False)) / FILE


def loaded(path: Path) -> tuple[Settings, str]:
    """Return the settings kept, and a warning if the file can't be used and was laid aside."""
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return Settings(), ""
    except (OSError, UnicodeDecodeError) as error:
        return Settings(), f"The settings in {path} can't be read ({error}); the usual ones apply."
    try:
        return Settings.model_validate_json(text), ""
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"]) or "the file"
        aside = path.with_suffix(".unreadable.json")
        path.replace(aside)
        return Settings(), (
            f"The settings don't hold: {where}: {first['msg']}. They now lie in {aside.name}; "
            "the usual ones apply."
        )


def keep(path: Path, settings: Settings) -> str:
    """Write the settings whole or not at all; return what went wrong, or nothing."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_text_atomic(path, json.dumps(settings.model_dump(mode="json"), indent=2) + "\n")
    except OSError as error:
        return f"The settings could not be kept: {error}."
    return ""


Changes = Callable[[Settings], None]
