"""Words to a meaning under one expectation: never a guess.

The grammar gives every reading of the words; `settling` chooses between them or asks. Words that
the step's grammar does not take are looked at by `troubles`, which says why.
"""

import re
from dataclasses import replace

from assistant.spoken.grammar import grammar_for
from assistant.spoken.meaning import (
    Command,
    CommandKind,
    Expectation,
    Meaning,
    Picked,
    Trouble,
    Unclear,
    Value,
    YesNo,
)
from assistant.spoken.readings import SaidForm, SaidNumber
from assistant.spoken.settling import settle
from assistant.spoken.tokens import tokenise
from assistant.spoken.troubles import explain, of_other_current

_FREE_WORDS = {
    CommandKind.NOTE: re.compile(r"^.*?\bnote\b[\s,:.]*", re.IGNORECASE | re.DOTALL),
    CommandKind.SKIP: re.compile(r"^.*?\b(?:because|since)\b[\s,:]*", re.IGNORECASE | re.DOTALL),
}


def understand(words: str, expectation: Expectation) -> Meaning:
    """Say what words mean at this turn.

    Args:
        words: what was heard or typed, in any case and punctuation.
        expectation: what the turn can be answered with.

    Returns:
        Exactly one meaning; `Unclear` with its reason where the words have none or several.
    """
    tokens = tokenise(words)
    if not tokens:
        return Unclear(Trouble.SILENCE, "I heard no words.")
    meaning = _meaning_of(words, tokens, expectation)
    if isinstance(meaning, Value | Unclear) and expectation.number is not None:
        return of_other_current(tokens, expectation.number) or meaning
    return meaning


def _meaning_of(words: str, tokens: tuple[str, ...], expectation: Expectation) -> Meaning:
    outcomes = grammar_for(expectation).parse(words)
    named = [outcome for outcome in outcomes if isinstance(outcome, Picked | YesNo | Command)]
    said = [outcome for outcome in outcomes if isinstance(outcome, SaidNumber | SaidForm)]
    if named and not said:
        return _named(named, words)
    if said and not named and expectation.number is not None:
        return settle(tuple(said), expectation.number)
    if said:
        return Unclear(
            Trouble.AMBIGUOUS,
            "That is both a reading and another answer here.",
            "Which do you mean?",
        )
    return explain(tokens, expectation)


def _named(named: list[Picked | YesNo | Command], words: str) -> Meaning:
    """A step's own choices come before yes and no, and those before the standing commands."""
    for kind in (Picked, YesNo, Command):
        found = [outcome for outcome in named if isinstance(outcome, kind)]
        if len(found) > 1:
            return Unclear(Trouble.AMBIGUOUS, "That fits more than one answer.", "Which one?")
        if found:
            return _with_free_words(found[0], words)
    raise AssertionError(named)


def _with_free_words(meaning: Picked | YesNo | Command, words: str) -> Meaning:
    """Give a note or a reason back as it was said, not as it was tokenised."""
    if isinstance(meaning, Command) and meaning.detail:
        text = _FREE_WORDS[meaning.kind].sub("", words, count=1).strip()
        return replace(meaning, detail=text)
    return meaning
