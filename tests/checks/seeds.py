"""Defects of many kinds, each put alone into a copy of the shipped flows, with the line it is on.

A kind is a function: it is given a flow file and gives edits, each with the lines on which a
complaint counts as right. Which of them is taken is drawn with a seed.
"""

import random
import re
import shutil
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from assistant.checks.table import check_file
from assistant.flow.library import shipped
from assistant.flow.plain import Where, plain_values
from assistant.flow.problems import Problem

TARGETS = {"next", "skipped", "otherwise", "unknown"}


@dataclass(frozen=True)
class Page:
    """A flow file as lines with the place of each key."""

    lines: tuple[str, ...]
    data: dict[str, Any] = field(hash=False)
    places: dict[Where, tuple[int, int]] = field(hash=False)

    @property
    def steps(self) -> dict[str, Any]:
        """Give its steps as plain values."""
        steps: dict[str, Any] = self.data["steps"]
        return steps

    def line(self, *way: str | int) -> int:
        """Give the number of the line that a key stands on."""
        return self.places[way][0]

    def block(self, *way: str | int) -> range:
        """Give the numbers of the lines that a key and what belongs to it take up."""
        first, column = self.places[way]
        column -= isinstance(way[-1], int)
        last = first
        for number in range(first + 1, len(self.lines) + 1):
            text = self.lines[number - 1]
            indent = len(text) - len(text.lstrip())
            if text.strip() and not text.lstrip().startswith("#") and indent < column:
                break
            last = number
        return range(first, last + 1)


@dataclass(frozen=True)
class Edit:
    """Lines to put in place of others, and where the complaint must point.

    Args:
        first: the first line that is replaced, from 1.
        count: how many lines are replaced.
        lines: what stands there then.
        right: the lines, in the new file, on which a complaint is right.
    """

    first: int
    count: int
    lines: tuple[str, ...]
    right: tuple[int, ...]


Kind = Callable[[Page], Iterator[Edit]]
KINDS: dict[str, Kind] = {}


def kind(made: Kind) -> Kind:
    """Enter a kind of defect into the table under its name."""
    KINDS[made.__name__] = made
    return made


@lru_cache(maxsize=64)
def read(file: Path) -> Page:
    """Read a flow file."""
    text = file.read_text(encoding="utf-8")
    data, places = plain_values(text)
    return Page(tuple(text.splitlines()), data, places)


def swap(page: Page, number: int, old: str, new: str, *right: int) -> Iterator[Edit]:
    """Put one text for another on a line, once, where it is there."""
    text = page.lines[number - 1]
    if old in text:
        yield Edit(number, 1, (text.replace(old, new, 1),), right or (number,))


def cut(page: Page, way: Where, *right: int) -> Iterator[Edit]:
    """Take a key out that has lines of its own."""
    block = page.block(*way)
    text = page.lines[block[0] - 1]
    if text.lstrip().startswith(f"{way[-1]}:"):
        yield Edit(block[0], len(block), (), right)


def put(page: Page, before: int, lines: Sequence[str], at: int = 0) -> Iterator[Edit]:
    """Put lines in before a line; the complaint is due on one of them."""
    del page
    yield Edit(before, 0, tuple(lines), (before + at,))


