"""Check everything with one command: form, lint, types, import contracts, tests.

Runs all of them whatever fails, and says at the end which did; --quick leaves the tests out.
"""

import sys
from contextlib import nullcontext

import house
import postgres

CHECKS = {
    "form": ["ruff", "format", "--check", "."],
    "lint": ["ruff", "check", "."],
    "types": ["mypy"],
    "imports": ["lint-imports"],
    "tests": ["pytest"],
}


def main(arguments: list[str]) -> int:
    """Run every check and return 1 when one of them failed."""
    if not set(arguments) <= {"--quick"}:
        house.say("usage: check.py [--quick]")
        return 2
    names = [name for name in CHECKS if name != "tests" or not arguments]
    with postgres.beside_a_server() if "tests" in names else nullcontext():
        failed = [name for name in names if _fails(name)]
    print("\n== " + (f"FAILED: {', '.join(failed)}" if failed else f"all well: {', '.join(names)}"))
    return 1 if failed else 0


def _fails(name: str) -> bool:
    program, *arguments = CHECKS[name]
    print(f"\n== {name}: {program} {' '.join(arguments)}")
    sys.stdout.flush()
    return house.hand_over([house.tool(program), *arguments], cwd=house.ROOT) != 0


if __name__ == "__main__":
    house.script(main)
