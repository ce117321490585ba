"""Taking an answer: a number asked back or believed, a choice, a caution, a condition."""

from dataclasses import replace

from assistant.flow.conditions import unmet
from assistant.flow.model import AskStep, MeasureStep, NumberStep, SpokenStep, is_hold, value_name
from assistant.quantity import Reading, format_for_eye
from assistant.spoken.meaning import Trouble, Value
from assistant.spoken.phrasing import as_spoken
from assistant.walk import wording
from assistant.walk.doubting import OF_DENIALS, flipping_neighbours, implausible, rival_seconds
from assistant.walk.ends import Heard, Role, Utterance
from assistant.walk.events import Answered, AskedBack, CautionAnswered
from assistant.walk.progress import Progress
from assistant.walk.state import Pending, Turn
from assistant.walk.weighing import in_unit, weigh


class Answering:
    """One answer being taken.

    Args:
        progress: the input on its way.
        heard: what was heard.
    """

    def __init__(self, progress: Progress, heard: Heard) -> None:
        self.progress, self.heard = progress, heard

    def take_number(self, value: Value, *, is_contested: bool = False) -> None:
        """Believe a number, or ask it back where believing a wrong one would change the way.

        Args:
            value: what the words came to.
            is_contested: whether an alternative of the recogniser is no number at all.
        """
        progress = self.progress
        name = progress.state.step
        step = progress.flow.steps[name]
        if not isinstance(step, NumberStep):
            return
        pending = Pending(self.heard.words, value.reading, value.second)
        why = implausible(progress.flow, progress.state, value.reading, value.second)
        if why:
            self._doubt_range(replace(pending, why=why))
        elif value.doubts:
            self._ask_back(replace(pending, why=value.doubts[0]), ())
        else:
            self._weigh_rivals(pending, value, is_contested=is_contested)

    def _doubt_range(self, pending: Pending) -> None:
        """Ask an unlikely number back; the third time ask for it one digit at a time instead."""
        progress = self.progress
        count = progress.count_trouble(Trouble.OUT_OF_RANGE, pending.why)
        if count == wording.OTHER_WAY_AFTER and not progress.state.is_digits_only:
            progress.say(wording.say_trouble(Trouble.OUT_OF_RANGE, count, pending.why, ""))
            progress.state = replace(progress.state, is_digits_only=True)
            progress.say(wording.say_digits_only())
            progress.ask_again()
            return
        self._ask_back(pending, ())

    def _weigh_rivals(self, pending: Pending, value: Value, *, is_contested: bool) -> None:
        # What the recogniser found besides stands with what was heard; the event names only what
        # the words themselves can be mistaken for, so typed and heard words give the same events.
        progress, others = self.progress, self.heard.alternatives
        place = progress.flow, progress.state
        flips = flipping_neighbours(*place, value.reading)
        is_rivalled = bool(flips or flipping_neighbours(*place, value.reading, others))
        if value.second is not None:
            flips = (*flips, *rival_seconds(*place, value.second))
            is_rivalled |= bool(rival_seconds(*place, value.second, others))
        doubt = self.heard.doubt
        if doubt in OF_DENIALS or (doubt and not (is_rivalled or is_contested)):
            self._ask_back(replace(pending, why=doubt), flips)
        elif is_rivalled or is_contested:
            self._ask_back(pending, flips)
        else:
            self._believe(pending, confirmed=False)

    def _ask_back(self, pending: Pending, flips: tuple[Reading, ...]) -> None:
        progress = self.progress
        state = replace(progress.state, turn=Turn.CONFIRM, pending=pending)
        progress.state = state
        step = progress.flow.steps[state.step]
        phrase = ""
        if pending.choice and isinstance(step, SpokenStep):
            phrase = step.choices[pending.choice].phrases[0]
        progress.note(
            AskedBack(
                step=state.step,
                reading=phrase if pending.reading is None else format_for_eye(pending.reading),
                neighbours=tuple(format_for_eye(one) for one in flips),
                why=pending.why or "It could be mistaken for another answer.",
            )
        )
        progress.say_turn(wording.say_ask_back(pending, phrase))

    def confirm(self) -> None:
        """Believe the answer that was asked back."""
        pending = self.progress.state.pending
        if pending is None:
            return
        if pending.reading is None:
            self._take_choice(pending.choice, pending.said)
        else:
            self._believe(pending, confirmed=True)

    def deny(self) -> None:
        """Drop the answer that was asked back and ask for it again."""
        progress = self.progress
        state = progress.state
        denied = state.denied if state.pending is None else state.denied | {state.pending.sense}
        progress.state = replace(state, turn=Turn.ANSWER, pending=None, denied=denied)
        count = progress.count_trouble(Trouble.DENIED, "That was not the answer.")
        progress.say(wording.say_trouble(Trouble.DENIED, count, "", ""))
        progress.ask_again()

    def _believe(self, pending: Pending, *, confirmed: bool) -> None:
        progress = self.progress
        name = progress.state.step
        step = progress.flow.steps[name]
        if not isinstance(step, NumberStep) or pending.reading is None:
            return
        if unmet(step, progress.state.conditions):
            progress.arrive(name)  # it was not asked here, so it is not believed here
            return
        progress.next_answer()
        answers = {one: choice for one, choice in progress.state.answers.items() if one != name}
        progress.state = replace(progress.state, answers=answers, pending=None)
        own = in_unit(pending.reading, step.unit)
        value = value_name(name, step)
        if pending.second is not None:
            self._keep(f"{value}_second", in_unit(pending.second, step.unit), pending, confirmed)
        else:
            progress.forget(f"{value}_second")
        weighed = weigh(progress.flow, progress.state, name, own)
        progress.believe(
            value,
            own,
            weighed,
            origin=_origin(step),
            said=pending.said,
            confirmed=confirmed,
            places=_places(step),
        )
        readings = wording.dual_readings(pending.reading, pending.second)
        progress.say(wording.say_read_back(readings, weighed.deciding))
        progress.leave(weighed.outcome, is_proven=weighed.is_good)

    def _keep(self, value: str, reading: Reading, pending: Pending, confirmed: bool) -> None:
        self.progress.believe(
            value, reading, None, origin="asked", said=pending.said, confirmed=confirmed
        )

    def take_choice(self, choice: str, *, is_contested: bool = False) -> None:
        """Take a named answer, or ask it back where another was heard as likely, or it is faint."""
        if is_contested or self.heard.doubt:
            self._ask_back(Pending(self.heard.words, choice=choice, why=self.heard.doubt), ())
        else:
            self._take_choice(choice, self.heard.words)

    def _take_choice(self, choice: str, said: str) -> None:
        progress = self.progress
        name = progress.state.step
        step = progress.flow.steps[name]
        if not isinstance(step, SpokenStep):
            return
        number = progress.next_answer()
        phrase = step.choices[choice].phrases[0]
        progress.note(
            Answered(
                answer=number,
                step=name,
                choice=choice,
                meaning=phrase,
                said=said,
                is_hold=is_hold(step),
            )
        )
        if isinstance(step, NumberStep):
            value = value_name(name, step)
            progress.forget(value, f"{value}_second")
        state = progress.state
        answers = {**state.answers, name: choice}
        progress.state = replace(state, answers=answers, pending=None)
        shown = as_spoken(phrase)
        progress.say(Utterance(Role.READ_BACK, f"{shown[0].upper()}{shown[1:]}."))
        progress.leave(f"choice.{choice}")

    def take_caution(self) -> None:
        """Take the answer to a caution and go on to the step's next turn."""
        progress = self.progress
        number = progress.next_answer()
        state = progress.state
        progress.note(
            CautionAnswered(
                answer=number, step=state.step, caution=state.subject, said=self.heard.words
            )
        )
        progress.state = replace(state, cautions_left=state.cautions_left[1:], subject="")
        progress.next_turn()

    def take_condition(self) -> None:
        """Take that a condition was made true by hand and go on."""
        progress = self.progress
        progress.next_answer()
        name, _, value = progress.state.subject.partition("=")
        progress.set_conditions({name: value})
        progress.next_turn()


def _origin(step: NumberStep) -> str:
    return "asked" if isinstance(step, AskStep) else "measured"


def _places(step: NumberStep) -> tuple[str, str, str]:
    if not isinstance(step, MeasureStep):
        return ("", "", "")
    return (step.quantity.value, step.from_, step.to or "")
