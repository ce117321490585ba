"""The command `rungside`: thin, one function a command; the rooms do the work.

Exit 0: good. 1: what was asked about is bad. 2: wrong usage. Errors are one sentence on stderr.
"""

import sys
from typing import NoReturn

from cyclopts import CycloptsError

from assistant.commands import flows, hearing, keeping, records, shop, walking
from assistant.commands.app import UsageError, app, complain
from assistant.desk.signals import Ended
from assistant.desk.streams import let_go_of_stuck, open_closed_streams, stream_failure
from assistant.errors import RungsideError
from assistant.voice.spelling import SPELLED


def main(arguments: list[str] | None = None) -> NoReturn:
    """Run a command and exit with its code."""
    open_closed_streams()
    try:
        code = run(sys.argv[1:] if arguments is None else arguments)
    except Ended as ended:
        code = complain(ended.sentence, 1)
        ended.end_process()
    sys.exit(code)


def run(arguments: list[str]) -> int:
    """Run a command and give its exit code; every error becomes one sentence."""
    _spell_for_terminal()
    try:
        return _called(arguments)
    except CycloptsError as error:
        return complain(f"{_one_line(str(error))} 'rungside --help' lists what there is.", 2)
    except RungsideError as error:
        return complain(str(error), 2 if isinstance(error, UsageError) else 1)
    except BrokenPipeError:
        return 1  # whoever read it has left, and wants no complaint
    except OSError as error:
        return complain(stream_failure(error), 1)
    except KeyboardInterrupt:
        return complain("Interrupted. What was acknowledged is on disk.", 1)
    finally:
        let_go_of_stuck()


def _called(arguments: list[str]) -> int:
    """Call the command, and see that all it printed is written."""
    code = app(
        arguments,
        exit_on_error=False,
        print_error=False,
        result_action="return_value",
    )
    sys.stdout.flush()
    return code if isinstance(code, int) else 0


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _spell_for_terminal() -> None:
    """Write what the terminal can show, spell out what it cannot, and never fail on it."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors=SPELLED, line_buffering=True)


__all__ = ["flows", "hearing", "keeping", "main", "records", "run", "shop", "walking"]
