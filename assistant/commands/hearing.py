"""Hearing: what sound and words come to, and what this machine can hear and say."""

import json
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Group, Parameter
from cyclopts.validators import Number

from assistant.commands.app import UsageError, app, as_usage, check_recogniser, complain
from assistant.errors import RungsideError
from assistant.voice.limits import FASTEST, LOUDEST, QUIETEST, SLOWEST

CHOOSING = Group("Chosen once, remembered from then on")


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
    from assistant.desk.opening import hearing_place, named_step
    from assistant.spoken.expectations import expectation_for_unit

    if step is not None and expect is not None:
        raise UsageError("--for and --expect both say what to expect.", "Name one of them.")
    if not files and text is None and text_file is None:
        raise UsageError("There is nothing to hear.", "Name sound files, --text or --text-file.")
    check_recogniser(recogniser)
    with as_usage():
        expected = expectation_for_unit("any" if expect is None else expect)
        named = None if step is None else named_step(step)
    place = hearing_place(named, expected)
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
def doctor(  # noqa: PLR0913 - each is an option of the command
    *,
    fetch: bool = False,
    seconds: Annotated[float, Parameter(validator=Number(gte=0, lte=60))] = 3.0,
    microphone: Annotated[str | None, Parameter(group=CHOOSING)] = None,
    speaker: Annotated[str | None, Parameter(group=CHOOSING)] = None,
    voice: Annotated[str | None, Parameter(group=CHOOSING)] = None,
    rate: Annotated[
        int | None, Parameter(group=CHOOSING, validator=Number(gte=SLOWEST, lte=FASTEST))
    ] = None,
    volume: Annotated[
        float | None, Parameter(group=CHOOSING, validator=Number(gte=QUIETEST, lte=LOUDEST))
    ] = None,
    talk: Annotated[Literal["open", "push"] | None, Parameter(group=CHOOSING)] = None,
    talk_key: Annotated[str | None, Parameter(group=CHOOSING)] = None,
) -> int:
    """Say what can be heard and said on this machine, and what to do about the rest.

    Args:
        fetch: fetch the English model of the preferred recogniser (40 MB, from its authors).
        seconds: how long to listen for the level meter; 0: not at all.
        microphone: use the microphone with this in its name; "" for the usual one.
        speaker: use the loudspeaker with this in its name; "" for the usual one.
        voice: speak with this voice; "" for the usual one.
        rate: words a minute, 105 to 285.
        volume: 0.2 to 1.
        talk: `push`: sound counts only while the talk key says so.
        talk_key: the key, headset button or foot switch for it: space, enter, f12, …
    """
    from assistant.desk.desk import Desk
    from assistant.desk.doctor import remember_choices

    told = remember_choices(
        microphone=microphone,
        speaker=speaker,
        voice_name=voice,
        voice_rate=rate,
        voice_volume=volume,
        talk=talk,
        talk_key=talk_key,
    )
    if told:
        print(told)
    with Desk.open(mute=True) as desk:
        return desk.examine(fetch=fetch, seconds=seconds)
