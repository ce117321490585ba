"""Hearing: what sound and words come to, and what this machine can hear and say."""

import json
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from assistant.commands.app import UsageError, app, complain
from assistant.errors import RungsideError


@app.command
def hear(
    *files: Path,
    step: Annotated[str | None, Parameter(name="--for")] = None,
    expect: str | None = None,
    text: str | None = None,
    text_file: Path | None = None,
    recogniser: str | None = None,
    json: bool = True,
) -> int:
    """Say what sound files or phrases come to, one JSON object a line.

    Args:
        files: sound files.
        step: a step to hear for, as `blower-psc:cap_reading`.
        expect: a unit to hear for: ohm, microfarad, volt, ampere, in_wc, yes_no or any.
        text: one phrase instead of sound.
        text_file: a file of phrases, one a line, instead of sound.
        recogniser: which recogniser hears.
        json: print JSON lines, which is the only form there is.
    """
    del json
    from assistant.desk.desk import Desk
    from assistant.desk.opening import hearing_place

    if step is not None and expect is not None:
        raise UsageError("--for and --expect both say what to expect.", "Name one of them.")
    if not files and text is None and text_file is None:
        raise UsageError("There is nothing to hear.", "Name sound files, --text or --text-file.")
    place = hearing_place(step, expect or "any")
    with Desk.open(recogniser=recogniser, mute=True) as desk:
        phrases = [] if text is None else [("text", text)]
        records = desk.hear(place, files, phrases, text_file)
        return _print_lines(records)


def _print_lines(records: object) -> int:
    """Print records as JSON lines; a file that cannot be heard is a sentence, and exit 1."""
    code = 0
    for record in records:  # type: ignore[attr-defined]
        if isinstance(record, RungsideError):
            code = complain(str(record), 1)
        else:
            print(json.dumps(record, ensure_ascii=False))
    return code


@app.command
def doctor(*, fetch: bool = False) -> int:
    """Say what can be heard and said on this machine, and what to do about the rest.

    Args:
        fetch: fetch the English model of the preferred recogniser (40 MB, from its authors).
    """
    from assistant.desk.desk import Desk

    with Desk.open(mute=True) as desk:
        return desk.examine(fetch=fetch)
