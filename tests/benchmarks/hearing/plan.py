"""Who says what, and in which conditions: the whole corpus on paper, from seeds alone."""

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from hashlib import sha256

from human_digits import HELD_OUT_SPEAKERS, TUNING_SPEAKERS, digits_drawn, words_of
from mixing import CLEAN, HEADSET, WIDE, Recipe
from noises import BABBLE, OWN_VOICE
from phrases import HELD_OUT, TUNING, Phrase, Truth, broken_numbers, hash_of, phrases
from rooms import FAR, NEAR
from talk import ALL_TALK, PROMPTS
from voice_table import OWN_VOICE as OWN_SPEAKER
from voice_table import VOICES, Voice

SNRS: tuple[float | None, ...] = (None, 20.0, 10.0, 5.0, 0.0)
_KINDS: dict[str, dict[str, int]] = {
    TUNING: {"blower": 5, "compressor": 4, BABBLE: 1, OWN_VOICE: 1},
    HELD_OUT: {"blower": 4, "compressor": 3, "blade_pass": 3, "wind": 2, BABBLE: 1, OWN_VOICE: 1},
}
"""How often each noise is drawn against the others. Blade pass and wind are never in the tuning
part, and no seed is in both. Voices are few because endpointing does not end in them, so that one
trial costs as much as fifty others."""

_FAR_SHARE, _HEADSET_SHARE = 0.3, 0.4
_SPEEDS, _PITCHES = (0.85, 0.95, 1.0, 1.1, 1.25), (0.94, 1.0, 1.0, 1.06)
_READINGS = {TUNING: 130, HELD_OUT: 260}
_OTHERS = {TUNING: 36, HELD_OUT: 60}
_A_VOICE, _BROKEN_A_VOICE = {TUNING: 60, HELD_OUT: 100}, 10
_OF_SLOW, _BROKEN_OF_SLOW = 50, 5
"""How many phrases each voice says; the kokoro voices take over a second to render each."""

_HUMAN_READINGS = 60
YES = (*["yes"] * 7, "yeah", "yep", "correct")
NO = (*["no"] * 7, "nope", "negative", "wrong")
"""The walk ends what it asks back in "Yes or no?", so seven in ten say just that."""
STAND_INS = {TUNING: "joe", HELD_OUT: "kokoro:jm_kumo"}
"""Who says yes and no for the human speakers, who recorded digits only."""


@dataclass(frozen=True, slots=True)
class Said:
    """One stretch of dry speech.

    Args:
        voice: of the table, or `human:NAME`.
        text: what is said.
        speed: 1 is the voice's own.
        pitch: 1 is the voice's own.
        take: which joining of human recordings; 0 for a voice of the table.
    """

    voice: str
    text: str
    speed: float = 1.0
    pitch: float = 1.0
    take: int = 0

    @property
    def file(self) -> str:
        """The name of its file below `dry`."""
        mark = sha256(f"{self.text}|{self.speed}|{self.pitch}|{self.take}".encode()).hexdigest()
        return f"{self.voice.replace(':', '_')}/{mark[:12]}.wav"


@dataclass(frozen=True, slots=True)
class Utterance:
    """One answer of one voice, with how it confirms, denies and says it again.

    Args:
        id: unique in the corpus.
        part: `tuning` or `held_out`.
        kind: `natural`, `synthetic` or `human`.
        voice: whose.
        phrase: what is said and meant.
        parts: the speech: one stretch, or two with a pause between.
        pause: seconds between two stretches.
        yes: how this voice says yes.
        no: how it says no.
        clear: how it says the answer again; None: as before.
    """

    id: str
    part: str
    kind: str
    voice: str
    phrase: Phrase
    parts: tuple[Said, ...]
    pause: float
    yes: Said
    no: Said
    clear: Said | None

    @property
    def stretches(self) -> tuple[Said, ...]:
        """Every stretch of speech that must be rendered for it."""
        again = () if self.clear is None else (self.clear,)
        return (*self.parts, self.yes, self.no, *again)


