"""Run the tests, all of them or those that pytest's own arguments choose."""

import house


def main(arguments: list[str]) -> int:
    """Hand the arguments to pytest in the clone's folder; without any, use all cores."""
    chosen = arguments or ["-n", "auto"]
    return house.hand_over([house.tool("python"), "-m", "pytest", *chosen], cwd=house.ROOT)


if __name__ == "__main__":
    house.script(main)
