"""Obeying the standing commands: one small function each, in a table."""

from collections.abc import Callable
from dataclasses import replace

from assistant.flow.model import SpokenStep, is_hold
from assistant.spoken.meaning import Command, CommandKind
from assistant.walk import wording
from assistant.walk.ends import Role, Utterance
from assistant.walk.events import Commanded, Noted, Scratched, Skipped
from assistant.walk.progress import Progress
from assistant.walk.state import State, Turn


def obey(progress: Progress, command: Command) -> None:
    """Obey a standing command; on hold only "go ahead", "stop" and notes mean anything."""
    state = progress.state
    if state.is_held and command.kind not in _WHILE_HELD:
        progress.say(Utterance(Role.HOLD, "On hold. Say: go ahead."))
        return
    progress.note(Commanded(step=state.step, command=command.kind.value, detail=command.detail))
    _OBEYED[command.kind](progress, command)


def _repeat(progress: Progress, command: Command) -> None:
    del command
    for utterance in progress.state.said:
        progress.say(utterance)


def _help(progress: Progress, command: Command) -> None:
    del command
    _say_level(progress, "help")


def _why(progress: Progress, command: Command) -> None:
    del command
    _say_level(progress, "why")


def _say_level(progress: Progress, level: str) -> None:
    """Say a step's help or why; the turn's own words stay what "repeat" says."""
    step = progress.flow.steps.get(progress.state.step)
    # Before its cautions are answered a step does not tell how it is done.
    is_early = level == "help" and progress.state.turn in {Turn.CAUTION, Turn.CONDITION}
    if isinstance(step, SpokenStep) and not is_early:
        progress.say(wording.say_prompt(step, progress.state, level))
    if progress.state.turn is not Turn.ANSWER:
        _repeat(progress, Command(CommandKind.REPEAT))


def _hold(progress: Progress, command: Command) -> None:
    del command
    progress.state = replace(progress.state, is_held=True)
    progress.say(Utterance(Role.HOLD, "On hold. Say: go ahead, when you are back."))


def _go_ahead(progress: Progress, command: Command) -> None:
    if not progress.state.is_held:
        progress.say(Utterance(Role.NOTICE, "I am listening."))
    progress.state = replace(progress.state, is_held=False)
    _repeat(progress, command)


def _scratch(progress: Progress, command: Command) -> None:
    """Take the last answer back, wherever it led."""
    del command
    state = progress.state
    if state.turn in {Turn.SKIP_REASON, Turn.STOP}:
        return_to_turn(progress)
        return
    if state.turn is Turn.CONFIRM:
        progress.state = replace(state, turn=Turn.ANSWER, pending=None)
        progress.say(Utterance(Role.NOTICE, "Dropped."))
        progress.ask_again()
        return
    if state.before is None:
        progress.say(Utterance(Role.NOTICE, "There is nothing to take back."))
        _repeat(progress, Command(CommandKind.REPEAT))
        return
    _go_back(progress, state, state.before)


def _go_back(progress: Progress, state: State, before: State) -> None:
    """Go back to the state before the last answer; what hands did since is not undone by words."""
    progress.note(Scratched(answer=state.answer, step=before.step))
    progress.state = replace(before, taken_names=state.taken_names, troubles={})
    progress.take_back_conditions(state.conditions)
    progress.say(Utterance(Role.NOTICE, "Scratched."))
    if progress.lacking_proofs(before.step):
        progress.arrive(before.step)
        return
    if before.is_digits_only and before.turn is Turn.ANSWER:
        progress.say(wording.say_digits_only())
    progress.resume_turn()


