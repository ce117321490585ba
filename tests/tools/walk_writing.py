"""Conversations written to files, as `conversation.py` reads them."""

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from conversation import LIKE_ALWAYS, Aside, Conversation, Told, place_of, said_file

_NARROW = 96


def write_all(made: Sequence[Conversation], folder: Path) -> None:
    """Write all conversations of a flow, and the words they share; what else there is goes."""
    words = _shared(made)
    table = "".join(f"{key}: {_quoted(text)}\n" for key, text in sorted(words.items()))
    said_file(folder.name).write_text(table, encoding="utf-8")
    kept = {one.name for one in made}
    for file in folder.glob("*.yaml"):
        if file.stem not in kept:
            file.unlink()
    for one in made:
        text = "\n".join(_lines(_shortened(one, words))) + "\n"
        (folder / f"{one.name}.yaml").write_text(text, encoding="utf-8")


def _shared(made: Iterable[Conversation]) -> dict[str, str]:
    """Give the words said oftenest for each role and place that has some more than once."""
    counts: dict[str, Counter[str]] = {}
    for conversation in made:
        for told in _all_told(conversation):
            for role, text in ((r, t) for one in told["said"] for r, t in one.items()):
                if role in _REPEATED:
                    counts.setdefault(place_of(role, told), Counter())[text] += 1
    best = {key: count.most_common(1)[0] for key, count in counts.items()}
    return {key: text for key, (text, number) in best.items() if number > 1}


_REPEATED = frozenset({"caution", "prompt", "help", "why", "ask_back"})


def _all_told(one: Conversation) -> Iterator[Told]:
    if one.begins:
        yield one.begins
    yield from one.turns
    for aside in one.asides:
        for row in aside.answers:
            yield from row


def _shortened(one: Conversation, words: Mapping[str, str]) -> Conversation:
    def short(told: Told) -> Told:
        if not told:
            return told
        said = [
            {role: LIKE_ALWAYS if words.get(place_of(role, told)) == text else text}
            for part in told["said"]
            for role, text in part.items()
        ]
        return {**told, "said": said}

    return replace(
        one,
        begins=short(one.begins),
        turns=tuple(short(told) for told in one.turns),
        asides=tuple(
            replace(aside, answers=tuple(tuple(short(t) for t in row) for row in aside.answers))
            for aside in one.asides
        ),
    )


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
    together = ", ".join(said)
    if said and len(first) + len(together) <= _NARROW:
        yield f"{first}{together}]}}"
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
