"""What can be said at one turn, as one grammar: parser, recogniser's grammar and samples.

A closed grammar cannot hold the free words behind "note" and "skip because". The parser takes any
words there; a recogniser listens for a short run of common reason words (`lexicon.REASON_WORDS`).
"""

from functools import lru_cache

from assistant.quantity import Unit
from assistant.spoken.commands import choice_rule, command_rule, yes_no_rule
from assistant.spoken.jsgf import JsgfWriter
from assistant.spoken.matching import Compiler, Run, start_run
from assistant.spoken.meaning import Command, Expectation, NumberForm, Picked, YesNo
from assistant.spoken.nodes import Node, alt
from assistant.spoken.readings import SaidForm, SaidNumber, largest_sayable, reading_rule
from assistant.spoken.samples import phrase_by_number
from assistant.spoken.speakable import spoken_words
from assistant.spoken.tokens import tokenise

Outcome = SaidNumber | SaidForm | Picked | YesNo | Command
"""What a whole answer came to, before ranges and doubts are looked at."""

_LARGEST = 1_000_000_000


class Grammar:
    """Everything that one turn takes.

    Args:
        start: the node of a whole answer.
    """

    def __init__(self, start: Node) -> None:
        self._start = start
        self._matcher = Compiler().compile(start)

    def _run(self, words: str) -> tuple[Run, tuple[Outcome, ...]]:
        run = start_run(tokenise(words))
        found = self._matcher(run, 0)
        whole = [value for end, value in found if end == len(run.tokens)]
        return run, tuple(dict.fromkeys(whole))  # type: ignore[arg-type]

    def parse(self, words: str) -> tuple[Outcome, ...]:
        """Give every meaning of the words, all of them used; none when they cannot be said."""
        return self._run(words)[1] if words else ()

    def accepts(self, words: str) -> bool:
        """Tell whether the words are a whole answer; it may still be ambiguous."""
        return bool(self.parse(words))

    def is_complete(self, words: str) -> bool:
        """Tell whether the words can stand as they are: the same as `accepts`."""
        return self.accepts(words)

    def is_unfinished(self, words: str) -> bool:
        """Tell whether the words only begin a longer phrase, as "one eighteen point"."""
        run, whole = self._run(words)
        return not whole and run.wants_more

    def can_continue(self, words: str) -> bool:
        """Tell whether figures could still follow, as behind "one eighteen"."""
        return self.is_unfinished(f"{words} point") or self.accepts(f"{words} five")

    def count_readings(self, words: str) -> int:
        """Give how many answers stand one behind the other; other words are left aside."""
        run = start_run(tokenise(words))
        at = count = 0
        while at < len(run.tokens):
            longest = max((end for end, _ in self._matcher(run, at)), default=at)
            count += longest > at
            at = max(longest, at + 1)
        return count

    def to_jsgf(self, name: str = "step") -> str:
        """Write the grammar for a recogniser that takes JSGF."""
        return JsgfWriter().write(self._start, name)

    def words(self) -> frozenset[str]:
        """Give every word that can be spoken here."""
        return spoken_words(self._start)

    def phrase(self, number: int) -> str:
        """Give one phrase that can be spoken here; any whole number from 0 gives one."""
        return phrase_by_number(self._start, number)

    def phrases(self, limit: int) -> tuple[str, ...]:
        """Give up to `limit` different phrases, spread over the grammar, always the same ones."""
        return tuple(dict.fromkeys(self.phrase(number) for number in range(limit)))


@lru_cache(maxsize=512)
def grammar_for(expectation: Expectation) -> Grammar:
    """Give the grammar of a turn: what its step can take, and the standing commands."""
    if expectation.is_held:
        return Grammar(command_rule(is_held=True))
    parts: list[Node] = []
    if expectation.number is not None:
        parts.append(
            reading_rule(
                expectation.number, expectation.digits_only, largest_sayable(expectation.number)
            )
        )
    if expectation.choices:
        parts.append(choice_rule(expectation.choices, expectation.takes_numbered_choice))
    if expectation.takes_yes_no:
        parts.append(yes_no_rule())
    return Grammar(alt(*parts, command_rule(is_held=False)))


def _every_unit(form: NumberForm) -> tuple[Unit, ...]:
    """Give all units, those of the turn first, so that a word of two units means the turn's own."""
    others = tuple(unit for unit in Unit if unit not in form.units and unit is not Unit.COUNT)
    return (*form.units, *others)


@lru_cache(maxsize=512)
def wide_grammar(form: NumberForm, is_dual: bool = False) -> Grammar:
    """Give the grammar of every reading there is, to say why words are no answer at a step.

    Args:
        form: the number that the turn takes; its units are meant first.
        is_dual: whether two ratings are looked for.
    """
    wide = NumberForm(
        _every_unit(form), takes_over_limit=True, takes_negative=True, is_dual=is_dual
    )
    return Grammar(reading_rule(wide, is_digits_only=False, largest=_LARGEST))
