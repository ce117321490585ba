"""What the ears agree on is given; what one of them doubts is asked; bad fits are nothing."""

import pytest

from assistant.ears.sphinx_decoder import Decoded, Ranked, Segment
from assistant.ears.voting import FAINT, is_settled, vote
from assistant.spoken.meaning import Command, CommandKind, Trouble, Unclear


def ballot(words: str, fit: float = -30.0, **others: float) -> Decoded:
    """Make what an ear heard: each word 20 frames at one fit, other phrases with a distance."""
    segments = [
        Segment(word, 20 * n, 20 * n + 19, 20 * fit) for n, word in enumerate(words.split())
    ]
    ranking = [Ranked(words, 0.0)] if words else []
    ranking += [Ranked(other.replace("_", " "), behind) for other, behind in others.items()]
    return Decoded((Segment("<sil>", 0, 0, -9e9), *segments), tuple(ranking))


def sense(words: str) -> str:
    """Take "oh" and "zero" for the same."""
    return words.replace("oh", "zero")


def test_agreement_is_given_without_alternatives() -> None:
    """Three ears with one phrase leave nothing to ask."""
    found = vote([ballot("one five")] * 3, sense)
    assert ("one five", ()) == (found.words, found.alternatives)


def test_the_phrase_least_behind_in_all_ears_wins() -> None:
    """One ear's favourite loses to what the others rank higher, and becomes an alternative."""
    ballots = [
        ballot("four two", four_eighty=90.0),
        ballot("four eighty", four_two=20.0),
        ballot("four two", four_eighty=300.0),
    ]
    found = vote(ballots, sense)
    assert ("four two", ("four eighty",)) == (found.words, found.alternatives)


@pytest.mark.parametrize(
    ("behind", "expected"), [(199.0, ("fifty",)), (200.0, ("fifty",)), (201.0, ())]
)
def test_nearly_as_likely_is_an_alternative(behind: float, expected: tuple[str, ...]) -> None:
    """A phrase at most 200 behind is asked about where the sound fits well."""
    assert expected == vote([ballot("fifteen", fifty=behind)] * 3, sense).alternatives


@pytest.mark.parametrize(
    ("fit", "expected"), [(-36.9, ()), (-37.0, ()), (-37.1, ("fifty",)), (-44.0, ("fifty",))]
)
def test_a_poor_fit_brings_more_doubt(fit: float, expected: tuple[str, ...]) -> None:
    """Below -37 a frame even a phrase 500 behind is asked about."""
    assert expected == vote([ballot("fifteen", fit, fifty=500.0)] * 3, sense).alternatives


def test_what_means_the_same_is_no_alternative() -> None:
    """Two phrases of one meaning are one; two of another meaning are one alternative."""
    found = vote([ballot("oh five", zero_five=10.0, zero_nine=20.0, oh_nine=30.0)] * 3, sense)
    assert ("zero nine",) == found.alternatives


LIMITS = {2: -59.0, 5: -49.65, 9: -40.0, 12: -40.0}
"""Number of words of 20 frames, and the worst fit that is let pass: -59 + 0.17 (frames - 45)."""


FITS = [(0.01, True, ""), (-0.01, True, FAINT), (-5.99, True, FAINT), (-6.01, False, "")]
"""A fit beside the limit, whether there is an answer, and why it is doubted."""


@pytest.mark.parametrize("count", LIMITS)
@pytest.mark.parametrize(("aside", "is_heard", "doubt"), FITS)
def test_a_bad_fit_is_doubted_and_a_worse_one_no_answer_even_where_all_agree(
    count: int, aside: float, is_heard: bool, doubt: str
) -> None:
    """Sound that fits its words worse than the limit of their length may be something else."""
    found = vote([ballot("five " * count, LIMITS[count] + aside)] * 3, sense)
    assert is_heard == bool(found.words)
    assert is_heard == (not found.why)
    assert doubt == found.doubt


@pytest.mark.parametrize(
    ("kind", "is_heard"),
    [(CommandKind.BACK, False), (CommandKind.STOP, True), (CommandKind.HOLD, True)],
)
def test_a_command_must_be_heard_well_unless_it_is_the_safe_one(
    kind: CommandKind, is_heard: bool
) -> None:
    """What fits badly may stop or hold the walk, and do nothing else."""
    found = vote([ballot("back there", LIMITS[2] - 1)] * 3, lambda _: Command(kind))
    assert is_heard == bool(found.words)


