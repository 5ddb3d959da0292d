"""Run the tests, all of them or those that pytest's own arguments choose.

Beside a PostgreSQL server of their own where this machine has one; --with-server refuses to go on
without.
"""

import house
import postgres

WITH_SERVER = "--with-server"
ALL_OF_THEM = ["-n", "auto", "--dist", "worksteal"]  # who is done takes what the slower has left


def main(arguments: list[str]) -> int:
    """Hand the arguments to pytest in the clone's folder; without any, use all cores."""
    needed = WITH_SERVER in arguments
    chosen = [word for word in arguments if word != WITH_SERVER] or ALL_OF_THEM
    with postgres.beside_a_server(needed):
        return house.hand_over([house.tool("python"), "-m", "pytest", *chosen], cwd=house.ROOT)


if __name__ == "__main__":
    house.script(main)
