"""Accounts for the tests of the reports: walked by a small flow, and made by hand for the edges."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

from assistant.flow.library import open_flow
from assistant.journal.account import (
    Account,
    GivenCaution,
    MadeFinding,
    NamedAnswer,
    TakenValue,
    give_account,
)
from assistant.journal.memory import MemoryFiles
from assistant.journal.reading import JOURNAL, read_content
from assistant.journal.session import Session
from assistant.walk.ends import Heard
from assistant.walk.walk import Walk

FAN = Path(__file__).parent / "data" / "fan.yaml"
"""The small flow of these tests."""

TO_RATING = ("ladder is good", "it hums", "wheel is good")
TO_CAN = (
    *TO_RATING,
    *("ten", "i will lock it out", "it is locked out", "zero", "it may be charged", "it is bled"),
)
FROM_LOW = (
    *("seventeen point five", "yes", "nine point eight seven", "yes", "o l", "yes"),
    "it is closed up",
)
GOOD = (*TO_CAN, "ten", "yes", *FROM_LOW)
"""A unit with nothing wrong."""
REPAIRED = (
    *TO_CAN,
    *("six point two", "yes", "it is repaired", "ten point one", "yes"),
    *FROM_LOW,
)
"""A weak capacitor, found, replaced and measured again."""
OPEN_WINDING = (*TO_CAN, "ten", "yes", "o l", "yes", "it is closed up")
"""A winding that reads OL."""
LEFT = (*TO_CAN, "six point two", "yes", "not today", "it is closed up")
"""A weak capacitor, found and not replaced."""


def journal_of(walk: Walk, phrases: tuple[str, ...], unit: str = "RTU 3") -> bytes:
    """Walk by phrases through a real session and give its journal; four seconds a turn."""
    ticks = count()
    start = datetime(2026, 2, 3, 14, 5, 6, tzinfo=UTC)
    files = MemoryFiles()
    session = Session.begin(
        walk,
        Path("sessions"),
        "one",
        clock=lambda: start + timedelta(seconds=4 * next(ticks)),
        technician="QX",
        unit=unit,
        files=files,
    )
    for phrase in phrases:
        session.hear(Heard(phrase))
    session.close()
    return bytes(files.contents[Path("sessions/one") / JOURNAL])


def walk_fan(*phrases: str, unit: str = "RTU 3") -> Account:
    """Walk the small flow by phrases and give what it came to."""
    return give_account(read_content(journal_of(Walk(open_flow(str(FAN))), phrases, unit)))


def a_value(name: str = "r_low", /, **changes: object) -> TakenValue:
    """Make a reading by hand: 17.5 ohm, judged a pass between 14.0 and 20."""
    value = TakenValue(
        id=name,
        step="low",
        origin="measured",
        said="seventeen point five",
        value="17.5",
        unit="ohm",
        over_limit=False,
        retaken=False,
        confirmed=False,
        answer=3,
        places=("resistance", "common", "tap_low"),
        verdict="pass",
        measured="17.5 Ω",
        expected="14 to 20 Ω",
        reason="17.5 is within 14 ohms to 20 ohms.",
        low="14.0",
        high="20",
    )
    return replace(value, **changes)  # type: ignore[arg-type]


def a_finding(name: str = "weak", /, **changes: object) -> MadeFinding:
    """Make a finding by hand."""
    made = MadeFinding(
        id=name,
        step="find_weak",
        part="Run capacitor",
        reason="It reads 6.2 µF against 10 µF.",
        evidence=("can reading: 6.2 µF",),
        repair="Replace the capacitor.",
        replacement="10 µF, the same or higher volts.",
        faults=("capacitor_weak",),
        licensed=False,
        answer=9,
    )
    return replace(made, **changes)  # type: ignore[arg-type]


def a_caution(name: str = "lockout", /, **changes: object) -> GivenCaution:
    """Make an answered caution by hand."""
    caution = GivenCaution(
        id=name,
        step="lock",
        text="Caution. Lock it out. Say: I will lock it out.",
        given_at="2026-02-03T14:05:06.000Z",
        answered_at="2026-02-03T14:05:09.500Z",
        said="i will lock it out",
        answer=2,
    )
    return replace(caution, **changes)  # type: ignore[arg-type]


def an_account(**changes: object) -> Account:
    """Make a sealed account by hand, of a flow that nobody has any more."""
    account = Account(
        session="one",
        flow="fan",
        title="Bench fan",
        edition="7",
        digest="d" * 64,
        technician="QX",
        unit="RTU 3",
        outcome="found",
        why="The flow was walked to its end.",
        has_ended=True,
        values=(a_value(),),
        cautions=(a_caution(),),
        findings=(a_finding(),),
        answers=(NamedAnswer("complaint", "hums", "it hums", "hums", False, 1),),
        turns=12,
        seconds=125.0,
        started="2026-02-03T14:05:06.000Z",
        is_sealed=True,
        seal_code="7HQ2-94KM-X3RY",
    )
    return replace(account, **changes)  # type: ignore[arg-type]


NASTY = (
    "</title><script>alert(1)</script> <img src=x onerror=alert(1)> \"quoted' & "
    "| pipe\n# heading\n- list `code` **bold** [link](http://example.com) www.example.com "
    "\u202egnissim\u202c \x1b[31m \x00 \ud800 \u05e9\u05dc 👩‍🔧 {{ 7 * 7 }} {% raw %} ${x} \\"
)
"""A text that tries to break out of wherever it is put."""


def a_nasty_account() -> Account:
    """Make an account whose every text tries to break out of its place."""
    return an_account(
        session=NASTY,
        flow=NASTY,
        title=NASTY,
        edition=NASTY,
        technician=NASTY,
        unit=NASTY,
        outcome=NASTY,
        why=NASTY,
        notes=(NASTY, "1. first", "- dash", "+ plus", "=== line", "> quote", "    code"),
        problems=(NASTY,),
        values=(
            a_value(NASTY, said=NASTY, unit=NASTY, verdict=NASTY, reason=NASTY, expected=NASTY),
            a_value("plate", origin="asked", said=NASTY, value=NASTY, verdict="", low="", high=""),
            a_value("limits", low=NASTY, high=NASTY, places=(NASTY, NASTY, NASTY)),
        ),
        cautions=(a_caution(NASTY, text=NASTY, said=NASTY),),
        findings=(
            a_finding(part=NASTY, reason=NASTY, evidence=(NASTY,), repair=NASTY, replacement=NASTY),
        ),
        answers=(
            NamedAnswer("complaint", "x", NASTY, NASTY, False, 1),
            NamedAnswer(NASTY, "x", NASTY, NASTY, True, 1),
            NamedAnswer(NASTY, "skipped", NASTY, NASTY, False, 1),
        ),
    )
