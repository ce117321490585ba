"""Every golden conversation is replayed by text and must come out as it is told, word for word.

Adding a conversation is adding a file: see `conversation.py` for its form. After a flow was changed
on purpose, `python tests/tools/record_walks.py FLOW` tells them anew.
"""

import pytest
import quick
from conversation import HERE, differences, flows, stage, transcript

from assistant.flow.library import flow_names
from assistant.flow.plain import plain_values

FILES = [(one, file.stem) for one in flows() for file in sorted((HERE / one).glob("*.yaml"))]


@pytest.mark.parametrize(("flow", "name"), FILES, ids=[f"{a}/{b}" for a, b in FILES])
def test_conversation(flow: str, name: str) -> None:
    """What is said, taken, judged, found and where the walk stands is as the file tells it."""
    heard: list[str] = []
    for played in stage(flow).play(name):
        heard += transcript(played)
        if played.expected != played.actual:
            wrong = differences(played.expected, played.actual)
            place = f"{flow}/{name}.yaml, {played.where}: another outcome"
            pytest.fail("\n".join([*heard[-12:], place, *wrong]), pytrace=False)


@pytest.mark.parametrize("flow", flow_names())
def test_conversations_can_be_read(flow: str) -> None:
    """Each flow has conversations; each says what it shows, is no copy, and leads to an end."""
    known = stage(flow).conversations
    assert known, f"tests/walks/{flow} has no conversation"
    abouts = [one.about for one in known.values()]
    assert len(set(abouts)) == len(abouts)
    for one in known.values():
        assert one.about.endswith("."), one.name
        last = one.turns[-1] if one.turns else {}
        assert "ended" in last, f"{one.name} has no end"
        assert not one.walk or one.shared <= len(stage(flow).line(one.walk)), one.name


@pytest.mark.parametrize("flow", flows())
def test_quick_reader_reads_as_yaml_does(flow: str) -> None:
    """What is read quickly is what a YAML reader reads, on the smallest files of each flow."""
    files = sorted((HERE / flow).glob("*.yaml"), key=lambda file: file.stat().st_size)[:3]
    for file in files:
        text = file.read_text(encoding="utf-8")
        expected, _ = plain_values(text)
        assert expected == quick.read(text), file.name
