"""The program: the commands, with an end in good order from the first import on."""

from __future__ import annotations

import _thread
import os
import signal
import sys
from types import FrameType

STOPPED = 130  # exit code; POSIX shells: 128 + SIGINT


def main() -> None:
    """Run a command and exit by its code; Ctrl-C while it is being fetched counts as well."""
    sys.unraisablehook = _heard_again
    heard = _noting_interrupts()
    try:
        from sim.cli import main as commands

        commands()
    except KeyboardInterrupt:
        _stop()
    except SystemExit as end:
        if end.code == STOPPED:
            _leave()
        raise
    except Exception:
        if heard:  # a compiled library may turn the interrupt into an error of its own
            _stop()
        raise
    finally:
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # what is left to do takes no time


def _noting_interrupts() -> list[int]:
    """Give the list in which each Ctrl-C is noted as it is raised; a deaf job stays deaf."""
    heard: list[int] = []

    def interrupt(number: int, _: FrameType | None) -> None:
        heard.append(number)
        raise KeyboardInterrupt

    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, interrupt)
    return heard


def _heard_again(lost: sys.UnraisableHookArgs) -> None:
    """Take a Ctrl-C that struck where nothing can be raised, as in a compiler's call, once more."""
    if issubclass(lost.exc_type, KeyboardInterrupt):
        _thread.interrupt_main()
    else:
        sys.__unraisablehook__(lost)


def _stop() -> None:
    """Say that the command was stopped, and leave."""
    sys.stderr.write("Stopped.\n")
    _leave()


def _leave() -> None:
    """Leave by the code: Python would end itself by the signal after some Ctrl-C it has seen."""
    for stream in (sys.stdout, sys.stderr):
        try:  # noqa: SIM105  # nothing is fetched here that Ctrl-C could strike
            stream.flush()
        except (OSError, ValueError):
            pass
    os._exit(STOPPED)


if __name__ == "__main__":
    main()
