"""The documents that people hand over: the figures of the answers, literal texts, one new file.

The site is the invented storeroom, with a last day to buy the drive, a second crane that only
slows down, and names that a browser or a spreadsheet would obey.
"""

from __future__ import annotations

import os
import re
import zipfile
from datetime import date, datetime
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from parts.cli import main
from parts.exchange.papers.sheets import TooMuchForASheet, sheets_bytes
from parts.records.catalogue import Part
from parts.records.cautions import IN_FULL, IN_SHORT
from parts.records.papers import Column, Paper, Report
from parts.records.site import Setting
from parts.records.structure import Crane, Function, Need, Position
from parts.records.supply import Notice, Offer
from parts.services import copies
from tests.cli.conftest import Say
from tests.services.storeroom import LAST_MONTH, ROWS, fill, opening

DAY = "2026-11-25"
TAG = "<img src=x onerror=alert(1)>&amp;\"'\x1b[31m\u202e"
SHOWN_TAG = "<img src=x onerror=alert(1)>&amp;\"'␛[31m<U+202E>"
FORMULA = '=HYPERLINK("http://there.invalid")'
SITE = {
    **ROWS,
    "site": [Setting(key="currency", value="EUR")],
    "parts": [*ROWS["parts"], Part(part=FORMULA, description=TAG, unit_cost=2.5, min_stock=4)],
    "offers": [*ROWS["offers"], Offer(supplier="S1", part=FORMULA, likely=10.0, unit_price=2.0)],
    "cranes": [*ROWS["cranes"], Crane(crane="C2", down_cost_per_day=700.0)],
    "functions": [*ROWS["functions"], Function(crane="C2", function="travel", lost_share=0.5)],
    "positions": [*ROWS["positions"], Position(crane="C2", position="drive", part="DRIVE"),
                  Position(crane="C1", position="=1+1", part=FORMULA, failures_per_year=12.0)],
    "needs": [*ROWS["needs"], Need(crane="C2", item="travel", needs="drive"),
              Need(crane="C1", item="hoist", needs="=1+1")],
    "notices": [Notice(part="DRIVE", supplier="S1", notice_on=LAST_MONTH, kind="discontinuance",
                       last_buy_on=date(2027, 3, 1))],
    "movements": [*ROWS["movements"], opening(FORMULA, 2),
                  opening(FORMULA, 1, condition="quarantine")],
}  # fmt: skip
Rows = list[tuple[Any, ...]]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site and its report of each kind, the workbook with the plan of a budget."""
    place = tmp_path_factory.mktemp("report")
    fill(str(place / "site.db"), SITE)
    for name, more in (("out.html", []), ("out.xlsx", ["--budget", "4000"])):
        words = ["report", str(place / name), "--db", str(place / "site.db"), "--today", DAY, *more]
        assert main(words) == 0
    return place


@pytest.fixture(scope="module")
def sheets(folder: Path) -> dict[str, Rows]:
    """The rows of each document below its titles."""
    book = openpyxl.load_workbook(folder / "out.xlsx")
    found = {}
    for sheet in book.worksheets:
        head = int(str(sheet.freeze_panes)[1:]) if sheet.freeze_panes else 1
        found[sheet.title] = list(sheet.iter_rows(min_row=head, values_only=True))
    return found


@pytest.fixture(scope="module")
def page(folder: Path) -> str:
    return (folder / "out.html").read_text("utf-8")


def asked(say: Say, folder: Path, *words: str) -> Any:
    return say(*words, "--db", folder / "site.db", "--today", DAY, "--json").document


def known(value: object) -> object:
    return "not known" if value is None else pytest.approx(value, rel=1e-14)


def test_the_fleet_and_the_risks_are_those_of_the_answers(
    say: Say, folder: Path, sheets: dict[str, Rows]
) -> None:
    worst: dict[str, Any] = {}
    for each in asked(say, folder, "outage")["positions"]:  # the worst of each crane comes first
        worst.setdefault(each["crane"], each)
    risks = asked(say, folder, "risks")["parts"]

    assert worst["C2"]["lost_days"] < worst["C2"]["restore_days"]
    assert [(row[0], row[3], row[8], row[10], row[11]) for row in sheets["Fleet"]] == [
        (crane, each["position"], known(each["restore_days"]), known(each["lost_days"]),
         known(each["cost"]))
        for crane, each in worst.items()
    ]  # fmt: skip
    assert [(row[0], row[3], row[4]) for row in sheets["Long poles"]] == [
        (crane, step["step"], known(step["days"]))
        for crane, each in worst.items()
        for step in each["long_pole"]
    ]
    assert [(row[1], row[4], row[5], row[6]) for row in sheets["Risks"]] == [
        (each["part"], known(each["exposure_days"]), known(each["exposure_cost"]),
         known(each["supply_score"]))
        for each in risks
    ]  # fmt: skip


def test_what_to_order_and_to_ask_is_that_of_the_answers(
    say: Say, folder: Path, sheets: dict[str, Rows]
) -> None:
    purchases = asked(say, folder, "purchases")
    plan = asked(say, folder, "buy", "--budget", "4000")

    assert [(row[0], row[3], row[8], row[9]) for row in sheets["Last days to order"]] == [
        (each["part"], datetime.fromisoformat(each["order_by"]), each["quantity"],
         known(each["cost"]))
        for each in purchases["deadlines"]
    ]  # fmt: skip
    assert [(row[0], row[2], row[4]) for row in sheets["Reorder list"]] == [
        (each["part"], each["usable"], each["below"])
        for each in purchases["parts"]
        if each["below"] is not None
    ]
    assert [(row[0], row[2], row[4]) for row in sheets["To order now"]] == [
        (each["part"], each["order_now"], known(each["cost"]))
        for each in purchases["parts"]
        if each["order_now"]
    ]
    assert [(row[0], row[6]) for row in sheets["Late orders"]] == [
        (each["order"], each["days_overdue"]) for each in purchases["orders"]
    ]
    assert [row[4] for row in sheets["Enquiries"]] == [
        line["sentence"] for each in purchases["suppliers"] for line in each["lines"]
    ]
    assert plan["lines"]
    assert [(row[0], row[2], row[4], row[5].date().isoformat()) for row in sheets["Plan"]] == [
        (each["part"], each["qty"], known(each["cost"]), each["order_by"])
        for each in plan["lines"]
    ]  # fmt: skip


def test_findings_and_rounds_are_those_of_the_answers(
    say: Say, folder: Path, sheets: dict[str, Rows]
) -> None:
    waiting = asked(say, folder, "today")["storeroom"]["lines"]

    assert [(row[0].split()[1], row[4], row[6]) for row in sheets["Findings"]] == [
        (each["severity"], each["text"], each["source"])
        for each in asked(say, folder, "check")["findings"]
    ]
    for title, kinds in (("Shelf-life pull list", {"shelf_life"}), ("Set aside", {"quarantine"})):
        told = [each["sentence"] for each in waiting if each["kind"] in kinds]
        assert told
        assert [row[3] for row in sheets[title]] == told


def test_the_stock_statement_tells_parts_without_a_cost(sheets: dict[str, Rows], page: str) -> None:
    """4 x 310 + 1 x 2,600 + 5 x 85 + 3 x 2.50 = 1,240 + 2,600 + 425 + 7.50 = 4,272.50; of the last
    one is in quarantine, of the seals, which have no cost, two of five have expired."""
    assert sheets["Stock statement"] == [
        ("-K1/2", "=relay", "@crib", 2, 2, "not known", "not known"),
        (FORMULA, SHOWN_TAG, "main", 3, 2, 2.5, 7.5),
        ("COIL", "brake coil, 230 V", "main", 4, 4, 310, 1240),
        ("DRIVE", "drive", "main", 1, 1, 2600, 2600),
        ("LINING", "lining set", "main", 5, 5, 85, 425),
        ("SEAL", None, "main", 5, 3, "not known", "not known"),
        ("total of what has a cost", None, None, None, None, None, 4272.5),
    ]
    assert "2 parts have no cost on record" in page
    assert "In all 4,272.50 EUR." in page


def test_each_part_in_store_tells_where_it_sits(sheets: dict[str, Rows]) -> None:
    assert ("COIL", "brake coil, 230 V", "C1", 1, "brake/coil") in sheets["Where used"]
    assert [row[2:] for row in sheets["Where used"] if row[0] == "DRIVE"] == [
        ("C1", 1, "drive"),
        ("C2", 1, "drive"),
    ]
    assert ("SEAL", None, "in no crane in use", 0, None) in sheets["Where used"]


def test_no_cell_of_the_workbook_is_a_formula_or_a_link(folder: Path) -> None:
    with zipfile.ZipFile(folder / "out.xlsx") as parts:
        names = [name for name in parts.namelist() if "worksheets/" in name]
        cells = "".join(parts.read(name).decode() for name in names)

    assert cells.count('t="inlineStr"') > 100
    assert re.search(r"=HYPERLINK\(&quot;|=HYPERLINK\(\"", cells)
    assert re.search(r"<f[ >/]|<hyperlink", cells) is None
    assert not any("_rels" in name for name in names)


class _Tags(HTMLParser):
    """The tags of a page with their attributes, and its text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: set[str] = set()
        self.named: set[str] = set()
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.add(tag)
        self.named |= {name for name, _ in attrs}

    def handle_data(self, data: str) -> None:
        self.text += data


