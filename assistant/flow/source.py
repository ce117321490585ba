"""A YAML file with the place of everything in it, so that each complaint can point.

YAML 1.2 (so `yes`, `no`, `on`, `off` stay words), duplicate keys refused.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from pydantic import ValidationError
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.reader import ReaderError

from assistant.flow.plain import DuplicateKeyError, Places, Where, plain_values
from assistant.flow.problems import FlowError, Problem, nearest

_UNREAD = "not-readable"


@dataclass(frozen=True, slots=True)
class Source:
    """A file that was read.

    Args:
        file: its path.
        text: its text.
        data: plain dicts and lists.
        places: line and column (from 1) of each key or list member.
    """

    file: Path
    text: str
    data: dict[str, Any]
    places: Places

    def problem(
        self, where: Where, message: str, hint: str = "", check: str = "wrong-form"
    ) -> Problem:
        """Make a complaint that points at the nearest known place on the way to `where`."""
        way = tuple(where)
        while way and way not in self.places:
            way = way[:-1]
        line, column = self.places.get(way, (1, 1))
        return Problem(self.file, line, column, message, hint, check)


def read_source(file: Path) -> Source:
    """Read a YAML file.

    Raises:
        FlowError: when it is missing, not text, not YAML, or says a key twice.
    """
    return source_of(file, _read_text(file))


def source_of(file: Path, text: str) -> Source:
    """Make a source of a text.

    Raises:
        FlowError: when it is not YAML, or says a key twice.
    """
    try:
        data, places = _parsed(text)
    except MarkedYAMLError as error:
        raise FlowError([_yaml_problem(file, error)]) from error
    except ReaderError as error:
        message = "The file holds a character that YAML does not allow."
        raise FlowError([_at_offset(file, text, error.position, message)]) from error
    except YAMLError as error:
        raise FlowError([_unread(file, f"This is not YAML: {error}.")]) from error
    except RecursionError as error:
        message = "The file is nested too deeply."
        raise FlowError([_unread(file, message, "A flow needs six levels.")]) from error
    if not isinstance(data, dict):
        message = "The file does not hold keys with values."
        raise FlowError([_unread(file, message, "Begin with 'flow: name'.")])
    return Source(file, text, data, places)


@lru_cache(maxsize=64)
def _parsed(text: str) -> tuple[Any, Places]:
    """Parse once a text: the vocabulary and shared steps are read for every flow."""
    return plain_values(text)


def _read_text(file: Path) -> str:
    try:
        return file.read_text(encoding="utf-8")
    except FileNotFoundError as error:
        hint = "Give a path to a flow file."
        raise FlowError([_unread(file, "There is no such file.", hint)]) from error
    except UnicodeDecodeError as error:
        hint = "Save it as UTF-8."
        raise FlowError([_unread(file, "The file is not UTF-8 text.", hint)]) from error
    except OSError as error:
        reason = error.strerror or "it cannot be opened"
        raise FlowError([_unread(file, f"The file cannot be read: {reason}.")]) from error


def _yaml_problem(file: Path, error: MarkedYAMLError) -> Problem:
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    if isinstance(error, DuplicateKeyError):
        message = f"The key '{error.problem}' stands twice."
        return Problem(file, line, column, message, "Keep one of them.", "double-key")
    said = (error.problem or "it cannot be read").strip().rstrip(".")
    hint = "Check the indentation, the colon and the quotes here."
    return Problem(file, line, column, f"This is not YAML: {said}.", hint, _UNREAD)


def _at_offset(file: Path, text: str, offset: int, message: str) -> Problem:
    before = text[:offset]
    line, column = before.count("\n") + 1, offset - before.rfind("\n")
    return Problem(file, line, column, message, check=_UNREAD)


def _unread(file: Path, message: str, hint: str = "") -> Problem:
    return Problem(file, 1, 1, message, hint, _UNREAD)


def model_problems(
    source: Source, error: ValidationError, keys: Mapping[str, Collection[str]]
) -> list[Problem]:
    """Turn pydantic's complaints into ours, each at the line it is about.

    Args:
        source: the file.
        error: what pydantic says of it.
        keys: the keys that belong to each kind of record, by its tag; by "" at the top.
    """
    return [_model_problem(source, dict(one), keys) for one in error.errors()]


def _model_problem(
    source: Source, one: dict[str, Any], keys: Mapping[str, Collection[str]]
) -> Problem:
    where = _known_way(source, tuple(one["loc"]))
    name = str(one["loc"][-1]) if one["loc"] else "the file"
    kind, context = one["type"], one.get("ctx", {})
    if kind == "missing":
        said = f"'{name}' is missing here."
        return source.problem(where, said, f"Add '{name}:'.", "missing-key")
    if kind == "extra_forbidden":
        tags = [part for part in one["loc"][:-1] if part in keys]
        hint = nearest(name, keys[tags[-1] if tags else ""]) if len(where) <= 1 or tags else ""
        said = f"'{name}' is not a key that belongs here."
        return source.problem((*where, name), said, hint, "unknown-key")
    if kind in {"enum", "literal_error"}:
        expected = [
            word.strip(" '") for word in context["expected"].replace(" or ", ",").split(",")
        ]
        return source.problem(
            where,
            f"'{one['input']}' is not one of the words known here.",
            nearest(str(one["input"]), expected),
            "unknown-word",
        )
    if kind in {"union_tag_invalid", "union_tag_not_found"}:
        key = context["discriminator"].strip("'")
        expected = [word.strip(" '") for word in context.get("expected_tags", "").split(",")]
        found = context.get("tag")
        said = f"'{found}' is not a known {key}." if found else f"'{key}' is missing here."
        hint, check = nearest(str(found), filter(None, expected)), "unknown-word"
        return source.problem((*where, key), said, hint, check if found else "missing-key")
    sentence = one["msg"][0].upper() + one["msg"][1:]
    return source.problem(where, f"'{name}': {sentence}.")


def _known_way(source: Source, loc: Where) -> Where:
    """Drop the union tags that pydantic adds to the way."""
    way: Where = ()
    for part in loc:
        if (*way, part) in source.places:
            way = (*way, part)
    return way
