"""What to do with words when there is no walk to ask: accept, ask or refuse."""

from dataclasses import dataclass, replace
from enum import StrEnum

from assistant.quantity import OverLimit, Reading
from assistant.spoken.commands import is_weak_yes
from assistant.spoken.confusion import TEEN_OR_TY, neighbours
from assistant.spoken.meaning import Expectation, Meaning, Picked, Unclear, Value, YesNo
from assistant.spoken.phrasing import ask_back, ask_back_choice
from assistant.spoken.settling import is_possible
from assistant.spoken.understanding import understand

_AGAIN = "Say it again, please?"
SAY_YES_OR_NO = "Say yes or no."


class Verb(StrEnum):
    """What is done with the words."""

    ACCEPT = "accept"
    ASK = "ask"
    REFUSE = "refuse"


@dataclass(frozen=True, slots=True)
class Decision:
    """What is done with one answer.

    Args:
        decision: accept: it can mean only this; ask: one question would settle it; refuse: there
            is no usable meaning.
        meaning: what was understood.
        why: one sentence; empty when accepted.
        value: the reading that was understood, or the likelier candidate to ask about.
        question: what to ask; empty unless asking.
    """

    decision: Verb
    meaning: Meaning
    why: str = ""
    value: Reading | None = None
    question: str = ""


def decide(
    words: str,
    expectation: Expectation,
    alternatives: tuple[str, ...] = (),
    is_sound: bool = False,
    doubt: str = "",
) -> Decision:
    """Decide whether words can be believed without a walk that knows what hangs on them.

    Args:
        words: what was heard or typed.
        expectation: what may be answered.
        alternatives: other words that a recogniser found nearly as likely; only for sound.
        is_sound: heard by a microphone, so that teen and ty count as one sound.
        doubt: why the sound itself is reason to ask; empty when it is not.
    """
    meaning = understand(words, expectation)
    if isinstance(meaning, Unclear):
        return _of_unclear(meaning)
    others = alternatives if is_sound else ()
    if isinstance(meaning, Value):
        decision = _of_value(meaning, expectation, others, is_sound)
        return _with_doubt(decision, doubt, words, expectation)
    return _with_doubt(_of_other(meaning, expectation, others), doubt, words, expectation)


def _with_doubt(decision: Decision, doubt: str, words: str, expectation: Expectation) -> Decision:
    """Ask for what would be accepted where the sound is doubtful; yes, no and commands stand.

    But a weak yes does not: it may have been a no.
    """
    meaning = decision.meaning
    if not doubt or decision.decision is not Verb.ACCEPT:
        return decision
    if isinstance(meaning, Value):
        return replace(decision, decision=Verb.ASK, why=doubt, question=ask_back(meaning.reading))
    if isinstance(meaning, Picked):
        question = _ask_back(meaning, expectation)
        return replace(decision, decision=Verb.ASK, why=doubt, question=question)
    if isinstance(meaning, YesNo) and meaning.is_yes and is_weak_yes(words):
        return replace(decision, decision=Verb.REFUSE, why=SAY_YES_OR_NO)
    return decision


def _of_unclear(meaning: Unclear) -> Decision:
    verb = Verb.ASK if meaning.question else Verb.REFUSE
    value = meaning.candidates[0] if meaning.candidates else None
    return Decision(verb, meaning, meaning.why, value, meaning.question)


def _of_value(
    meaning: Value, expectation: Expectation, alternatives: tuple[str, ...], is_sound: bool
) -> Decision:
    reading = meaning.reading
    why = next(iter(meaning.doubts), "") or _out_of_range(reading, expectation)
    if not why and is_sound:
        why = _misheard(reading, expectation, alternatives)
    if not why:
        return Decision(Verb.ACCEPT, meaning, value=reading)
    return Decision(Verb.ASK, meaning, why, reading, ask_back(reading))


def _out_of_range(reading: Reading, expectation: Expectation) -> str:
    form = expectation.number
    if form is None or isinstance(reading, OverLimit) or is_possible(reading, form):
        return ""
    return "That is outside what is plausible here."


def _misheard(reading: Reading, expectation: Expectation, alternatives: tuple[str, ...]) -> str:
    for words in alternatives:
        other = understand(words, expectation)
        same = isinstance(other, Value) and other.reading == reading
        if not same and not isinstance(other, Unclear):
            return f"It may have been '{words}'."
    for near in neighbours(reading, expectation):
        if near.how == TEEN_OR_TY and not expectation.digits_only:
            return f"Sound alone cannot tell it from another value: {near.how}."
    return ""


def _of_other(
    meaning: Meaning, expectation: Expectation, alternatives: tuple[str, ...]
) -> Decision:
    for words in alternatives:
        other = understand(words, expectation)
        if other != meaning and not isinstance(other, Unclear):
            why = f"It may have been '{words}'."
            return Decision(Verb.ASK, meaning, why, question=_ask_back(meaning, expectation))
    return Decision(Verb.ACCEPT, meaning)


def _ask_back(meaning: Meaning, expectation: Expectation) -> str:
    """Ask for a yes to a choice; anything else is said again."""
    if not isinstance(meaning, Picked):
        return _AGAIN
    phrases = {choice.id: choice.phrases for choice in expectation.choices}
    return ask_back_choice(phrases[meaning.choice][0])