def test_what_means_nothing_here_wins_only_where_it_is_much_likelier() -> None:
    """A phrase that the turn cannot take has a price of 250, and a command one of 60."""
    meanings: dict[str, object] = {
        "hot": Unclear(Trouble.NOT_UNDERSTOOD, ""),
        "back": Command(CommandKind.BACK),
    }

    def weighed(words: str) -> object:
        return meanings.get(words, words)

    for behind, expected in ((249.0, "five"), (251.0, "hot")):
        assert expected == vote([ballot("hot", five=behind)] * 3, weighed).words
    for behind, expected in ((59.0, "five"), (61.0, "back")):
        assert expected == vote([ballot("back", five=behind)] * 3, weighed).words


@pytest.mark.parametrize(
    ("words", "worst", "doubt"),
    [("five", -94.9, ""), ("five", -95.1, FAINT), ("nine", -63.9, ""), ("nine", -64.1, FAINT)],
)
def test_a_bad_word_weighs_more_where_they_disagree(words: str, worst: float, doubt: str) -> None:
    """One word may fit as badly as -95 where all ears agree, and -64 where one hears otherwise."""
    ballots = [ballot(f"one two three {last}", -20.0) for last in ("five", "five", words)]
    bad = Segment("oh", 200, 203, 4 * worst)
    ballots = [Decoded((*each.segments, bad), each.ranking) for each in ballots]
    endings = [Ranked(f"{each.ranking[0].words} oh", 0.0) for each in ballots]
    voted = [Decoded(each.segments, (end,)) for each, end in zip(ballots, endings, strict=True)]
    assert doubt == vote(voted, sense).doubt


def test_one_word_that_does_not_fit_is_enough() -> None:
    """A single bad word in a good phrase makes it no answer."""
    good = ballot("one five two three four six seven eight", -20.0)
    bad = Segment("oh", 200, 205, 6 * -114.0)
    spoilt = Decoded((*good.segments, bad), (Ranked("one five two three four six seven oh", 0.0),))
    assert vote([spoilt] * 3, sense).words == ""


@pytest.mark.parametrize("count", [0, 1, 3])
def test_ears_that_hear_nothing_give_nothing(count: int) -> None:
    """No ballot, or empty ones, are no words and say why."""
    found = vote([Decoded()] * count, sense)
    assert ("", ()) == (found.words, found.alternatives)
    assert found.why.endswith(".")


def test_a_deaf_ear_does_not_silence_the_others() -> None:
    """Where one ear finds no path the others' words stand."""
    found = vote([ballot("one five"), Decoded(), ballot("one five")], sense)
    assert ("one five", ()) == (found.words, found.alternatives)


SAID = ballot("one five").fit


@pytest.mark.parametrize(("worse", "others"), [(11.9, ("one nine",)), (12.1, ())])
def test_ears_that_the_voice_does_not_suit_are_not_counted(
    worse: float, others: tuple[str, ...]
) -> None:
    """An ear whose whole fits worse by more than 12 than the best one's has no say."""
    ballots = [*[ballot("one five")] * 3, ballot("one nine", SAID - worse)]
    assert others == vote(ballots, sense).alternatives


def test_one_or_two_ears_alone_are_never_counted_on() -> None:
    """The three best have their say however badly the voice suits them."""
    ballots = [ballot("one five", -20.0), ballot("one nine", -44.0), ballot("ten", -58.0)]
    found = vote(ballots, sense)
    assert {"one five", "one nine", "ten"} == {found.words, *found.alternatives}


SETTLED = {
    "agreed": ([ballot("five")] * 3, True),
    "same sense": ([ballot("oh five"), ballot("zero five")], True),
    "split": ([ballot("five"), ballot("nine")], False),
    "a deaf ear": ([ballot("five"), Decoded()], False),
    "all deaf": ([Decoded(), Decoded()], False),
    "something near": ([ballot("five", nine=100.0)] * 3, False),
    "something far": ([ballot("five", nine=400.0)] * 3, True),
    "a poor fit": ([ballot("five", -37.1)] * 3, False),
    "none": ([], False),
}


@pytest.mark.parametrize("case", SETTLED)
def test_further_ears_are_asked_unless_it_is_settled(case: str) -> None:
    """Only full agreement, a good fit and nothing near spare the others."""
    ballots, expected = SETTLED[case]
    assert expected == is_settled(ballots, sense)
