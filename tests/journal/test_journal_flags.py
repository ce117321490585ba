"""Flags: each kind is found at its threshold and not before, and a damaged line breaks none."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.flow.library import open_flow
from assistant.journal.flag_finders import (
    FASTEST_WORDS_A_MINUTE,
    LONG_PAUSE_SECONDS,
    METER_ERRORS,
    find_near_limit,
    saying_seconds,
)
from assistant.journal.flags import FLAG_KINDS, find_flags, flag_words
from assistant.journal.memory import MemoryFiles
from assistant.journal.reading import JOURNAL, Record, read_content
from assistant.journal.store import Event, Journal

START = datetime(2026, 2, 3, 14, 0, tzinfo=UTC)
Timed = tuple[float, Event]


def record_of(events: Sequence[Timed], *, is_sealed: bool = True) -> Record:
    """Give the record of events, each at its second."""
    now = [START]
    files = MemoryFiles()
    opening = {"kind": "began", "flow": "f"}
    with Journal.create(Path("s"), "one", opening, clock=lambda: now[0], files=files) as journal:
        for seconds, event in events:
            now[0] = START + timedelta(seconds=seconds)
            journal.append([event])
        if is_sealed:
            journal.seal()
    return read_content(bytes(files.contents[Path("s/one") / JOURNAL]))


def kinds_of(*events: Timed) -> list[str]:
    """Give the kinds of flags in a sealed record of events."""
    return [flag.kind for flag in find_flags(record_of(events))]


def took(name: str = "low", value: str = "17.5", **more: object) -> Event:
    """Give a value taken."""
    return {
        "kind": "took",
        "step": name,
        "name": name,
        "origin": "measured",
        "value": value,
        "unit": "ohm",
        "answer": 1,
        **more,
    }


def judged(low: str, high: str, name: str = "low") -> Event:
    """Give the verdict that decides on it."""
    return {"kind": "judged", "name": name, "low": low, "high": high, "decides": True}


HEARD: Event = {"kind": "heard", "words": "yes"}
CAUTION: Event = {"kind": "caution_given", "caution": "live", "text": "word " * 40}
ANSWER: Event = {"kind": "caution_answered", "caution": "live", "said": "ready"}
ASKED: Event = {"kind": "asked_back", "step": "low", "reading": "17.5"}


def test_a_quiet_walk_has_no_flag() -> None:
    """A sealed walk with nothing special has nothing to look at."""
    assert [] == kinds_of((1, HEARD), (2, took()), (2, judged("10", "25")))


@pytest.mark.parametrize(("seconds", "expected"), [(9.9, ["fast_caution"]), (10.0, []), (10.1, [])])
def test_a_caution_answered_too_fast(seconds: float, expected: list[str]) -> None:
    """Forty words take ten seconds at 240 words a minute; what is faster is flagged."""
    assert 10.0 == saying_seconds("word " * 40) == 40 * 60 / FASTEST_WORDS_A_MINUTE
    assert expected == kinds_of((0, CAUTION), (seconds, ANSWER))


def test_each_caution_is_timed_from_when_it_was_last_said() -> None:
    """A caution said again after its answer was taken back is timed anew."""
    assert ["fast_caution"] == kinds_of((0, CAUTION), (50, CAUTION), (51, ANSWER))


@pytest.mark.parametrize(
    ("seconds", "expected"),
    [(LONG_PAUSE_SECONDS - 0.1, []), (LONG_PAUSE_SECONDS, ["long_pause"])],
)
def test_a_long_pause(seconds: float, expected: list[str]) -> None:
    """Five minutes between two things heard are a long pause."""
    assert expected == kinds_of((10, HEARD), (10 + seconds, HEARD))


@pytest.mark.parametrize(
    ("value", "low", "high", "is_near"),
    [
        ("10.0", "10", "30", True),
        ("9.01", "10", "30", True),
        ("8.99", "10", "30", False),
        ("11", "10", "30", True),
        ("13.2", "10", "30", False),
        ("29.1", "10", "30", True),
        ("19", "", "20", True),
        ("18.0", "", "20", False),
        ("20.4", "20", "", True),
        ("0", "", "2", False),
        ("1.8", "", "2", True),
        ("1.7", "", "2", False),
    ],
)
def test_a_value_near_a_limit(value: str, low: str, high: str, *, is_near: bool) -> None:
    """Within 5 % of the band, or the meter's error up to a fifth of it, is near; zero is not."""
    record = record_of([(1, took(value=value)), (1, judged(low, high))])
    assert is_near is bool(list(find_near_limit(record)))


