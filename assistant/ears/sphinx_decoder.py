"""One pocketsphinx decoder: its model, front end, searches and what it found.

Facts found by trial (pocketsphinx 5.1.1): front-end keyword arguments are silently overridden by
the model's own `feat.params`, so a file of our own is passed; a grammar with a word that the
dictionary lacks fails as a whole; segment scores come out as powers of the log base, and those of
the best path through the lattice 1024 times too large.
"""

import math
import re
import sys
import tempfile
from collections import OrderedDict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

from assistant.ears.sound import EarsError, Samples, Span
from assistant.ears.weighing import Search

_LOG_BASE = math.log(1.0001)
_LATTICE_SCALE = 1024
_FRAMES_A_SECOND = 100
_SEARCHES_KEPT = 3  # up to 24 MB each; made anew in 0.05 s
_GUESSES = 60
_ALL_BITS = 2**64 - 1
_NARROW_BEAMS = {"beam": 1e-30, "pbeam": 1e-30, "wbeam": 1e-20}
_PRONUNCIATION_NUMBER = re.compile(r"\(\d+\)$")


@dataclass(frozen=True, slots=True)
class Segment:
    """One word, phone or pause in the sound.

    Args:
        text: the word without the number of its pronunciation.
        start: first frame, a hundredth of a second each.
        end: last frame.
        score: log score of the sound against it, in steps of the log base; 0 is best.
    """

    text: str
    start: int
    end: int
    score: float

    @property
    def frames(self) -> int:
        """How many frames it lasts."""
        return self.end - self.start + 1

    @property
    def span(self) -> Span:
        """From where to where it lasts, in seconds."""
        return self.start / _FRAMES_A_SECOND, (self.end + 1) / _FRAMES_A_SECOND

    @property
    def is_word(self) -> bool:
        """Whether it is a word and not a pause, a breath or a null arc of the grammar."""
        return self.text[:1] not in {"<", "(", "[", "+"}


@dataclass(frozen=True, slots=True)
class Ranked:
    """One of the phrases that the sound could be.

    Args:
        words: the phrase.
        behind: how far its log score is behind that of the best one; 0 for that one itself.
    """

    words: str
    behind: float


@dataclass(frozen=True, slots=True)
class Decoded:
    """What one decoder made of an utterance.

    Args:
        segments: the best path in order; empty when none reached the end of the grammar.
        ranking: phrases, best first; each once.
    """

    segments: tuple[Segment, ...] = ()
    ranking: tuple[Ranked, ...] = ()

    @property
    def words(self) -> str:
        """The words of the best path."""
        return " ".join(segment.text for segment in self.segments if segment.is_word)

    @property
    def word_frames(self) -> int:
        """How many frames the words last."""
        return sum(segment.frames for segment in self.segments if segment.is_word)

    @property
    def worst_fit(self) -> float:
        """Log score a frame of the word that fits its sound worst; 0 is best."""
        fits = [segment.score / segment.frames for segment in self.segments if segment.is_word]
        return min(fits, default=-math.inf)

    @property
    def fit(self) -> float:
        """Log score a frame of all words together; 0 is best."""
        words = [segment for segment in self.segments if segment.is_word]
        if not words:
            return -math.inf
        return sum(segment.score for segment in words) / self.word_frames


def model_folder() -> Path:
    """Give the folder of the model that came with the wheel.

    Raises:
        EarsError: when it is not there.
    """
    import pocketsphinx

    folder = Path(pocketsphinx.get_model_path("en-us"))
    if not (folder / "en-us" / "mdef").is_file():
        raise EarsError(
            f"pocketsphinx has no English model in {folder}.", "Install pocketsphinx again."
        )
    return folder


def _front_end(folder: Path, changes: Mapping[str, str]) -> str:
    """Give the model's own front-end settings with some of them changed."""
    lines = (folder / "en-us" / "feat.params").read_text("ascii").splitlines()
    kept = [line for line in lines if line.split()[0].removeprefix("-") not in changes]
    return "\n".join([*kept, *(f"-{name} {value}" for name, value in changes.items())]) + "\n"


