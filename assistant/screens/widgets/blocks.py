"""Blocks of the walk screen: the caution that waits, the step, the verdict, the finding."""

from collections.abc import Iterator
from dataclasses import dataclass

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from assistant.screens.widgets.band import BandBar, BandFacts
from assistant.screens.words import VERDICT_PURPOSES, verdict_word


@dataclass(frozen=True, slots=True)
class VerdictFacts:
    """One judged value as it is shown.

    Args:
        verdict: the verdict's name in a journal, as `fail`.
        label: what was judged, as "cap reading".
        shown: the reading, as `2.9 µF`.
        reason: why, one sentence.
        expected: what would be right, in words.
        band: the limits; None where there are none.
    """

    verdict: str
    label: str
    shown: str
    reason: str
    expected: str = ""
    band: BandFacts | None = None


class Words(Static):
    """Text as it is: no mark-up in it, wrapped between words, right to left where it is that."""

    DEFAULT_CSS = "Words { height: auto; width: 1fr; }"

    def __init__(self, text: str | Text = "", *, classes: str = "", id: str | None = None) -> None:  # noqa: A002 - the library's name
        super().__init__(text, classes=classes, id=id, markup=False)


class CautionBlock(Vertical):
    """A caution in full, with the words that answer it; nothing else is asked while it stands.

    Args:
        text: the caution.
        answer: how it is answered, one sentence.
    """

    DEFAULT_CSS = """
    CautionBlock {
        height: auto; padding: 0 1; border: heavy $caution-line;
        color: $caution; background: $caution-ground;
    }
    CautionBlock > Words { color: $caution; background: $caution-ground; text-style: bold; }
    """

    def __init__(self, text: str, answer: str) -> None:
        super().__init__()
        self._text, self._answer = text, answer

    def compose(self) -> ComposeResult:
        """Lay out the word, the caution, and what to say."""
        yield Words("CAUTION: answer it before anything else")
        yield Words(self._text)
        yield Words(self._answer, classes="answer")


class VerdictBlock(Vertical):
    """A verdict in words on a ground of its own, with the band and the reason.

    Args:
        facts: what was judged.
    """

    DEFAULT_CSS = """
    VerdictBlock { height: auto; color: $text; }
    VerdictBlock > .verdict { text-style: bold; padding: 0 2; width: 1fr; }
    VerdictBlock > .good { color: $good; background: $good-ground; }
    VerdictBlock > .marginal { color: $marginal; background: $marginal-ground; }
    VerdictBlock > .fail { color: $fail; background: $fail-ground; }
    VerdictBlock > .unsure { color: $unsure; background: $unsure-ground; }
    VerdictBlock > BandBar { padding: 0 2; }
    """

    def __init__(self, facts: VerdictFacts) -> None:
        super().__init__()
        self._facts = facts

    def compose(self) -> ComposeResult:
        """Lay out the word, the reason and the band."""
        facts = self._facts
        purpose = VERDICT_PURPOSES.get(facts.verdict, "unsure")
        yield Words("   ".join(_parts(facts)), classes=f"verdict {purpose}")
        yield Words(facts.reason)
        if facts.band is not None:
            yield BandBar(facts.band)


def _parts(facts: VerdictFacts) -> Iterator[str]:
    yield verdict_word(facts.verdict)
    if facts.label or facts.shown:
        yield " ".join(part for part in (facts.label, facts.shown) if part)
