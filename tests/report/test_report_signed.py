"""A disagreement and a technician's own sign-off stand at the top of a report."""

import json

import pytest
from report_accounts import an_account

from assistant.journal.remarks import Remarks, SignOff
from assistant.report import Beside, render

TIME = "2026-02-04T08:00:00.000Z"


def signed(author: str, *, agrees: bool) -> Beside:
    """Give what stands beside a session that QX walked and somebody signed."""
    why = "The wheel was not seen."
    return Beside(remarks=Remarks((), (SignOff(2, TIME, author, agrees, why, ("weak",)),)))


def head_of(beside: Beside, form: str) -> str:
    """Give what stands before the plain words."""
    return render(an_account(), form, beside).partition("In plain words")[0]


@pytest.mark.parametrize("form", ["md", "html"])
def test_a_disagreement_stands_at_the_top(form: str) -> None:
    """Nobody acts on a finding that the lead refused without reading that first."""
    head = head_of(signed("LT", agrees=False), form)
    assert "LT does NOT agree with: weak" in head
    assert "The wheel was not seen" in head
    assert "Take care" in head


@pytest.mark.parametrize("form", ["md", "html"])
@pytest.mark.parametrize("agrees", [True, False])
def test_a_technician_s_own_sign_off_says_so(form: str, agrees: bool) -> None:
    """Who walked it judged it: that is told, whatever was judged."""
    head = head_of(signed("q.x.", agrees=agrees), form)
    assert "nobody else stands for it" in head
    assert "walked it too" in head


@pytest.mark.parametrize("form", ["md", "html"])
def test_a_lead_s_agreement_is_told_without_a_care(form: str) -> None:
    """A sign-off in order is a line of the head."""
    head = head_of(signed("LT", agrees=True), form)
    assert "LT agrees with: weak" in head
    assert "Take care" not in head
    assert "Sign-off" not in render(an_account(), form).partition("In plain words")[0]


def test_json_says_who_signed() -> None:
    """A script can tell a technician's own sign-off from a lead's."""
    for author, is_own in (("QX", True), ("LT", False)):
        told = json.loads(render(an_account(), "json", signed(author, agrees=True)))
        assert is_own is told["sign_offs"][0]["by_technician"]
