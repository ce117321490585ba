"""Conversations written to files, as `conversation.py` reads them."""

import json
from collections.abc import Iterable, Iterator
from pathlib import Path

from conversation import Aside, Conversation, Told

_NARROW = 96


def write(conversation: Conversation, folder: Path) -> None:
    """Write one conversation into a folder."""
    text = "\n".join(_lines(conversation)) + "\n"
    (folder / f"{conversation.name}.yaml").write_text(text, encoding="utf-8")


def _lines(one: Conversation) -> Iterator[str]:
    yield f"about: {_plain(one.about)}"
    for key, value in one.source.items():
        yield f"{key}: {value}"
    if one.walk:
        yield f"after: {{walk: {one.walk}, turns: {one.shared}}}"
    else:
        yield from _turn("begins: ", "  ", one.begins)
    yield "turns:"
    for told in one.turns:
        yield from _turn("- ", "  ", told)
    if one.asides:
        yield "instead:"
        for aside in one.asides:
            yield from _aside(aside)


def _aside(aside: Aside) -> Iterator[str]:
    yield f"- after: {aside.after}"
    yield f"  at: {aside.at}"
    yield "  answers:"
    for row in aside.answers:
        for place, told in enumerate(row):
            yield from _turn("  - - " if place == 0 else "    - ", "      ", told)


def _turn(head: str, indent: str, told: Told) -> Iterator[str]:
    """Write a turn: what was heard and came of it first, then what was said, a line each."""
    facts = [f"{key}: {_flow(value)}" for key, value in told.items() if key != "said"]
    said = [f"{role}: {_quoted(text)}" for one in told["said"] for role, text in one.items()]
    first = f"{head}{{{', '.join(facts)}, said: ["
    if len(said) == 1 and len(first) + len(said[0]) <= _NARROW:
        yield f"{first}{said[0]}]}}"
    elif not said:
        yield f"{first}]}}"
    else:
        yield first
        yield from (f"{indent}  {one}," for one in said[:-1])
        yield f"{indent}  {said[-1]}]}}"


def _flow(value: object) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_flow(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_flow(one) for one in value) + "]"
    return _quoted(str(value))


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _plain(text: str) -> str:
    """Leave quotes out where YAML needs none."""
    is_safe = not any(sign in text for sign in ": #'\"{}[]") or not any(
        sign in text for sign in (": ", " #", "'", '"', "{", "}", "[", "]")
    )
    return text if is_safe else _quoted(text)


def clear(folder: Path, keep: Iterable[str]) -> None:
    """Remove the conversations of a folder that are not kept."""
    kept = set(keep)
    for file in folder.glob("*.yaml"):
        if file.stem not in kept:
            file.unlink()
