"""The program: the commands, with an end in good order from the first import on."""

import signal
import sys


def main() -> None:
    """Run a command and exit by its code; Ctrl-C while it is being fetched counts as well."""
    try:
        from sim.cli import main as commands

        commands()
    except KeyboardInterrupt:
        sys.stderr.write("Stopped.\n")
        raise SystemExit(130) from None  # exit code; POSIX shells: 128 + SIGINT
    finally:
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # what is left to do takes no time


if __name__ == "__main__":
    main()
