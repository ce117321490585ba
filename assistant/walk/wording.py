"""What Rungside says, in one place: prompts, read-backs, troubles, findings, notices.

Short, one action, no symbols for the ear; the same with symbols for the eye.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from assistant.flow.conditions import UNSURE
from assistant.flow.judging import VerdictKind
from assistant.flow.linked import Flow
from assistant.flow.model import Finding, SpokenStep
from assistant.flow.names import PLACEHOLDER
from assistant.quantity import (
    OverLimit,
    Quantity,
    Reading,
    format_for_ear,
    format_for_eye,
    with_one_stop,
)
from assistant.rules.verdict import Verdict
from assistant.spoken.meaning import Expectation, Trouble
from assistant.spoken.phrasing import as_spoken, ask_back, ask_back_choice
from assistant.walk.ends import Role, Utterance
from assistant.walk.state import Pending, State, Taken

OTHER_WAY_AFTER = 3
"""After this many troubles of one kind another way of asking is tried; a denied number is asked
for digit by digit at once."""

VERDICT_WORDS = {
    VerdictKind.PASS: "Good.",
    VerdictKind.MARGINAL: "Marginal.",
    VerdictKind.FAIL: "Fails.",
    VerdictKind.CANNOT_TELL: "Cannot tell.",
}

_TROUBLES: Mapping[Trouble, tuple[str, ...]] = {
    Trouble.SILENCE: (
        "I heard nothing.",
        "Still nothing heard.",
        "I am waiting. Answer when you are ready, or say: hold on.",
    ),
    Trouble.NOT_UNDERSTOOD: (
        "I did not get that.",
        "I still did not get that.",
        "I cannot make it out.",
    ),
    Trouble.AMBIGUOUS: ("That can mean two things.", "Still two meanings.", "I must be sure."),
    Trouble.UNFINISHED: ("That was cut off.", "Cut off again.", "I keep losing the end."),
    Trouble.WRONG_UNIT: ("That is another unit.", "Another unit again.", "The unit does not fit."),
    Trouble.OUT_OF_RANGE: (
        "That is outside what is likely here.",
        "Outside what is likely again.",
        "That keeps coming out unlikely.",
    ),
    Trouble.DENIED: ("Then say it again.", "Once more, then.", "I keep hearing it wrong."),
}


@dataclass(frozen=True, slots=True)
class Text:
    """One sentence for the ear and for the eye."""

    ear: str
    eye: str


def fill(template: str, values: Mapping[str, Taken]) -> Text:
    """Put values into a template's `{name}` places; one not taken reads "the rating"."""

    def put(is_ear: bool) -> str:
        def one(name: str) -> str:
            taken = values.get(name)
            if taken is None:
                return "the rating"
            return format_for_ear(taken.reading) if is_ear else format_for_eye(taken.reading)

        text = PLACEHOLDER.sub(lambda match: one(match.group(1)), template)
        return as_spoken(text if is_ear else with_one_stop(text))

    return Text(put(is_ear=True), put(is_ear=False))


def utterance(role: Role, template: str, values: Mapping[str, Taken]) -> Utterance:
    """Make an utterance of a template."""
    text = fill(template, values)
    return Utterance(role, text.ear, "" if text.eye == text.ear else text.eye)


def say_prompt(step: SpokenStep, state: State, level: str) -> Utterance:
    """Say a step's prompt: `say`, `again`, `help` or `why`."""
    role = {"help": Role.HELP, "why": Role.WHY}.get(level, Role.PROMPT)
    return utterance(role, getattr(step, level), state.values)


def say_caution(flow: Flow, name: str) -> Utterance:
    """Say a caution in full, with the phrase that answers it."""
    caution = flow.cautions[name]
    text = f"{caution.say} Say: {as_spoken(caution.answer[0])}."
    return Utterance(Role.CAUTION, f"Caution. {text}", text)


def say_caution_again(flow: Flow, name: str) -> Utterance:
    """Ask for a caution's answer once more; the caution was said in full before."""
    phrase = as_spoken(flow.cautions[name].answer[0])
    return Utterance(Role.CAUTION, f"The caution waits for its answer. Say: {phrase}.")


def say_condition(flow: Flow, subject: str) -> Utterance:
    """Ask for a condition that hands can make true."""
    name, _, value = subject.partition("=")
    condition = flow.vocabulary.conditions[name]
    phrase = as_spoken(condition.phrases[value][0])
    text = f"First: {condition.values[value]}. Say: {phrase}."
    return Utterance(Role.PROMPT, text)


def say_read_back(readings: tuple[Reading, ...], verdict: Verdict | None) -> Utterance:
    """Read a believed number back inside the next sentence, with its verdict."""
    ear = " and ".join(format_for_ear(reading) for reading in readings)
    eye = " and ".join(format_for_eye(reading) for reading in readings)
    ear, eye = f"{ear[0].upper()}{ear[1:]}.", with_one_stop(f"{eye}.")
    if verdict is not None:
        word = VERDICT_WORDS[verdict.kind]
        ear, eye = f"{ear} {word}", f"{eye} {word} {verdict.reason}"
        if verdict.kind is not VerdictKind.PASS:
            ear = f"{ear} {verdict.reason}"
    return Utterance(Role.READ_BACK, ear, eye)


def say_worked_out(label: str, result: Reading, verdict: Verdict | None) -> Utterance:
    """Say what a formula gave, by its name, with its verdict."""
    said = say_read_back((result,), verdict)
    ear = f"{said.text[0].lower()}{said.text[1:]}"
    return Utterance(Role.READ_BACK, f"{label}: {ear}", f"{label}: {said.for_eye}")


