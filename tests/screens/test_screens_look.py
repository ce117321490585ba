"""Every pair of colours that meets on a screen is far enough apart, in every theme.

Outside: WCAG 2.1 gives black on white as 21:1; #767676 on white as the lightest grey that reaches
4.5:1 and #777777 as one that does not (both widely published, from memory). The matrices of colour
blindness are those of Machado, Oliveira and Fernandes (2009), severity 1.0, from memory.
"""

import pytest

from assistant.screens.contrast import MARK_RATIO, TEXT_RATIO, contrast
from assistant.screens.look import PALETTES, PURPOSES, variables

GROUNDS = ("ground", "panel")
READ = ("text", "faint", "accent")
MARKS = ("line", "accent", "good-ground", "marginal-ground", "fail-ground")

DEUTERANOPIA = (
    (0.367322, 0.860646, -0.227968),
    (0.280085, 0.672501, 0.047413),
    (-0.011820, 0.042940, 0.968881),
)
PROTANOPIA = (
    (0.152286, 1.052583, -0.204868),
    (0.114503, 0.786281, 0.099216),
    (-0.003882, -0.048116, 1.051998),
)


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [("#000000", "#ffffff", 21.0), ("#ffffff", "#ffffff", 1.0), ("#777777", "#ffffff", 4.48)],
)
def test_contrast_is_the_published_figure(one: str, other: str, expected: float) -> None:
    """The ratio of two colours is WCAG's, whichever comes first."""
    assert expected == pytest.approx(contrast(one, other), abs=0.005)
    assert contrast(other, one) == contrast(one, other)


def test_the_limit_of_the_lesser_criterion_lies_where_it_is_published() -> None:
    """#767676 on white reaches 4.5:1 and #777777 does not."""
    assert contrast("#777777", "#ffffff") < 4.5 <= contrast("#767676", "#ffffff")


@pytest.mark.parametrize("theme", PALETTES)
def test_text_holds_seven_to_one(theme: str) -> None:
    """What is read stands 7:1 from what is behind it: on both grounds, and in every block."""
    colours = variables(PALETTES[theme])
    pairs = [(text, ground) for text in READ for ground in GROUNDS]
    pairs += [(purpose, f"{purpose}-ground") for purpose in PURPOSES]
    pairs += [("text", "chosen"), ("ground", "text")]
    found = {pair: round(contrast(colours[pair[0]], colours[pair[1]]), 2) for pair in pairs}
    assert {pair: ratio for pair, ratio in found.items() if ratio < TEXT_RATIO} == {}


@pytest.mark.parametrize("theme", PALETTES)
def test_marks_hold_three_to_one(theme: str) -> None:
    """Lines, focus marks and the edges of blocks stand 3:1 from both grounds.

    A block whose own ground is too near (yellow on white) is no mark: its word is. It is let off
    only where its text reaches 7:1 on it, which the test above holds.
    """
    colours = variables(PALETTES[theme])
    let_off = {("marginal-ground", "ground"), ("marginal-ground", "panel")}
    let_off = let_off if theme == "day-safe" else set()
    pairs = [(mark, ground) for mark in MARKS for ground in GROUNDS]
    found = {
        pair: round(contrast(colours[pair[0]], colours[pair[1]]), 2)
        for pair in pairs
        if pair not in let_off
    }
    assert {pair: ratio for pair, ratio in found.items() if ratio < MARK_RATIO} == {}


@pytest.mark.parametrize("theme", PALETTES)
@pytest.mark.parametrize("ground", GROUNDS)
def test_a_caution_has_an_edge(theme: str, ground: str) -> None:
    """Its line stands 3:1 from its own ground, and line or ground 3:1 from what is around it."""
    colours = variables(PALETTES[theme])
    assert contrast(colours["caution-line"], colours["caution-ground"]) >= MARK_RATIO
    edges = [contrast(colours[f"caution-{part}"], colours[ground]) for part in ("line", "ground")]
    assert max(edges) >= MARK_RATIO


@pytest.mark.parametrize("theme", [name for name in PALETTES if name.endswith("-safe")])
@pytest.mark.parametrize("matrix", [DEUTERANOPIA, PROTANOPIA], ids=["deutan", "protan"])
def test_safe_verdicts_stay_apart_without_red_or_green(
    theme: str, matrix: tuple[tuple[float, ...], ...]
) -> None:
    """Pass, marginal and fail differ by at least 60 of 255 in some channel to such an eye."""
    colours = variables(PALETTES[theme])
    seen = {name: _seen(colours[f"{name}-ground"], matrix) for name in PURPOSES[1:4]}
    for one, other in (("good", "marginal"), ("good", "fail"), ("marginal", "fail")):
        apart = max(abs(a - b) for a, b in zip(seen[one], seen[other], strict=True))
        assert apart >= 60, (one, other, seen)


def _seen(colour: str, matrix: tuple[tuple[float, ...], ...]) -> tuple[float, ...]:
    """Give a colour as an eye without one kind of cone sees it, in sRGB 0 to 255."""
    linear = [((int(colour[i : i + 2], 16) / 255) ** 2.2) for i in (1, 3, 5)]
    mixed = [sum(k * c for k, c in zip(row, linear, strict=True)) for row in matrix]
    return tuple(255 * min(max(one, 0.0), 1.0) ** (1 / 2.2) for one in mixed)