@pytest.mark.parametrize(
    "more", [{"over_limit": True, "value": ""}, {"origin": "asked"}, {"value": "no number"}]
)
def test_what_no_meter_measured_is_near_no_limit(more: Mapping[str, object]) -> None:
    """Over limit, a label's value, and what is no number are close to nothing."""
    assert [] == kinds_of((1, {**took(value="10"), **more}), (1, judged("10", "30")))


@pytest.mark.parametrize(
    ("events", "expected"),
    [
        ([took(), took(retaken=True)], ["retaken"]),
        ([took(retaken=True, origin="worked_out")], []),
        ([{"kind": "scratched", "answer": 1, "step": "low"}], ["taken_back"]),
        ([{"kind": "skipped", "step": "low", "reason": "no tool"}], ["skipped"]),
        ([ASKED], []),
        ([ASKED, ASKED], ["asked_back"]),
        ([ASKED, ASKED, ASKED], ["asked_back"]),
        ([ASKED, took(), ASKED], []),
        ([{"kind": "commanded", "command": "hold", "step": "low"}], ["hold"]),
        ([{"kind": "commanded", "command": "repeat", "step": "low"}], []),
        ([{"kind": "blocked", "step": "low", "lacking": ["power off"]}], ["out_of_order"]),
    ],
)
def test_what_happened_is_flagged(events: list[Event], expected: list[str]) -> None:
    """Each event of a kind a lead cares about is found, and its likes are not."""
    assert expected == kinds_of(*((1.0, event) for event in events))


def test_sentences_say_what_where_and_how_much() -> None:
    """A flag's sentence names reading, both values, reason and step."""
    events: list[Timed] = [
        (1, took()),
        (1, took(value="15.7", retaken=True)),
        (1, {"kind": "skipped", "step": "safe/dead_line", "reason": "no tool"}),
    ]
    sentences = [flag.sentence for flag in find_flags(record_of(events))]
    assert sentences == [
        "The low was taken again: 15.7 Ω, before 17.5 Ω.",
        "The step 'safe: dead line' was skipped: no tool.",
    ]


def test_an_unsealed_and_a_damaged_record_are_flagged(open_content: bytes) -> None:
    """What has no seal and what was changed is named, the change by its line."""
    damaged = open_content.replace(b"17.50", b"15.70")
    flags = find_flags(read_content(damaged))
    assert {"unsealed", "damaged"} == {flag.kind for flag in flags}
    (damage,) = [flag for flag in flags if flag.kind == "damaged"]
    assert (4, True) == (damage.line, "Line 4" in damage.sentence)


def test_every_kind_has_words_and_a_reason() -> None:
    """Each kind has a name for people and one sentence why a lead looks there."""
    for name, kind in FLAG_KINDS.items():
        assert name == kind.name
        assert kind.words == flag_words(name)
        assert kind.why.endswith(".")
        assert 1 == kind.why.count(".")


def test_the_meters_errors_are_the_vocabulary_s() -> None:
    """The figures by unit are those of `flows/vocabulary.yaml`, which a record does not carry."""
    meters = open_flow("blower-psc").vocabulary.meters
    names = {
        "ohm": "ohms",
        "microfarad": "capacitance",
        "volt": "volts_ac",
        "ampere": "clamp_amps",
        "watt": "watts",
        "in_wc": "manometer",
        "deg_f": "thermometer",
        "rpm": "tachometer",
        "megohm": "insulation_tester",
    }
    assert names.keys() == METER_ERRORS.keys()
    for unit, name in names.items():
        assert (meters[name].percent, meters[name].counts) == METER_ERRORS[unit]


JUNK = st.one_of(
    st.none(), st.booleans(), st.integers(), st.text(max_size=5), st.lists(st.text(max_size=3))
)
KEYS = st.sampled_from(["step", "name", "value", "low", "high", "unit", "decides", "caution"])
KINDS = st.sampled_from(["took", "judged", "caution_given", "caution_answered", "asked_back"])


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.tuples(KINDS, st.dictionaries(KEYS, JUNK)), max_size=12))
def test_no_line_breaks_the_finders(lines: list[tuple[str, dict[str, object]]]) -> None:
    """Whatever a line says or leaves out, the finders go on."""
    events: list[Timed] = [(1.0, {**data, "kind": kind}) for kind, data in lines]
    for flag in find_flags(record_of(events)):
        assert flag.kind in FLAG_KINDS


def test_decimals_are_kept() -> None:
    """The limit is told with its own digits."""
    record = record_of([(1, took(value="7.05")), (1, judged("7.050", "7.950"))])
    (flag,) = find_near_limit(record)
    assert "limit of 7.050" in flag.sentence
