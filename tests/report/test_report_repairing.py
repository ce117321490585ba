"""A part that was refused is no repair: each report says so, and the review has a flag for it."""

import shutil
from pathlib import Path

import pytest
from report_accounts import FAN, REPAIRED, TO_CAN, a_finding, a_value, an_account, journal_of

from assistant.flow.library import open_flow
from assistant.journal.account import Account, NamedAnswer, give_account
from assistant.journal.flags import find_flags
from assistant.journal.reading import Record, read_content
from assistant.journal.repairing import find_unproven
from assistant.report import FORMATS, content, render
from assistant.report.plain_words import tell_customer
from assistant.report.summary import tell
from assistant.walk.walk import Walk

ASKS_VOLTS = """
  new_volts:
    kind: ask
    say: Volts on the new part?
    again: New part, volts?
    help: Read its side.
    why: It must be equal or higher.
    unit: volt
    plausible: [200, 600]
    judge:
      - rule: replacement_allowed
        rating: 370
        kind: equal_or_higher
        go: {fail: fit, unsure: continue}
    next: can_again
  can_again:
"""
TO_FIT = (*TO_CAN, "six point two", "yes", "it is repaired")
REFUSED = (*TO_FIT, "three thirty", "yes", "stop", "yes")
ANOTHER = (*TO_FIT, "three thirty", "yes", "it is repaired", "three seventy", "yes")
WORDS = "The unit is not repaired. The new part was refused: new volts reads 330 V"
FIXED = NamedAnswer("fix", "repaired", "it is repaired", "fixed", False, 5)


@pytest.fixture(scope="module")
def walk(tmp_path_factory: pytest.TempPathFactory) -> Walk:
    """The small flow, with the volts of the new part asked for."""
    folder = tmp_path_factory.mktemp("flow") / "fan"
    shutil.copytree(FAN.parent, folder)
    file = folder / Path(FAN).name
    text = file.read_text("utf-8").replace("next: can_again}", "next: new_volts}")
    file.write_text(text.replace("\n  can_again:\n", ASKS_VOLTS), "utf-8")
    return Walk(open_flow(str(file)))


def record_of(walk: Walk, *phrases: str) -> Record:
    """Walk phrases and give the record."""
    return read_content(journal_of(walk, phrases))


@pytest.mark.parametrize("form", sorted(FORMATS))
def test_every_report_says_that_it_is_not_repaired(walk: Walk, form: str) -> None:
    """The refused part's reading, what was wanted and the reason stand before the finding."""
    written = render(give_account(record_of(walk, *REFUSED)), form)
    assert WORDS in written
    assert "at least 370 V" in written
    assert "330 is below" in written
    assert written.index(WORDS) < written.index("Replace the capacitor")


def test_plain_words_do_not_call_it_repaired(walk: Walk) -> None:
    """The owner reads that it is not put right, and not that something is still to be found."""
    told = tell_customer(give_account(record_of(walk, *REFUSED)))
    done, watch = " ".join(told.done), " ".join(told.watch)
    assert "the repair was made" not in done
    assert "The unit is not repaired. The new part was refused" in done
    assert "330 volts" in done
    assert "What was found is not put right yet" in watch
    assert "still to be found" not in watch


def test_the_walk_s_end_and_the_json_say_it(walk: Walk) -> None:
    """A script finds the reading's name; the terminal's ending has the sentence."""
    account = give_account(record_of(walk, *REFUSED))
    told = content(account)["repair"]
    assert (True, True, "new_volts") == (told["recorded"], told["refused"], told["reading"])
    assert told["unproven"].startswith(WORDS)
    assert WORDS in tell(account)


def test_it_is_a_flag(walk: Walk) -> None:
    """The lead is led to the line at which the part was refused."""
    record = record_of(walk, *REFUSED)
    (flag,) = [one for one in find_flags(record) if one.kind == "unproven_repair"]
    assert flag.sentence.startswith(WORDS)
    line = record.lines[flag.line - 1]
    assert ("judged", "new_volts") == (line.kind, line.data["name"])


@pytest.mark.parametrize("phrases", [(*ANOTHER, "ten point one", "yes"), TO_FIT])
def test_a_part_that_was_taken_is_no_flag(walk: Walk, phrases: tuple[str, ...]) -> None:
    """Another part that may go in, or none read yet, speaks against nothing."""
    record = record_of(walk, *phrases)
    assert "unproven_repair" not in {one.kind for one in find_flags(record)}
    assert content(give_account(record))["repair"]["unproven"] is None


def test_a_repair_that_held_is_told_as_before() -> None:
    """Nothing speaks against a repair whose readings pass."""
    account = give_account(read_content(journal_of(Walk(open_flow(str(FAN))), REPAIRED)))
    assert "The technician recorded that the repair was made." in tell_customer(account).done
    assert find_unproven(account) is None


@pytest.mark.parametrize(
    ("account", "words"),
    [
        (
            an_account(
                values=(a_value(answer=6, verdict="fail", reason="17.5 is below 20 ohms."),),
                answers=(FIXED,),
                findings=(a_finding(answer=4),),
            ),
            (
                "The repair is not proven. After it r low reads 17.5 Ω (expected 14 to 20 Ω)."
                " 17.5 is below 20 ohms."
            ),
        ),
        (
            an_account(
                values=(a_value(answer=6, verdict="fail", origin="asked"),),
                answers=(FIXED,),
                findings=(a_finding(answer=6),),
            ),
            "",
        ),
        (
            an_account(
                values=(
                    a_value("new volts", answer=6, verdict="fail", origin="asked"),
                    a_value("next", answer=7),
                ),
                answers=(FIXED,),
                findings=(a_finding(answer=4),),
            ),
            (
                "The unit is not repaired. The new part was refused: new volts reads 17.5 Ω"
                " (expected 14 to 20 Ω). 17.5 is within 14 ohms to 20 ohms."
            ),
        ),
        (
            an_account(
                values=(a_value(answer=6, verdict="fail"), a_value("next", answer=7)),
                answers=(FIXED,),
            ),
            "",
        ),
        (an_account(values=(a_value(answer=6, verdict="fail"),), answers=()), ""),
    ],
    ids=[
        "the last reading fails",
        "it has a finding of its own",
        "a label is refused by whatever rule, though it went on",
        "it went on",
        "no repair",
    ],
)
def test_what_speaks_against_a_repair(account: Account, words: str) -> None:
    """A last reading that fails does; what led to a finding of its own, or further, does not."""
    against = find_unproven(account)
    assert words == ("" if against is None else against.words)
