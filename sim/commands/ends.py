"""How a command ends: its exit code, and one plain line where something stopped it.

0 fine, 1 the answer is no, 2 bad input or a file, folder or disk that can't be used, 130 stopped by
the person (128 + SIGINT), 141 nobody reads the output any more (128 + SIGPIPE).
"""

import errno
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from io import TextIOWrapper
from typing import Annotated, Any

import typer
from rich.console import Console
from typer.core import TyperGroup

from sim.errors import DryhopError, InputError, legible, line_of

FINE, NO, BAD_INPUT = 0, 1, 2  # exit codes; design
STOPPED, UNREAD = 130, 141  # exit codes; POSIX shells: 128 + signal
SHARED = ".dryhop"  # what a shared file ends in, as in sim/sharing/container.py, slow to load
Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
ASKED_WRONGLY: Any = typer.BadParameter.__mro__[2]  # root of what a command line can have wrong


class Unread(DryhopError):
    """Nobody reads the output any more."""


class Commands(TyperGroup):
    """The commands together; a closed pipe or Ctrl-C leaves them as an exception of ours."""

    def invoke(self, ctx: Any) -> Any:
        """Run the command asked for."""
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            raise Unread from None
        except OSError as error:
            if error.errno == errno.EPIPE:
                raise Unread from None
            raise

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """Find the command asked for; the name of a shared file alone, as a double click gives, opens it."""
        if len(args) == 1 and args[0].lower().endswith(SHARED):
            args = ["open", *args]
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """List the commands, each with the whole first paragraph of its help."""
        known = [(name, self.get_command(ctx, name)) for name in self.list_commands(ctx)]
        rows = [(name, (c.help or "").split("\n\n")[0]) for name, c in known if c and not c.hidden]
        with formatter.section("Commands"):
            formatter.write_dl(rows)


class Paper(Console):
    """A console that says so when nobody reads it any more."""

    def on_broken_pipe(self) -> None:
        """Leave it to whoever runs the command."""
        raise Unread

    def plain(self, text: str) -> None:
        """Print text as it is: no markup, no wrapping; what can't be printed by its escape."""
        lines = "\n".join(legible(line) for line in text.split("\n"))
        self.print(lines, markup=False, highlight=False, emoji=False, soft_wrap=True)


out = Paper()
err = Paper(stderr=True)


def say(document: Any, as_json: bool) -> bool:
    """Print a JSON document if asked to; return whether that was done."""
    if as_json:
        import json

        sys.stdout.write(json.dumps(document, indent=2) + "\n")
    return as_json


def ended(run: Callable[[], Any]) -> int:
    """Run a command; return the exit code, having said what stopped it, if something did."""
    _prepare_streams()
    try:
        code = run() or FINE
        sys.stdout.flush()
    except BaseException as error:
        code, words = _end_of(error)
    else:
        words = "Stopped." if code == STOPPED else ""
    if words:
        with suppress(OSError, Unread):
            err.plain(words)
    if code != FINE:
        _let_go()
    return int(code)


def _end_of(error: BaseException) -> tuple[int, str]:
    """Return (exit code, words) for what a command raised; raises it again if it is our mistake."""
    if isinstance(error, Unread | BrokenPipeError):
        return UNREAD, "Stopped: nobody reads the output any more."
    if isinstance(error, InputError):
        return BAD_INPUT, str(error)
    if isinstance(error, DryhopError):
        return NO, str(error)
    if isinstance(error, ASKED_WRONGLY):
        return error.exit_code, f"{error.format_message()} See dryhop --help."
    if isinstance(error, KeyboardInterrupt | typer.Abort):
        return STOPPED, "Stopped."
    if isinstance(error, RecursionError | MemoryError):
        return BAD_INPUT, "The input is too large or nested too deeply."
    if isinstance(error, OSError):
        return BAD_INPUT, line_of(error)
    raise error


def _prepare_streams() -> None:
    """See to it that any text can be printed, on any terminal or none."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:  # closed before we began
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115
        elif isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _let_go() -> None:
    """Let what is still to be written go nowhere, if its way is closed: no complaint at the exit."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:
            with suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
