"""Every change of a written session is found and named by its line."""

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.journal.line import NO_LINE, Line, digest, encode
from assistant.journal.problem import Fault, Problem
from assistant.journal.reading import JOURNAL, read_content
from assistant.journal.seal import seal_code, seal_fault, seal_line
from assistant.journal.store import Event, Journal
from assistant.journal.transcript import TRANSCRIPT
from assistant.journal.verifying import verify

COUNT = 8
"""The lines of the sealed session."""


def problems(content: bytes) -> tuple[Problem, ...]:
    """Give what is wrong with a journal's bytes."""
    return read_content(content).problems


def joined(raws: Sequence[bytes]) -> bytes:
    """Make a journal of lines."""
    return b"".join(raw + b"\n" for raw in raws)


def raws_of(content: bytes) -> list[bytes]:
    """Give the lines of a journal."""
    return content.split(b"\n")[:-1]


def named(content: bytes) -> list[tuple[int, Fault]]:
    """Give line and fault of all damage."""
    return [(problem.line, problem.fault) for problem in problems(content) if problem.is_damage]


def forged(raws: Sequence[bytes], place: int) -> bytes:
    """Make a line that fits perfectly behind the first `place` lines."""
    prev = digest(raws[place - 1]) if place else NO_LINE
    data = {"text": "forged"}
    return encode(Line(place + 1, "2026-02-03T14:05:07.000Z", 1, prev, "noted", data))


def test_whole_session_has_no_problem(sealed_content: bytes, open_content: bytes) -> None:
    """A sealed session is clean; an open one has only its missing seal told, as no damage."""
    assert len(raws_of(sealed_content)) == COUNT
    assert () == problems(sealed_content)
    (problem,) = problems(open_content)
    assert (problem.line, problem.fault, problem.is_damage) == (COUNT - 1, Fault.UNSEALED, False)


def assert_edit_named(content: bytes, place: int, value: int) -> None:
    """Hold that one changed byte is told, with its line first."""
    line = content.count(b"\n", 0, place) + 1
    edited = content[:place] + bytes([value]) + content[place + 1 :]
    found = problems(edited)
    told = [problem for problem in found if problem.fault is not Fault.UNSEALED] or found
    assert line == told[0].line, (line, chr(value), found)
    assert {line, line + 1} >= {problem.line for problem in told}
    assert all(f"ine {problem.line} " in problem.sentence for problem in told)


@pytest.mark.parametrize("change", [lambda old: old ^ 1, lambda old: old ^ 4, lambda _old: 10])
def test_any_changed_byte_is_named(sealed_content: bytes, change: Callable[[int], int]) -> None:
    """At every byte of a sealed session: another digit, another letter, a newline."""
    for place, old in enumerate(sealed_content):
        if change(old) != old:
            assert_edit_named(sealed_content, place, change(old))


@given(place=st.integers(min_value=0), value=st.integers(0, 255))
def test_any_byte_anywhere_is_named(sealed_content: bytes, place: int, value: int) -> None:
    """The same for any byte in place of any other."""
    place %= len(sealed_content)
    assume(sealed_content[place] != value)
    assert_edit_named(sealed_content, place, value)


def test_changed_byte_of_an_open_session_is_named(open_content: bytes) -> None:
    """Without a seal every line but the last is held by the one behind it."""
    for place in range(open_content.rindex(b"\n", 0, -1)):
        assert_edit_named(open_content, place, open_content[place] ^ 1)


@pytest.mark.parametrize("line", range(1, COUNT))
def test_changed_reading_is_named(sealed_content: bytes, line: int) -> None:
    """A line written anew with other data, in the right form, is named: nothing else is."""
    raws = raws_of(sealed_content)
    old = read_content(sealed_content).lines[line - 1]
    new = Line(old.seq, old.time, old.schema, old.prev, old.kind, {"value": "11.5"})
    raws[line - 1] = encode(new)
    assert [(line, Fault.EDITED)] == named(joined(raws))


def test_same_words_written_otherwise_are_named(open_content: bytes) -> None:
    """Even in the last line of an open session another spelling of the same JSON is seen."""
    spaced = open_content[:-2] + b" }\n"
    assert named(spaced) == [(COUNT - 1, Fault.EDITED)]


