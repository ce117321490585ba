"""A shop's sessions made up: walked on the bench, then varied; every chain and every seal is real.

    python tests/tools/shop_sessions.py FOLDER COUNT

A few walks are walked through the real session, with hesitation, questions back and cautions
answered too fast in them. Each session is one of those with another time, unit and technician,
other paces and slightly other readings, chained and sealed anew. The same seed makes the same
bytes.
"""

import hashlib
import json
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from random import Random
from typing import Any

from assistant.bench.ground import Ground, lay_ground
from assistant.bench.practice import hide_fault
from assistant.bench.walking import make_technician
from assistant.flow.library import open_flow
from assistant.journal.line import SCHEMA, decode, encode, stamp
from assistant.journal.memory import MemoryFiles
from assistant.journal.reading import JOURNAL
from assistant.journal.seal import SEALED, seal_line
from assistant.journal.session import Session
from assistant.journal.sessions import make_session_id
from assistant.walk.ends import Heard, Silence
from assistant.walk.state import Turn
from assistant.walk.walk import Walk

START = datetime(2024, 1, 8, 8, 0, tzinfo=UTC)
SPAN_DAYS = 730
FLOWS = ("blower-psc", "capacitor", "condenser-fan", "control-24v")
TECHNICIANS = tuple(f"{first}{last}" for first in "ABCDEFGHJK" for last in "QRSTUVWXYZ")
MOST_TURNS = 400


@dataclass(frozen=True, slots=True)
class Model:
    """A walk that sessions are made from.

    Args:
        lines: its lines without the seal: time in seconds from the first, kind, data as written.
        values: places of the lines whose measured value may vary.
    """

    lines: tuple[tuple[float, str, bytes], ...]
    values: frozenset[int]


@lru_cache(maxsize=8)
def ground_of(flow: str) -> Ground:
    """Give a flow with units and faults to walk it on."""
    return lay_ground(open_flow(flow))


def walk_model(flow: str, seed: int) -> Model:
    """Walk a hidden fault and take the journal as a model."""
    ground, chance = ground_of(flow), Random(seed)  # noqa: S311 - no secret
    case = hide_fault(ground, seed)
    bench = make_technician(ground.flow, ground.units[case.unit], case, ground.catalogue)
    clock = Clock(START, chance)
    files = MemoryFiles()
    session = Session.begin(
        Walk(ground.flow),
        Path("made"),
        "model",
        clock=clock,
        technician="AQ",
        unit=case.unit,
        files=files,
    )
    for _ in range(MOST_TURNS):
        if session.state.is_over:
            break
        _hesitate(session, clock, chance)
        clock.rest(4 + chance.expovariate(0.1) if chance.random() < 0.9 else 1.5)
        session.hear(Heard(bench.answer(session.state), source="bench"))
    session.close()
    return _model(bytes(files.contents[Path("made/model") / JOURNAL]))


class Clock:
    """A clock that rests where it is told to.

    Args:
        start: its first time.
        chance: how long a reading of it takes.
    """

    def __init__(self, start: datetime, chance: Random) -> None:
        self._now, self._chance = start, chance

    def __call__(self) -> datetime:
        """Give the time."""
        self._now += timedelta(milliseconds=self._chance.randrange(5, 60))
        return self._now

    def rest(self, seconds: float) -> None:
        """Let time pass."""
        self._now += timedelta(seconds=seconds)


def _hesitate(session: Session, clock: Clock, chance: Random) -> None:
    """Now and then hear nothing, something else, or a question first."""
    if session.state.turn is not Turn.ANSWER or chance.random() > 0.08:
        return
    clock.rest(9.0)
    what = chance.choice(["", "help", "why", "well it is sort of", "say again"])
    session.hear(Heard(what) if what else Silence())


def _model(content: bytes) -> Model:
    lines = [decode(raw) for raw in content.splitlines()]
    start = lines[0].moment
    kept = [line for line in lines if line.kind != SEALED]
    values = {
        place
        for place, line in enumerate(kept)
        if line.kind == "took" and line.data["origin"] == "measured" and line.data["value"]
    }
    return Model(
        tuple(
            ((line.moment - start).total_seconds(), line.kind, _data(line.data)) for line in kept
        ),
        frozenset(values),
    )


def _data(data: object) -> bytes:
    return json.dumps(data, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()


@lru_cache(maxsize=2)
def models(count: int = 24) -> tuple[Model, ...]:
    """Give walks of several flows, each of another seed."""
    return tuple(walk_model(FLOWS[seed % len(FLOWS)], seed) for seed in range(count))


def make_journal(
    model: Model, name: str, start: datetime, technician: str, unit: str, chance: Random
) -> bytes:
    """Make a sealed journal from a model: other time, unit, technician, paces and readings."""
    pace, shift = chance.lognormvariate(0.0, 0.35), chance.uniform(0.97, 1.03)
    raws: list[bytes] = []
    before = "0" * 64
    time = ""
    head = {"session": name, "technician": technician, "unit": unit}
    for place, (seconds, kind, written) in enumerate(model.lines):
        data = written
        if place == 0:
            data = _data({**json.loads(written), **head})
        elif place in model.values:
            data = _varied(written, shift)
        time = stamp(start + timedelta(seconds=seconds * pace))
        raw = b'{"data":%b,"kind":"%b","prev":"%b","schema":%d,"seq":%d,"time":"%b"}' % (
            *(data, kind.encode(), before.encode(), SCHEMA, place + 1, time.encode()),
        )
        before = hashlib.sha256(raw).hexdigest()
        raws.append(raw)
    raws.append(encode(seal_line(len(raws) + 1, time, SCHEMA, before, {})))
    return b"\n".join(raws) + b"\n"


def _varied(data: bytes, shift: float) -> bytes:
    taken: dict[str, Any] = json.loads(data)
    value = Decimal(taken["value"])
    exponent = value.as_tuple().exponent
    digits = -exponent if isinstance(exponent, int) else 0
    taken["value"] = f"{float(value) * shift:.{max(digits, 0)}f}"
    return _data(taken)


def make_shop(
    count: int, seed: int = 1, own: Sequence[Model] | None = None
) -> Iterator[tuple[str, bytes]]:
    """Make sessions over two years: names and journals, by time.

    Args:
        count: how many.
        seed: the same makes the same.
        own: what they are made from; the usual models where not given.
    """
    chance, used = Random(seed), own or models()  # noqa: S311 - no secret
    step = timedelta(days=SPAN_DAYS) / count
    for number in range(count):
        start = START + step * number
        unit = f"RTU-{chance.randrange(max(3, count // 25))}"
        name = make_session_id(start, unit, f"{number:06d}")
        technician = TECHNICIANS[int(chance.random() ** 1.5 * len(TECHNICIANS))]
        yield name, make_journal(chance.choice(used), name, start, technician, unit, chance)


def write_shop(
    folder: Path, count: int, seed: int = 1, tell: Callable[[int], None] | None = None
) -> None:
    """Write sessions into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for number, (name, content) in enumerate(make_shop(count, seed)):
        place = folder / name
        place.mkdir()
        (place / JOURNAL).write_bytes(content)
        if tell is not None and number % 10_000 == 0:
            tell(number)


if __name__ == "__main__":
    write_shop(Path(sys.argv[1]), int(sys.argv[2]))
