"""Every question's figures are those of plain counting over the journals, without a database."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from shop_folders import put
from shop_rows import MACHINE, events

from assistant.bench.faults import shipped_catalogue
from assistant.flow.library import open_flow
from assistant.flow.model import SpokenStep
from assistant.journal.account import give_account
from assistant.journal.flags import find_flags
from assistant.journal.reading import read_journal
from assistant.shop.answer import Answer
from assistant.shop.gathering import gather
from assistant.shop.index import Index
from assistant.shop.questions import QUESTIONS
from assistant.shop.questions.weights import FEW, LESS, MORE
from assistant.shop.wanted import Wanted, make_wanted

Made = tuple[tuple[str, bytes], ...]
Row = dict[str, Any]

WANTED: dict[str, dict[str, str]] = {
    "all": {},
    "whole months": {"since": "2024-03", "until": "2024-11"},
    "parts of months": {"since": "2024-02-20", "until": "2025-06-10"},
    "within a month": {"since": "2024-05-02", "until": "2024-05-30"},
    "a flow": {"flow": "capacitor", "since": "2024-02-20"},
    "a technician": {"tech": "aq"},
    "a unit": {"unit": "rtu-1", "until": "2025-01-15"},
}


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def full(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory, made: Made
) -> Iterator[tuple[Index, Path]]:
    """Give an index of sixty sessions, of each kind, and the folder it is of."""
    folder = tmp_path_factory.mktemp("full")
    for name, content in made:
        put(folder / "sessions" / name, content)
    address = str(folder / "shop.sqlite")
    if request.param != "sqlite":
        address = request.getfixturevalue("server")
    with Index.open(address, is_any=True) as index:
        index.make_anew()
        gather(index, [folder / "sessions"], MACHINE, workers=1)
        yield index, folder / "sessions"


@pytest.fixture(params=list(WANTED.values()), ids=list(WANTED))
def asked(
    request: pytest.FixtureRequest, full: tuple[Index, Path]
) -> tuple[Index, Wanted, list[Path]]:
    """Give the index, what is wanted of it, and the sessions' folders that this means."""
    index, folder = full
    with index.reading() as connection:
        wanted = make_wanted(connection, **request.param)
    return index, wanted, [one for one in sorted(folder.iterdir()) if _is_wanted(one, wanted)]


def _is_wanted(folder: Path, wanted: Wanted) -> bool:
    first = events(folder)[0]
    day = date.fromisoformat(first["time"][:10])
    return (
        (wanted.since is None or wanted.since <= day)
        and (wanted.until is None or day <= wanted.until)
        and (not wanted.technicians or first["technician"] in wanted.technicians)
        and (not wanted.units or first["unit"] in wanted.units)
        and wanted.flow in {"", first["flow"]}
    )


def ask(name: str, index: Index, wanted: Wanted) -> Answer:
    """Ask a question."""
    with index.reading() as connection:
        return QUESTIONS[name].ask(connection, wanted)


def rows_by(answer: Answer, *keys: str) -> dict[tuple[Any, ...], Row]:
    """Give an answer's rows by some of their columns."""
    names = [column.name for column in answer.columns]
    rows = [dict(zip(names, row, strict=True)) for row in answer.rows]
    found = {tuple(row[key] for key in keys): row for row in rows}
    assert len(rows) == len(found)
    return found


def test_findings_are_counted(asked: tuple[Index, Wanted, list[Path]]) -> None:
    """By unit and month with the part, by unit, by month, by part."""
    index, wanted, folders = asked
    counts: Counter[tuple[str, str, str]] = Counter()
    for folder in folders:
        first, account = events(folder)[0], give_account(read_journal(folder))
        counts.update((first["unit"], first["time"][:7], one.part) for one in account.findings)
    whole = rows_by(ask("findings", index, wanted), "unit", "month", "part")
    assert counts == {key: row["findings"] for key, row in whole.items()}
    for place, by in enumerate(("unit", "month", "part")):
        few: Counter[tuple[str, ...]] = Counter()
        for key, count in counts.items():
            few[key[place],] += count
        rows = rows_by(ask(f"findings-by-{by}", index, wanted), by)
        assert few == {key: row["findings"] for key, row in rows.items()}