def test_changed_number_of_the_last_line_is_named(open_content: bytes) -> None:
    """What follows by its hash has the next number, even where no line behind it holds it."""
    edited = open_content.replace(b'"seq":7', b'"seq":9')
    (damage,) = read_content(edited).damage
    assert "Line 7 has number 9 where 7 is due." == damage.sentence


@pytest.mark.parametrize("place", range(COUNT))
def test_inserted_line_is_named(sealed_content: bytes, place: int) -> None:
    """A line that fits perfectly behind its neighbour is found by what the next one says."""
    raws = raws_of(sealed_content)
    assert [(place + 1, Fault.INSERTED)] == named(
        joined([*raws[:place], forged(raws, place), *raws[place:]])
    )


@pytest.mark.parametrize("place", range(COUNT))
def test_two_inserted_lines_are_named(sealed_content: bytes, place: int) -> None:
    """Two lines that even fit each other are found, where more of the session says otherwise."""
    raws = raws_of(sealed_content)
    first = forged(raws, place)
    second = forged([*raws[:place], first], place + 1)
    found = named(joined([*raws[:place], first, second, *raws[place:]]))
    if place < COUNT - 2:
        assert [(place + 1, Fault.INSERTED), (place + 2, Fault.INSERTED)] == found
    else:
        assert found


@pytest.mark.parametrize("place", range(COUNT))
@pytest.mark.parametrize("junk", [b"", b"junk", b"{}", b"[1,2]", b"\xff", b'{"seq":3}'])
def test_inserted_junk_is_named(sealed_content: bytes, place: int, junk: bytes) -> None:
    """What is no line at all is named where it stands, and nothing else is."""
    raws = raws_of(sealed_content)
    found = named(joined([*raws[:place], junk, *raws[place:]]))
    assert [(place + 1, Fault.UNREADABLE)] == found


@pytest.mark.parametrize("place", range(1, COUNT))
@pytest.mark.parametrize("line", range(1, COUNT))
def test_copied_line_is_named(sealed_content: bytes, line: int, place: int) -> None:
    """A second copy of a line is named: whichever of both stands later."""
    raws = raws_of(sealed_content)
    found = named(joined([*raws[:place], raws[line - 1], *raws[place:]]))
    copy = max(place + 1, line + 1 if place < line else line)
    assert [(copy, Fault.COPIED)] == [one for one in found if one[1] is Fault.COPIED]
    assert {one[0] for one in found} <= {copy, place + 1}


@pytest.mark.parametrize("junk", [b"junk", None])
def test_line_behind_the_seal_is_named(sealed_content: bytes, junk: bytes | None) -> None:
    """Whatever is added behind the seal is told, even where it fits perfectly or has no end."""
    raws = raws_of(sealed_content)
    added = junk or forged(raws, COUNT)
    for end in (b"\n", b""):
        found = named(sealed_content + added + end)
        assert found == [(COUNT + 1, Fault.AFTER_SEAL)]


@pytest.mark.parametrize("first", range(1, COUNT))
@pytest.mark.parametrize("last", range(2, COUNT + 1))
def test_swapped_lines_are_named(sealed_content: bytes, first: int, last: int) -> None:
    """Two lines that changed places are named as moved; no line outside of them is."""
    if first >= last:
        return
    raws = raws_of(sealed_content)
    raws[first - 1], raws[last - 1] = raws[last - 1], raws[first - 1]
    found = named(joined(raws))
    assert {Fault.MOVED} == {fault for _, fault in found}
    places = {line for line, _ in found}
    assert places & {first, last}
    assert places <= set(range(first, last + 1))
    if last - first > 2:
        assert {first, last} == places


@pytest.mark.parametrize("start", range(1, COUNT))
@pytest.mark.parametrize("target", range(1, COUNT + 1))
def test_moved_line_is_named(sealed_content: bytes, start: int, target: int) -> None:
    """One line taken to another place is named there, unless it only changed with a neighbour."""
    if abs(start - target) < 2:
        return
    raws = raws_of(sealed_content)
    raws.insert(target - 1, raws.pop(start - 1))
    assert [(target, Fault.MOVED)] == named(joined(raws))


