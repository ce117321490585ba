"""What is fuzzed: one function a target, from bytes; anything but a good end or our error is a bug.

Limits of an input: 64 KB, for words 4 KB. Within them a target ends in `SECONDS` on a machine that
does nothing else, and takes no more than `MEGABYTES` besides what the program has.
"""

import tempfile
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

from assistant.ears.sound import read_sound
from assistant.errors import RungsideError
from assistant.flow.library import open_flow, shipped
from assistant.flow.linking import load_flow
from assistant.journal.account import give_account
from assistant.journal.flags import find_flags
from assistant.journal.gist import glance, look_through
from assistant.journal.reading import JOURNAL, read_content
from assistant.journal.remarks import remarks_of
from assistant.journal.replay import replay
from assistant.journal.transcript import transcript
from assistant.report import render
from assistant.spoken.expectations import expectation_for_unit
from assistant.spoken.understanding import understand
from assistant.walk.walk import Walk

SECONDS = 5.0
MEGABYTES = 200
LARGEST, LONGEST_WORDS = 64 * 1024, 4 * 1024

UNITS = ("ohm", "microfarad", "volt", "ampere", "in_wc", "yes_no", "any")

KETTLE = Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml"


@cache
def kettle() -> Walk:
    """Give a small flow's walk."""
    return Walk(open_flow(str(KETTLE)))


def fuzz_journal(data: bytes) -> None:
    """Read a journal and all that is made of one: account, flags, transcript, reports, replay."""
    record = read_content(data[:LARGEST])
    account = give_account(record)
    find_flags(record)
    transcript(record.lines)
    remarks_of(data[:LARGEST], data[:LARGEST], data[:LARGEST])
    for form in ("md", "html", "json"):
        render(account, form)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / JOURNAL).write_bytes(data[:LARGEST])
        glance(folder)
        look_through(folder)
    try:
        replay(record, kettle())
    except RungsideError as error:
        _held(error)


def fuzz_flow(data: bytes) -> None:
    """Load a flow file: a flow, or complaints."""
    with tempfile.TemporaryDirectory() as name:
        file = Path(name) / "flow.yaml"
        file.write_bytes(data[:LARGEST])
        try:
            load_flow(file, shipped("flows") / "vocabulary.yaml")
        except RungsideError as error:
            _held(error)


def fuzz_sound(data: bytes) -> None:
    """Read a sound file: samples, or a complaint."""
    with tempfile.TemporaryDirectory() as name:
        file = Path(name) / "sound.wav"
        file.write_bytes(data[:LARGEST])
        try:
            read_sound(file)
        except RungsideError as error:
            _held(error)


def fuzz_words(data: bytes) -> None:
    """Understand words for each thing that may be asked for: always a meaning."""
    words = data[:LONGEST_WORDS].decode(errors="replace")
    for unit in UNITS:
        understand(words, expectation_for_unit(unit))


def _held(error: RungsideError) -> None:
    """Hold that an error is sentences that a person can read."""
    if not error.message.strip():
        raise AssertionError("an error without a sentence") from error


TARGETS: Mapping[str, Callable[[bytes], None]] = {
    "journal": fuzz_journal,
    "flow": fuzz_flow,
    "sound": fuzz_sound,
    "words": fuzz_words,
}
"""What is fuzzed, by name."""