def _utterance(voice: Voice, number: int, phrase: Phrase, said: tuple[str, ...]) -> Utterance:
    chance = random.Random(f"rungside {voice.name} {number}")  # noqa: S311 - a sample
    speed, pitch = chance.choice(_SPEEDS), chance.choice(_PITCHES)
    yes, no = (Said(voice.name, chance.choice(words), 1.0, pitch) for words in (YES, NO))
    says_new = phrase.clear not in {"", phrase.words}
    return Utterance(
        id=f"{voice.part}-{voice.name}-{number:03}",
        part=voice.part,
        kind=voice.kind,
        voice=voice.name,
        phrase=phrase,
        parts=tuple(Said(voice.name, text, speed, pitch) for text in said),
        pause=0.0,
        yes=yes,
        no=no,
        clear=Said(voice.name, phrase.clear, 1.0, pitch) if says_new else None,
    )


def _spoken(part: str) -> Iterator[Utterance]:
    known = phrases(part, _READINGS[part], _OTHERS[part])
    broken = broken_numbers(part, _BROKEN_A_VOICE * 3)
    for voice in (one for one in VOICES if one.part == part):
        chance = random.Random(f"rungside phrases {voice.name}")  # noqa: S311 - a sample
        is_slow = voice.name.startswith("kokoro")
        whole = _OF_SLOW if is_slow else _A_VOICE[part]
        for number, phrase in enumerate(chance.sample(known, whole)):
            yield _utterance(voice, number, phrase, (phrase.words,))
        split = chance.sample(broken, _BROKEN_OF_SLOW if is_slow else _BROKEN_A_VOICE)
        for number, one in enumerate(split, whole):
            phrase = replace(one.phrase, style="broken")
            said = _utterance(voice, number, phrase, (one.before, one.behind))
            yield replace(said, pause=one.pause)


def _human(part: str) -> Iterator[Utterance]:
    for speaker in TUNING_SPEAKERS if part == TUNING else HELD_OUT_SPEAKERS:
        chance = random.Random(f"rungside human {speaker}")  # noqa: S311 - a sample
        for number in range(_HUMAN_READINGS):
            digits = digits_drawn(chance)
            voice, words = f"human:{speaker}", words_of(digits)
            phrase = Phrase(words, "ohm", Truth(digits, "ohm"), "digits", words)
            yield Utterance(
                id=f"{part}-{voice}-{number:03}",
                part=part,
                kind="human",
                voice=voice,
                phrase=phrase,
                parts=(Said(voice, digits, take=2 * number + 1),),
                pause=0.0,
                yes=Said(STAND_INS[part], chance.choice(YES)),
                no=Said(STAND_INS[part], chance.choice(NO)),
                clear=Said(voice, digits, take=2 * number + 2),
            )


def utterances(part: str, *, has_human: bool) -> list[Utterance]:
    """Give all utterances of one part.

    Args:
        part: `tuning` or `held_out`.
        has_human: whether human recordings are there.
    """
    return [*_spoken(part), *(_human(part) if has_human else ())]


def recipes(utterance: Utterance) -> list[Recipe]:
    """Give the conditions of an utterance: every ratio, the rest being the same in each.

    So a curve over the ratio compares the same words, voice, noise, distance and band.
    """
    chance = random.Random(f"rungside condition {utterance.id}")  # noqa: S311 - a sample
    weights = _KINDS[utterance.part]
    noise = chance.choices(list(weights), list(weights.values()))[0]
    distance = FAR if chance.random() < _FAR_SHARE else NEAR
    band = HEADSET if chance.random() < _HEADSET_SHARE else WIDE
    seed = hash_of(utterance.id) % 2**31
    ratios = SNRS if utterance.phrase.style != "broken" else SNRS[:3]
    return [Recipe(CLEAN if snr is None else noise, snr, distance, band, seed) for snr in ratios]


def talkers(part: str) -> list[Said]:
    """Give the talk that is no answer: every sentence, each by two voices of the part."""
    names = [voice.name for voice in VOICES if voice.part == part]
    return [
        Said(names[(at + shift * 3) % len(names)], text)
        for at, text in enumerate(ALL_TALK)
        for shift in range(2)
    ]


def prompts() -> list[Said]:
    """Give what the tool's own voice says when it leaks back."""
    return [Said(OWN_SPEAKER, text) for text in PROMPTS]
