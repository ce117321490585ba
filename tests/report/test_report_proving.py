"""Checks after a repair, each beside what was read before it."""

from report_accounts import REPAIRED, a_value, an_account, walk_fan

from assistant.journal.account import Account, NamedAnswer, TakenValue
from assistant.report.proving import checks

FIXED = NamedAnswer("fix", "repaired", "it is repaired", "fixed", False, 5)


def pairs(account: Account) -> list[tuple[str | None, str]]:
    """Give each check as the digits before and after."""
    return [(one.before.value if one.before else None, one.after.value) for one in checks(account)]


def an_after(name: str = "r_low", /, **changes: object) -> TakenValue:
    """Make a reading taken after the repair."""
    return a_value(name, answer=7, value="18", **changes)


def test_a_repaired_part_shows_both_readings() -> None:
    """The capacitor that was found weak stands beside its successor's reading."""
    by_id = {one.after.id: one for one in checks(walk_fan(*REPAIRED))}
    before = by_id["can_reading"].before
    assert before is not None
    assert ("6.2", "fail") == (before.value, before.verdict)
    assert ("10.1", "pass") == (
        by_id["can_reading"].after.value,
        by_id["can_reading"].after.verdict,
    )
    assert by_id["r_low"].before is None


def test_without_a_repair_there_is_no_check() -> None:
    """Nothing is a check after a repair where none was made."""
    assert () == checks(an_account())


def test_the_last_reading_before_counts() -> None:
    """Of several readings before the repair the last one stands beside the new one."""
    account = an_account(
        earlier=(a_value(answer=2, value="10"), a_value(answer=3, value="11")),
        values=(an_after(),),
        answers=(FIXED,),
    )
    assert [("11", "18")] == pairs(account)


def test_another_name_at_the_same_leads_is_the_same_part() -> None:
    """Ohms and microfarads are the part's own: the new part's name may differ."""
    old = a_value("old", answer=3, value="11")
    assert [("11", "18")] == pairs(an_account(values=(old, an_after("new")), answers=(FIXED,)))


def test_volts_at_the_same_place_are_not_compared() -> None:
    """Zero volts with the power off say nothing of the volts with it on."""
    places = ("voltage", "line_1", "line_2")
    old = a_value("dead_lines", answer=3, value="0.00", unit="volt", places=places)
    new = an_after("line_idle", unit="volt", places=places)
    assert [(None, "18")] == pairs(an_account(values=(old, new), answers=(FIXED,)))


def test_other_units_are_not_compared() -> None:
    """A number in another unit is not set beside a number."""
    old = a_value(answer=3, unit="kilohm")
    assert [(None, "18")] == pairs(
        an_account(earlier=(old,), values=(an_after(),), answers=(FIXED,))
    )