def _skip(progress: Progress, command: Command) -> None:
    """Skip a step that may be skipped, with a reason; cautions and hold points may not."""
    step = progress.flow.steps.get(progress.state.step)
    can = isinstance(step, SpokenStep) and step.skipped is not None and not is_hold(step)
    turn = progress.state.turn
    if can and turn is Turn.SKIP_REASON and not command.detail:
        progress.ask_again()
    elif not can or turn not in {Turn.ANSWER, Turn.CONFIRM, Turn.SKIP_REASON}:
        progress.say(Utterance(Role.NOTICE, "This cannot be skipped."))
        progress.ask_again()
    elif command.detail:
        skip(progress, command.detail)
    else:
        state = replace(progress.state, pending=None, turn=Turn.ANSWER)
        progress.state = replace(state, turn=Turn.SKIP_REASON, interrupted=state, troubles={})
        reasons = progress.flow.vocabulary.skip_reasons.values()
        listed = ", ".join(phrases[0] for phrases in reasons)
        progress.say_turn(Utterance(Role.PROMPT, f"Why skip it? Say one of: {listed}."))


def skip(progress: Progress, reason: str) -> None:
    """Skip the present step for a reason."""
    number = progress.next_answer()
    state = progress.state
    progress.state = replace(
        state, answers={**state.answers, state.step: "skipped"}, pending=None, interrupted=None
    )
    progress.note(Skipped(answer=number, step=state.step, reason=reason))
    progress.say(Utterance(Role.READ_BACK, f"Skipped: {reason}."))
    progress.leave("skipped")


def _note(progress: Progress, command: Command) -> None:
    if command.detail:
        progress.note(Noted(step=progress.state.step, text=command.detail))
        progress.say(Utterance(Role.READ_BACK, "Noted."))
    else:
        progress.say(Utterance(Role.NOTICE, "Say: note, and then the words."))


def _where(progress: Progress, command: Command) -> None:
    progress.say(wording.say_where(progress.flow, progress.state))
    _repeat(progress, command)


def _adjust(progress: Progress, command: Command) -> None:
    """Speech rate and volume are the voice's; the caller hears of it by the event."""
    progress.say(Utterance(Role.NOTICE, f"{command.kind.value.capitalize()}."))
    _repeat(progress, command)


def _stop(progress: Progress, command: Command) -> None:
    del command
    state = progress.state
    if state.turn is Turn.STOP:
        progress.end("stopped", "The technician stopped the walk.")
        return
    progress.state = replace(state, turn=Turn.STOP, interrupted=state, is_held=False, troubles={})
    progress.say_turn(Utterance(Role.PROMPT, "Stop the walk here, for good? Yes or no?"))


def return_to_turn(progress: Progress) -> None:
    """Go back to the turn that "stop" or "skip" interrupted, and ask it again; a hold holds."""
    interrupted = progress.state.interrupted
    if interrupted is not None:
        progress.state = interrupted
    if progress.state.is_held:
        progress.say(Utterance(Role.HOLD, "Still on hold. Say: go ahead, when you are back."))
        return
    progress.say(Utterance(Role.NOTICE, "Going on."))
    if progress.state.turn is Turn.ANSWER:
        progress.ask_again()
    else:
        _repeat(progress, Command(CommandKind.REPEAT))


_WHILE_HELD = frozenset({CommandKind.GO_AHEAD, CommandKind.STOP, CommandKind.NOTE})

_OBEYED: dict[CommandKind, Callable[[Progress, Command], None]] = {
    CommandKind.REPEAT: _repeat,
    CommandKind.BACK: _scratch,
    CommandKind.HELP: _help,
    CommandKind.WHY: _why,
    CommandKind.HOLD: _hold,
    CommandKind.GO_AHEAD: _go_ahead,
    CommandKind.SCRATCH: _scratch,
    CommandKind.SKIP: _skip,
    CommandKind.NOTE: _note,
    CommandKind.WHERE: _where,
    CommandKind.SLOWER: _adjust,
    CommandKind.FASTER: _adjust,
    CommandKind.LOUDER: _adjust,
    CommandKind.QUIETER: _adjust,
    CommandKind.STOP: _stop,
}
