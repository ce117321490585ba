"""The list of sessions as plain lines, for a pipe or a reader of screens."""

from collections.abc import Iterator, Sequence

from assistant.journal.gist import Gist
from assistant.screens.reviewing.wording import (
    found_words,
    minute_words,
    state_words,
    tidy,
    unit_words,
)
from assistant.screens.words import counted


def plain_lines(gists: Sequence[Gist]) -> Iterator[str]:
    """Give a line a session, its parts set apart by ` | `, and a sentence at the end."""
    for gist in gists:
        parts = [
            minute_words(gist.started),
            tidy(gist.technician) or "nobody named",
            unit_words(gist),
            tidy(gist.flow) or "no flow",
            found_words(gist),
            state_words(gist),
            *([tidy(gist.damage)] if gist.damage else []),
            gist.name,
        ]
        yield " | ".join(parts)
    left = sum(not gist.is_looked for gist in gists)
    rest = f" {left} of them are not looked through for flags and damage yet." if left else ""
    yield f"{counted(len(gists), 'session')}.{rest}"
