"""Commands as a person runs them, inside this process."""

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from sim.cli import main


@dataclass(frozen=True)
class Said:
    """What a command printed and its exit code."""

    code: int
    out: str
    err: str


@pytest.fixture
def dryhop(monkeypatch, capsys) -> Callable[..., Said]:
    """Return a caller of commands."""

    def called(*words: object) -> Said:
        monkeypatch.setattr("sys.argv", ["dryhop", *map(str, words)])
        capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            main()
        said = capsys.readouterr()
        code = ended.value.code
        assert code is None or isinstance(code, int)
        return Said(code or 0, said.out, said.err)

    return called
