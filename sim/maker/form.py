"""The questions about a drill, and what is answered so far: the same in the terminal and in the window."""

from collections.abc import Iterable, Mapping
from typing import Any, Literal, NamedTuple, get_args

from pydantic import ValidationError

from sim.aircraft import library
from sim.describe.questions import cannot_be, field_adapter
from sim.describe.written import Written
from sim.errors import InputError, Problem, nearest, sentence, shown
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Family
from sim.maker.wish import Wish, drill_of, given_away, given_away_told
from sim.paths import own_airframes
from sim.session.scenario import HINT_STEPS, RUNGS, Help, Scenario, names
from sim.session.severities import AT_EDGE

Kind = Literal["text", "list", "number", "one"]
EMPTY = "nothing"


class Question(NamedTuple):
    """One question; an empty answer means what `empty` says, or there has to be one.

    key : of `Wish`. kind : what is answered with: text, names apart by commas, a number, one of a few.
    """

    key: str
    words: str
    kind: Kind
    empty: str = ""

    @property
    def shown(self) -> str:
        """The question as the terminal asks it."""
        return f"{self.words} [Enter: {self.empty}]:" if self.empty else f"{self.words}:"


QUESTIONS = (
    Question("title", "A title that says nothing of what is wrong", "text"),
    Question("story", "What is told beforehand, in a sentence or two", "text", EMPTY),
    Question("faults", "Faults hidden in it, by name, apart by commas", "list", "none by name"),
    Question("families", "Families to draw from by chance, apart by commas", "list", "none are drawn"),
    Question("count", "How many are drawn, 1 to 4", "number", "1"),
    Question("severity", "How bad: 0 to 1, a range as 0.3-0.7, or at the edge", "one", "0.5"),
    Question("airframe", "Aircraft, shipped or your own, by name", "one", library.TRAINER),
    Question("site", "Site, by name", "one", "as the aircraft needs"),
    Question("rung", f"Rung of the ladder, 1 to {len(RUNGS)}", "number", "by what is in it"),
    Question("help", "Help: shown, hints or none", "one", "as the rung says"),
    Question("needs", "What should be done before: drills or families, apart by commas", "list", EMPTY),
    Question("minutes", "Minutes the careful need", "number", "measured"),
)  # fmt: skip
BY_KEY = {question.key: question for question in QUESTIONS}
CHOICES: dict[str, tuple[str, ...]] = {
    "families": get_args(Family),
    "faults": tuple(CATALOGUE),
    "help": get_args(Help),
}
HELP_TOLD: dict[str, str] = {
    "shown": "the helper tells and shows",
    "hints": f"{HINT_STEPS} hints, if asked",
    "none": "no help",
}


def airframes() -> tuple[str, ...]:
    """Return the aircraft there are: shipped, and described by the user."""
    shipped = library.names("airframes")
    try:
        own = sorted(path.stem for path in own_airframes().glob("*.yaml"))
    except OSError:
        own = []
    return (*shipped, *(name for name in own if name not in shipped))


def choices(key: str) -> tuple[str, ...]:
    """Return the names that may be answered; nothing where there is no list of them."""
    if key == "airframe":
        return airframes()
    if key == "site":
        return tuple(library.names("sites"))
    if key == "needs":
        return (*names(), *get_args(Family))
    return CHOICES.get(key, ())


def _severity(text: str) -> Any:
    plain = text.lower().replace(" ", "-")
    if plain in (AT_EDGE, "at-the-edge", "edge"):
        return AT_EDGE
    low, dash, high = text.replace("..", "-").replace("–", "-").partition("-")
    try:
        ends = [float(low), float(high)] if dash else [float(text)]
    except ValueError:
        rule = "Please answer with a number, a range as 0.3-0.7, or at the edge."
        raise ValueError(rule) from None
    if not all(0.0 <= end <= 1.0 for end in ends):
        raise ValueError("That can't be: it must be at least 0 and at most 1.")
    if dash and ends[0] >= ends[1]:
        raise ValueError("A range goes from less to more.")
    return tuple(ends) if dash else ends[0]


def _read(question: Question, text: str) -> Any:
    """Return an answer as a value; ValueError says in a sentence what is wanted."""
    if question.key == "severity":
        return _severity(text)
    if question.kind == "number":
        try:
            return float(text) if question.key == "minutes" else int(text)
        except ValueError:
            raise ValueError("Please answer with a number, without a unit.") from None
    if question.kind == "list":
        return [_named(question, one) for one in _listed(text)]
    return _named(question, text) if question.kind == "one" else text


def _listed(text: str) -> list[str]:
    """Return the names in an answer that takes several, apart by commas or blanks."""
    return text.replace(",", " ").split()


def _named(question: Question, name: str) -> str:
    """Return a name that is known; ValueError names the nearest."""
    known = choices(question.key)
    if name in known or (library.is_file(name) and question.key in ("airframe", "site")):
        return name
    near = nearest(name, known)
    hint = f"; nearest: {near}" if near else f": {', '.join(known)}" if len(known) < 10 else ""
    raise ValueError(f"{shown(name)} is not known{hint}.")


def answer(key: str, text: str) -> Any:
    """Return what was answered to a question; ValueError says in a sentence why that can't be.

    Nothing, `...`, for an empty answer that may be one.
    """
    question, text = BY_KEY[key], text.strip()
    if not text:
        if question.empty:
            return ...
        raise ValueError("This can't be left empty.")
    value = _read(question, text)
    try:
        return field_adapter(Wish, key).validate_python(value)
    except ValidationError as error:
        raise ValueError(cannot_be(error)) from None


class Form(Written):
    """What is written, by question; everything else follows from it.

    texts : the answers as written. wish, drill : once they are good and go together. said : why they
    are not, in sentences; problems : the same as of a file. away : sentences on words that give it away.
    """

    def __init__(self, texts: Mapping[str, str] | None = None) -> None:
        super().__init__(texts, BY_KEY)

    @property
    def keys(self) -> Iterable[str]:
        """The questions, one after another."""
        return BY_KEY

    def ticked(self, key: str) -> tuple[str, ...]:
        """Return the names written at a question that takes several."""
        return tuple(_listed(self.text(key)))

    def tick(self, key: str, name: str) -> None:
        """Tick a name, or take the tick away."""
        there = self.ticked(key)
        left = [one for one in there if one != name] if name in there else [*there, name]
        self.write(key, ", ".join(left))

    def _work(self) -> None:
        self.wish: Wish | None = None
        self.drill: Scenario | None = None
        self.said = ""
        self.problems: tuple[Problem, ...] = ()
        self.away: tuple[str, ...] = ()
        given = {key: value for key, value in self._read(answer).items() if value is not ...}
        if set(self._wrong) <= {"title"} and not self.text("title").strip():
            given["title"] = "…"  # what is ticked can be looked at before it has a title
        elif self._wrong:
            return
        self._look(Wish.model_validate(given))

    def _look(self, wish: Wish) -> None:
        self.away = tuple(given_away_told(key, words) for key, words in given_away(wish).items())
        try:
            drill = drill_of(wish)
        except ValidationError as error:
            rules = (e["msg"].removeprefix("Value error, ") for e in error.errors())
            self.said = " ".join(map(sentence, rules))
        except InputError as error:
            self.problems = error.problems
            self.said = " ".join(
                sentence(f"{p.value} {p.rule}" if p.key == "faults" else p.rule)
                for p in error.problems
            )
        else:
            if not self._wrong:
                self.wish, self.drill = wish, drill
