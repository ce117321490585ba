"""A whole journal is known quickly, and nothing that is not whole passes for it."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from journal_made import odd_session

from assistant.journal.account import give_account
from assistant.journal.reading import JOURNAL, read_content
from assistant.journal.whole import read_whole
from assistant.shop.telling import WANTED
from assistant.walk.events import KNOWN_KINDS

ALL = frozenset((*KNOWN_KINDS, "sealed"))
Made = tuple[tuple[str, bytes], ...]


def test_what_the_quick_way_reads_is_what_the_thorough_one_reads(made: Made) -> None:
    """The same lines, no problem, a seal; and the same account, from the wanted lines alone."""
    for _, content in made[:12]:
        thorough = read_content(content)
        assert thorough == read_whole(content, ALL)
        few = read_whole(content, WANTED)
        assert few is not None
        assert give_account(thorough) == give_account(few, is_whole=True)


def test_lines_that_nobody_asked_for_are_left_out(made: Made) -> None:
    """Only the kinds that are wanted are given, and the seal."""
    record = read_whole(made[0][1], {"found"})
    assert record is not None
    assert {"found", "sealed"} == {line.kind for line in record.lines}


@settings(max_examples=300, deadline=None)
@given(data=st.data())
def test_a_changed_journal_never_passes(made: Made, data: st.DataObject) -> None:
    """A byte changed, put in or taken out, a line moved, doubled or cut: it is not whole."""
    content = made[data.draw(st.integers(0, 5))][1]
    place = data.draw(st.integers(0, len(content) - 1))
    byte = data.draw(st.binary(min_size=1, max_size=2))
    lines = content.splitlines(keepends=True)
    one, other = (data.draw(st.integers(0, len(lines) - 1)) for _ in range(2))
    moved = [*lines]
    moved.insert(other, moved.pop(one))
    doubled = [*lines[:one], lines[one], *lines[one:]]
    spoiled = data.draw(
        st.sampled_from(
            [
                content[:place] + byte + content[place + 1 :],
                content[:place] + byte + content[place:],
                content[:place] + content[place + 1 :],
                content[:place],
                b"".join(moved),
                b"".join(doubled),
                b"".join(lines[:one] + lines[one + 1 :]),
            ]
        )
    )
    if spoiled != content:
        assert read_whole(spoiled, WANTED) is None


@pytest.mark.parametrize("content", [b"", b"\n", b"{}\n", b'{"data":{}}\n', b"\xff\n", b"[]\n[]\n"])
def test_what_is_no_journal_is_not_whole(content: bytes) -> None:
    """Nothing, and things that only look like lines."""
    assert read_whole(content, ALL) is None


def test_an_open_session_is_read_thoroughly(made: Made) -> None:
    """Without its seal a journal is not plainly whole."""
    lines = made[0][1].splitlines(keepends=True)
    assert read_whole(b"".join(lines[:-1]), ALL) is None


def test_odd_texts_are_read_as_they_stand(tmp_path: Path) -> None:
    """What JSON escapes is read, or left to the thorough way."""
    folder = odd_session(tmp_path, unit='"}\n{"data":{"', technician="\x00\u2028")
    content = (folder / JOURNAL).read_bytes()
    assert read_content(content) == read_whole(content, ALL)
    broken = odd_session(tmp_path, unit="\ud800", technician="", session_id="odd-2")
    assert read_whole((broken / JOURNAL).read_bytes(), ALL) is None
