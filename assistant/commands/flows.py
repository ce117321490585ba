"""Flows: checked, drawn, and measured on the bench."""

import json
import sys
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from assistant.commands.app import Many, UsageError, app, complain


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
    return running.run(
        flows, print, lambda told: complain(told, 1), is_json=format == "json", is_watched=watch
    )


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
        complain(f"This flow has {found}; 'rungside check {flow}' lists them.", 0)
    return 0


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
