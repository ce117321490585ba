"""One change a case that breaks `base.yaml`: what to put in its place, and what must be said."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Broken:
    """A change and the complaint it must bring.

    Args:
        name: what is wrong.
        old: the text in the good flow.
        new: the text that breaks it.
        said: words of the complaint.
        hint: words of the nearest right thing; may be empty.
        at: the text in the broken line, by which its number is known.
    """

    name: str
    old: str
    new: str
    said: str
    hint: str = ""
    at: str = ""


BROKEN = [
    Broken("not yaml", "steps:", "steps: [", "not YAML", at="    kind: observe"),
    Broken("duplicate key", "    again: Turn it.", "    say: Turn it.", "stands twice"),
    Broken("unknown key", "    why: A stuck", "    wyh: A stuck", "'wyh' is not a key", "why"),
    Broken("missing key", "    unit: in_wc\n", "", "'unit' is missing", at="  volts:"),
    Broken("wrong unit", "unit: in_wc", "unit: inwc", "'inwc'", "in_wc"),
    Broken(
        "wrong kind", "kind: observe", "kind: observ", "'observ' is not a known kind", "observe"
    ),
    Broken("wrong rule", "rule: within,", "rule: witin,", "'witin' is not a known rule", "within"),
    Broken(
        "wrong quantity", "static_pressure", "static_presure", "'static_presure'", "static_pressure"
    ),
    Broken("unknown place", "return_plenum", "return_plenm", "'return_plenm'", "return_plenum"),
    Broken("unknown meter", "meter: manometer", "meter: manometr", "'manometr'", "manometer"),
    Broken("unknown step", "next: volts", "next: volt", "'volt' is not a step", "volts"),
    Broken("unknown start", "start: look", "start: lok", "'lok'", "look"),
    Broken("unknown choice", "turns_free: {}", "turns_fre: {}", "'turns_fre'", "turns_free"),
    Broken("unknown observation", "about: shaft", "about: shaf", "'shaf'", "shaft"),
    Broken("unknown finding", "finding: stuck", "finding: stuk", "'stuk'", "stuck"),
    Broken("unknown outcome", "unsure: continue", "unsur: continue", "'unsur'", "unsure"),
    Broken(
        "outcome to nowhere", "fail: found_it, ", "", "leads nowhere", "low", at="{rule: within"
    ),
    Broken("unknown operand", "low: -1", "low: rate", "'rate'", "rated"),
    Broken("unknown value in a prompt", "Rated microfarads?", '"{rate} now?"', "'rate'", "rated"),
    Broken("unknown evidence", "evidence: [look]", "evidence: [lok]", "'lok'", "look"),
    Broken("not a number", "plausible: [-2, 2]", "plausible: [-2, two]", "decimal"),
    Broken("leads nowhere", "    next: rated\n", "", "leads nowhere", at="turns_free"),
    Broken("no repair", "repair: Replace it., ", "", "'repair' is missing", at="  stuck:"),
]