def test_the_page_shows_hostile_texts_and_fetches_nothing(page: str) -> None:
    tags = _Tags(page)

    assert SHOWN_TAG in tags.text
    assert FORMULA in tags.text
    assert tags.found <= {
        "html", "head", "meta", "title", "style", "body", "h1", "h2", "p", "nav", "a", "section",
        "table", "thead", "tbody", "tr", "th", "td",
    }  # fmt: skip
    assert not tags.named & {"src", "onerror", "style"}
    assert re.findall(r'href="(?!#d\d)|url\(|@import', page) == []
    assert "default-src 'none'" in page


def test_every_document_bears_the_caution_its_day_and_the_first_page_the_seal(
    folder: Path, page: str, sheets: dict[str, Rows]
) -> None:
    first, *sections = page.split("<section")
    text = [_Tags(f"<p{section}").text for section in sections]

    assert len(text) == len(sheets) - 2  # the first sheet is the head, and the plan is only there
    assert all(IN_SHORT in each and f"as known on {DAY}" in each for each in text)
    assert all(caution in first for caution in IN_FULL)
    assert copies.verify(str(folder / "site.db")).seal in first


def test_the_same_site_gives_the_same_bytes_and_json_tells_what_was_written(
    say: Say, folder: Path, tmp_path: Path
) -> None:
    for name, more in (("out.html", []), ("out.xlsx", ["--budget", "4000"])):
        again = tmp_path / name
        told = asked(say, folder, "report", str(again), *more)

        assert again.read_bytes() == (folder / name).read_bytes()
        assert told["written"] == str(again)
        rows = {each["title"]: each["rows"] for each in told["documents"]}
        assert (rows["Stock statement"], "Plan" in rows) == (6, bool(more))


