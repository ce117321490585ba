"""Whatever comes from outside: a good end or our own error, in bounded time and memory.

The same targets as `tests/benchmarks/fuzz.py` fuzzes by coverage; here by structure.
"""

import tracemalloc
from collections.abc import Callable
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from struct import pack
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.flow.library import shipped
from assistant.journal.line import NO_LINE, Line, digest, encode
from assistant.journal.memory import MemoryFiles
from assistant.journal.reading import JOURNAL, read_content
from assistant.journal.session import Session
from assistant.walk.ends import Heard
from tests.tools import fuzz_targets
from tests.tools.fuzz_targets import fuzz_flow, fuzz_journal, fuzz_sound, fuzz_words

BOUNDED = settings(
    deadline=fuzz_targets.SECONDS * 1000,
    max_examples=120,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)

WORDS = ("it runs", "ten", "lock it out", "locked out", "note that it hums", "zero", "scratch that")


@cache
def journal() -> tuple[Line, ...]:
    """Give the lines of a walk."""
    files = MemoryFiles()
    session = Session.begin(
        fuzz_targets.kettle(),
        Path("s"),
        "one",
        clock=lambda: datetime(2026, 2, 3, tzinfo=UTC),
        files=files,
    )
    for words in WORDS:
        session.hear(Heard(words))
    session.close()
    return read_content(bytes(files.contents[Path("s/one") / JOURNAL])).lines


def chained(lines: list[tuple[str, Any]]) -> bytes:
    """Write events as a journal that fits itself: only what they say can be wrong."""
    raws, prev = [], NO_LINE
    for seq, (kind, data) in enumerate(lines, start=1):
        raws.append(encode(Line(seq, "2026-02-03T14:05:06.789Z", 1, prev, kind, data)))
        prev = digest(raws[-1])
    return b"".join(raw + b"\n" for raw in raws)


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**30), 10**30)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=30)
    | st.sampled_from(["1e999999", "9" * 400, "-0", "NaN", "OL", "ohm", "{value}", "<b>", "\0"]),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=9), inner, max_size=3)
    ),
    max_leaves=6,
)


@st.composite
def odd_journals(draw: st.DrawFn) -> bytes:
    """A walk's journal of which some events say something odd, left out, twice or moved."""
    lines: list[tuple[str, Any]] = [(line.kind, dict(line.data)) for line in journal()]
    for _ in range(draw(st.integers(1, 4))):
        place = draw(st.integers(0, len(lines) - 1))
        kind, data = lines[place]
        how = draw(st.sampled_from(["value", "value", "value", "key", "kind", "out", "twice"]))
        if how == "value" and data:
            lines[place] = kind, {**data, draw(st.sampled_from(sorted(data))): draw(JSON)}
        elif how == "key" and data:
            data.pop(draw(st.sampled_from(sorted(data))))
        elif how == "kind":
            lines[place] = draw(st.sampled_from(sorted({one for one, _ in lines}))), data
        elif how == "out" and len(lines) > 1:
            del lines[place]
        else:
            lines.insert(draw(st.integers(0, len(lines))), (kind, dict(data)))
    return chained(lines)


@BOUNDED
@given(odd_journals())
def test_a_journal_may_say_anything(content: bytes) -> None:
    """A chain that fits, of events that make no sense: read, told, replayed or refused."""
    fuzz_journal(content)


@BOUNDED
@given(st.data())
def test_a_journal_may_be_any_bytes(data: st.DataObject) -> None:
    """A journal with bytes changed, cut, put in and joined."""
    fuzz_journal(harmed(data, chained([(line.kind, line.data) for line in journal()])))


def harmed(data: st.DataObject, content: bytes) -> bytes:
    """Change some stretches of bytes."""
    whole = bytearray(content)
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(whole)))
        end = place + data.draw(st.sampled_from([0, 1, 2, 8, 100, 5000]))
        whole[place:end] = data.draw(st.binary(max_size=12))
    return bytes(whole)


FLOWS = (
    fuzz_targets.KETTLE,
    shipped("flows") / "triage.yaml",
    shipped("flows") / "shared" / "bleed.yaml",
)

ODD = (
    *("~", "null", "{}", "[]", "''", "yes", "-1", "1e999999999", "0x1F", "2026-01-01", ".inf"),
    *("&a [*a]", "*a", "<<: *a", "!!python/object:os.system x", "!!set {a, b}", "? [a]", "|"),
    *("[" * 3000, "{a: " * 2000, "- " * 3000, "9" * 5000, "a" * 5000, "\u2028", "\t", "%YAML 9.9"),
    *("&b {x: &c [1,1]}", "stop", "return.bled", "flow: x", "include", "{value}", "{{}}", "---"),
)
"""What an editor, a converter or somebody who means ill may write into a flow."""


@st.composite
def odd_flows(draw: st.DrawFn) -> bytes:
    """A flow file of which some lines are odd, left out, twice, moved or indented otherwise."""
    lines = draw(st.sampled_from(FLOWS)).read_text(encoding="utf-8").splitlines()
    for _ in range(draw(st.integers(1, 3))):
        place = draw(st.integers(0, len(lines) - 1))
        line, odd = lines[place], draw(st.sampled_from(ODD) | st.text(max_size=20))
        key, colon, _ = line.partition(":")
        lines[place : place + 1] = draw(
            st.sampled_from(
                [[f"{key}{colon} {odd}"], [odd], [], [line, line], [f"  {line}"], [line.strip()]]
            )
        )
        lines = lines or [""]
    return "\n".join(lines).encode(errors="replace")


