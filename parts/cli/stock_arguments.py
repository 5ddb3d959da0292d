"""What can be typed for a step with the stock: every fact of a step has one word."""

from __future__ import annotations

import argparse
import datetime
import re
from collections.abc import Callable

from parts.cli import stock_commands as does
from parts.cli.commands import AddCommand
from parts.records.stock import CONDITIONS

Day = Callable[[str], datetime.date]
_DIGITS = re.compile(r"\d{1,18}\Z", re.ASCII)
_PLACES = (
    ("--store", "S", "the store (where the part is kept, if that is one)"),
    ("--bin", "B", "the bin in it"),
)


def add_stock_commands(command: AddCommand, day: Day) -> None:
    """Register the commands; `day` reads a date."""
    _add_outward(command, day)
    _add_inward(command, day)
    _add_others(command, day)
    _add_promises(command, day)


def quantity(text: str) -> int:
    """Plain whole ASCII digits; anything else that Python takes for a number is refused."""
    if not _DIGITS.match(text):
        raise argparse.ArgumentTypeError(
            f"'{text}' is not a plain whole number: digits 0 to 9 and nothing else"
        )
    return int(text)


def _add_outward(command: AddCommand, day: Day) -> None:
    issue = _step(command, "issue", does.issue, "take a part out, for a position or a job", day)
    _qty(issue)
    _lot(issue, day, condition=False)
    issue.add_argument("--at", metavar="C/POSITION", help="where it is fitted, or the crane alone")
    issue.add_argument("--for", dest="job", metavar="JOB", help="the job that it is promised to")
    issue.add_argument("--failed", type=day, metavar="DATE", help="what was there failed that day")
    issue.add_argument("--restored", type=day, metavar="DATE", help="... and worked again that day")
    issue.add_argument("--cause", metavar="TEXT", help="why it failed")
    issue.add_argument(
        "--consumed", nargs="+", default=(), metavar="PART", help="what else the repair used up"
    )
    scrap = _step(command, "scrap", does.scrap, "throw stock away; --note says why", day)
    _qty(scrap)
    _lot(scrap, day)
    transfer = _step(command, "transfer", does.transfer, "move stock, or change its state", day)
    _qty(transfer)
    _lot(transfer, day)
    transfer.add_argument("--to-store", metavar="S", help="the store that it goes to")
    transfer.add_argument("--to-bin", metavar="B", help="the bin that it goes to")
    transfer.add_argument("--to-condition", choices=CONDITIONS, help="its state from now on")
    transfer.add_argument("--to-expires", type=day, metavar="DATE", help="its new last day of use")


def _add_inward(command: AddCommand, day: Day) -> None:
    receive = _step(command, "receive", does.receive, "put a delivery away", day)
    _qty(receive, required=True)
    _lot(receive, day)
    receive.add_argument("--order", metavar="O", help="the order that it belongs to")
    receive.add_argument("--over", action="store_true", help="keep more than was ordered")
    receive.add_argument("--certificate", metavar="NO", help="the number of its certificate")
    back = _step(command, "return", does.put_back, "put back what was taken out", day)
    _qty(back)
    _lot(back, day)
    back.add_argument("--at", metavar="C/POSITION", help="where it comes from")


def _add_others(command: AddCommand, day: Day) -> None:
    count = _step(command, "count", does.count, "book what lies on the shelf", day, part="?")
    _qty(count, default=None)
    count.add_argument("--serial", metavar="NO", help="the one unit that is missing, or found")
    count.add_argument("--expires", type=day, metavar="DATE", help="last day of use of what is new")
    count.add_argument("--sheet", metavar="OUT.csv", help="write a blind sheet to count by")
    count.add_argument("--bin-from", metavar="A", help="the sheet begins with this bin")
    count.add_argument("--bin-to", metavar="B", help="the sheet ends with this bin")
    count.add_argument("--entered", metavar="SHEET.csv", help="book a sheet that was filled in")
    _step(command, "care", does.care, "say that stock was turned, re-formed or looked at", day)
    undo = command("undo", does.undo, "undo a step by its key; nothing is ever erased")
    undo.add_argument("undone", metavar="KEY")
    _hand(undo)
    stock = command("stock", does.stock, "what is there of a part, what is free, who moved it")
    stock.add_argument("part", metavar="PART")
    stock.add_argument("--all", action="store_true", help="every movement, not the last 10")


def _add_promises(command: AddCommand, day: Day) -> None:
    reserve = command("reserve", does.reserve, "promise stock to a planned job")
    reserve.add_argument("part", metavar="PART")
    _qty(reserve, required=True)
    reserve.add_argument("--for", dest="job", required=True, metavar="JOB", help="the job")
    reserve.add_argument("--needed", type=day, metavar="DATE", help="when it is needed")
    release = command("release", does.release, "take a promise back")
    release.add_argument("part", metavar="PART")
    release.add_argument("--for", dest="job", required=True, metavar="JOB", help="the job")


def _step(
    command: AddCommand,
    name: str,
    carried_out: Callable[[argparse.Namespace], int],
    says: str,
    day: Day,
    *,
    part: str | None = None,
) -> argparse.ArgumentParser:
    """A command for a step: the part, the place, and who booked it when."""
    added = command(name, carried_out, says)
    added.add_argument("part", nargs=part, metavar="PART")
    for word, letter, helps in _PLACES:
        added.add_argument(word, metavar=letter, help=helps)
    added.add_argument("--on", type=day, metavar="DATE", help="when it was done (today)")
    _hand(added)
    return added


def _hand(added: argparse.ArgumentParser) -> None:
    added.add_argument("--note", metavar="TEXT", help="anything worth keeping")
    added.add_argument("--by", metavar="NAME", help="who did it (your login)")
    added.add_argument("--key", metavar="K", help="asking twice with one key is asking once (new)")


def _qty(
    added: argparse.ArgumentParser, *, required: bool = False, default: int | None = 1
) -> None:
    told = "units" if required or default is None else f"units ({default})"
    added.add_argument(
        "--qty", type=quantity, required=required, default=default, metavar="N", help=told
    )


def _lot(added: argparse.ArgumentParser, day: Day, *, condition: bool = True) -> None:
    """Which of the units."""
    added.add_argument("--serial", metavar="NO", help="the serial number of the unit")
    added.add_argument("--expires", type=day, metavar="DATE", help="last day of use of the lot")
    if condition:
        added.add_argument("--condition", choices=CONDITIONS, help="state of the lot (usable)")
