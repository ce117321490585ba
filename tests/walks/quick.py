"""Reads the YAML that the recorder writes a dozen times quicker than a YAML reader does.

There are megabytes of it, and only few forms: block lines of known keys, and flow values of quoted
strings, lists and mappings. What it does not know it leaves to the YAML reader; a test holds both
to the same.
"""

import re
from typing import Any

_WORD = re.compile(
    r'\s*(?:(?P<string>"(?:[^"\\]|\\.)*")|(?P<key>[\w.>/-]+):\s|(?P<sign>[{}\[\],])|(?P<word>[\w.-]+))'
)
_LINE = re.compile(r"\n(?=\S|  at: |  answers:|  - |    - )")
_ESCAPE = re.compile(r'\\(["\\])')


class UnknownFormError(Exception):
    """The text is not as the recorder writes it."""


def read(text: str) -> dict[str, Any]:
    """Read a conversation's file.

    Raises:
        UnknownFormError: when it holds anything that the recorder does not write.
    """
    data: dict[str, Any] = {}
    for line in _LINE.split(text.rstrip("\n")):
        _take(data, line)
    return data


def _take(data: dict[str, Any], line: str) -> None:
    if line in {"turns:", "instead:"}:
        data[line[:-1]] = []
    elif line.startswith("- after: "):
        data["instead"].append({"after": int(line[9:])})
    elif line.startswith("  at: "):
        data["instead"][-1]["at"] = _scalar(line[6:])
    elif line == "  answers:":
        data["instead"][-1]["answers"] = []
    elif line.startswith("  - - "):
        data["instead"][-1]["answers"].append([_flow(line[6:])])
    elif line.startswith("    - "):
        data["instead"][-1]["answers"][-1].append(_flow(line[6:]))
    elif line.startswith("- "):
        data["turns"].append(_flow(line[2:]))
    else:
        key, colon, value = line.partition(": ")
        if not colon:
            raise UnknownFormError(line)
        data[key] = _flow(value) if value[:1] == "{" else _scalar(value)


def _scalar(text: str) -> str:
    if text[:1] in set("'|>&*!%@`") or "#" in text or "\n" in text:
        raise UnknownFormError(text)
    return _string(text) if text[:1] == '"' else text


def _string(text: str) -> str:
    if len(text) < 2 or text[-1] != '"' or re.search(r'\\[^"\\]', text):
        raise UnknownFormError(text)
    return _ESCAPE.sub(r"\1", text[1:-1])


def _flow(text: str) -> Any:  # noqa: ANN401 - whatever is written
    value, end = _value(text, 0)
    if text[end:].strip():
        raise UnknownFormError(text)
    return value


def _next(text: str, at: int) -> tuple[str, str, int]:
    match = _WORD.match(text, at)
    if match is None:
        raise UnknownFormError(text[at : at + 40])
    kind = match.lastgroup or ""
    return kind, match.group(kind), match.end()


def _value(text: str, at: int) -> tuple[Any, int]:
    kind, part, at = _next(text, at)
    if kind == "string":
        return _string(part), at
    if kind == "word":
        return (int(part) if part.isdigit() else part), at
    if part == "{":
        return _mapping(text, at)
    if part == "[":
        return _list(text, at)
    raise UnknownFormError(part)


def _mapping(text: str, at: int) -> tuple[dict[str, Any], int]:
    found: dict[str, Any] = {}
    while True:
        kind, part, at = _next(text, at)
        if part == "}":
            return found, at
        if kind == "key":
            found[part], at = _value(text, at)
        elif part != ",":
            raise UnknownFormError(part)


def _list(text: str, at: int) -> tuple[list[Any], int]:
    found: list[Any] = []
    while True:
        kind, part, after = _next(text, at)
        if part == "]":
            return found, after
        if part == ",":
            at = after
        elif kind == "key":
            value, at = _value(text, after)
            found.append({part: value})
        else:
            value, at = _value(text, at)
            found.append(value)
