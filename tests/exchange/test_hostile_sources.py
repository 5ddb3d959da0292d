"""Sources made to harm, or that are no site book at all, end in one sentence, soon and cheaply.

Entity bombs: CWE-776; archives that unpack to too much: CWE-409; names that leave the archive:
CWE-22; document types have no place in a workbook: ECMA-376 part 2, 9.1.4 (no DTD).
"""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import threading
import zipfile
from pathlib import Path
from time import perf_counter
from typing import Any

import pytest

from parts.errors import UnusableBook
from parts.exchange import workbook, workbook_gate
from parts.exchange.reader import read_site_book
from parts.exchange.writer import write_site_book
from tests.exchange.small_book import bare, checked, folder, sentences

SHEET = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
END = "</sheetData></worksheet>"


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The bytes of a workbook that is a site book."""
    place = tmp_path_factory.mktemp("good")
    write_site_book(checked(bare(place / "b")).book, place / "b.xlsx")
    return (place / "b.xlsx").read_bytes()


def altered(good: bytes, place: Path, **parts: str | bytes) -> Path:
    """The workbook with some parts exchanged or added; __ in a name stands for /."""
    named = {name.replace("__", "/") + ".xml": content for name, content in parts.items()}
    path = place / "book.xlsx"
    with (
        zipfile.ZipFile(io.BytesIO(good)) as old,
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, named.pop(name, old.read(name)))
        for name, content in named.items():
            new.writestr(name, content)
    return path


def refusal(source: Path) -> str:
    """Why a source is no site book, found quickly."""
    began = perf_counter()
    with pytest.raises(UnusableBook) as caught:
        read_site_book(source)

    assert perf_counter() - began < 10
    return str(caught.value).partition("cannot be read as a site book: ")[2]


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "it is empty"),
        (b"<html>", "it is a web page or XML, not a workbook; save it as .xlsx"),
        (b"part\nP1\n", "it is not a workbook, whatever its name says; save it as .xlsx"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
            "it is protected by a password, or an old .xls; save it as .xlsx",
        ),
        (b"PK\x03\x04", "it is damaged or cut short; save it again"),
    ],
)
def test_other_files_named_as_workbooks_are_told_apart(
    tmp_path: Path, content: bytes, why: str
) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(content)

    assert refusal(path) == why


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.999])
def test_a_workbook_cut_short_is_refused(tmp_path: Path, good: bytes, share: float) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(good[: int(len(good) * share)])

    assert refusal(path) == "it is damaged or cut short; save it again"


@pytest.mark.parametrize("code", ["utf-8", "utf-16", "utf-16-le", "utf-16-be"])
def test_entity_bombs_are_refused_before_any_xml_is_read(
    tmp_path: Path, good: bytes, code: str
) -> None:
    laughs = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10))
    bomb = f'<?xml version="1.0"?><!DOCTYPE s [<!ENTITY l0 "ha">{laughs}]><sst>&l9;</sst>'
    path = altered(good, tmp_path, xl__sharedStrings=bomb.encode(code))

    assert refusal(path) == "it defines XML entities, which no site book needs"


def test_a_document_type_across_two_blocks_is_seen(tmp_path: Path, good: bytes) -> None:
    filler = " " * (workbook_gate._BLOCK - 4)
    path = altered(good, tmp_path, xl__x=f"{filler}<!DOCTYPE x>")

    assert refusal(path) == "it defines XML entities, which no site book needs"


def test_xml_in_an_encoding_that_could_hide_a_document_type_is_refused(
    tmp_path: Path, good: bytes
) -> None:
    path = altered(good, tmp_path, xl__x='<?xml version="1.0" encoding="UTF-7"?><x/>')

    assert refusal(path) == "a part of it is not in UTF-8; save it again"


def test_an_archive_that_unpacks_to_too_much_is_refused(tmp_path: Path, good: bytes) -> None:
    blank = b" " * 20_000_000
    path = altered(good, tmp_path, xl__x=blank)

    assert refusal(path) == "it unpacks to far more than it is large"


def test_a_directory_that_lies_about_sizes_is_refused(tmp_path: Path, good: bytes) -> None:
    path = altered(good, tmp_path, xl__x=b" " * 20_000_000)
    honest = (20_000_000).to_bytes(4, "little")
    content = path.read_bytes()
    assert content.count(honest) == 2
    path.write_bytes(content.replace(honest, (1_000_000).to_bytes(4, "little")))

    assert refusal(path) == "it is damaged or cut short; save it again"


def test_archives_with_too_many_parts_are_refused(tmp_path: Path, good: bytes) -> None:
    parts = {f"x{n}": b"" for n in range(workbook_gate.MOST_MEMBERS)}

    assert refusal(altered(good, tmp_path, **parts)) == "it has more than 2,000 parts"


@pytest.mark.parametrize("name", ["../x.xml", "/x.xml", "xl/../../x.xml", "..\\x.xml", "C:x.xml"])
def test_names_that_leave_the_archive_are_refused(tmp_path: Path, good: bytes, name: str) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(good)
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(name, "x")

    assert refusal(path) == "it holds a part that points outside of it"


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_two_parts_of_one_name_are_refused(tmp_path: Path, good: bytes) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(good)
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr("XL/Workbook.xml", "x")

    assert refusal(path) == "it holds two parts of one name"


def test_a_part_with_a_password_is_refused(tmp_path: Path, good: bytes) -> None:
    path = tmp_path / "book.xlsx"
    with zipfile.ZipFile(io.BytesIO(good)) as old, zipfile.ZipFile(path, "w") as new:
        for member in old.infolist():
            new.writestr(member.filename, old.read(member))
    content = bytearray(path.read_bytes())
    entry = content.index(b"PK\x01\x02")
    content[entry + 8] |= 1  # general purpose flag, bit 0: encrypted
    path.write_bytes(content)

    assert refusal(path) == "it is protected by a password; save it without one"


def test_a_far_cell_costs_nothing(tmp_path: Path, good: bytes) -> None:
    far = f'{SHEET}<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>{END}'

    assert refusal(altered(good, tmp_path, xl__worksheets__sheet1=far)) == (
        "sheet cranes has more than 200 columns"
    )


def test_rows_beyond_the_limit_are_refused(tmp_path: Path, good: bytes) -> None:
    far = f'{SHEET}<row r="99999999999"><c><v>1</v></c></row>{END}'

    assert refusal(altered(good, tmp_path, xl__worksheets__sheet1=far)) == (
        "sheet cranes has more than 1,000,000 rows"
    )


@pytest.mark.parametrize(
    "row",
    [
        "<c r='A2'><v>abc</v></c>",
        "<c r='A2' t='s'><v>99</v></c>",
        "<c r='A2'><v>1</v></c><c r='A2'><v>2</v></c>",
    ],
)
def test_a_damaged_sheet_is_named(tmp_path: Path, good: bytes, row: str) -> None:
    sheet = f'{SHEET}<row r="1"><c t="str"><v>crane</v></c></row><row r="2">{row}</row>{END}'

    assert refusal(altered(good, tmp_path, xl__worksheets__sheet1=sheet)) == (
        "sheet cranes after row 1 is damaged; save it again"
    )


def test_a_sheet_that_is_no_xml_is_refused(tmp_path: Path, good: bytes) -> None:
    path = altered(good, tmp_path, xl__worksheets__sheet1=f"{SHEET}<row")

    assert refusal(path) == "it is damaged; save it again"


def test_a_giant_cell_is_refused(tmp_path: Path, good: bytes) -> None:
    cell = f'<c t="inlineStr"><is><t>{"x" * 1_000_000}</t></is></c>'
    sheet = f'{SHEET}<row r="1">{cell}</row>{END}'

    assert refusal(altered(good, tmp_path, xl__worksheets__sheet1=sheet)) == (
        "sheet cranes has a cell of more than 32,767 characters"
    )


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such signals and limits")
@pytest.mark.parametrize("how", ["memory", "time", "killed"])
def test_the_death_of_the_reading_process_is_one_sentence(
    tmp_path: Path, good: bytes, how: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(good)
    if how == "memory":
        monkeypatch.setattr(workbook, "MEMORY_BYTES", 1_000)
        assert refusal(path)
        return
    if how == "time":
        monkeypatch.setattr(workbook, "CPU_SECONDS", 0)
    else:
        started = subprocess.Popen

        def shot(*args: Any, **kwargs: Any) -> subprocess.Popen[bytes]:
            child = started(*args, **kwargs)
            os.kill(child.pid, signal.SIGSEGV)
            return child

        monkeypatch.setattr(subprocess, "Popen", shot)

    assert refusal(path).startswith("it could not be read safely; save it again, or as a folder")


class Cancelled(Exception):
    pass


def test_what_progress_raises_ends_the_reading_and_the_child(tmp_path: Path) -> None:
    path = folder(tmp_path / "b")
    rows = "".join(f"P{n}\n" for n in range(25_000))
    (path / "parts.csv").write_text(f"part\n{rows}")
    write_site_book(read_site_book(path).book, tmp_path / "b.xlsx")
    before = threading.active_count()

    def cancel(file: str, row: int) -> None:
        raise Cancelled(f"{file} {row}")

    for source in (path, tmp_path / "b.xlsx"):
        with pytest.raises(Cancelled, match="parts 10000"):
            read_site_book(source, cancel)
    assert threading.active_count() == before


def test_a_source_that_is_not_there_or_no_book_is_told(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "list.csv").write_text("part\n")
    neither = "it is neither a folder of CSV files nor an .xlsx workbook"

    assert refusal(tmp_path / "none") == "there is nothing at that place"
    assert refusal(tmp_path / "empty") == "it holds no file of a site book, such as parts.csv"
    assert refusal(tmp_path / "list.csv") == neither
    assert refusal(tmp_path / "nul\0") == "there is nothing at that place"


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such files")
def test_devices_and_pipes_are_never_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.xlsx")
    (tmp_path / "zero.xlsx").symlink_to("/dev/zero")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    book = bare(tmp_path / "b", parts=None)
    os.mkfifo(book / "parts.csv")
    neither = "it is neither a folder of CSV files nor an .xlsx workbook"

    assert refusal(Path("/dev/zero")) == refusal(tmp_path / "pipe.xlsx") == neither
    assert refusal(tmp_path / "zero.xlsx") == neither
    assert refusal(tmp_path / "loop")
    assert sentences(book) == ["parts.csv: is not a plain file"]


def test_a_file_name_made_to_command_a_terminal_is_shown_harmless(tmp_path: Path) -> None:
    book = bare(tmp_path / "b")
    (book / "\x1b[2J.csv").write_text("x")

    assert sentences(book) == ["␛[2J.csv: is not a file of a site book"]
