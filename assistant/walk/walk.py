"""The walk itself: a flow, a state and one thing heard give the next state, events and words.

Pure: nothing here reads a clock, makes a sound or touches a file. `Walk` holds no state of a walk;
the caller keeps the `State` and hands it back, so a replay is exact.
"""

from dataclasses import dataclass, replace

from assistant.flow.conditions import can_prove, first_conditions
from assistant.flow.linked import Flow
from assistant.flow.model import is_hold
from assistant.spoken.commands import is_weak_yes
from assistant.spoken.decision import SAY_YES_OR_NO
from assistant.spoken.meaning import (
    Command,
    Expectation,
    Meaning,
    Picked,
    Trouble,
    Unclear,
    Value,
    YesNo,
)
from assistant.spoken.understanding import understand
from assistant.walk import commands, wording
from assistant.walk.answering import Answering
from assistant.walk.doubting import impossible_rating, minding_denials
from assistant.walk.ends import Heard, Role, Silence, Utterance
from assistant.walk.events import AnyEvent, Began, HeardWords, Resumed
from assistant.walk.expecting import expectation
from assistant.walk.machine import FlowMachine
from assistant.walk.progress import Progress
from assistant.walk.state import State, Turn

_WITHIN = "/"
"""Stands between an include's step and the steps inside it, as `safe/opened`."""


@dataclass(frozen=True, slots=True)
class Result:
    """What one input came to.

    Args:
        state: where the walk stands now.
        events: what happened, in order; to be on disk before anything is said.
        utterances: what to say, in order.
    """

    state: State
    events: tuple[AnyEvent, ...]
    utterances: tuple[Utterance, ...]


class Walk:
    """A flow that can be walked.

    Args:
        flow: the flow.
    """

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self._machine = FlowMachine(flow)
        self._proving = [
            name for name, step in flow.steps.items() if can_prove(flow.vocabulary, step)
        ]

    def begin(self, technician: str = "", unit: str = "", program: str = "") -> Result:
        """Begin: the first words, at the flow's start, with nothing proven."""
        flow = self.flow
        state = State(flow.start, Turn.ANSWER, first_conditions(flow.vocabulary))
        progress = Progress(flow, self._machine, state)
        progress.note(
            Began(
                flow=flow.id,
                title=flow.title,
                edition=flow.edition,
                digest=flow.digest,
                technician=technician,
                unit=unit,
                program=program,
            )
        )
        progress.arrive(flow.start)
        return _result(progress)

    def expectation(self, state: State) -> Expectation:
        """Give what the present turn can be answered with."""
        return expectation(self.flow, state)

    def hear(self, state: State, sound: Heard | Silence) -> Result:
        """Take one thing heard.

        Args:
            state: where the walk stands.
            sound: what was heard, or that nothing was.

        Returns:
            The next state with events and words. A walk that is over hears nothing more.
        """
        progress = Progress(self.flow, self._machine, state)
        if state.is_over:
            return _result(progress)
        progress.note(_heard_event(state, sound))
        if isinstance(sound, Silence):
            if not state.is_held:
                _trouble(progress, Unclear(Trouble.SILENCE, ""))
            return _result(progress)
        expects = self.expectation(state)
        if state.turn is Turn.ANSWER:
            sound = minding_denials(sound, expects, state.denied)
        self._take(progress, understand(sound.words, expects), sound)
        return _result(progress)

    def go_on(self, state: State) -> Result:
        """Go on after a break in which nobody saw what was done to the unit.

        Values and findings stand. Proofs do not, and what hands made true is unsure; the step's
        cautions are said again, an answer that was being asked back is asked anew, a hold is over.
        Inside an include that proves the unit dead or brings power back, that begins anew.

        Args:
            state: where the walk stood.

        Returns:
            The next state with events and words; of a walk that is over, nothing.
        """
        progress = Progress(self.flow, self._machine, state)
        if state.is_over:
            return _result(progress)
        is_touched = state.conditions != first_conditions(self.flow.vocabulary)
        step, waiting = self._stood_at(state)
        progress.state = replace(
            state, step=step, resume_at=waiting, pending=None, interrupted=None, is_held=False
        )
        progress.note(Resumed(step=step))
        progress.doubt_conditions()
        again = " What was proven before is proven again where it is needed." if is_touched else ""
        progress.say(Utterance(Role.NOTICE, f"Going on.{again}"))
        progress.arrive(step)
        return _result(progress)

    def _stood_at(self, state: State) -> tuple[str, tuple[str, ...]]:
        """Give the step to go on at, and the steps that wait for their proofs.

        Half a proof is none: inside an include that proves something, it is the include's first.
        """
        parts = state.step.split(_WITHIN)
        for place in range(1, len(parts)):
            include = _WITHIN.join(parts[:place])
            inside = include + _WITHIN
            if any(name.startswith(inside) for name in self._proving):
                waiting = (one for one in state.resume_at if not one.startswith(inside))
                return include, tuple(waiting)
        return state.step, state.resume_at

    def _take(self, progress: Progress, meaning: Meaning, sound: Heard) -> None:
        state = progress.state
        is_contested = self._is_contested(state, meaning, sound)
        if state.is_held and (is_contested or not isinstance(meaning, Command)):
            progress.say(Utterance(Role.HOLD, "On hold. Say: go ahead."))
        elif is_contested and not self._can_be_asked_back(state, meaning):
            _trouble(progress, Unclear(Trouble.NOT_UNDERSTOOD, "I heard two different things."))
        elif isinstance(meaning, Command):
            commands.obey(progress, meaning)
        elif isinstance(meaning, Unclear):
            _trouble(progress, meaning)
        else:
            _ANSWERS[state.turn](Answering(progress, sound), meaning, is_contested)

    def _is_contested(self, state: State, meaning: Meaning, sound: Heard) -> bool:
        """Whether the recogniser found another answer as likely.

        Numbers against numbers are weighed with the other neighbours of the number. A no that may
        have been a yes only asks again, so it stands.
        """
        if isinstance(meaning, Unclear) or (state.turn is Turn.CONFIRM and meaning == YesNo(False)):
            return False
        others = [understand(words, self.expectation(state)) for words in sound.alternatives]
        return any(
            other != meaning
            and not isinstance(other, Unclear)
            and not (isinstance(other, Value) and isinstance(meaning, Value))
            for other in others
        )

    def _can_be_asked_back(self, state: State, meaning: Meaning) -> bool:
        """Whether a yes may settle it; never a caution or a hold point, which name the state."""
        is_answer = state.turn is Turn.ANSWER and isinstance(meaning, Value | Picked)
        return is_answer and not is_hold(self.flow.steps[state.step])


