"""Show longpole on the invented demo site: the screens at a terminal, else the ranking.

Arguments are handed to longpole, with the demo database where they name none.
"""

import sys
from pathlib import Path

import house

DEMO = house.ROOT / "demo.db"


def main(arguments: list[str]) -> int:
    """Run longpole on the demo database, which is made when it is missing."""
    longpole = house.tool("longpole")
    if any(argument.split("=")[0] == "--db" for argument in arguments):
        return house.hand_over([longpole, *arguments])
    status = 0 if DEMO.exists() else _load_demo(longpole)
    return status or house.hand_over([longpole, *(arguments or _opening()), "--db", DEMO])


def _opening() -> list[str]:
    at_terminal = sys.stdin.isatty() and sys.stdout.isatty()
    return [] if at_terminal else ["outage"]


def _load_demo(longpole: Path) -> int:
    house.say("Loading the invented demo site into demo.db ...")
    status = house.hand_over([longpole, "demo", "--db", DEMO])
    if status:
        for half_made in DEMO.parent.glob(f"{DEMO.name}*"):
            half_made.unlink()
    return status


if __name__ == "__main__":
    house.script(main)
