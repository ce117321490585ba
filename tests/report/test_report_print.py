"""The HTML record on paper, printed by a browser where there is one."""

import shutil
import subprocess
from pathlib import Path

import pytest
from report_accounts import (
    REPAIRED,
    a_caution,
    a_nasty_account,
    a_value,
    an_account,
    walk_fan,
)

from assistant.journal.account import Account
from assistant.report import render

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")


def a_long_walk() -> Account:
    """Make a walk of twenty readings at places of their own, and nine cautions."""
    values = tuple(
        a_value(f"r{number}", places=("resistance", f"p{number // 3}", f"q{number}"))
        for number in range(20)
    )
    cautions = tuple(a_caution(f"c{number}", text=f"Caution {number}. " * 9) for number in range(9))
    return an_account(values=values, cautions=cautions)


pytestmark = pytest.mark.skipif(
    BROWSER is None or shutil.which("pdfinfo") is None,
    reason="printing needs chromium and pdfinfo on this machine",
)


@pytest.mark.parametrize("paper", ["A4", "letter"])
@pytest.mark.parametrize(
    ("account", "most"),
    [(walk_fan(*REPAIRED), 2), (a_long_walk(), 2), (a_nasty_account(), 4)],
    ids=["walk", "long", "nasty"],
)
def test_a_record_prints_on_a_few_pages(
    account: Account, most: int, paper: str, tmp_path: Path
) -> None:
    """A walk prints on two pages of either paper, a long one too; attacks print as well."""
    page, printed = tmp_path / "record.html", tmp_path / "record.pdf"
    sized = render(account, "html").replace("@page { ", f"@page {{ size: {paper}; ")
    page.write_text(sized, encoding="utf-8")
    command = [
        str(BROWSER),
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--no-pdf-header-footer",
    ]
    command += [f"--user-data-dir={tmp_path / 'profile'}", f"--print-to-pdf={printed}", str(page)]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    told = subprocess.run(["pdfinfo", printed], check=True, capture_output=True, text=True).stdout
    facts = {line.partition(":")[0]: line.partition(":")[2].strip() for line in told.splitlines()}
    assert 2 <= int(facts["Pages"]) <= most
    assert paper in facts["Page size"]