class SphinxDecoder:
    """A pocketsphinx decoder with a search for each grammar it has met.

    Args:
        front_end: front-end settings that differ from the model's.
        settings: other pocketsphinx settings.

    Raises:
        EarsError: when the model is missing or cannot be loaded.
    """

    def __init__(
        self,
        front_end: Mapping[str, str] | None = None,
        settings: Mapping[str, object] | None = None,
    ) -> None:
        folder = model_folder()
        with tempfile.TemporaryDirectory(prefix="rungside-") as scratch:
            params = Path(scratch) / "feat.params"
            params.write_text(_front_end(folder, front_end or {}), "ascii")
            self._decoder = self._load(folder, params, settings or {})
        self._searches: OrderedDict[str, None] = OrderedDict()

    @staticmethod
    def _load(folder: Path, params: Path, settings: Mapping[str, object]) -> Any:  # noqa: ANN401
        import pocketsphinx

        try:
            return pocketsphinx.Decoder(
                hmm=str(folder / "en-us"),
                dict=str(folder / "cmudict-en-us.dict"),
                lm=None,
                loglevel="FATAL",
                featparams=str(params),
                **{**_NARROW_BEAMS, **settings},
            )
        except (RuntimeError, ValueError) as error:
            raise EarsError(
                f"pocketsphinx could not load its model from {folder}.",
                "Install pocketsphinx again.",
            ) from error

    def knows(self, word: str) -> bool:
        """Whether there is a pronunciation for the word."""
        return self._decoder.lookup_word(word) is not None

    def knows_all(self, words: Iterable[str]) -> bool:
        """Whether there is a pronunciation for each of the words."""
        return all(map(self.knows, words))

    def learn(self, word: str, phones: str) -> None:
        """Take a pronunciation, as `M EH G OW M Z`, besides those already there.

        Raises:
            EarsError: when a phone is none of the model's.
        """
        name, number = word, 1
        while self.knows(name):
            if self._decoder.lookup_word(name) == phones:
                return
            number += 1
            name = f"{word}({number})"
        try:
            self._decoder.add_word(name, phones, False)
        except RuntimeError as error:
            raise EarsError(
                f"'{phones}' is no pronunciation that pocketsphinx can take for '{word}'.",
                "Write its phones as in its dictionary, as 'M EH G OW M Z'.",
            ) from error

    def prepare(self, search: Search) -> str:
        """Make the grammar of a turn ready and give the name of its search.

        Raises:
            EarsError: when pocketsphinx refuses it, as for a word without a pronunciation.
        """
        name = _name_of(search)
        if name not in self._searches:
            self._add(name, search)
        self._searches[name] = None
        self._searches.move_to_end(name)
        self._forget_oldest()
        return name

    def _add(self, name: str, search: Search) -> None:
        try:
            fsg = self._decoder.create_fsg(name, 0, search.final, search.arcs)
            self._decoder.add_fsg(name, fsg)
        except (RuntimeError, ValueError) as error:
            unknown = sorted(word for word in search.words if not self.knows(word))
            raise EarsError(
                f"pocketsphinx cannot listen for this step; it does not know {unknown}.",
                "Give those words a pronunciation.",
            ) from error

    def forget(self, search: Search) -> None:
        """Let go of a search that will not be wanted again."""
        name = _name_of(search)
        if name in self._searches:
            del self._searches[name]
            self._decoder.remove_search(name)

    def _forget_oldest(self) -> None:
        while len(self._searches) > _SEARCHES_KEPT:
            oldest, _ = self._searches.popitem(last=False)
            self._decoder.remove_search(oldest)

    def decode(self, search: str, samples: Samples) -> Decoded:
        """Find the best path of a search through a whole utterance."""
        decoder = self._decoder
        decoder.activate_search(search)
        decoder.start_utt()
        decoder.process_raw(samples.tobytes(), False, True)
        decoder.end_utt()
        if decoder.hyp() is None:
            return Decoded()
        return Decoded(tuple(_segment(found) for found in decoder.seg()), _ranking(decoder))


def _name_of(search: Search) -> str:
    return f"turn{hash(search) & _ALL_BITS:x}"


def _ranking(decoder: Any) -> tuple[Ranked, ...]:  # noqa: ANN401
    """Give the phrases of the lattice; the same one comes more than once, and so does nothing."""
    found: dict[str, float] = {}
    for guess in islice(decoder.nbest(), _GUESSES):
        if guess is not None and guess.hypstr:
            words = " ".join(_without_number(word) for word in guess.hypstr.split())
            found.setdefault(words, _log(guess.score))
    best = max(found.values(), default=0.0)
    return tuple(Ranked(words, best - score) for words, score in found.items())


def _log(score: float) -> float:
    """Take the log of a score, which a long or very bad stretch of sound has made zero."""
    return math.log(max(score, sys.float_info.min)) / _LOG_BASE


def _without_number(word: str) -> str:
    return _PRONUNCIATION_NUMBER.sub("", word)


def _segment(found: Any) -> Segment:  # noqa: ANN401
    score = _log(found.ascore) / _LATTICE_SCALE
    return Segment(_without_number(found.word), found.start_frame, found.end_frame, score)