@BOUNDED
@given(odd_flows())
def test_a_flow_file_may_be_anything(content: bytes) -> None:
    """A flow with odd values and lines: it loads, or each complaint is a sentence."""
    fuzz_flow(content)


@BOUNDED
@given(st.data())
def test_a_flow_file_may_be_any_bytes(data: st.DataObject) -> None:
    """A flow with bytes changed, cut and put in."""
    fuzz_flow(harmed(data, data.draw(st.sampled_from(FLOWS)).read_bytes()))


@BOUNDED
@given(st.data())
def test_a_sound_file_may_be_any_bytes(data: st.DataObject) -> None:
    """A WAV file of which header and samples are harmed, and bytes that never were one."""
    sound = shipped("demo_sessions") / "quarry_lane" / "01_gas.wav"
    content = bytearray(sound.read_bytes()[: data.draw(st.sampled_from([44, 60, 4000]))])
    for _ in range(data.draw(st.integers(0, 6))):
        place = data.draw(st.integers(0, min(60, len(content)) - 1))
        content[place] = data.draw(st.integers(0, 255))
    fuzz_sound(bytes(content))
    fuzz_sound(data.draw(st.binary(max_size=200)))


VOCABULARY = st.sampled_from(
    [
        *("one", "two", "ten", "hundred", "thousand", "point", "oh", "o", "l", "over", "limit"),
        *("minus", "ohms", "kilo", "mega", "micro", "volts", "and", "half", "yes", "no", "scratch"),
        *("that", "hold", "on", "go", "ahead", "note", "skip", "because", "stop", "repeat"),
        *(",", ".", "-", "7", "17.5", "½", "٣", "µ", "Ω"),
    ]
)


@BOUNDED
@given(st.lists(VOCABULARY, max_size=80).map(" ".join) | st.text(max_size=200))
def test_words_may_be_anything(words: str) -> None:
    """Known words in any order and any text: always a meaning, soon."""
    fuzz_words(words.encode(errors="replace"))


def wave_header(rate: int, whole: int, samples: int) -> bytes:
    """Give the header of a mono WAV file that claims so many bytes."""
    form = pack("<HHLLHH", 1, 1, rate, 2 * rate, 2, 16)
    head = b"RIFF" + pack("<L", whole) + b"WAVEfmt " + pack("<L", len(form))
    return head + form + b"data" + pack("<L", samples)


ALIASES = b"".join(
    b"a%d: &a%d [%s]\n" % (n, n, b",".join([b"*a%d" % (n - 1)] * 9)) for n in range(1, 30)
)
LONG: dict[str, tuple[Callable[[bytes], None], bytes]] = {
    "words: one word": (fuzz_words, b"one " * 1000),
    "words: digits": (fuzz_words, b"9" * 4000),
    "words: points": (fuzz_words, b"point oh " * 450),
    "words: hundreds": (fuzz_words, b"hundred thousand " * 240),
    "words: note": (fuzz_words, b"note " * 800),
    "words: marks": (fuzz_words, b"-.," * 1300),
    "flow: deep": (fuzz_flow, b"[" * 60_000),
    "flow: deep maps": (fuzz_flow, b"{a: " * 15_000),
    "flow: deep lines": (fuzz_flow, b"[\n" * 30_000),
    "flow: deep lists": (fuzz_flow, b"- " * 30_000),
    "flow: deep blocks": (fuzz_flow, b"".join(b" " * n + b"a:\n" for n in range(350))),
    "flow: aliases of aliases": (
        fuzz_flow,
        b"a0: &a0 [x,x,x,x,x,x,x,x,x]\n" + ALIASES,
    ),
    "flow: one long number": (fuzz_flow, b"flow: " + b"9" * 60_000),
    "flow: exponent": (fuzz_flow, b"flow: 1e999999999\n"),
    "journal: deep": (fuzz_journal, b"[" * 60_000 + b"\n"),
    "journal: deep data": (fuzz_journal, b'{"data":' + b'{"a":' * 9_000 + b"\n"),
    "journal: one long number": (fuzz_journal, b'{"seq":' + b"9" * 60_000 + b"}\n"),
    "journal: empty lines": (fuzz_journal, b"\n" * 20_000),
    "journal: the same line": (fuzz_journal, b'{"seq":1}\n' * 6_000),
    "sound: claims hours": (fuzz_sound, wave_header(16_000, 2**32 - 1, 2**32 - 1)),
    "sound: one sample a second": (fuzz_sound, wave_header(1, 292, 256) + bytes(256)),
}
"""What costs most by its size or shape, within the limits."""


@pytest.mark.parametrize("name", LONG)
def test_the_costliest_inputs_are_bounded(name: str) -> None:
    """Each ends in the time and memory that the targets state."""
    target, content = LONG[name]
    fuzz_targets.kettle()
    began = datetime.now(UTC)
    target(content)
    assert (datetime.now(UTC) - began).total_seconds() < 2 * fuzz_targets.SECONDS
    tracemalloc.start()
    target(content[: len(content) // 4])
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < fuzz_targets.MEGABYTES * 2**20
