"""What can be typed after `longpole`."""

from __future__ import annotations

import argparse
import datetime
import os
from collections.abc import Sequence
from typing import NoReturn

from parts.cli import (
    commands,
    copy_commands,
    picture_commands,
    report_commands,
    what_if_commands,
)
from parts.cli.stock_arguments import add_stock_commands
from parts.errors import LongpoleError
from parts.records.settings import plain_day, plain_number
from parts.records.today_answers import HEADINGS

DATABASE_VARIABLE = "LONGPOLE_DB"
DEFAULT_DATABASE = "longpole.db"
CAUTION = (
    "A planning aid only: no inspection and no permission to run. Qualified persons decide under "
    "the local code."
)


class WrongUse(LongpoleError):
    def __init__(self, what: str, command: str) -> None:
        super().__init__(f"{what} (`{command} --help` tells what is possible)")


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise WrongUse(message, self.prog)


def parse(arguments: Sequence[str]) -> argparse.Namespace:
    """Options with their defaults filled in; `command` is the function that carries it out."""
    options = _parser().parse_args(arguments)
    fallback = os.environ.get(DATABASE_VARIABLE) or DEFAULT_DATABASE
    options.db = getattr(options, "db", fallback)
    options.today = getattr(options, "today", None) or _today()
    options.json = getattr(options, "json", False)
    return options


def command_names() -> tuple[str, ...]:
    """The words that can follow `longpole`."""
    choices = (action.choices for action in _parser()._actions if action.choices)
    return tuple(name for found in choices for name in found)


def _today() -> datetime.date:
    """The one place where the calendar is read."""
    return datetime.datetime.now().astimezone().date()


def _parser() -> _Parser:
    common = _common()
    parser = _Parser(
        prog="longpole",
        description="Which part would leave which overhead crane down longest, and why. "
        "Without a command: the screens.",
        epilog=CAUTION,
        parents=[common],
        allow_abbrev=False,
    )
    parser.add_argument("--no-mouse", action="store_true", help="leave the mouse to the terminal")
    parser.set_defaults(command=commands.screens)
    words = parser.add_subparsers(metavar="COMMAND", parser_class=_Parser)

    def command(name: str, does: commands.Command, says: str) -> argparse.ArgumentParser:
        added = words.add_parser(
            name, help=says, description=says, epilog=CAUTION, parents=[common], allow_abbrev=False
        )
        added.set_defaults(command=does)
        return added

    _add_book_commands(command)
    _add_questions(command)
    _add_risk_questions(command)
    _add_what_if(command)
    _add_purchase_questions(command)
    _add_copy_commands(command)
    add_stock_commands(command, _day)
    _add_pictures(command, common)
    return parser


def _add_book_commands(command: commands.AddCommand) -> None:
    load = command("load", commands.load, "load a site book, all or nothing")
    load.add_argument("book", metavar="BOOK", help="a folder of CSV files, or one .xlsx workbook")
    load.add_argument(
        "--dry-run", action="store_true", help="list every fault and change, write nothing"
    )
    save = command("save", commands.save, "write everything as a site book")
    save.add_argument("book", metavar="BOOK", help="a folder, or a file name ending in .xlsx")
    command("demo", commands.demo, "load the invented demo site into a new database")
    command("roles", commands.roles, "on a server: set up who may do what, and tell it")


def _add_copy_commands(command: commands.AddCommand) -> None:
    backup = command("backup", copy_commands.backup, "copy the database whole, and check the copy")
    backup.add_argument(
        "target", nargs="?", metavar="FILE", help="a new file (one beside it, named by the day)"
    )
    restore = command("restore", copy_commands.restore, "put a copy back; what it replaces is kept")
    restore.add_argument("copy", metavar="COPY", help="what `longpole backup` made")
    verify = command(
        "verify", copy_commands.verify, "whether all is as it was entered; which row is not"
    )
    verify.add_argument("--seal", metavar="SEAL", help="hold it against a seal that was printed")


