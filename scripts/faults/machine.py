"""Steps in any order through the program's services, each compared with a dictionary.

Receipts, returns, issues, scrap, transfers, counts, the same key again, a key with other contents,
undoing once and twice, altered copies. At the end of each run the ledger is verified, saved
as a site book and loaded elsewhere. Ends with status 1 at the first difference.

Usage: machine.py [STEPS]
"""

from __future__ import annotations

import sys

from tests.faults.ledger_machine import run


def main(arguments: list[str]) -> int:
    told = run(int(arguments[0]) if arguments else 10_000)
    done = ", ".join(f"{count:,} {what}" for what, count in sorted(told.items()))
    print(f"{told.total():,} steps, 0 differences: {done}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