def test_readings_near_limits_are_those_that_a_review_flags(
    asked: tuple[Index, Wanted, list[Path]],
) -> None:
    """How many were taken, failed, and carry the flag at the taking that stands."""
    index, wanted, folders = asked
    counts: defaultdict[tuple[str, str, str], Counter[str]] = defaultdict(Counter)
    for folder in folders:
        record = read_journal(folder)
        account = give_account(record)
        flagged = {flag.line for flag in find_flags(record) if flag.kind == "near_limit"}
        lines = events(folder)
        near = {line["name"] for line in lines if line["seq"] in flagged}
        for value in account.values:
            if value.origin == "measured":
                one = counts[account.flow, value.id, value.unit]
                one.update(["taken", value.verdict])
                one["near"] += value.id in near
    rows = rows_by(ask("near", index, wanted), "flow", "reading", "unit")
    assert {
        key: (one["taken"], one["near"], one["fail"], one["marginal"])
        for key, one in counts.items()
    } == {
        key: (row["taken"], row["near"], row["failed"], row["marginal"])
        for key, row in rows.items()
    }


def _stays(folder: Path) -> Iterator[tuple[str, float, Counter[str]]]:
    """Give each stay at a step: its step, its seconds from the thing heard before, its troubles."""
    since, stay = "", None
    for line in events(folder):
        kind, step = line["kind"], line.get("step")
        if kind == "heard":
            if stay is None or stay[0] != step or stay[3]:
                if stay is not None:
                    yield stay[0], _seconds(stay[1], stay[4]), stay[2]
                stay = [step, since or line["time"], Counter(), False, line["time"]]
            stay[2]["silences"] += line["is_silence"]
            stay[4] = since = line["time"]
        elif kind == "began":
            since = line["time"]
        elif stay is not None and kind in {"not_taken", "asked_back"}:
            stay[2][kind] += 1
        elif stay is not None and kind == "commanded" and line["command"] in _HELP:
            stay[2]["helped"] += 1
        elif stay is not None and kind == "moved" and step == stay[0]:
            stay[3] = True
    if stay is not None:
        yield stay[0], _seconds(stay[1], stay[4]), stay[2]


_HELP = {"help", "why", "repeat"}


def _seconds(one: str, other: str) -> float:
    return (datetime.fromisoformat(other) - datetime.fromisoformat(one)).total_seconds()


def test_hesitation_is_counted_at_its_step(asked: tuple[Index, Wanted, list[Path]]) -> None:
    """Silence, no answer, questions back and help, a stay at a step at a time."""
    index, wanted, folders = asked
    counts: defaultdict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    for folder in folders:
        flow = events(folder)[0]["flow"]
        for step, _, troubles in _stays(folder):
            counts[flow, step].update(troubles)
            counts[flow, step].update({"visits": 1, "troubled": troubles.total() > 0})
    names = ("visits", "troubled", "silences", "not_taken", "asked_back", "helped")
    rows = rows_by(ask("hesitation", index, wanted), "flow", "step")
    assert {
        key: tuple(one[name] for name in names) for key, one in counts.items() if one["troubled"]
    } == {key: tuple(row[name] for name in names) for key, row in rows.items()}


