"""The command `rungside`: thin, one function a command; the rooms do the work.

Exit 0: good. 1: what was asked about is bad. 2: wrong usage. Errors are one sentence on stderr.
"""

import json
import sys
from pathlib import Path
from typing import Annotated, Literal, NoReturn

from cyclopts import App, CycloptsError, Group, Parameter

from assistant import __version__
from assistant.errors import RungsideError
from assistant.voice.spelling import SPELLED

app = App(
    name="rungside",
    version=__version__,
    version_flags=["--version"],
    help="Find a blower motor's fault by voice, one safe step at a time. `rungside demo` shows it.",
    help_format="plaintext",
    default_parameter=Parameter(negative=()),
    suppress_keyboard_interrupt=False,
)

ENDS = Group("Where answers come from and words go")
Many = Parameter(consume_multiple=True, negative=())


class UsageError(RungsideError):
    """The command line asks for something that does not go together."""


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
        return _complain(f"{_one_line(str(error))} 'rungside --help' lists what there is.", 2)
    except UsageError as error:
        return _complain(str(error), 2)
    except RungsideError as error:
        return _complain(str(error), 1)
    except BrokenPipeError:
        _leave_pipe()
        return 1
    except KeyboardInterrupt:
        return _complain("Interrupted. What was acknowledged is on disk.", 1)
    return code if isinstance(code, int) else 0


def _complain(sentence: str, code: int) -> int:
    print(f"rungside: {sentence}", file=sys.stderr)
    return code


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


@app.command
def demo(*, sessions: Path | None = None, mute: bool = False) -> int:
    """Walk a recorded scenario by sound, with no microphone and no network.

    Args:
        sessions: the folder the session is written to.
        mute: do not say it aloud.
    """
    from assistant.desk.desk import Desk
    from assistant.desk.opening import recorded_answers

    with Desk.open(sessions=sessions, tech="R.K.", mute=mute) as desk:
        return desk.walk("blower-psc", unit="AHU-2 Quarry Lane", listen=recorded_answers())


@app.command
def walk(  # noqa: PLR0913 - each is an option of the command
    flow: str | None = None,
    *,
    voice: Annotated[bool, Parameter(group=ENDS)] = False,
    plain: Annotated[bool, Parameter(group=ENDS)] = False,
    listen: Annotated[list[Path] | None, Parameter(group=ENDS), Many] = None,
    answers: Annotated[Path | None, Parameter(group=ENDS)] = None,
    mute: Annotated[bool, Parameter(group=ENDS)] = False,
    tech: str | None = None,
    unit: str = "",
    sessions: Path | None = None,
    recogniser: str | None = None,
) -> int:
    """Walk a flow with one technician on one unit.

    Args:
        flow: a shipped flow's name or a flow file.
        voice: hear the microphone and speak aloud.
        plain: append-only lines: type the answers, read the words.
        listen: sound files to hear in order, one answer each.
        answers: a file with one spoken phrase a line.
        mute: do not speak aloud.
        tech: the technician's initials.
        unit: the equipment's tag.
        sessions: the folder that holds the sessions.
        recogniser: which recogniser hears; `auto` takes the best that is here.
    """
    from assistant.desk.desk import Desk

    ends = [bool(voice), bool(plain), listen is not None, answers is not None]
    if sum(ends[1:]) > 1 or (voice and (listen is not None or answers is not None)):
        raise UsageError(
            "Only one of --voice, --plain, --listen and --answers says where answers come from.",
            "Name one.",
        )
    if listen is not None and not listen:
        raise UsageError("--listen names no sound file.", "Name at least one WAV file behind it.")
    with Desk.open(sessions=sessions, tech=tech, recogniser=recogniser, mute=mute) as desk:
        return desk.walk(
            flow or "blower-psc",
            unit=unit,
            listen=listen,
            answers=answers,
            is_voice=voice,
        )


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
            code = _complain(str(record), 1)
        else:
            print(json.dumps(record, ensure_ascii=False))
    return code


@app.command
def report(
    session: str,
    *,
    format: Literal["md", "html", "json"] = "md",  # noqa: A002 - the option's name
    sessions: Path | None = None,
    output: Annotated[Path | None, Parameter(name=["--output", "-o"])] = None,
) -> int:
    """Write a session's record for the work order.

    Args:
        session: the session's folder, its journal or its name.
        format: md, html or json.
        sessions: the folder that holds the sessions.
        output: a file to write to; the terminal where it is not given.
    """
    from assistant.desk.opening import open_account
    from assistant.desk.output import write_out
    from assistant.report import render

    write_out(render(open_account(session, sessions), format), output)
    return 0


@app.command
def replay(
    session: str,
    *,
    flow: Path | None = None,
    sessions: Path | None = None,
) -> int:
    """Walk a session's heard words again and say where it differs.

    Args:
        session: the session's folder, its journal or its name.
        flow: another edition of the flow to judge by.
        sessions: the folder that holds the sessions.
    """
    from assistant.desk.replaying import replay_session

    return replay_session(session, flow, sessions)