def _result(progress: Progress) -> Result:
    return Result(progress.state, tuple(progress.events), tuple(progress.utterances))


def _heard_event(state: State, sound: Heard | Silence) -> HeardWords:
    phase = "held" if state.is_held else state.turn.value
    if isinstance(sound, Silence):
        return HeardWords(
            step=state.step, phase=phase, words="", source=sound.source, is_silence=True
        )
    return HeardWords(
        step=state.step,
        phase=phase,
        words=sound.words,
        alternatives=sound.alternatives,
        source=sound.source,
        clip=sound.clip,
        doubt=sound.doubt,
    )


def _trouble(progress: Progress, unclear: Unclear) -> None:
    """Count the trouble, say it, and ask again; after the third, another way of asking."""
    count = progress.count_trouble(unclear.trouble, unclear.why)
    progress.say(wording.say_trouble(unclear.trouble, count, unclear.why, unclear.question))
    if unclear.trouble is Trouble.SILENCE and count >= wording.OTHER_WAY_AFTER:
        return
    if count >= wording.OTHER_WAY_AFTER:
        offer_other_way(progress)
    progress.ask_again(count)


def _offer_after_denial(progress: Progress) -> None:
    """Ask for a denied number digit by digit at once: said the same way it is misheard again."""
    is_number = expectation(progress.flow, progress.state).number is not None
    if is_number or progress.state.troubles[Trouble.DENIED] >= wording.OTHER_WAY_AFTER:
        offer_other_way(progress)


def offer_other_way(progress: Progress) -> None:
    """Change to digits one at a time, or to choices by number, where the turn allows it."""
    state = progress.state
    expects = expectation(progress.flow, state)
    other = wording.say_other_way(expects)
    if other is not None:
        progress.say(other)
    if state.turn is Turn.ANSWER and expects.number is not None:
        progress.state = replace(progress.state, is_digits_only=True)


def _answer(answering: Answering, meaning: Meaning, is_contested: bool) -> None:
    if isinstance(meaning, Value):
        progress = answering.progress
        place = progress.flow, progress.state
        why = impossible_rating(*place, meaning.reading, meaning.second)
        if why:
            _trouble(progress, Unclear(Trouble.OUT_OF_RANGE, why))
            return
        answering.take_number(meaning, is_contested=is_contested)
    elif isinstance(meaning, Picked):
        answering.take_choice(meaning.choice, is_contested=is_contested)


def _caution(answering: Answering, meaning: Meaning, _: bool) -> None:
    if isinstance(meaning, Picked):
        answering.take_caution()


def _condition(answering: Answering, meaning: Meaning, _: bool) -> None:
    if isinstance(meaning, Picked):
        answering.take_condition()


def _confirm(answering: Answering, meaning: Meaning, _: bool) -> None:
    if isinstance(meaning, YesNo):
        heard = answering.heard
        if meaning.is_yes and heard.doubt and is_weak_yes(heard.words):
            _trouble(answering.progress, Unclear(Trouble.NOT_UNDERSTOOD, SAY_YES_OR_NO))
        elif meaning.is_yes:
            answering.confirm()
        else:
            answering.deny()
            _offer_after_denial(answering.progress)


def _skip_reason(answering: Answering, meaning: Meaning, _: bool) -> None:
    if isinstance(meaning, Picked):
        phrase = answering.progress.flow.vocabulary.skip_reasons[meaning.choice][0]
        commands.skip(answering.progress, phrase)


def _stop(answering: Answering, meaning: Meaning, _: bool) -> None:
    if isinstance(meaning, YesNo):
        if meaning.is_yes:
            answering.progress.end("stopped", "The technician stopped the walk.")
        else:
            commands.return_to_turn(answering.progress)


_ANSWERS = {
    Turn.ANSWER: _answer,
    Turn.CAUTION: _caution,
    Turn.CONDITION: _condition,
    Turn.CONFIRM: _confirm,
    Turn.SKIP_REASON: _skip_reason,
    Turn.STOP: _stop,
}