def _add_questions(command: commands.AddCommand) -> None:
    outage = command("outage", commands.outage, "restore days, lost days and long poles")
    outage.add_argument("--crane", metavar="C", help="this crane only")
    outage.add_argument(
        "--fail", nargs="+", metavar="C/POSITION", help="these positions fail together"
    )
    outage.add_argument(
        "--order", type=_count, default=2, metavar="N", help="size of the cut sets looked for (2)"
    )
    outage.add_argument(
        "--confident", action="store_true", help="restore days at the site's confidence too"
    )
    outage.add_argument("--all", action="store_true", help="every position, not the first 20")
    lead_time = command("leadtime", commands.lead_time, "every way to get a part, and how soon")
    lead_time.add_argument("part", metavar="PART")
    lead_time.add_argument("--qty", type=_count, default=1, metavar="N", help="units wanted (1)")
    explain = command("explain", commands.explain, "how a figure came about, term by term")
    explain.add_argument("subject", metavar="PART-or-C/POSITION")
    find = command("find", commands.find, "find anything by any of its numbers, names or words")
    find.add_argument("text", nargs="+", metavar="TEXT", help="whatever somebody calls it")
    find.add_argument("--all", action="store_true", help="every hit, not the first 20")
    check = command("check", commands.check, "what a careful person would want to know")
    check.add_argument("--all", action="store_true", help="every finding, not the first 20")


def _add_risk_questions(command: commands.AddCommand) -> None:
    risks = command("risks", commands.risks, "the parts ranked, with drivers and how firm that is")
    risks.add_argument("--top", type=_count, metavar="N", help="the first so many (20)")
    risks.add_argument(
        "--by",
        choices=("exposure", "supply"),
        default="exposure",
        help="what ranks them (exposure)",
    )
    risks.add_argument("--all", action="store_true", help="every part")
    likely = command("likely", commands.likely, "rates, lives, demand, duty, how long obtainable")
    likely.add_argument("--all", action="store_true", help="every line, not the first 20")


def _add_what_if(command: commands.AddCommand) -> None:
    added = command(
        "whatif", what_if_commands.what_if, "today beside what would be; nothing is written"
    )
    asked = added.add_mutually_exclusive_group(required=True)
    asked.add_argument("--fail", nargs="+", metavar="C/POSITION", help="these fail together")
    asked.add_argument("--close", metavar="SUPPLIER", help="this supplier closes")
    asked.add_argument(
        "--quote",
        nargs=3,
        metavar=("SUPPLIER", "PART", "DAYS"),
        help="this supplier delivers this part in so many days",
    )
    asked.add_argument(
        "--hours-factor", type=_amount, metavar="F", help="so many times the hours a year"
    )
    asked.add_argument(
        "--km", type=_amount, metavar="K", help="loads of this load-spectrum factor or more"
    )
    asked.add_argument(
        "--spare", nargs="+", metavar=("PART", "N"), help="so many units more are bought (1)"
    )
    asked.add_argument("--upgrade", nargs="+", metavar="U", help="these upgrades are done")
    asked.add_argument("--retire", metavar="CRANE", help="this crane is out for good")
    added.add_argument("--all", action="store_true", help="every position, not the first 20")


def _add_purchase_questions(command: commands.AddCommand) -> None:
    last_buy = command("lastbuy", commands.last_buy, "how many to take in a last-time buy")
    last_buy.add_argument("part", metavar="PART")
    last_buy.add_argument("--until", type=_day, metavar="DATE", help="needed until this day")
    purchases = command(
        "purchases", commands.purchases, "deadlines, what to reorder, late orders, enquiries"
    )
    purchases.add_argument("--all", action="store_true", help="every part to reorder")
    today = command("today", commands.today, "what needs storeroom, maintenance lead, purchasing")
    today.add_argument(
        "--for", dest="person", choices=tuple(HEADINGS), help="this person only (all three)"
    )
    buy = command("buy", commands.buy, "what to buy, by when, for a budget; the frontier")
    aim = buy.add_mutually_exclusive_group(required=True)
    aim.add_argument("--budget", type=_amount, metavar="X", help="money for purchases")
    aim.add_argument(
        "--lost-days", type=_amount, metavar="X", help="the least plan that leaves so many a year"
    )
    aim.add_argument(
        "--share", type=_amount, metavar="X", help="... that leaves this share of cranes' time lost"
    )
    compare = command("compare", commands.compare, "upgrades against spares over the years")
    compare.add_argument(
        "--budget", type=_amount, metavar="X", help="money for both (none: no limit, no spares)"
    )
    compare.add_argument(
        "--years", type=_count, metavar="N", help="years to weigh (the site's horizon_years)"
    )
    compare.add_argument("--all", action="store_true", help="every choice, not the first 20")
    forecast = command("forecast", commands.forecast, "exposure by year, as is and with the plan")
    forecast.add_argument("--years", type=_count, required=True, metavar="N", help="years to come")
    forecast.add_argument("--budget", type=_amount, metavar="X", help="with the plan of a budget")
    report = command("report", report_commands.report, "one file with the documents to hand over")
    report.add_argument("target", metavar="OUT.html|OUT.xlsx", help="a new file, its kind by name")
    report.add_argument("--budget", type=_amount, metavar="X", help="with the plan of a budget")
    simulate = command("simulate", commands.simulate, "a simulated fleet beside the formulas")
    simulate.add_argument("--plan", metavar="FILE", help="carry out what `buy --json` wrote")
    simulate.add_argument("--runs", type=_count, default=200, metavar="N", help="runs (200)")
    simulate.add_argument("--years", type=_count, default=10, metavar="N", help="years each (10)")
    simulate.add_argument("--seed", type=_count, default=1, metavar="N", help="seed (1)")


