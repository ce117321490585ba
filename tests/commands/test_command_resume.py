"""`rungside walk --resume`: a walk goes on where it stood, and says no where it cannot."""

import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from assistant.cli import run
from assistant.desk.desk import Desk
from assistant.desk.errands import ResumeErrand
from assistant.journal.reading import JOURNAL, read_journal
from assistant.journal.store import Journal

FLOW = Path(__file__).parents[1] / "walk" / "flows" / "kettle.yaml"

BEGINNING = (
    *("it runs", "ten", "lock it out", "locked out", "zero", "it may be charged", "it is bled"),
)
REST = (
    *("lock it out", "locked out", "zero", "it may be charged", "it is bled"),
    *("it may be charged", "leads are apart", "ten", "yes", "seventeen point five", "yes"),
    *("nine point eight seven", "yes", "all clear", "ready for live test", "power is on"),
    *("one eighteen", "yes", "panels fitted", "it is closed up"),
)
"""What is to be answered after the break; the power is proven off once more first."""


def said(folder: Path, name: str, words: tuple[str, ...]) -> str:
    """Write answers to a file and give its path."""
    (folder / name).write_text("\n".join(words), encoding="utf-8")
    return str(folder / name)


@pytest.fixture
def session(tmp_path: Path) -> Path:
    """A session broken off at the first reading of a dead unit."""
    answers = said(tmp_path, "first.txt", BEGINNING)
    run(["walk", str(FLOW), "--answers", answers, "--sessions", str(tmp_path / "s")])
    (made,) = (tmp_path / "s").iterdir()
    return made


def refused(arguments: list[str], session: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """Hold that a command fails and changes nothing; give its sentence."""
    before = (session / JOURNAL).read_bytes()
    capsys.readouterr()
    assert 1 == run(arguments)
    assert before == (session / JOURNAL).read_bytes()
    return capsys.readouterr().err


def test_it_goes_on_to_its_end(session: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By its name and by answers from a file; the record is sealed, whole, and replays."""
    answers = said(session.parents[1], "rest.txt", REST)
    capsys.readouterr()
    options = ["--sessions", str(session.parent), "--answers", answers]
    code = run(["walk", str(FLOW), "--resume", session.name, *options])
    printed = capsys.readouterr().out
    assert 0 == code, printed
    assert "proven again where it is needed" in printed
    assert printed.index("Lock it out") < printed.index("You: locked out")
    assert 0 == run(["verify", str(session)])
    assert 0 == run(["replay", str(session), "--flow", str(FLOW)])
    assert 1 == len(list(session.parent.iterdir()))


def test_the_same_answers_without_the_proof_are_not_taken(session: Path) -> None:
    """Whoever goes on as if nothing had been gets no reading taken."""
    answers = said(session.parents[1], "rest.txt", ("ten", "yes", "seventeen point five", "yes"))
    assert 1 == run(["walk", str(FLOW), "--resume", str(session), "--answers", answers])
    taken = [line.data["name"] for line in read_journal(session).lines if line.kind == "took"]
    assert ["rated", "dead_volts"] == taken


def test_a_sealed_session_is_refused(session: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One sentence; nothing is added."""
    answers = said(session.parents[1], "stop.txt", ("stop", "yes"))
    run(["walk", str(FLOW), "--resume", str(session), "--answers", answers])
    sentence = refused(["walk", str(FLOW), "--resume", str(session)], session, capsys)
    assert "is sealed, so nothing can be added" in sentence


def test_another_edition_is_refused(
    session: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A flow of the same name with another text is not walked on with."""
    for file in (*FLOW.parent.glob("*.yaml"), *FLOW.parent.glob("shared/*.yaml")):
        other = tmp_path / "flows" / file.relative_to(FLOW.parent)
        other.parent.mkdir(parents=True, exist_ok=True)
        other.write_text(file.read_text(encoding="utf-8"), encoding="utf-8")
    changed = tmp_path / "flows" / FLOW.name
    text = changed.read_text(encoding="utf-8")
    changed.write_text(text.replace('edition: "', 'edition: "9', 1), encoding="utf-8")
    sentence = refused(["walk", str(changed), "--resume", str(session)], session, capsys)
    assert "was begun with another text of the flow" in sentence


def test_a_flow_that_is_not_shipped_must_be_named(
    session: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The record says only its flow's id; the sentence says how to name the file."""
    sentence = refused(["walk", "--resume", str(session)], session, capsys)
    assert "is not a shipped one" in sentence
    assert "rungside walk FILE --resume SESSION" in sentence


def test_a_damaged_session_is_refused(session: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The damaged line is named."""
    content = (session / JOURNAL).read_bytes().replace(b'"words":"ten"', b'"words":"two"', 1)
    (session / JOURNAL).write_bytes(content)
    sentence = refused(["walk", str(FLOW), "--resume", str(session)], session, capsys)
    assert "cannot be continued: Line" in sentence
    assert 1 == sentence.count("\n")


def test_a_second_process_is_refused(session: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """While another process walks it on, this one is told so; after that one is gone it may."""
    command = [sys.executable, "-m", "assistant", "walk", str(FLOW), "--resume", str(session)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout is not None
        assert "Going on" in other.stdout.readline()
        sentence = refused(["walk", str(FLOW), "--resume", str(session)], session, capsys)
        other.kill()
        other.communicate()
    assert "is being written by another Rungside" in sentence
    answers = said(session.parents[1], "stop.txt", ("stop", "yes"))
    assert 0 == run(["walk", str(FLOW), "--resume", str(session), "--answers", answers])


def test_who_and_what_are_the_sessions_own(session: Path) -> None:
    """--unit and --tech do not go with --resume: wrong usage."""
    assert 2 == run(["walk", "--resume", str(session), "--unit", "AHU-9"])
    assert 2 == run(["walk", "--resume", str(session), "--tech", "Q.X."])


def test_the_screen_takes_a_session_up_as_the_lines_do(session: Path) -> None:
    """What the screen is handed stands where the session stood, with its proofs gone."""
    with Desk.open(sessions=session.parent, mute=True) as desk:
        errand = ResumeErrand(desk, session.name, str(FLOW))
        taken = errand.begin()
        assert taken is errand.session
        assert ("safe/lock", "unknown") == (taken.state.step, taken.state.conditions["power"])
        assert session.name == taken.journal.folder.name
        taken.close()


def test_a_session_that_was_sent_on_says_where(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It is over; the sentence names the flow in which the walk goes on."""
    moment = datetime(2026, 2, 3, tzinfo=UTC)
    opening = {"kind": "began", "flow": "triage", "title": "Triage", "edition": "1"}
    with Journal.create(tmp_path, "one", opening, clock=lambda: moment) as journal:
        journal.append([{"kind": "sent_on", "step": "kind", "flow": "capacitor"}])
        journal.seal()
    sentence = refused(["walk", "--resume", str(tmp_path / "one")], tmp_path / "one", capsys)
    assert "it was sent on to the flow 'capacitor'" in sentence
    assert "rungside walk capacitor" in sentence
