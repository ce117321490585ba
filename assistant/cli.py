"""The command `rungside`: thin, one function a command; the rooms do the work.

Exit 0: good. 1: what was asked about is bad. 2: wrong usage. Errors are one sentence on stderr.
"""

import sys
from typing import NoReturn

from cyclopts import CycloptsError

from assistant.commands import flows, hearing, keeping, records, shop, walking
from assistant.commands.app import UsageError, app, complain
from assistant.errors import RungsideError
from assistant.voice.spelling import SPELLED


def main(arguments: list[str] | None = None) -> NoReturn:
    """Run a command and exit with its code."""
    sys.exit(run(sys.argv[1:] if arguments is None else arguments))


def run(arguments: list[str]) -> int:
    """Run a command and give its exit code; every error becomes one sentence."""
    _spell_for_terminal()
    try:
        code = app(
            arguments,
            exit_on_error=False,
            print_error=False,
            result_action="return_value",
        )
    except CycloptsError as error:
        return complain(f"{_one_line(str(error))} 'rungside --help' lists what there is.", 2)
    except UsageError as error:
        return complain(str(error), 2)
    except RungsideError as error:
        return complain(str(error), 1)
    except BrokenPipeError:
        _leave_pipe()
        return 1
    except KeyboardInterrupt:
        return complain("Interrupted. What was acknowledged is on disk.", 1)
    return code if isinstance(code, int) else 0


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _spell_for_terminal() -> None:
    """Write what the terminal can show, spell out what it cannot, and never fail on it."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors=SPELLED, line_buffering=True)


def _leave_pipe() -> None:
    """Let the reader of a pipe go without a second complaint at exit."""
    import os

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


__all__ = ["flows", "hearing", "keeping", "main", "records", "run", "shop", "walking"]
