"""How far two colours stand apart for the eye, by WCAG 2.1's definitions.

Source: W3C, Web Content Accessibility Guidelines 2.1, "relative luminance" and "contrast ratio";
7:1 for text is its criterion 1.4.6, 3:1 for marks its criterion 1.4.11.
"""

TEXT_RATIO = 7.0
"""The least contrast of text."""
MARK_RATIO = 3.0
"""The least contrast of lines, borders and other marks that mean something."""

_LINEAR_BELOW = 0.03928


def luminance(colour: str) -> float:
    """Give the relative luminance, 0 black to 1 white, of a colour written `#rrggbb`."""
    red, green, blue = (_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Give the contrast ratio of two colours, 1 to 21."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def _linear(share: float) -> float:
    return share / 12.92 if share <= _LINEAR_BELOW else ((share + 0.055) / 1.055) ** 2.4
