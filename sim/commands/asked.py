"""What a command line asks for, checked before anything is fetched that takes time."""

from pathlib import Path
from typing import Any

from sim.commands.ends import err
from sim.errors import InputError, Problem, nearest, shown

USUAL_SEED = 7  # own: any will do, always the same


def drill_of(scenario: str, airframe: str | None, site: str | None) -> Any:
    """Return a drill by name or file, on another airframe or site if asked; InputError for an unknown one."""
    from sim.session.scenario import load

    drill = load(scenario)
    return drill if airframe is None and site is None else drill.on(airframe, Path(), site)


def attempt_of(
    scenario: str, stand_in: str, seed: int | None, airframe: str | None, site: str | None
) -> Any:
    """Return the attempt asked for; InputError for an unknown drill, stand-in, airframe or site.

    Without a seed it has the drill's own, or the usual one.
    """
    from sim.trainees.standins import STAND_INS, Attempt

    if seed is not None:
        require_seed(seed)
    if stand_in not in STAND_INS:
        known, near = f"not one of {', '.join(STAND_INS)}", nearest(stand_in, STAND_INS)
        raise InputError((Problem("--stand-in", None, "", stand_in, known, near),))
    drill = drill_of(scenario, airframe, site)
    if seed is None:
        seed = USUAL_SEED if drill.seed is None else drill.seed
    return Attempt(drill, stand_in, seed)


def require_seed(seed: int) -> None:
    """Raise InputError for a seed below 0 or beyond 63 bits."""
    if not 0 <= seed < 2**63:
        rule = "must be at least 0 and less than 2^63"
        raise InputError((Problem("--seed", None, "", str(seed), rule),))


def usable(folder: Path | None, attempt: Any, scenario: str) -> Path | None:
    """Return a folder that can be filled; InputError if a file or another run is in its place."""
    if folder is None:
        return None
    if any(p.exists() and not p.is_dir() for p in (folder, *folder.parents)):
        rule = "a file is in the way of this folder"
        raise InputError((Problem("--out", None, "", str(folder), rule),))
    from sim.runs import note_of
    from sim.session.folder import lies_unfinished

    if lies_unfinished(folder, attempt.scenario, note_of(attempt, scenario)):
        err.plain(f"Taking up the attempt left unfinished in {folder}")
    return folder


def name_of(scenario: str) -> str:
    """Return a drill's name as the scorecard states it."""
    from sim.aircraft.fields import plain

    return plain(Path(scenario).stem)


def require_name(trainee: str) -> None:
    """Raise InputError for a name that does not fit the scorecard."""
    from sim.aircraft.fields import plain
    from sim.session.attempt import NAME_LENGTH

    if plain(trainee, NAME_LENGTH) != trainee:
        rule = f"must be plain text of at most {NAME_LENGTH} letters"
        raise InputError((Problem("--trainee", None, "", shown(trainee), rule),))


def left_attempt(name: str | None, seed: int | None, trainee: str) -> Path | None:
    """Return the folder of the last attempt left in the middle that was of this kind."""
    from sim.runs import RUNS, elsewhere, left_in_the_middle

    for left in left_in_the_middle(RUNS, *elsewhere()):
        note = left.note
        if (
            (name is None or note.scenario == name)
            and (seed is None or note.seed == seed)
            and trainee in ("", note.trainee)
        ):
            return left.folder
    return None