def steps_of(page: Page, *kinds: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Give the steps of some kinds that are written over several lines."""
    for name, step in page.steps.items():
        if step["kind"] in kinds and len(page.block("steps", name)) > 1:
            yield name, step


def key_swap(page: Page, way: Where, old: object, new: object, *right: int) -> Iterator[Edit]:
    """Change the value that stands behind a key."""
    number, column = page.places[way]
    text = page.lines[number - 1]
    head, tail = text[: column - 1], text[column - 1 :]
    pattern = re.compile(rf"({re.escape(str(way[-1]))}: *\"?){re.escape(str(old))}(?![\w.])")
    changed = pattern.sub(lambda m: f"{m.group(1)}{new}", tail, count=1)
    if changed != tail:
        yield Edit(number, 1, (head + changed,), right or (number,))


# ---- graph


@kind
def target_misspelt(page: Page) -> Iterator[Edit]:
    """A `next`, `skipped`, `otherwise` or `unknown` that names no step."""
    for way in page.places:
        if way[0] == "steps" and way[-1] in TARGETS:
            value = value_at(page, way)
            if isinstance(value, str) and value not in {"end", "stop"}:
                yield from key_swap(page, way, value, value + "x")


def value_at(page: Page, way: Where) -> Any:  # noqa: ANN401 - any plain value
    """Give the value a way leads to."""
    value: Any = page.data
    for part in way:
        value = value[part]
    return value


@kind
def outcome_target_misspelt(page: Page) -> Iterator[Edit]:
    """An outcome of a rule that leads to no step."""
    for way in page.places:
        if len(way) == 6 and way[2] == "judge" and way[4] == "go":
            value = value_at(page, way)
            if value != "continue":
                yield from key_swap(page, way, value, f"{value}_2")


@kind
def step_nobody_leads_to(page: Page) -> Iterator[Edit]:
    """A step that is written and never reached."""
    name = next(iter(page.steps))
    lines = (
        "  lonely:",
        "    kind: do",
        '    say: "Look at the wires once more. Say: wires are good."',
        '    again: "Say: wires are good."',
        "    help: Look at each end.",
        "    why: A loose end can be overlooked.",
        "    choices:",
        "      wires_good: {phrases: [wires are good]}",
        f"    next: {name}",
        "",
    )
    for one in list(page.steps)[1:]:
        yield from put(page, page.line("steps", one), lines)


@kind
def step_passed_by(page: Page) -> Iterator[Edit]:
    """The one arrow to a step leads past it, so that it is never reached."""
    leading: dict[str, list[Where]] = {}
    for way in page.places:
        if way[0] == "steps":
            value = value_at(page, way)
            if isinstance(value, str) and value in page.steps and way[1] != value:
                leading.setdefault(value, []).append(way)
    for name, ways in leading.items():
        onward = page.steps[name].get("next")
        is_first = name == page.data["start"]
        if len(ways) == 1 and onward in page.steps and not is_first and ways[0][-1] in TARGETS:
            here = page.line("steps", name)
            yield from key_swap(page, ways[0], name, onward, here, page.line(*ways[0]))


@kind
def next_taken_out(page: Page) -> Iterator[Edit]:
    """A step that says nowhere what comes next."""
    for name, step in steps_of(page, "do", "observe", "measure", "ask"):
        if "next" in step:
            first = page.line("steps", name)
            body = page.block("steps", name)
            yield from cut(page, ("steps", name, "next"), first, *body)


@kind
def endless_step(page: Page) -> Iterator[Edit]:
    """A step whose only answer leads back to itself."""
    for name, step in steps_of(page, "do"):
        answers = step.get("choices") or {}
        if len(answers) == 1 and "next" in step and not step.get("skipped"):
            yield from key_swap(page, ("steps", name, "next"), step["next"], name)


@kind
def decision_to_itself(page: Page) -> Iterator[Edit]:
    """A decision whose `otherwise` leads back to it, without a question."""
    for name, step in steps_of(page, "decide"):
        yield from key_swap(page, ("steps", name, "otherwise"), step["otherwise"], name)


@kind
def finding_never_made(page: Page) -> Iterator[Edit]:
    """A finding that no step makes."""
    for name in page.data.get("findings", {}):
        made = [
            "  never_made:",
            "    part: Wire",
            "    reason: It is chafed.",
            "    evidence: []",
            "    repair: Leave it. A licensed person takes over.",
            "    licensed: true",
        ]
        yield from put(page, page.line("findings", name), made)


@kind
def finding_swapped(page: Page) -> Iterator[Edit]:
    """The one step that makes a finding makes another one."""
    made = [s["finding"] for s in page.steps.values() if s["kind"] == "find"]
    for name, step in page.steps.items():
        if step["kind"] == "find" and made.count(step["finding"]) == 1 and len(set(made)) > 1:
            other = next(one for one in made if one != step["finding"])
            number = page.line("steps", name, "finding")
            finding = page.places.get(("findings", step["finding"]), (number, 1))[0]
            old = f"finding: {step['finding']}"
            yield from swap(page, number, old, f"finding: {other}", finding, number)


@kind
def answers_taken_out(page: Page) -> Iterator[Edit]:
    """A step that cannot be answered."""
    for name, step in steps_of(page, "do", "observe"):
        if "choices" in step and "next" in step:
            yield from cut(page, ("steps", name, "choices"), page.line("steps", name))


@kind
def include_missing(page: Page) -> Iterator[Edit]:
    """An include of a file that is not there."""
    for name, step in page.steps.items():
        if step["kind"] == "include":
            way = ("steps", name, "flow")
            yield from key_swap(page, way, step["flow"], "shared/nothing.yaml")


@kind
def return_misspelt(page: Page) -> Iterator[Edit]:
    """A return that the included flow does not have."""
    for name, step in page.steps.items():
        if step["kind"] == "include":
            for word in step["returns"]:
                number = page.line("steps", name, "returns", word)
                around = page.line("steps", name, "returns")
                yield from swap(page, number, f"{word}:", f"{word}_too:", number, around)


@kind
def start_misspelt(page: Page) -> Iterator[Edit]:
    """A start that is no step."""
    yield from key_swap(page, ("start",), page.data["start"], page.data["start"] + "s")


# ---- decisions


def cases(page: Page) -> Iterator[tuple[str, int, dict[str, Any]]]:
    """Give every case that begins on a line of its own."""
    for name, step in steps_of(page, "decide"):
        for position, case in enumerate(step["cases"]):
            if page.lines[page.line("steps", name, "cases", position) - 1].lstrip()[:1] == "-":
                yield name, position, case


@kind
def case_twice(page: Page) -> Iterator[Edit]:
    """A case that stands twice, so that the second is never reached."""
    for name, position, _ in cases(page):
        block = page.block("steps", name, "cases", position)
        lines = page.lines[block[0] - 1 : block[-1]]
        while not lines[-1].strip() or lines[-1].lstrip().startswith("#"):
            lines = lines[:-1]
        yield Edit(block[0], 0, tuple(lines), (block[0] + len(lines),))


@kind
def case_contradicted(page: Page) -> Iterator[Edit]:
    """A clause that another clause of the case excludes."""
    for name, position, case in cases(page):
        number = page.line("steps", name, "cases", position)
        for clause in case["when"]:
            if "answer" in clause and "not_taken" not in clause["is"]:
                told = f"- when: [{{answer: {clause['answer']}, is: [not_taken]}}, "
                yield from swap(page, number, "- when: [", told)
            if "at_least" in clause and isinstance(clause["at_least"], int):
                told = f"- when: [{{value: {clause['value']}, below: {clause['at_least']}}}, "
                yield from swap(page, number, "- when: [", told)


@kind
def cases_swapped(page: Page) -> Iterator[Edit]:
    """A wider case that was put before a narrower one."""
    for name, position, case in cases(page):
        limits = [clause.get("at_least") for clause in case["when"]]
        step = page.steps[name]
        if position + 1 < len(step["cases"]) and len(limits) == 1 and limits[0]:
            after = step["cases"][position + 1]["when"]
            if len(after) == 1 and after[0].get("value") == case["when"][0]["value"]:
                wider = after[0].get("at_least")
                way = ("steps", name, "cases", position)
                if wider is not None and wider < limits[0] and "below" not in after[0]:
                    here, there = page.line(*way), page.line(*way[:-1], position + 1)
                    between = page.lines[here - 1 : there - 1]
                    behind = page.lines[there - 1 : there - 1 + len(between)]
                    lines = (*behind, *between)
                    yield Edit(here, len(lines), lines, (there,))


@kind
def otherwise_taken_out(page: Page) -> Iterator[Edit]:
    """A decision that does not say what happens where no case holds."""
    for name, _ in steps_of(page, "decide"):
        yield from cut(page, ("steps", name, "otherwise"), page.line("steps", name))


@kind
def answer_not_possible(page: Page) -> Iterator[Edit]:
    """A clause on an answer, a verdict or an outcome that there is not."""
    for way in page.places:
        if len(way) == 8 and way[2] == "cases" and way[6] == "is":
            number, word = page.line(*way), value_at(page, way)
            yield from swap(page, number, f"[{word}", f"[{word}_so", number)


@kind
def compared_out_of_range(page: Page) -> Iterator[Edit]:
    """A decision that compares a value with what it never is."""
    for way in page.places:
        if len(way) == 7 and way[2] == "cases" and way[-1] in {"at_least", "below"}:
            limit = value_at(page, way)
            if not isinstance(limit, str) and limit:
                yield from key_swap(page, way, limit, limit * 1000)


@kind
def outcome_left_out(page: Page) -> Iterator[Edit]:
    """A rule that does not say where a failed reading leads."""
    for way in page.places:
        if len(way) == 6 and way[2] == "judge" and way[-1] in {"fail", "cannot_tell", "unsure"}:
            rule = page.line(*way[:4])
            number = page.line(*way)
            go = value_at(page, way[:-1])
            others = set(go) - {way[-1]}
            is_covered = way[-1] == "fail" and others & {"low", "high", "reads", "zero"}
            text = page.lines[number - 1]
            changed = re.sub(rf"{way[-1]}: \w[\w.]*(, )?", "", text, count=1)
            if text.lstrip().startswith("- {") and not is_covered and others and changed != text:
                yield Edit(number, 1, (changed.replace(", }", "}"),), (rule,))


@kind
def asked_before_known(page: Page) -> Iterator[Edit]:
    """A decision at the start, on a reading that comes later."""
    measured = [n for n, s in page.steps.items() if s["kind"] == "measure" and not s.get("as")]
    start = page.data["start"]
    if measured and "returns" not in page.data:
        lines = [
            "  too_early:",
            "    kind: decide",
            "    cases:",
            f"      - when: [{{verdict: {measured[-1]}, is: [fail]}}]",
            f"        next: {measured[-1]}",
            f"    otherwise: {start}",
            "",
        ]
        before = page.line("steps", next(iter(page.steps)))
        head = page.line("start")
        between = page.lines[head : before - 1]
        whole = ("start: too_early", *between, *lines)
        yield Edit(head, before - head, whole, (before + 3,))


# ---- values and limits


def rule_keys(page: Page, *keys: str) -> Iterator[tuple[Where, Any]]:
    """Give the keys of rules, with their values."""
    for way in page.places:
        if len(way) == 5 and way[2] == "judge" and way[4] in keys:
            yield way, value_at(page, way)


@kind
def operand_misspelt(page: Page) -> Iterator[Edit]:
    """A rule that compares with a value nobody takes."""
    for way, value in rule_keys(page, "rating", "limit", "other", "plus", "upper"):
        if isinstance(value, str):
            yield from key_swap(page, way, value, value + "_x")


@kind
def operand_of_another_kind(page: Page) -> Iterator[Edit]:
    """A rule that compares volts with microfarads."""
    units = {s.get("as", n): s["unit"] for n, s in page.steps.items() if "unit" in s}
    for way, value in rule_keys(page, "rating", "limit", "other"):
        unit = page.steps[str(way[1])]["unit"]
        others = [one for one, its in units.items() if its not in {unit, "percent"}]
        if isinstance(value, str) and others:
            yield from key_swap(page, way, value, others[0])


@kind
def limit_out_of_range(page: Page) -> Iterator[Edit]:
    """A limit a thousand times too high."""
    for way, value in rule_keys(page, "limit", "high"):
        if not isinstance(value, str) and page.steps[str(way[1])]["kind"] == "measure":
            yield from key_swap(page, way, value, value * 10000)


@kind
def limit_too_fine(page: Page) -> Iterator[Edit]:
    """A limit about zero that the meter cannot tell from zero."""
    for way, value in rule_keys(page, "limit"):
        rule = value_at(page, way[:-1])["rule"]
        step = page.steps[str(way[1])]
        if rule == "near_zero" and step.get("unit") == "ohm":
            yield from key_swap(page, way, value, "0.01")


@kind
def judged_by_a_later_value(page: Page) -> Iterator[Edit]:
    """A limit that is the step's neighbour to come."""
    names = list(page.steps)
    for way, value in rule_keys(page, "limit", "rating", "low"):
        step = page.steps[str(way[1])]
        later = page.steps.get(step.get("next"), {})
        is_alike = later.get("kind") == "measure" and later.get("unit") == step.get("unit")
        led = sum(1 for other in page.steps.values() if other.get("next") == step.get("next"))
        if is_alike and not later.get("as") and led == 1 and len(names) > 2:
            yield from key_swap(page, way, value, step["next"])


@kind
def unit_changed(page: Page) -> Iterator[Edit]:
    """A quantity with a unit that it is not measured in."""
    for name, step in steps_of(page, "measure"):
        wrong = "ampere" if step["unit"] != "ampere" else "volt"
        yield from key_swap(page, ("steps", name, "unit"), step["unit"], wrong)


@kind
def meter_changed(page: Page) -> Iterator[Edit]:
    """The wrong meter setting."""
    for name, step in steps_of(page, "measure"):
        wrong = "capacitance" if step["meter"] != "capacitance" else "ohms"
        yield from key_swap(page, ("steps", name, "meter"), step["meter"], wrong)


@kind
def range_reversed(page: Page) -> Iterator[Edit]:
    """A plausible range with its ends changed about."""
    for name, step in steps_of(page, "measure", "ask"):
        low, high = step["plausible"]
        number = page.line("steps", name, "plausible")
        yield from swap(page, number, f"[{low}, {high}]", f"[{high}, {low}]")


@kind
def range_too_narrow(page: Page) -> Iterator[Edit]:
    """A plausible range that leaves out what the rating allows."""
    for name, step in steps_of(page, "measure"):
        for rule in step.get("judge", ()):
            if isinstance(rule.get("rating"), str) and rule["rule"] == "within_percent":
                low, high = step["plausible"]
                number = page.line("steps", name, "plausible")
                yield from swap(page, number, f"[{low}, {high}]", f"[{low}, {high // 40}]")


@kind
def formula_misspelt(page: Page) -> Iterator[Edit]:
    """A formula that there is not."""
    for name, step in steps_of(page, "work_out"):
        way = ("steps", name, "formula")
        yield from key_swap(page, way, step["formula"], step["formula"] + "s")


@kind
def formula_value_misspelt(page: Page) -> Iterator[Edit]:
    """A formula that is given a value nobody takes."""
    for name, step in steps_of(page, "work_out"):
        for parameter, value in step["with"].items():
            if isinstance(value, str):
                way = ("steps", name, "with", parameter)
                yield from key_swap(page, way, value, value + "_x")


@kind
def prompt_value_misspelt(page: Page) -> Iterator[Edit]:
    """A prompt with the place of a value nobody takes."""
    for name, step in steps_of(page, "measure", "ask", "do", "observe"):
        number = page.line("steps", name, "again")
        if page.lines[number - 1].rstrip().endswith('"') and "{" not in step["again"]:
            text = page.lines[number - 1]
            changed = text.replace('again: "', 'again: "Near {nothing_taken}. ', 1)
            if changed != text:
                yield Edit(number, 1, (changed,), (number,))


@kind
def over_limit_not_heard(page: Page) -> Iterator[Edit]:
    """A path that must read OL, at a step that takes no OL."""
    for name, step in steps_of(page, "measure"):
        rules = {rule["rule"]: place for place, rule in enumerate(step.get("judge", ()))}
        for word in ("is_over_limit", "not_over_limit"):
            if word in rules and step.get("over_limit"):
                rule = page.line("steps", name, "judge", rules[word])
                gone = page.line("steps", name, "over_limit")
                here = page.line("steps", name)
                shift = 1 if rule > gone else 0
                yield from cut(page, ("steps", name, "over_limit"), rule - shift, here, gone)


@kind
def tolerance_of_nothing(page: Page) -> Iterator[Edit]:
    """A tolerance of zero percent."""
    for way, value in rule_keys(page, "plus", "minus", "percent", "default"):
        yield from key_swap(page, way, value, 0)


@kind
def place_misspelt(page: Page) -> Iterator[Edit]:
    """A probe on a place that has no name."""
    for name, step in steps_of(page, "measure"):
        yield from key_swap(page, ("steps", name, "from"), step["from"], step["from"] + "_9")


@kind
def asked_for_nothing(page: Page) -> Iterator[Edit]:
    """A number that is asked for and used nowhere."""
    start = page.data["start"]
    if "returns" not in page.data:
        head, before = page.line("start"), page.line("steps", next(iter(page.steps)))
        lines = [
            "  altitude:",
            "    kind: ask",
            "    unit: foot",
            "    plausible: [0, 9000]",
            '    say: "Altitude here, in feet."',
            '    again: "Altitude, feet."',
            "    help: The thermostat or a map shows it.",
            "    why: Thin air carries less.",
            f"    next: {start}",
            "",
        ]
        whole = ("start: altitude", *page.lines[head : before - 1], *lines)
        yield Edit(head, before - head, whole, (before,))


# ---- safety


@kind
def caution_taken_out(page: Page) -> Iterator[Edit]:
    """A hazard without its caution."""
    for name, step in steps_of(page, "do", "observe", "measure"):
        if set(step.get("cautions", ())) & {"live_parts", "stored_energy", "power_returns"}:
            yield from cut(page, ("steps", name, "cautions"), *page.block("steps", name))


@kind
def hold_taken_out(page: Page) -> Iterator[Edit]:
    """A hold point that holds nobody."""
    for name, step in steps_of(page, "do"):
        if step.get("hold") and ("leaves" in step or step.get("cautions")):
            yield from cut(page, ("steps", name, "hold"), *page.block("steps", name))


@kind
def proof_not_judged(page: Page) -> Iterator[Edit]:
    """A reading that proves something and is judged by nothing."""
    for name, step in steps_of(page, "measure"):
        if "leaves" in step and "judge" in step:
            yield from cut(page, ("steps", name, "judge"), *page.block("steps", name))


@kind
def proof_that_failed_goes_on(page: Page) -> Iterator[Edit]:
    """A reading that failed to prove and goes on all the same."""
    for name, step in steps_of(page, "measure"):
        for place, rule in enumerate(step.get("judge", ())):
            if "leaves" in step and "fail" in rule["go"]:
                way = ("steps", name, "judge", place, "go", "fail")
                body = page.block("steps", name)
                yield from key_swap(page, way, rule["go"]["fail"], "continue", *body)


@kind
def done_as_answer(page: Page) -> Iterator[Edit]:
    """An answer that names no state."""
    for name, step in steps_of(page, "do"):
        for word, answer in (step.get("choices") or {}).items():
            if answer.get("phrases"):
                number = page.line("steps", name, "choices", word)
                yield from swap(page, number, "phrases: [", "phrases: [done, ")


@kind
def left_open(page: Page) -> Iterator[Edit]:
    """A way that ends without closing up."""
    for name, step in steps_of(page, "do", "observe", "measure"):
        if step.get("next") in {"close", "closing", "close_up", "panels_back"}:
            yield from key_swap(page, ("steps", name, "next"), step["next"], "end")


# ---- speech


@kind
def command_as_answer(page: Page) -> Iterator[Edit]:
    """An answer that is a standing command."""
    for name, step in steps_of(page, "do", "ask", "measure"):
        for word, answer in (step.get("choices") or {}).items():
            if answer.get("phrases"):
                number = page.line("steps", name, "choices", word)
                yield from swap(page, number, "phrases: [", "phrases: [repeat, ")


@kind
def word_nobody_hears(page: Page) -> Iterator[Edit]:
    """An answer with a word the recogniser does not know."""
    for name, step in steps_of(page, "do", "ask", "measure"):
        for word, answer in (step.get("choices") or {}).items():
            if answer.get("phrases"):
                number = page.line("steps", name, "choices", word)
                yield from swap(page, number, "phrases: [", "phrases: [it is zwirbled, ")


@kind
def prompt_too_long(page: Page) -> Iterator[Edit]:
    """A prompt that nobody keeps in mind."""
    for name, _ in steps_of(page, "do", "observe", "measure", "ask"):
        number = page.line("steps", name, "say")
        long = " ".join(
            ["Now look at every part of the whole unit from top to bottom, and then"] * 4
        )
        yield from swap(page, number, 'say: "', f'say: "{long} go on. ')


@kind
def symbols_in_a_prompt(page: Page) -> Iterator[Edit]:
    """A prompt that a voice misreads."""
    for name, _ in steps_of(page, "do", "observe", "measure", "ask"):
        number = page.line("steps", name, "say")
        yield from swap(page, number, 'say: "', 'say: "Approx. 24VAC @ R/C ±10%. ')


@kind
def help_is_empty(page: Page) -> Iterator[Edit]:
    """A step without help."""
    for name, step in steps_of(page, "do", "observe", "measure", "ask"):
        number = page.line("steps", name, "help")
        text = page.lines[number - 1]
        if step["help"] in text:
            yield Edit(number, 1, (text.replace(step["help"], '""', 1),), (number,))


@kind
def why_taken_out(page: Page) -> Iterator[Edit]:
    """A step without its why."""
    for name, _ in steps_of(page, "do", "observe", "measure", "ask"):
        yield from cut(page, ("steps", name, "why"), page.line("steps", name))


# ---- findings


@kind
def repair_taken_out(page: Page) -> Iterator[Edit]:
    """A finding that does not say what to do."""
    for name in page.data.get("findings", {}):
        yield from cut(page, ("findings", name, "repair"), page.line("findings", name))


@kind
def proof_taken_out(page: Page) -> Iterator[Edit]:
    """A finding whose repair nothing proves."""
    for name, finding in page.data.get("findings", {}).items():
        if finding.get("proof") and not finding.get("licensed"):
            yield from cut(page, ("findings", name, "proof"), *page.block("findings", name))


@kind
def replacement_taken_out(page: Page) -> Iterator[Edit]:
    """A part that is replaced by nobody says what."""
    for name, finding in page.data.get("findings", {}).items():
        if "replacement" in finding and finding["repair"].lower().startswith("replace"):
            yield from cut(page, ("findings", name, "replacement"), *page.block("findings", name))


@kind
def evidence_misspelt(page: Page) -> Iterator[Edit]:
    """Evidence that nobody takes."""
    for name, finding in page.data.get("findings", {}).items():
        for word in finding["evidence"][:1]:
            number = page.line("findings", name, "evidence")
            yield from swap(page, number, f"[{word}", f"[{word}_x")


@kind
def fault_nobody_finds(page: Page) -> Iterator[Edit]:
    """A fault that the flow says it covers and that no finding stands for."""
    for name, finding in page.data.get("findings", {}).items():
        faults, covers = finding.get("faults", ()), page.data.get("covers", ())
        counts = [f for other in page.data["findings"].values() for f in other.get("faults", ())]
        if len(faults) == 1 and counts.count(faults[0]) == 1 and faults[0] in covers:
            listed = page.line("covers", covers.index(faults[0]))
            block = page.block("findings", name, "faults")
            yield from cut(page, ("findings", name, "faults"), listed, block[0])


# ---- form


@kind
def key_misspelt(page: Page) -> Iterator[Edit]:
    """A key with a slip of the pen."""
    for name, step in steps_of(page, "do", "observe", "measure", "ask"):
        for key in ("minutes", "cautions", "needs", "leaves", "skipped", "over_limit"):
            if key in step:
                number = page.line("steps", name, key)
                yield from swap(page, number, f"{key}:", f"{key[:-2]}{key[-1]}{key[-2]}:")


@kind
def key_twice(page: Page) -> Iterator[Edit]:
    """A key that stands twice."""
    for name, _ in steps_of(page, "do", "observe", "measure", "ask"):
        number = page.line("steps", name, "why")
        yield Edit(number, 0, (page.lines[number - 1],), (number + 1,))


@kind
def kind_misspelt(page: Page) -> Iterator[Edit]:
    """A kind of step that there is not."""
    for name, step in steps_of(page, "do", "observe", "measure", "ask", "decide"):
        yield from key_swap(page, ("steps", name, "kind"), step["kind"], step["kind"] + "e")


@kind
def bracket_open(page: Page) -> Iterator[Edit]:
    """A bracket that is not closed."""
    for name, _ in steps_of(page, "measure", "ask"):
        number = page.line("steps", name, "plausible")
        yield from swap(page, number, "]", "", number, number + 1)


# ---- trying one


def draw(name: str, files: Sequence[Path], seed: int) -> tuple[Path, Edit] | None:
    """Draw one edit of a kind; None where no file offers one."""
    dice = random.Random(f"{name}:{seed}")  # noqa: S311 - a draw that can be drawn again
    offered = [(file, edit) for file in files for edit in KINDS[name](read(file))]
    return dice.choice(offered) if offered else None


def seeded(folder: Path, file: Path, edit: Edit) -> list[Problem]:
    """Copy the shipped flows with one edit and give what is complained of that was not before.

    Args:
        folder: where the copy goes.
        file: the shipped flow that is edited.
        edit: the edit.
    """
    source = shipped("flows")
    if not folder.exists():
        shutil.copytree(source, folder)
    lines = list(read(file).lines)
    lines[edit.first - 1 : edit.first - 1 + edit.count] = edit.lines
    copy = folder / file.relative_to(source)
    copy.write_text("\n".join(lines) + "\n", encoding="utf-8")
    top = top_of(file)
    try:
        found = check_file(folder / top.relative_to(source))
    finally:
        copy.write_text(file.read_text(encoding="utf-8"), encoding="utf-8")
    known = before(top)
    return [one for one in found if (one.check, one.message) not in known]


def top_of(file: Path) -> Path:
    """Give the flow that is checked: the file, or the first flow that includes it."""
    if file.parent == shipped("flows"):
        return file
    tops = sorted(shipped("flows").glob("*.yaml"))
    including = (top for top in tops if file.name in top.read_text(encoding="utf-8"))
    return next(including, tops[0])


@lru_cache(maxsize=64)
def before(file: Path) -> frozenset[tuple[str, str]]:
    """Give what is complained of in a shipped flow as it is."""
    return frozenset((one.check, one.message) for one in check_file(file))


def is_named(file: Path, edit: Edit, found: Sequence[Problem]) -> bool:
    """Whether a complaint points at the defect."""
    return any(one.file.name == file.name and one.line in edit.right for one in found)
