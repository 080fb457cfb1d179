"""Small JSON files beside a run, each of one model; and the digest of a file of a run."""

import hashlib
import json
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, ValidationError

M = TypeVar("M", bound=BaseModel)


def text_of(kept: BaseModel) -> str:
    """Return a model as its file holds it."""
    return json.dumps(kept.model_dump(mode="json"), indent=2) + "\n"


def read(path: Path, model: type[M], most_bytes: int) -> M | None:
    """Return what a file holds, or None if there is none that can be read; no more than so much is."""
    try:
        with path.open("rb") as file:
            return model.model_validate_json(file.read(most_bytes))
    except (OSError, ValidationError):
        return None


def digest_of(path: Path) -> str:
    """Return the SHA-256 of a file, in hex."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
