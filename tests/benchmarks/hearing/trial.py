"""One trial: an answer is said, and whatever is asked about it is answered by the same voice."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path
from typing import TypeAlias

from build_corpus import Surroundings, joined_parts
from loudness import Wave
from mixing import Recipe, mix, to_samples
from phrases import place_named
from scoring import Next, Outcome, matches, next_move, reading_of, right_after
from sounds import read_samples, read_wave
from streaming import Streamed, stream

from assistant.ears.listening import Listener
from assistant.ears.recogniser import Recogniser
from assistant.ears.sound import Samples
from assistant.quantity import Quantity
from assistant.spoken.meaning import Expectation, Meaning, Picked, Value, sense_of
from assistant.walk.hearing import Bench, weigh_heard

Line = Mapping[str, object]
"""A line of the manifest."""

Hearing: TypeAlias = Callable[[Samples, Expectation, Listener], Streamed]
"""How a recording is heard."""

_CONFIRMS = 2
_ANSWERS = 3
_WORDS_A_SECOND = 2.6


@dataclass(slots=True)
class Trial:
    """What one trial came to, as it goes on.

    Args:
        outcome: how it ended.
        how: for a wrong one, how it was let in.
        heard: the words of every turn.
        turns: how often the technician spoke.
        seconds: from the first sound to the end, the tool's questions included.
        commands: standing commands that were heard and not said; they cost a turn and no value.
        first: the first turn's sound.
    """

    outcome: Outcome = Outcome.REFUSED
    how: str = ""
    heard: list[str] = field(default_factory=list)
    turns: int = 0
    seconds: float = 0.0
    commands: list[str] = field(default_factory=list)
    first: Streamed | None = None


class Room:
    """One technician in one place: says what a line of the manifest tells, again and again.

    Args:
        corpus: the folder.
        line: of the manifest.
        around: what voice-like noises are made of.
        recogniser: who listens there.

    Attributes:
        listener: what hears all that is said there.
    """

    def __init__(
        self, corpus: Path, line: Line, around: Surroundings, recogniser: Recogniser
    ) -> None:
        self.listener = Listener(recogniser, source="bench")
        self._corpus, self._line, self._around = corpus, line, around
        snr = line["snr"]
        self._recipe = Recipe(
            str(line["noise"]),
            None if snr is None else float(str(snr)),
            str(line["distance"]),
            str(line["band"]),
            int(str(line["seed"])),
        )
        self._said = 0

    def answer(self) -> Samples:
        """Give the recording of the answer itself."""
        kept = self._corpus / str(self._line["file"])
        return read_samples(kept) if kept.exists() else self._mixed(self._dry(), self._recipe)

    def say(self, what: str) -> Samples:
        """Say `yes`, `no` or `clear` in the same place, with other noise of the same kind.

        An answer that has no clearer way is said again as it was.
        """
        self._said += 1
        file = str(self._line[what])
        dry = read_wave(self._corpus / "dry" / file) if file else self._dry()
        return self._mixed(dry, replace(self._recipe, seed=self._recipe.seed + self._said))

    def _mixed(self, dry: Wave, recipe: Recipe) -> Samples:
        said = self._around.of(recipe.noise, str(self._line["part"]))
        return to_samples(mix(dry, recipe, said))

    def _dry(self) -> Wave:
        parts = self._line["parts"]
        assert isinstance(parts, list)
        return joined_parts(self._corpus, parts, float(str(self._line["pause"])))


class Table:
    """Where trials are heard with one recogniser.

    Args:
        corpus: the folder.
        recogniser: who listens.
        hearing: `streaming.stream`, or `streaming.whole` for files.
    """

    def __init__(self, corpus: Path, recogniser: Recogniser, hearing: Hearing = stream) -> None:
        self._corpus, self._recogniser, self._hearing = corpus, recogniser, hearing
        self._around = Surroundings(corpus)

    def run(self, line: Line) -> Trial:
        """Say the answer, then whatever the tool asks, until it has taken something or given up."""
        room, trial = Room(self._corpus, line, self._around, self._recogniser), Trial()
        place = place_named(str(line["place"]))
        truth = line["truth"]
        assert isinstance(truth, Mapping)
        samples = room.answer()
        for _ in range(_ANSWERS):
            record = self._hear(room, samples, place, trial)
            move = next_move(record, truth)
            if record["command"] and not matches(record, truth):
                trial.commands.append(str(record["command"]))
                move = Next.SAY_AGAIN
            if move is Next.NOTHING:
                return self._end(trial, is_right=matches(record, truth), how="believed")
            trial.seconds += len(str(record["question"] or record["why"]).split()) / _WORDS_A_SECOND
            if move is not Next.SAY_AGAIN:
                taken = self._confirmed(room, trial, is_yes=move is Next.CONFIRM)
                if taken:
                    return self._end(trial, is_right=move is Next.CONFIRM, how="confirmed")
                if taken is None:
                    return trial
                place = _digits_only(_denied(place, record))
            samples = room.say("clear")
        return trial

    def _hear(self, room: Room, samples: Samples, place: Bench, trial: Trial) -> dict[str, object]:
        streamed = self._hearing(samples, place.expectation, room.listener)
        trial.first = trial.first or streamed
        trial.turns += 1
        trial.seconds += streamed.ended + streamed.lag
        record = weigh_heard(streamed.heard, place, is_sound=True)
        trial.heard.append(streamed.heard.words)
        return record

    def _confirmed(self, room: Room, trial: Trial, *, is_yes: bool) -> bool | None:
        """Say yes or no; give what was heard, None where it was neither, twice."""
        for _ in range(_CONFIRMS):
            place = Bench(Expectation(takes_yes_no=True))
            record = self._hear(room, room.say("yes" if is_yes else "no"), place, trial)
            if record["decision"] == "accept" and record["value"] in {"yes", "no"}:
                return record["value"] == "yes"
        return None

    @staticmethod
    def _end(trial: Trial, *, is_right: bool, how: str) -> Trial:
        trial.outcome = right_after(trial.turns - 1) if is_right else Outcome.WRONG
        trial.how = "" if is_right else how if trial.turns == 1 or how == "confirmed" else "again"
        return trial


def _denied(place: Bench, record: dict[str, object]) -> Bench:
    """Let it be known that a number or a choice was denied."""
    reading, second = reading_of(record), record["second"]
    if reading is None:
        meaning: Meaning = Picked(str(record["value"]))
    else:
        also = None if second is None else Quantity(Decimal(str(second)), reading.unit)
        meaning = Value(reading, also)
    return replace(place, denied=place.denied | {sense_of(meaning)})


def _digits_only(place: Bench) -> Bench:
    if place.expectation.number is None:
        return place
    return replace(place, expectation=replace(place.expectation, digits_only=True))
