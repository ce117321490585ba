"""Walking: the recorded scenario, a unit at hand, a simulated one."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from assistant.commands.app import ENDS, Many, UsageError, app, check_recogniser

if TYPE_CHECKING:
    from assistant.desk.desk import Desk
    from assistant.desk.showing import Screens


@app.command
def demo(*, sessions: Path | None = None, mute: bool = False) -> int:
    """Walk a recorded scenario by sound, with no microphone and no network.

    The answers follow each other as the ears that are always here ask for them.

    Args:
        sessions: the folder the session is written to.
        mute: do not say it aloud.
    """
    from assistant.desk.desk import Desk
    from assistant.desk.opening import recorded_answers

    with Desk.open(sessions=sessions, tech="R.K.", recogniser="sphinx", mute=mute) as desk:
        return desk.walk("blower-psc", unit="AHU-2 Quarry Lane", listen=recorded_answers())


@app.command
def walk(  # noqa: PLR0913 - each is an option of the command
    flow: str | None = None,
    *,
    voice: Annotated[bool, Parameter(group=ENDS)] = False,
    text: Annotated[bool, Parameter(group=ENDS)] = False,
    plain: Annotated[bool, Parameter(group=ENDS)] = False,
    listen: Annotated[list[Path] | None, Parameter(group=ENDS), Many] = None,
    answers: Annotated[Path | None, Parameter(group=ENDS)] = None,
    mute: Annotated[bool, Parameter(group=ENDS)] = False,
    tech: str | None = None,
    unit: str = "",
    sessions: Path | None = None,
    recogniser: str | None = None,
    resume: str | None = None,
    keep_sound: Annotated[bool, Parameter(group=ENDS)] = False,
) -> int:
    """Walk a flow with one technician on one unit.

    Args:
        flow: a shipped flow's name or a flow file.
        voice: speak aloud, and hear the microphone where no file answers; with `--text` beside
            the screen.
        text: one step at a time on a screen: read it, type the answers or use its keys.
        plain: append-only lines: read the words, and type the answers where no file gives them.
        listen: sound files to hear in order, one answer each.
        answers: a file with one spoken phrase a line.
        mute: do not speak aloud.
        tech: the technician's initials.
        unit: the equipment's tag.
        sessions: the folder that holds the sessions.
        recogniser: which recogniser hears; `auto` takes the best that is here.
        resume: walk this session on from where it was broken off; its power state and hold points
            are asked again.
        keep_sound: keep the sound of the answers in this session; it is said first. With `--voice`
            or `--listen`.
    """
    from assistant.desk.desk import Desk

    _check_ends(text=text, plain=plain, listen=listen, answers=answers)
    if listen is not None and not listen:
        raise UsageError("--listen names no sound file.", "Name at least one WAV file behind it.")
    if resume is not None and (unit or tech):
        raise UsageError("--resume goes on with its own --tech and --unit.", "Leave them out.")
    if keep_sound and (text or answers or not (voice or listen)):
        raise UsageError("--keep-sound goes with --voice or --listen.", "Leave it out.")
    check_recogniser(recogniser)
    with Desk.open(sessions=sessions, tech=tech, recogniser=recogniser, mute=mute) as desk:
        if keep_sound:
            desk.keep_sound()
        if resume is not None:
            if text:
                return _by_text(desk).walk_on(resume, flow, is_voice=voice)
            return desk.walk_on(resume, flow, listen=listen, answers=answers, is_voice=voice)
        if text:
            return _by_text(desk).walk(flow or "triage", unit, is_voice=voice)
        flow = flow or "triage"
        return desk.walk(flow, unit=unit, listen=listen, answers=answers, is_voice=voice)


def _check_ends(
    *, text: bool, plain: bool, listen: list[Path] | None, answers: Path | None
) -> None:
    """See that it is shown in one way, and that answers come from one place.

    The screen takes its answers itself; a voice, and plain lines, go with whatever answers.

    Raises:
        UsageError: when they do not go together.
    """
    if text and plain:
        raise UsageError("--text and --plain do not go together.", "Name one of them.")
    sources = [text, listen is not None, answers is not None]
    if sum(sources) > 1:
        raise UsageError(
            "Only one of --text, --listen and --answers says where answers come from.", "Name one."
        )


@app.command
def practice(  # noqa: PLR0913 - each is an option of the command
    flow: str = "blower-psc",
    *,
    seed: int | None = None,
    fault: str | None = None,
    bench: Annotated[list[Path] | None, Many] = None,
    auto: bool = False,
    text: bool = False,
    tech: str | None = None,
    sessions: Path | None = None,
) -> int:
    """Walk a simulated unit with a hidden fault, and hear at the end what it was.

    Args:
        flow: a shipped flow's name or a flow file.
        seed: hides the same fault on the same unit each time.
        fault: the fault to hide.
        bench: unit files and fault files in place of the shipped ones.
        auto: let the bench answer.
        text: on a screen, one step at a time.
        tech: the technician's initials.
        sessions: the folder that holds the sessions.
    """
    import secrets

    from assistant.desk.desk import Desk

    if text and auto:
        raise UsageError("--text and --auto do not go together.", "The screen is for your answers.")
    drawn = secrets.randbelow(1_000_000) if seed is None else seed
    with Desk.open(sessions=sessions, tech=tech, mute=True) as desk:
        if text:
            return _by_text(desk).practise(flow, bench or [], seed=drawn, fault=fault)
        return desk.practise(flow, bench or [], seed=drawn, fault=fault, is_auto=auto)


@app.default
def start() -> int:
    """Open a small screen to start from: walk, review, practise, doctor."""
    if not _is_terminal():
        app.help_print([])
        return 0
    from assistant.desk.desk import Desk

    with Desk.open() as desk:
        return _by_text(desk).start()


def _is_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _by_text(desk: "Desk") -> "Screens":
    """Give the screens, where there is a terminal to show them.

    Raises:
        UsageError: when there is none.
    """
    if not _is_terminal():
        raise UsageError("A screen needs a terminal.", "Use --plain where there is none.")
    from assistant.desk.showing import Screens

    return Screens(desk)