@app.command
def practice(
    flow: str = "blower-psc",
    *,
    seed: int | None = None,
    fault: str | None = None,
    bench: Annotated[list[Path] | None, Many] = None,
    auto: bool = False,
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
        tech: the technician's initials.
        sessions: the folder that holds the sessions.
    """
    import secrets

    from assistant.desk.desk import Desk

    drawn = secrets.randbelow(1_000_000) if seed is None else seed
    with Desk.open(sessions=sessions, tech=tech, mute=True) as desk:
        return desk.practise(flow, bench or [], seed=drawn, fault=fault, is_auto=auto)


@app.command
def isolate(
    flow: str = "blower-psc",
    *,
    bench: Annotated[list[Path] | None, Many] = None,
    seed: int = 0,
    seeds: int | None = None,
    json: bool = False,
) -> int:
    """Walk every fault that a flow covers on every unit, and say how well it finds them.

    Args:
        flow: a shipped flow's name or a flow file.
        bench: unit files and fault files in place of the shipped ones.
        seed: the first seed of the meters' noise.
        seeds: noisy walks of each case; a sound unit gets more.
        json: print one JSON object instead of the matrix.
    """
    from assistant.bench.ground import lay_ground
    from assistant.bench.matrix import HEALTHY_SEEDS, NOISE_SEEDS, as_record, lines, measure
    from assistant.desk.opening import load_safe_flow

    count = NOISE_SEEDS if seeds is None else seeds
    if count < 1 or seed < 0:
        raise UsageError("--seeds is at least one and --seed at least zero.", "Name such a number.")
    ground = lay_ground(load_safe_flow(flow), bench or [])
    matrix = measure(
        ground, seed=seed, noise_seeds=count, healthy_seeds=HEALTHY_SEEDS * count, step=_progress
    )
    print(_as_json(as_record(matrix)) if json else "\n".join(lines(matrix)))
    return 0


def _as_json(record: dict[str, object]) -> str:
    return json.dumps(record, ensure_ascii=False, indent=1)


def _progress(done: int, whole: int) -> None:
    """Show how far it is, where there is a terminal to show it on."""
    if sys.stderr.isatty():
        end = "\n" if done == whole else ""
        print(f"\r{done} of {whole}", end=end, file=sys.stderr, flush=True)


@app.command
def draw(
    flow: str,
    *,
    format: Literal["text", "mermaid", "svg"] = "text",  # noqa: A002 - the option's name
    session: str | None = None,
    sessions: Path | None = None,
    output: Annotated[Path | None, Parameter(name=["--output", "-o"])] = None,
) -> int:
    """Draw a flow: its steps, where they lead, what guards them and the state of power.

    Args:
        flow: a shipped flow's name or a flow file.
        format: text (an outline in words), mermaid (a flowchart's text) or svg (a picture).
        session: mark the way that this walk took: a session's folder, its journal or its name.
        sessions: the folder that holds the sessions.
        output: a file to write to; the terminal where it is not given.
    """
    from assistant.checks.drawing import draw_flow
    from assistant.checks.table import check_flow
    from assistant.desk.opening import open_record
    from assistant.desk.output import write_out
    from assistant.flow.library import open_flow

    drawn = open_flow(flow)
    record = None if session is None else open_record(session, sessions)
    write_out(draw_flow(drawn, format, record), output)
    count = sum(problem.severity == "error" for problem in check_flow(drawn))
    if count:
        found = "1 error" if count == 1 else f"{count} errors"
        _complain(f"This flow has {found}; 'rungside check {flow}' lists them.", 0)
    return 0


@app.command
def check(
    *flows: str,
    format: Literal["text", "json"] = "text",  # noqa: A002 - the option's name
    watch: bool = False,
    list: bool = False,  # noqa: A002 - the option's name
    schema: bool = False,
) -> int:
    """Say what is wrong with flows, by file, line and column; 1 where one cannot be walked.

    Args:
        flows: shipped flows' names or flow files; all shipped ones where none is named.
        format: text, one complaint a line, or json.
        watch: check again whenever a file changes, until Ctrl-C.
        list: print each complaint there is, and why it is made.
        schema: print the JSON Schema of the flow format, for editors.
    """
    from assistant.checks import running

    if sum((watch, list, schema)) > 1:
        raise UsageError("--watch, --list and --schema do not go together.", "Name one of them.")
    if list or schema:
        print(running.schema_text() if schema else running.catalogue_text(is_json=format == "json"))
        return 0
    return running.run(flows, print, is_json=format == "json", is_watched=watch)


@app.command
def doctor(*, fetch: bool = False) -> int:
    """Say what can be heard and said on this machine, and what to do about the rest.

    Args:
        fetch: fetch the English model of the preferred recogniser (40 MB, from its authors).
    """
    from assistant.desk.desk import Desk

    with Desk.open(mute=True) as desk:
        return desk.examine(fetch=fetch)