def _add_pictures(command: commands.AddCommand, common: _Parser) -> None:
    picture = command("picture", picture_commands.heat, "what the screens draw, as figures")
    kinds = picture.add_subparsers(metavar="PICTURE", required=True, parser_class=_Parser)

    def kind(name: str, does: commands.Command, says: str) -> argparse.ArgumentParser:
        added = kinds.add_parser(
            name, help=says, description=says, epilog=CAUTION, parents=[common], allow_abbrev=False
        )
        added.set_defaults(command=does)
        added.add_argument("--all", action="store_true", help="every line, not the first 20")
        return added

    heat = kind("heat", picture_commands.heat, "exposure by crane and system")
    heat.add_argument("--by", choices=("function", "class"), default="function",
                      help="what the systems are (function)")  # fmt: skip
    heat.add_argument("--unit", choices=("money", "days"), default="money", help="(money)")
    years = kind("years", commands.forecast, "exposure by year, as is and with a plan")
    years.add_argument("--years", type=_count, default=10, metavar="N", help="years to come (10)")
    years.add_argument("--budget", type=_amount, metavar="X", help="with the plan of a budget")
    kind("leadtimes", picture_commands.lead_times, "what suppliers promised and what they took")
    ages = kind("ages", picture_commands.ages, "ages of what is fitted against expected lives")
    ages.add_argument("--part", metavar="PART", help="where this part is fitted only")
    needs = kind("needs", picture_commands.needs, "what a crane hangs on, what a failure kills")
    needs.add_argument("crane", metavar="CRANE")
    needs.add_argument(
        "--fail", nargs="+", default=[], metavar="POSITION", help="these positions of it fail"
    )


def _common() -> _Parser:
    common = _Parser(add_help=False, argument_default=argparse.SUPPRESS)
    common.add_argument(
        "--db", metavar="FILE-or-URL",
        help=f"the database (${DATABASE_VARIABLE}, else {DEFAULT_DATABASE} in this folder)",
    )  # fmt: skip
    common.add_argument("--today", type=_day, metavar="YYYY-MM-DD", help="answer as of this day")
    common.add_argument("--json", action="store_true", help="one JSON document")
    return common


def _day(text: str) -> datetime.date:
    try:
        return plain_day(text)
    except ValueError as wrong:
        raise argparse.ArgumentTypeError(f"'{text}' {wrong}") from None


def _amount(text: str) -> float:
    try:
        value = plain_number(text)
    except ValueError as wrong:
        raise argparse.ArgumentTypeError(f"'{text}' {wrong}") from None
    if value < 0.0:
        raise argparse.ArgumentTypeError(f"'{text}' is negative")
    return abs(value)  # -0 is 0


def _count(text: str) -> int:
    if not (text.isascii() and text.isdigit() and int(text[:10]) > 0 and len(text) < 10):
        raise argparse.ArgumentTypeError(
            f"'{text}' is not a whole number above 0 and below a billion"
        )
    return int(text)
