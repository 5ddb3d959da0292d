"""The gate before a workbook is opened: what cannot be a site book never reaches the reader.

Looks at the archive alone: sizes, names, real bytes while unpacking, and document types, by which
a small XML part can grow without bound. Writes nothing. Invariant: time and memory stay bounded
whatever the bytes are.
"""

from __future__ import annotations

import io
import re
import zipfile
from html import unescape
from pathlib import Path
from typing import NamedTuple

from parts.errors import UnusableBook
from parts.records.shown import shown

MB = 1_000_000
LARGEST_WORKBOOK = 50 * MB
MOST_MEMBERS = 2_000
LARGEST_MEMBER = 200 * MB
LARGEST_SUM = 400 * MB
LARGEST_RATIO = 200
SMALL_MEMBER = 10 * MB  # below this any ratio is harmless

_BLOCK = 1 << 20
_DOCTYPE = tuple("<!DOCTYPE".encode(code) for code in ("utf-8", "utf-16-le", "utf-16-be"))
_LONGEST_MARK = max(map(len, _DOCTYPE))
_ENCODING = re.compile(rb"""^(?:\xef\xbb\xbf)?\s*<\?xml[^>]*\bencoding\s*=\s*["']([^"']*)""")
_ENCODINGS = {b"utf-8", b"utf-16", b"us-ascii", b"ascii"}


class Gated(NamedTuple):
    """A workbook that may be opened."""

    content: bytes
    unpacked_bytes: int


def gated(source: Path) -> Gated:
    """The bytes of a workbook that may be opened, and how many it unpacks to.

    Raises:
        UnusableBook: it is none, or would unpack to too much, or holds what no site book needs.
    """
    return _Gate(source).passed()


def sheet_names(source: Path) -> list[str]:
    """The names of the sheets of a workbook, read without opening it."""
    content = gated(source).content
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        try:
            text = archive.read("xl/workbook.xml").decode()
        except (KeyError, UnicodeDecodeError):
            raise UnusableBook(shown(str(source)), "it lists no sheets") from None
    return [unescape(name) for name in re.findall(r'<sheet\b[^>]*?\bname="([^"]*)"', text)]


class _Gate:
    def __init__(self, source: Path) -> None:
        self.source = source

    def refuse(self, why: str) -> UnusableBook:
        return UnusableBook(shown(str(self.source)), why)

    def passed(self) -> Gated:
        with self.source.open("rb") as opened:
            content = opened.read(LARGEST_WORKBOOK + 1)
        if len(content) > LARGEST_WORKBOOK:
            raise self.refuse(f"it is larger than {LARGEST_WORKBOOK // MB} MB")
        self._refuse_other_kinds(content)
        try:
            with zipfile.ZipFile(io.BytesIO(content)) as archive:
                self._check_directory(archive.infolist())
                unpacked = 0
                for member in archive.infolist():
                    unpacked += self._check_member(archive, member, LARGEST_SUM - unpacked)
        except UnusableBook:
            raise
        except Exception:  # a broken archive fails in a dozen ways, all one to us
            raise self.refuse("it is damaged or cut short; save it again") from None
        return Gated(content, unpacked)

    def _refuse_other_kinds(self, content: bytes) -> None:
        if not content:
            raise self.refuse("it is empty")
        if content.startswith(b"\xd0\xcf\x11\xe0"):
            raise self.refuse("it is protected by a password, or an old .xls; save it as .xlsx")
        if content.lstrip()[:1] == b"<":
            raise self.refuse("it is a web page or XML, not a workbook; save it as .xlsx")
        if not content.startswith(b"PK"):
            raise self.refuse("it is not a workbook, whatever its name says; save it as .xlsx")

    def _check_directory(self, members: list[zipfile.ZipInfo]) -> None:
        if len(members) > MOST_MEMBERS:
            raise self.refuse(f"it has more than {MOST_MEMBERS:,} parts")
        names = {member.filename.casefold() for member in members}
        if len(names) != len(members):
            raise self.refuse("it holds two parts of one name")
        for member in members:
            path = member.filename.replace("\\", "/")
            if path.startswith("/") or ".." in path.split("/") or ":" in path:
                raise self.refuse("it holds a part that points outside of it")
            if member.flag_bits & 1:
                raise self.refuse("it is protected by a password; save it without one")
            self._check_size(member)
        if sum(member.file_size for member in members) > LARGEST_SUM:
            raise self.refuse(f"it unpacks to more than {LARGEST_SUM // MB} MB")
        if "xl/workbook.bin" in names:
            raise self.refuse("it is an .xlsb; save it as .xlsx")

    def _check_size(self, member: zipfile.ZipInfo) -> None:
        if member.file_size > LARGEST_MEMBER:
            raise self.refuse(f"a part of it unpacks to more than {LARGEST_MEMBER // MB} MB")
        packed = max(member.compress_size, 1)
        if member.file_size > SMALL_MEMBER and member.file_size > LARGEST_RATIO * packed:
            raise self.refuse("it unpacks to far more than it is large")

    def _check_member(self, archive: zipfile.ZipFile, member: zipfile.ZipInfo, room: int) -> int:
        """Unpack one part and count: what the directory says may be a lie."""
        unpacked, tail = 0, b""
        with archive.open(member) as part:
            while block := part.read(_BLOCK):
                if not unpacked:
                    self._check_encoding(block)
                unpacked += len(block)
                if unpacked > min(room, LARGEST_MEMBER):
                    raise self.refuse("it unpacks to more than it says")
                window = tail + block
                if any(mark in window for mark in _DOCTYPE):
                    raise self.refuse("it defines XML entities, which no site book needs")
                tail = window[-_LONGEST_MARK:]
        return unpacked

    def _check_encoding(self, block: bytes) -> None:
        """Only encodings in which the search for document types sees what a reader sees."""
        found = _ENCODING.match(block)
        if found and found.group(1).lower() not in _ENCODINGS:
            raise self.refuse("a part of it is not in UTF-8; save it again")
