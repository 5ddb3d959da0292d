"""The proof run as lines of text and as a JSON document."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from parts.cli.tables import CAUTION, days, table
from parts.records.simulation_answers import SimulationAnswer

FIRST_UNKNOWN = 5


def document(answer: SimulationAnswer) -> dict[str, Any]:
    return {
        "runs": answer.runs,
        "years": answer.years,
        "seed": answer.seed,
        "simulated": asdict(answer.simulated),
        "formula": {"lost_days_per_year": answer.formula_days_per_year},
        "agree": answer.agree,
        "outages": answer.outages,
        "cranes": [
            {
                "crane": each.crane,
                "simulated": asdict(each.simulated),
                "formula": {"lost_days_per_year": each.formula_days_per_year},
                "agree": each.agree,
            }
            for each in answer.cranes
        ],
        "unknown": list(answer.unknown),
        "notes": list(answer.notes),
    }


def lines(answer: SimulationAnswer) -> list[str]:
    """Simulated beside reckoned, crane by crane and in all, and whether they agree."""
    if not answer.cranes:
        return ["No position on any live crane: load a site book first."]
    every = [("all", answer.simulated, answer.formula_days_per_year, answer.agree)]
    every += [
        (each.crane, each.simulated, each.formula_days_per_year, each.agree)
        for each in answer.cranes
    ]
    rows = (
        (name, days(found.lost_days_per_year), f"{days(found.low)} - {days(found.high)}",
         days(formula), "agrees" if agree else "differs")
        for name, found, formula, agree in every
    )  # fmt: skip
    header = ("crane", "simulated", "95 % within", "formula", "within 2 %")
    word = "agrees" if answer.agree else "DIFFERS"
    told = [
        f"Lost days a year in {answer.runs:,} runs of {answer.years:g} years (seed "
        f"{answer.seed}), {answer.outages:,} outages. The formula {word} with the simulation.",
        *table(header, rows, "lrrrl"),
        "Of many cranes one in twenty lies outside its limits by chance alone.",
    ]
    if answer.unknown:
        more = len(answer.unknown) - FIRST_UNKNOWN
        some = ", ".join(answer.unknown[:FIRST_UNKNOWN]) + (f" and {more} more" if more > 0 else "")
        told.append(f"Not known and counted as 0 on both sides: {some}.")
    told += [f"Note: {note}." for note in answer.notes]
    return [*told, "", CAUTION]
