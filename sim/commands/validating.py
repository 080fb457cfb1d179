"""Which kind of file a person brings, and whether it is good."""

from pathlib import Path

from pydantic import BaseModel

from sim.aircraft.airframe import Airframe
from sim.aircraft.build import PackSpec
from sim.aircraft.library import airframe_problems
from sim.aircraft.site import Site
from sim.aircraft.textfile import load_model, load_yaml
from sim.describe.answers import Answers
from sim.errors import InputError
from sim.reproduce.importer.mapping import MapFile
from sim.reproduce.words.report import Report
from sim.session.scenario import Scenario

KINDS: tuple[type[BaseModel], ...] = (Scenario, Airframe, Answers, PackSpec, Site, Report, MapFile)


def kind_of(path: Path) -> type[BaseModel]:
    """Return the kind of file whose keys it shares most; a drill if it shares none."""
    keys = set(load_yaml(path).data)
    return max(KINDS, key=lambda kind: len(keys & set(kind.model_fields)))


def checked(path: Path) -> BaseModel:
    """Return the file's model; raises InputError with everything that is wrong."""
    found = load_model(path, kind_of(path))
    if isinstance(found, Airframe) and (problems := airframe_problems(str(path), found)):
        raise InputError(problems)
    return found
