"""Checking files for a command: which files, what is said of them, and again when they change."""

import gc
import json
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager, suppress
from multiprocessing import get_all_start_methods, get_context
from pathlib import Path
from time import sleep

from assistant.checks.table import CHECKS, check_file, once
from assistant.flow.complaints import COMPLAINTS
from assistant.flow.library import find_flow, flow_names, shipped
from assistant.flow.problems import FlowError, Problem
from assistant.flow.schema import flow_schema

WAIT_SECONDS = 0.5
"""How long a watch waits before it looks at the files again."""


def files_of(names: Sequence[str]) -> tuple[tuple[Path, ...], tuple[Problem, ...]]:
    """Give the files of some flows, named by id or by path; of all shipped ones where none is.

    Returns:
        The files, and a complaint for each name that is no flow.
    """
    files: list[Path] = []
    unknown: list[Problem] = []
    for name in names or flow_names():
        try:
            files.append(find_flow(name))
        except FlowError as error:
            unknown.extend(error.problems)
    return tuple(files), tuple(unknown)


def check_files(files: Iterable[Path]) -> tuple[Problem, ...]:
    """Give all that is wrong with some flows; what several of them include is told once."""
    several = sorted(files, key=lambda file: -file.stat().st_size if file.is_file() else 0)
    with _no_collecting(), _hands(len(several)) as hands:
        return once(problem for found in hands(check_file, several) for problem in found)


@contextmanager
def _hands(count: int) -> Iterator[Callable[..., Iterable[tuple[Problem, ...]]]]:
    """Give what checks several files at once, a process a core, where a process costs little."""
    cores = min(count, os.cpu_count() or 1)
    if cores == 1 or "fork" not in get_all_start_methods():
        yield map
        return
    with ProcessPoolExecutor(cores, get_context("fork")) as pool:
        yield pool.map


@contextmanager
def _no_collecting() -> Iterator[None]:
    """Leave what was loaded alone: looking for garbage among it takes a sixth of the time."""
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_enabled:
            gc.enable()


def has_errors(problems: Iterable[Problem]) -> bool:
    """Whether one of some problems keeps a flow from being walked."""
    return any(problem.severity == "error" for problem in problems)


def as_lines(problems: Sequence[Problem], files: Sequence[Path]) -> list[str]:
    """Give the problems a line each, from here, and what they come to in all."""
    return [*(_from_here(problem) for problem in problems), _summary(problems, len(files))]


def _from_here(problem: Problem) -> str:
    """Write a problem with its file's path from the folder the command was called in."""
    text = str(problem)
    with suppress(ValueError):
        near = problem.file.resolve().relative_to(Path.cwd())
        return f"{near}{text.removeprefix(str(problem.file))}"
    return text


def _summary(problems: Sequence[Problem], files: int) -> str:
    errors = sum(problem.severity == "error" for problem in problems)
    warnings = len(problems) - errors
    looked = f"{files} flow{'' if files == 1 else 's'} checked"
    if not problems:
        return f"{looked}: nothing is wrong."
    counts = [_count(errors, "error"), _count(warnings, "warning")]
    return f"{looked}: {' and '.join(filter(None, counts))}."


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}" if number else ""


def as_records(problems: Iterable[Problem]) -> list[dict[str, str | int]]:
    """Give each problem as file, line, column, check, severity, message and hint."""
    return [
        {
            "file": str(one.file),
            "line": one.line,
            "column": one.column,
            "check": one.check,
            "severity": one.severity,
            "message": one.message,
            "hint": one.hint,
        }
        for one in problems
    ]


def catalogue() -> list[tuple[str, str, str]]:
    """Give each complaint there is: its name, its severity, why it is made."""
    ours = [(check.name, str(check.severity), check.why) for check in CHECKS]
    known = {name for name, _, _ in ours}
    loader = [(name, "error", why) for name, why in COMPLAINTS.items() if name not in known]
    return sorted([*ours, *loader])


def catalogue_text(*, is_json: bool) -> str:
    """Write each complaint there is, with why it is made."""
    rows = catalogue()
    if is_json:
        keys = ("check", "severity", "why")
        return _as_json([dict(zip(keys, row, strict=True)) for row in rows])
    return "\n".join(
        f"{name}{' (warning)' if severity == 'warning' else ''}: {why}"
        for name, severity, why in rows
    )


def schema_text() -> str:
    """Write the JSON Schema of the flow format."""
    return _as_json(flow_schema())


def _as_json(made: object) -> str:
    return json.dumps(made, ensure_ascii=False, indent=1)


def run(
    names: Sequence[str],
    write: Callable[[str], None],
    complain: Callable[[str], object],
    *,
    is_json: bool,
    is_watched: bool,
) -> int:
    """Write what is wrong with flows, and over again on each change where they are watched.

    Args:
        names: flows by id or by path; all shipped ones where none is named.
        write: takes each text.
        complain: takes a sentence for each name that is no flow; as JSON it is written instead.
        is_json: whether it is written as JSON.
        is_watched: whether to go on until it is interrupted.

    Returns:
        1 where a flow cannot be walked or a name is none, else 0.
    """
    files, unknown = files_of(names)
    code = 1 if unknown else 0
    for problem in () if is_json else unknown:
        complain(str(problem))
    if not files:
        if is_json:
            write(_as_json(as_records(unknown)))
        return code
    with suppress(KeyboardInterrupt):
        for problems in watch(files, lambda: sleep(WAIT_SECONDS)):
            code = 1 if unknown or has_errors(problems) else 0
            if is_json:
                write(_as_json(as_records((*unknown, *problems))))
            else:
                write("\n".join(as_lines(problems, files)))
            if not is_watched:
                break
    return code


def watch(files: Sequence[Path], wait: Callable[[], None]) -> Iterator[tuple[Problem, ...]]:
    """Give what is wrong with some flows, and again whenever a file of theirs has changed.

    Args:
        files: the flows.
        wait: waits until it is time to look again.
    """
    seen: dict[Path, tuple[int, int]] | None = None
    while True:
        now = _stamps(files)
        if now != seen:
            seen = now
            yield check_files(files)
        wait()


def _stamps(files: Iterable[Path]) -> dict[Path, tuple[int, int]]:
    """Give when each file beside and below some flows was last written, and its size."""
    folders = {file.parent for file in files} | {shipped("flows")}
    found: dict[Path, tuple[int, int]] = {}
    for folder in folders:
        for file in folder.rglob("*.y*ml"):
            with suppress(OSError):
                stat = file.stat()
                found[file] = (stat.st_mtime_ns, stat.st_size)
    return found
