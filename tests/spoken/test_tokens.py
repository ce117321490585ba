"""Text into words."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.spoken.tokens import tokenise


@pytest.mark.parametrize(
    ("text", "tokens"),
    [
        ("Forty-Five, five.", "forty five five"),
        ("17.5", "17.5"),
        ("17.5.", "17.5"),
        ("240V", "240 v"),
        ("2.2kΩ", "2.2 k ohms"),
        ("2.2M", "2.2 meg"),
        ("2.2m", "2.2 m"),
        ("-0.3", "minus 0.3"),
        ("−0.3", "minus 0.3"),  # noqa: RUF001 - a real minus sign
        ("it's -.5", "it's minus .5"),
        ("15-16", "15 16"),
        ("1,200", "1200"),
        ("17,5", "17,5"),
        ("0,500", "0,500"),
        ("1,200,5", "1200,5"),
        ("45/5", "45 / 5"),
        ("O.L.", "o l"),
        ("0L", "ol"),
        ("0 ohms", "0 ohms"),
        ("it’s OK", "it's okay"),  # noqa: RUF001 - as telephones type it
        ("IM", "i'm"),
        ("50%", "50 percent"),
        ("", ""),
        ("?!", ""),
        ("15?!", "15 ?"),
        ("\ufeff15", "15"),
        ("1\u200b5", "1 5"),
        ("\u202e51", "\u202e 51"),
        ("16\b5", "16 | 5"),
        ("1\x00200", "1 | 200"),
        ("1\x015", "1 | 5"),
        ("twenty\nfive", "twenty | five"),
        ("twenty\u2028five", "twenty | five"),
        ("fifteen\nohms", "fifteen ohms"),
        ("\u0661\u0665", "15"),
        ("# a", "# a"),
    ],
)
def test_tokens(text: str, tokens: str) -> None:
    """Each text has one spelling in words."""
    assert tokens == " ".join(tokenise(text))


@pytest.mark.parametrize(
    "piece", ["five ", "five\n", "five?", " ", "\n", ".", "-", "5,", "' a", "((", "minus.", "?"]
)
def test_long_texts_take_their_length(piece: str) -> None:
    """Five times the text takes no more than about five times as long; no pattern backtracks."""
    short, long = (_seconds(piece * times + "!") for times in (4_000, 20_000))
    assert long < 15 * short + 0.05


def _seconds(text: str) -> float:
    tokenise.cache_clear()
    start = time.perf_counter()
    tokenise(text)
    return time.perf_counter() - start


@given(st.text(alphabet="abol0159.,-/ '%kM?!+([\n", max_size=20))
def test_tokens_stay_as_they_are(text: str) -> None:
    """Taking tokens apart again changes nothing, so that they can be joined and parsed anew."""
    tokens = tokenise(text)
    assert tokens == tokenise(" ".join(tokens))