def test_times_are_held_against_the_flows_estimates(
    asked: tuple[Index, Wanted, list[Path]],
) -> None:
    """The mean is exact, the median within 9 %, the estimate is the flow's own."""
    index, wanted, folders = asked
    times: defaultdict[tuple[str, str], list[float]] = defaultdict(list)
    for folder in folders:
        flow = events(folder)[0]["flow"]
        for step, seconds, _ in _stays(folder):
            times[flow, step].append(seconds)
    rows = rows_by(ask("times", index, wanted), "flow", "step")
    assert {key for key, all_ in times.items() if len(all_) >= 20} == set(rows)
    for (flow, step), row in rows.items():
        ordered = sorted(times[flow, step])
        assert pytest.approx(sum(ordered) / len(ordered)) == row["mean"]
        assert pytest.approx(ordered[(len(ordered) - 1) // 2], rel=0.1) == row["median"]
        spoken = open_flow(flow).steps[step]
        assert isinstance(spoken, SpokenStep)
        assert pytest.approx(float(spoken.minutes) * 60) == row["estimate"]


def test_cautions_too_fast_are_those_that_a_review_flags(
    asked: tuple[Index, Wanted, list[Path]],
) -> None:
    """How often each was said, answered, and answered too fast."""
    index, wanted, folders = asked
    counts: defaultdict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    for folder in folders:
        record, lines = read_journal(folder), events(folder)
        fast = {flag.line for flag in find_flags(record) if flag.kind == "fast_caution"}
        for line in lines:
            if line["kind"].startswith("caution_"):
                one = counts[lines[0]["flow"], line["caution"]]
                one[line["kind"]] += 1
                one["fast"] += line["seq"] in fast
    rows = rows_by(ask("cautions", index, wanted), "flow", "caution")
    assert {
        key: (one["caution_given"], one["caution_answered"], one["fast"])
        for key, one in counts.items()
    } == {key: (row["given"], row["answered"], row["fast"]) for key, row in rows.items()}


def _capacitances(folders: list[Path]) -> Iterator[tuple[str, str, str, float, str]]:
    for folder in folders:
        account = give_account(read_journal(folder))
        for value in account.values:
            if value.places[0] == "capacitance" and value.value:
                yield account.started, account.unit, value.id, float(value.value), value.verdict


def test_capacitors_have_an_age_only_where_a_new_one_was_measured(
    full: tuple[Index, Path],
) -> None:
    """Age is from the last new part on the same unit; before the first it is not known."""
    index, folder = full
    fitted: dict[tuple[str, str], str] = {}
    counts: Counter[str] = Counter()
    for started, unit, name, _, verdict in _capacitances(sorted(folder.iterdir())):
        if name.startswith("new_"):
            counts["new, as fitted"] += 1
            if verdict == "pass":
                fitted[unit, name.removeprefix("new_")] = started
        elif (unit, name) not in fitted:
            counts["not known"] += 1
        else:
            years = _seconds(fitted[unit, name], started) / 3600 / 24 / 365.25
            counts["under 1 year" if years < 1 else "1 to 2 years"] += 1
    answer = ask("capacitors", index, Wanted())
    found: Counter[str] = Counter()
    for row in rows_by(answer, "age", "rated").values():
        found[row["age"]] += row["measured"]
    assert counts == found
    assert counts["under 1 year"] > 0


def test_measured_microfarads_are_held_against_the_printed_ones(
    full: tuple[Index, Path],
) -> None:
    """The mean share of new parts is that of the readings over the label's figure."""
    index, folder = full
    shares: defaultdict[float, list[float]] = defaultdict(list)
    for one in folder.iterdir():
        account = give_account(read_journal(one))
        printed = {value.id: value.value for value in account.values if value.origin == "asked"}
        for value in account.values:
            if value.id == "new_cap_reading" and "label_cap_uf" in printed:
                rated = float(printed["label_cap_uf"])
                shares[rated].append(float(value.value) / rated)
    rows = rows_by(ask("capacitors", index, Wanted()), "age", "rated")
    found = {key[1]: row["mean"] for key, row in rows.items() if key[0] == "new, as fitted"}
    for rated, all_ in shares.items():
        assert pytest.approx(sum(all_) / len(all_)) == found[rated]
    assert shares


def test_weights_say_nothing_from_few(asked: tuple[Index, Wanted, list[Path]]) -> None:
    """Counts are those of the findings; a difference is claimed outside the interval alone."""
    index, wanted, folders = asked
    faults = shipped_catalogue().faults
    seen: Counter[str] = Counter()
    for folder in folders:
        for finding in give_account(read_journal(folder)).findings:
            known = [name for name in finding.faults if name in faults]
            seen.update(sorted({faults[name].kind for name in known}))
    for row in rows_by(ask("weights", index, wanted), "kind", "faults").values():
        assert seen[row["kind"]] == row["of"]
        assert row["least"] <= row["seen_share"] <= row["most"]
        if row["says"] in {MORE, LESS}:
            assert not row["least"] <= row["weighed_share"] <= row["most"]
        if row["seen"] < 5 and row["weighed_share"] * row["of"] < 5:
            assert FEW == row["says"]


def test_technicians_of_few_sessions_are_left_out(full: tuple[Index, Path]) -> None:
    """Of twenty sessions and more there is a row, of fewer there is none."""
    index, folder = full
    sessions = Counter(events(one)[0]["technician"] for one in folder.iterdir())
    rows = rows_by(ask("coach", index, Wanted()), "technician")
    assert {(name,) for name, count in sessions.items() if count >= 20} == set(rows)


def test_time_goes_on_in_made_sessions(full: tuple[Index, Path]) -> None:
    """The sessions that all this is counted from hold what is counted: hesitation and haste."""
    kinds: Counter[str] = Counter()
    for folder in full[1].iterdir():
        lines = events(folder)
        kinds.update(line["kind"] for line in lines)
        assert all(one["time"] <= other["time"] for one, other in pairwise(lines))
    assert {"not_taken", "asked_back", "commanded", "found", "caution_answered"} <= set(kinds)