def say_ask_back(pending: Pending, phrase: str = "") -> Utterance:
    """Ask an answer back: a number digit by digit, a choice by its phrase; it needs a yes."""
    if pending.reading is None:
        return Utterance(Role.ASK_BACK, f"{ask_back_choice(phrase)} Yes or no?")
    asked, shown = ask_back(pending.reading), format_for_eye(pending.reading)
    if pending.second is not None:
        asked = f"{asked.rstrip('?')}, and {ask_back(pending.second)}"
        shown = f"{shown} and {format_for_eye(pending.second)}"
    ear = f"{pending.why} {asked} Yes or no?".strip()
    return Utterance(Role.ASK_BACK, ear, f"{pending.why} {shown}? Yes or no?".strip())


def say_trouble(trouble: Trouble, count: int, why: str, question: str) -> Utterance:
    """Say what went wrong, in other words each time."""
    words = _TROUBLES[trouble]
    if trouble is Trouble.NOT_UNDERSTOOD and why.startswith("I did not understand."):
        why = ""  # the prompt that follows says what can be said
    parts = (words[min(count, len(words)) - 1], as_spoken(why), question)
    seen: list[str] = []
    for part in parts:
        if part and part not in seen:
            seen.append(part)
    return Utterance(Role.NOTICE, " ".join(seen))


def say_other_way(expects: Expectation) -> Utterance | None:
    """Offer another way of answering: one digit at a time, or choices by number."""
    if expects.number is not None:
        return say_digits_only()
    if expects.choices and expects.takes_numbered_choice:
        listed = " ".join(
            f"Number {_ORDINALS[position]}: {as_spoken(choice.phrases[0])}."
            for position, choice in enumerate(expects.choices[: len(_ORDINALS)])
        )
        return Utterance(Role.NOTICE, f"Answer by number. {listed}")
    if expects.choices:
        return Utterance(Role.NOTICE, f"The words are: {as_spoken(expects.choices[0].phrases[0])}.")
    return None


def say_digits_only() -> Utterance:
    """Ask for a number one digit at a time."""
    return Utterance(
        Role.NOTICE,
        "Say it one digit at a time, with the word point. As: one five point zero five.",
    )


_ORDINALS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def finding_texts(finding: Finding, values: Mapping[str, Taken]) -> dict[str, Text]:
    """Give a finding's reason, repair and replacement with their values put in."""
    replacement = finding.replacement.text if finding.replacement is not None else ""
    texts = {"reason": finding.reason, "repair": finding.repair, "replacement": replacement}
    return {key: fill(text, values) for key, text in texts.items()}


def say_finding(finding: Finding, values: Mapping[str, Taken]) -> Utterance:
    """Say a finding: the part, what is wrong, what to do, what may be put in."""
    texts = finding_texts(finding, values)
    ear = " ".join(
        t for t in ("Finding.", f"{finding.part}.", *(x.ear for x in texts.values())) if t
    )
    eye = " ".join(
        t for t in ("Finding:", f"{finding.part}.", *(x.eye for x in texts.values())) if t
    )
    return Utterance(Role.FINDING, ear, eye)


def evidence_lines(finding: Finding, state: State, flow: Flow) -> tuple[str, ...]:
    """Give what shows a finding, for the eye: values and answers that were taken."""
    lines = []
    for name in finding.evidence:
        if name in state.values:
            taken = state.values[name]
            lines.append(f"{name.replace('_', ' ')}: {format_for_eye(taken.reading)}")
        elif name in state.answers:
            step = flow.steps[name]
            choice = state.answers[name]
            if isinstance(step, SpokenStep) and choice in step.choices:
                lines.append(as_spoken(step.choices[choice].phrases[0]))
    return tuple(lines)


def say_where(flow: Flow, state: State) -> Utterance:
    """Say where the walk stands: the flow, what is proven, how many answers, what was found."""
    conditions = flow.vocabulary.conditions
    proven = [conditions[n].values[state.conditions[n]] for n in ("power", "capacitor")]
    found = (
        "Found: " + ", ".join(flow.findings[one].part for one in state.findings) + "."
        if state.findings
        else "Nothing found yet."
    )
    stands = f"{proven[0].capitalize()}, {proven[1]}."
    text = f"{flow.title}. {stands} {state.answer} answers taken. {found}"
    return Utterance(Role.NOTICE, text)


def say_how_it_stands(flow: Flow, state: State) -> str:
    """Say what is left open, locked or live, so that nobody walks away from it unknowing."""
    conditions, now = flow.vocabulary.conditions, state.conditions
    left = [
        conditions[name].values[value]
        for name, value in (("lock", "locked"), ("power", "on"), ("panels", "open"))
        if now.get(name) == value
    ]
    if now["power"] not in {"on", "off"}:
        left.append(conditions["power"].values[now["power"]])
    if now.get("panels") == UNSURE:
        left.append("panels not certain")
    return f"As it stands: {', '.join(left)}. Leave it safe." if left else ""


def plain_value(reading: Reading) -> str:
    """Give a reading's digits as a journal keeps them; empty for OL."""
    if isinstance(reading, OverLimit):
        return ""
    return f"{reading.value:f}"


def plain_limit(limit: Decimal | None) -> str:
    """Give a limit's digits as a journal keeps them."""
    return "" if limit is None else f"{limit:f}"


def dual_readings(reading: Reading, second: Quantity | None) -> tuple[Reading, ...]:
    """Give one or both numbers of an answer."""
    return (reading,) if second is None else (reading, second)