@pytest.mark.parametrize("first", range(1, COUNT))
@pytest.mark.parametrize("count", range(1, COUNT))
def test_removed_lines_are_named(sealed_content: bytes, first: int, count: int) -> None:
    """Lines taken out are named with the line before which they stood, and how many."""
    if first + count > COUNT:
        return
    raws = raws_of(sealed_content)
    del raws[first - 1 : first - 1 + count]
    content = joined(raws)
    assert [(first, Fault.MISSING)] == named(content)
    (sentence,) = [problem.sentence for problem in problems(content)]
    span = f"{first}" if count == 1 else f"{first} to {first + count - 1}"
    lines = "1 line is" if count == 1 else f"{count} lines are"
    assert f"Before line {first} {lines} missing (number {span})." == sentence


@pytest.mark.parametrize("keep", range(COUNT))
def test_end_cut_off_a_sealed_session_is_told(
    tmp_path: Path, sealed_content: bytes, keep: int
) -> None:
    """Without its end a session is unsealed; beside its transcript that is damage."""
    (tmp_path / JOURNAL).write_bytes(joined(raws_of(sealed_content)[:keep]))
    assert [Fault.UNSEALED] == [problem.fault for problem in verify(tmp_path)]
    (tmp_path / TRANSCRIPT).write_text("2026-02-03\n14:05:12  Sealed: 2222-2222-2222 (7 lines)\n")
    (damage,) = [problem for problem in verify(tmp_path) if problem.is_damage]
    assert (keep + 1, Fault.CUT_OFF) == (damage.line, damage.fault)


def test_real_transcript_tells_of_the_seal(
    tmp_path: Path, opening: Event, clock: Callable[[], datetime]
) -> None:
    """The transcript that sealing writes is the one by which a lost seal is seen."""
    with Journal.create(tmp_path, "one", opening, clock=clock) as journal:
        journal.append([{"kind": "noted", "text": "x"}])
        journal.seal()
    assert () == verify(journal.folder)
    file = journal.folder / JOURNAL
    file.write_bytes(joined(raws_of(file.read_bytes())[:-1]))
    assert [
        (2, Fault.UNSEALED),
        (3, Fault.CUT_OFF),
    ] == [(problem.line, problem.fault) for problem in verify(file)]


def test_session_written_anew_has_another_code(sealed_content: bytes) -> None:
    """Who rewrites the whole chain leaves no broken link, but another code to compare."""
    lines = read_content(sealed_content).lines
    raws: list[bytes] = []
    prev = NO_LINE
    for line in lines[:-1]:
        data = {**line.data, "value": "11.5"} if line.kind == "took" else line.data
        raws.append(encode(Line(line.seq, line.time, 1, prev, line.kind, data)))
        prev = digest(raws[-1])
    seal = seal_line(COUNT, lines[-1].time, 1, prev, {})
    record = read_content(joined([*raws, encode(seal)]))
    assert () == record.problems
    assert read_content(sealed_content).seal_code != record.seal_code


@pytest.mark.parametrize(
    ("key", "value", "why"),
    [
        ("chain", "0" * 64, "gives another hash"),
        ("lines", 9, "counts 9 lines where 7 stand before it"),
        ("code", "2222-2222-2222", "has a code that does not fit"),
        ("signed", "B. Other", "has a code that does not fit"),
    ],
)
def test_bad_seal_says_why(sealed_content: bytes, key: str, value: object, why: str) -> None:
    """Each part of a seal is held to the rest, and so is everything that was sealed with it."""
    seal = read_content(sealed_content).lines[-1]
    assert "" == seal_fault(seal)
    bad = Line(seal.seq, seal.time, 1, seal.prev, seal.kind, {**seal.data, key: value})  # type: ignore[dict-item]
    assert why in seal_fault(bad)
    raws = [*raws_of(sealed_content)[:-1], encode(bad)]
    assert named(joined(raws)) == [(COUNT, Fault.BAD_SEAL)]


def test_code_is_taken_from_sha_256() -> None:
    """The code is the first 48 bits of a SHA-256, each four bits one mark.

    Source: the digest of this line computed with the `sha256sum` command of GNU coreutils.
    """
    line = Line(2, "2026-02-03T14:05:06.789Z", 1, NO_LINE, "sealed", {"chain": NO_LINE, "lines": 1})
    assert "3Y4X-4XK6-HX4K" == seal_code(line)
