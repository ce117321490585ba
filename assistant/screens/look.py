"""How screens look: colours by purpose, in four themes that all hold 7:1 for text, 3:1 for marks.

A style sheet names a purpose (`$fail-ground`), never a colour. The two colour-safe themes tell
verdicts apart by blue, yellow and orange and by lightness; in every theme the word says it too.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass

from textual.theme import Theme


@dataclass(frozen=True, slots=True)
class Palette:
    """Colours by purpose, each `#rrggbb`.

    Args:
        ground: behind everything.
        panel: behind a block that stands out.
        text: what is read.
        faint: what is read second.
        line: borders and other marks.
        accent: names of keys, the focus, the place where one stands.
        chosen: behind the row or button that is chosen.
        caution: text of a caution.
        caution_ground: behind it.
        caution_line: around it, drawn on its ground.
        good: text of a pass; `marginal`, `fail`, `unsure` likewise.
        good_ground: behind it; `marginal_ground`, `fail_ground`, `unsure_ground` likewise.
    """

    ground: str
    panel: str
    text: str
    faint: str
    line: str
    accent: str
    chosen: str
    caution: str
    caution_ground: str
    caution_line: str
    good: str
    good_ground: str
    marginal: str
    marginal_ground: str
    fail: str
    fail_ground: str
    unsure: str
    unsure_ground: str


_NIGHT = {
    "ground": "#080b10",
    "panel": "#151b24",
    "text": "#f2f5f7",
    "faint": "#bcc7d2",
    "line": "#8494a6",
    "accent": "#8fd0ff",
    "chosen": "#2b3a4d",
    "caution": "#100a00",
    "caution_ground": "#ffb52e",
    "caution_line": "#4a2e00",
    "unsure": "#0d1116",
    "unsure_ground": "#c9ced6",
}
_DAY = {
    "ground": "#ffffff",
    "panel": "#eef2f6",
    "text": "#10151b",
    "faint": "#39434e",
    "line": "#5b6a7a",
    "accent": "#00457c",
    "chosen": "#cfdcea",
    "caution": "#140c00",
    "caution_ground": "#ffd24d",
    "caution_line": "#6b3a00",
    "unsure": "#ffffff",
    "unsure_ground": "#3f4650",
}
_NIGHT_VERDICTS = {
    "good": "#04190b",
    "good_ground": "#6fe39a",
    "marginal": "#181400",
    "marginal_ground": "#f2e26b",
    "fail": "#210300",
    "fail_ground": "#ff9d8a",
}
_NIGHT_SAFE_VERDICTS = {
    "good": "#00121f",
    "good_ground": "#6fb8f0",
    "marginal": "#181400",
    "marginal_ground": "#fff2a0",
    "fail": "#1c0900",
    "fail_ground": "#ff9440",
}
_DAY_VERDICTS = {
    "good": "#ffffff",
    "good_ground": "#07502a",
    "marginal": "#ffffff",
    "marginal_ground": "#634500",
    "fail": "#ffffff",
    "fail_ground": "#8a1000",
}
_DAY_SAFE_VERDICTS = {
    "good": "#ffffff",
    "good_ground": "#003f7d",
    "marginal": "#140c00",
    "marginal_ground": "#f5d000",
    "fail": "#ffffff",
    "fail_ground": "#7a3300",
}

PALETTES: Mapping[str, Palette] = {
    "night": Palette(**_NIGHT, **_NIGHT_VERDICTS),
    "day": Palette(**_DAY, **_DAY_VERDICTS),
    "night-safe": Palette(**_NIGHT, **_NIGHT_SAFE_VERDICTS),
    "day-safe": Palette(**_DAY, **_DAY_SAFE_VERDICTS),
}
"""The palettes by the name of their theme; `-safe` ones do not rest on red and green."""

USUAL_THEME = "night"

PURPOSES = ("caution", "good", "marginal", "fail", "unsure")
"""The blocks with a ground of their own: text `$fail` on `$fail-ground`."""


def variables(palette: Palette) -> dict[str, str]:
    """Give a palette as a style sheet's variables: `fail_ground` becomes `$fail-ground`."""
    return {name.replace("_", "-"): colour for name, colour in asdict(palette).items()}


def themes() -> tuple[Theme, ...]:
    """Give the themes, ready to be registered."""
    return tuple(_theme(name, palette) for name, palette in PALETTES.items())


def _theme(name: str, palette: Palette) -> Theme:
    """Make a theme; the library's own widgets take their colours from the same palette."""
    return Theme(
        name=name,
        primary=palette.accent,
        secondary=palette.accent,
        accent=palette.accent,
        warning=palette.caution_ground,
        error=palette.fail_ground,
        success=palette.good_ground,
        foreground=palette.text,
        background=palette.ground,
        surface=palette.ground,
        panel=palette.panel,
        dark=name.startswith("night"),
        variables=variables(palette)
        | {
            "scrollbar": palette.line,
            "scrollbar-hover": palette.accent,
            "scrollbar-active": palette.accent,
            "scrollbar-background": palette.ground,
            "scrollbar-background-hover": palette.ground,
            "scrollbar-background-active": palette.ground,
            "scrollbar-corner-color": palette.ground,
            "input-cursor-background": palette.text,
            "input-cursor-foreground": palette.ground,
            "input-selection-background": palette.chosen,
        },
    )
