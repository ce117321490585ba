"""Whatever stands in a record, reading it fails nowhere and its rows go into every index."""

import json
from datetime import UTC, datetime
from pathlib import Path
from random import Random

from shop_rows import MACHINE
from shop_sessions import Model, make_journal
from sqlalchemy import func, select

from assistant.journal.reading import JOURNAL
from assistant.shop.gathering import gather
from assistant.shop.index import Index
from assistant.shop.questions import QUESTIONS
from assistant.shop.tables import SESSIONS
from assistant.shop.wanted import Wanted

START = datetime(2026, 2, 3, 14, 5, tzinfo=UTC)
ODD: tuple[object, ...] = (
    *(None, True, -1, 2**70, 1.5, 1e300, "", "NaN", "1e999", "-0", "x" * 3000, "\x00", "\u202e"),
    *([], ["a", 1], [[[]]], {}, {"a": {"b": None}}, "2026-02-30T00:00:00Z", "\ud800"),
)
"""What may stand where something else must."""


def odd_journal(chance: Random, models: tuple[Model, ...]) -> bytes:
    """Make a chained and sealed journal in which some events say something else than they must."""
    lines = list(chance.choice(models).lines)
    for _ in range(chance.randint(1, 4)):
        place = chance.choice([0, chance.randrange(len(lines))])
        seconds, kind, data = lines[place]
        event = json.loads(data)
        name = chance.choice(sorted(event))
        if chance.random() < 0.7:
            event[name] = chance.choice(ODD)
        else:
            del event[name]
        text = json.dumps(event, sort_keys=True, separators=(",", ":"))
        lines[place] = (seconds, kind, text.encode())
    return make_journal(Model(tuple(lines), frozenset()), "odd", START, "AB", "RTU-1", chance)


def spoiled_journal(chance: Random, content: bytes) -> bytes:
    """Put bytes in anywhere, several times."""
    spoiled = bytearray(content)
    for _ in range(chance.randint(1, 5)):
        place = chance.randint(0, len(spoiled))
        spoiled[place:place] = chance.randbytes(chance.randint(0, 40))
    return bytes(spoiled)


def goes_in(index: Index, folder: Path, content: bytes) -> None:
    """Put a journal in the place of the one before, read it, and ask everything."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / JOURNAL).write_bytes(content)
    gather(index, [folder.parent], MACHINE, workers=1)
    with index.reading() as connection:
        assert 1 == connection.scalar(select(func.count()).select_from(SESSIONS))
        for question in QUESTIONS.values():
            question.ask(connection, Wanted())


def test_odd_events_go_in(index: Index, tmp_path: Path, own_models: tuple[Model, ...]) -> None:
    """Numbers as texts, texts as lists, keys that are missing, in sixty sealed records."""
    for seed in range(60):
        content = odd_journal(Random(seed), own_models)  # noqa: S311 - no secret
        goes_in(index, tmp_path / "sessions" / "odd", content)


def test_any_bytes_are_told_of(
    index: Index, tmp_path: Path, made: tuple[tuple[str, bytes], ...]
) -> None:
    """Bytes put in anywhere, in sixty records."""
    for seed in range(60):
        content = spoiled_journal(Random(seed), made[seed % 6][1])  # noqa: S311 - no secret
        goes_in(index, tmp_path / "sessions" / "odd", content)