def test_a_name_that_is_taken_or_of_another_kind_is_refused(
    say: Say, folder: Path, tmp_path: Path
) -> None:
    database = fill(str(tmp_path / "base.xlsx"))
    (tmp_path / "old.html").write_text("mine", "utf-8")
    (tmp_path / "folder.html").mkdir()
    (tmp_path / "link.html").symlink_to(tmp_path / "nowhere.html")
    before = sorted(os.listdir(tmp_path)), Path(database).read_bytes()
    reasons = {
        "base.xlsx": "is there already",
        "old.html": "is there already",
        "folder.html": "is there already",
        "link.html": "is there already",
        "out.pdf": "must end in .html or .xlsx",
        "html": "must end in .html or .xlsx",
        "none/out.html": "no such folder",
    }
    for name, reason in reasons.items():
        said = say("report", tmp_path / name, "--db", database, "--today", DAY)
        assert (said.status, said.out, said.err.count("\n")) == (2, "", 1)
        assert reason in said.err
    assert (sorted(os.listdir(tmp_path)), Path(database).read_bytes()) == before
    assert (tmp_path / "old.html").read_text("utf-8") == "mine"


def test_a_disk_that_refuses_leaves_nothing_and_a_site_without_positions_has_no_report(
    say: Say, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bare = fill(str(tmp_path / "bare.db"), {name: [] for name in ROWS})
    nothing = say("report", tmp_path / "out.html", "--db", bare, "--today", DAY)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    words = ("--db", folder / "site.db", "--today", DAY)
    refused = say("report", tmp_path / "out.html", *words)

    assert (nothing.status, nothing.err) == (1, "")
    assert (refused.status, refused.out) == (2, "")
    assert "No space left on device" in refused.err
    assert os.listdir(tmp_path) == ["bare.db"]


def test_a_text_that_no_cell_holds_is_refused_and_never_cut() -> None:
    paper = Paper(reader="x", title="Long", columns=(Column("a"), Column("b")),
                  rows=(("y" * 32_768, 1),), nothing="")  # fmt: skip
    report = Report(database="d", today=date(2026, 11, 25), currency=None, cranes=1, positions=1,
                    seal="0-", papers=(paper,))  # fmt: skip

    with pytest.raises(TooMuchForASheet, match="cannot hold all of Long"):
        sheets_bytes(report)
