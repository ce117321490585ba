"""The standing commands, yes and no, and picking a choice by its number, as tables of phrases.

Each is a whole answer: "stop" inside a longer sentence is not a command. What wakes a walk from
hold is unlike any answer that a step can take.
"""

from collections.abc import Hashable, Mapping

from assistant.spoken.lexicon import CLOSING, HESITATING, HESITATIONS, OPENING, REASON_WORDS
from assistant.spoken.meaning import Choice, Command, CommandKind, Picked, YesNo
from assistant.spoken.nodes import (
    Act,
    Free,
    Lexicon,
    Maybe,
    Node,
    Rule,
    TypedOnly,
    Word,
    alt,
    same,
    seq,
)
from assistant.spoken.tokens import tokenise

PHRASES: dict[CommandKind, tuple[str, ...]] = {
    CommandKind.REPEAT: (
        *("say again", "say that again", "repeat", "repeat that", "come again", "again"),
        *("what was that", "what did you say", "one more time"),
    ),
    CommandKind.BACK: ("go back", "back up", "previous step", "go back one", "back one step"),
    CommandKind.HELP: (
        *("help", "help me", "what do you mean", "how do i do that", "how do i do this"),
        *("explain", "explain that", "show me how"),
    ),
    CommandKind.WHY: ("why", "what for", "why that", "why do i do that", "what's that for"),
    CommandKind.HOLD: (
        *("hold", "hold on", "hold it", "hang on", "wait", "stand by", "give me a minute"),
        *("just a minute", "pause", "one moment", "one minute", "just a second"),
        *("just a moment", "give me a second", "wait a minute", "wait a second"),
        *("hang on a second", "hold on a second"),
    ),
    CommandKind.GO_AHEAD: (
        *("go ahead", "i'm back", "i am back", "carry on", "resume the walk", "continue the walk"),
    ),
    CommandKind.SCRATCH: (
        *("scratch that", "take that back", "undo that", "undo", "that was wrong", "strike that"),
    ),
    CommandKind.WHERE: ("where am i", "where are we", "what step is this", "which step is this"),
    CommandKind.SLOWER: ("slower", "slow down", "speak slower", "talk slower"),
    CommandKind.FASTER: ("faster", "speed up", "speak faster", "talk faster"),
    CommandKind.LOUDER: ("louder", "speak up", "talk louder", "volume up"),
    CommandKind.QUIETER: ("quieter", "softer", "not so loud", "volume down", "too loud"),
    CommandKind.STOP: (
        "stop",
        "stop the walk",
        "quit",
        "quit the walk",
        "end the walk",
        "stop it",
        "stop stop",
    ),
}
"""Whole answers for each command that has no free words."""

TYPED: dict[CommandKind, tuple[str, ...]] = {CommandKind.BACK: ("back",)}
"""Short forms that are understood when typed: as sound they are too easily part of other talk."""

SKIP = (
    "skip",
    "skip it",
    "skip this",
    "skip that",
    "skip this step",
    "can't do that",
    "i can't do that",
)
BECAUSE = ("because", "since")
NOTE = ("note", "make a note", "take a note", "add a note")

PLAIN_YES, PLAIN_NO = ("yes", "yeah", "yep", "correct"), ("no", "nope", "negative", "wrong")
"""What an ear is held to where it must tell the two apart; "right" is too like "wrong"."""

SHORT_YES = ("yeah", "yep", "yup")
_WEAK_YES = frozenset({*SHORT_YES, "it is", "that's it", "right", "that's right", "that is right"})
"""What "no", "negative" and "wrong" are taken for in noise (measured)."""

YES = (
    *("yes", *SHORT_YES, "correct", "right", "affirmative", "that's right", "yes it is"),
    *("that's correct", "yes sir", "it is", "yes it does", "yes that's right", "that's it"),
    *("that is right", "that is correct", "yes ma'am", "yeah it is", "yes correct"),
)
NO = (
    *("no", "nope", "nah", "negative", "wrong", "that's wrong", "incorrect", "not right"),
    *("that's not right", "no it isn't", "no it is not", "no it's not", "no that's wrong"),
    *("that is wrong", "that is not right", "it is not", "it's not", "it isn't", "not correct"),
    "no no",
)
TYPED_YES, TYPED_NO = ("y",), ("n",)

_TYPED = frozenset(phrase for phrases in TYPED.values() for phrase in phrases)

_ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"]
_NUMBERS = ["one", "two", "three", "four", "five", "six", "seven", "eight"]


_ASKED = Maybe(TypedOnly(Word("?")))


def is_weak_yes(words: str) -> bool:
    """Tell whether words are only a form of yes that a no is taken for where the sound is bad."""
    said = [word for word in words.split() if word not in {*HESITATIONS, "please"}]
    return " ".join(said) in _WEAK_YES


def is_typed_command(words: str) -> bool:
    """Tell whether words are a command's short form, which counts only where it was typed."""
    said = [word for word in tokenise(words) if word not in {*HESITATIONS, "please", "?"}]
    return " ".join(said) in _TYPED


def _only(item: Node) -> Node:
    """Give yes or no as a whole answer: hesitation before it, "please" behind it."""
    return Act(seq(HESITATING, item, Maybe(Word("please"))), lambda parts: (parts[1],))


def _command(item: Node) -> Node:
    """Give a command's whole answer; typed, it may be put as a question."""
    pleased = seq(HESITATING, Maybe(Word("please")), item, Maybe(Word("please")), _ASKED)
    return Act(pleased, lambda parts: (parts[2],))


def _plain_commands(
    kinds: tuple[CommandKind, ...], phrases: Mapping[CommandKind, tuple[str, ...]] = PHRASES
) -> Lexicon:
    return Lexicon(tuple((phrase, Command(kind)) for kind in kinds for phrase in phrases[kind]))


def _with_free_words() -> tuple[Node, ...]:
    reason = Maybe(seq(same(None, *BECAUSE), Free(REASON_WORDS, 6)))
    skip = Act(
        seq(HESITATING, same(None, *SKIP), reason),
        lambda parts: (Command(CommandKind.SKIP, parts[2][1] if parts[2] else ""),),
    )
    return skip, _note()


def _note() -> Node:
    return Act(
        seq(HESITATING, same(None, *NOTE), Free(REASON_WORDS, 8)),
        lambda parts: (Command(CommandKind.NOTE, parts[2]),),
    )


def command_rule(is_held: bool) -> Rule:
    """Give the rule of the standing commands; on hold only three are left."""
    if is_held:
        awake = (CommandKind.GO_AHEAD, CommandKind.STOP)
        return Rule("command", alt(_command(_plain_commands(awake)), _note()))
    typed = TypedOnly(_command(_plain_commands(tuple(TYPED), TYPED)))
    said = _command(_plain_commands(tuple(PHRASES)))
    return Rule("command", alt(said, typed, *_with_free_words()))


def yes_no_rule() -> Rule:
    """Give the rule of yes and no; `y`, `n` and "no, it isn't" only when typed."""
    said = alt(same(YesNo(is_yes=True), *YES), same(YesNo(is_yes=False), *NO))
    no_with_a_stop = tuple(p.replace("no ", "no | ", 1) for p in NO if p.startswith("no "))
    typed = alt(
        same(YesNo(is_yes=True), *TYPED_YES),
        same(YesNo(is_yes=False), *TYPED_NO, *no_with_a_stop),
    )
    return Rule("yes_no", _only(alt(said, TypedOnly(typed))))


def choice_rule(choices: tuple[Choice, ...], is_numbered: bool) -> Rule:
    """Give the rule of named choices, and of their numbers where those may be said.

    A bare "two" never picks a choice, since it may be a reading, and a bare "second" neither: noise
    is too easily heard as one short word.
    """
    entries: list[tuple[str, Hashable]] = []
    for choice in choices:
        spoken = (" ".join(tokenise(phrase)) for phrase in choice.phrases)
        entries.extend((phrase, Picked(choice.id)) for phrase in spoken if phrase)
    if is_numbered:
        entries.extend(_by_number(choices))
    article = Maybe(same(None, "the", "a", "an"))
    named = seq(OPENING, article, Lexicon(tuple(entries)), CLOSING)
    return Rule("choice", Act(named, lambda parts: (parts[2],)))


def _by_number(choices: tuple[Choice, ...]) -> list[tuple[str, Hashable]]:
    entries: list[tuple[str, Hashable]] = []
    for choice, ordinal, number in zip(choices, _ORDINALS, _NUMBERS, strict=False):
        said = (
            f"{ordinal} one",
            f"number {number}",
            f"choice {number}",
            f"option {number}",
        )
        entries.extend((phrase, Picked(choice.id)) for phrase in said)
    return entries
