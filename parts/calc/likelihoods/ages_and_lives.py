"""The age of the unit at each listed position against the life of its part.

Age and life are in the unit in which the life is counted, years or hours. A part without a life,
and a unit whose start or hours nobody knows, have no place on the scale. Knows nothing of rates:
a constant rate has no expected age.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable

from parts.calc.likelihoods.likelihood import Likelihood
from parts.calc.likelihoods.weibull import age_failed_before
from parts.records.picture_answers import AgeAnswer, AgesAnswer

EARLY, LATE = 0.1, 0.9
HALVES = 5


def ages_against_lives(likelihood: Likelihood, part: str | None = None) -> AgesAnswer:
    """Ages at the listed positions of one part, or of all, the most used up first."""
    parts = likelihood.snapshot.positions.part
    rows: Iterable[int] = likelihood.fleet.listed.tolist()
    found = [_age(likelihood, row) for row in rows if part is None or parts[row] == part]
    found.sort(
        key=lambda each: (each.share is None, -(each.share or 0.0), each.crane, each.position)
    )
    halves = Counter(
        min(HALVES - 1, int(each.share * 2)) for each in found if each.share is not None
    )
    ends = (each.high / each.mean for each in found if each.high and each.mean)
    return AgesAnswer(
        part=part,
        ages=tuple(found),
        counts=Counter(each.stand for each in found),
        by_half_lives=tuple(halves[at] for at in range(HALVES)),
        widest=max((found[0].share or 0.0, *ends)) if found else 0.0,
    )


def _age(likelihood: Likelihood, row: int) -> AgeAnswer:
    positions = likelihood.snapshot.positions
    part = positions.part[row]
    life = None if part is None else likelihood.life(part)
    age = math.nan if life is None else float(likelihood.ages.of(life.basis)[row])
    return AgeAnswer(
        crane=positions.crane[row],
        position=positions.position[row],
        part=part,
        basis=None if life is None else life.basis,
        age=None if math.isnan(age) else age,
        mean=None if life is None else life.mean,
        low=None if life is None else age_failed_before(EARLY, life.shape, life.scale),
        high=None if life is None else age_failed_before(LATE, life.shape, life.scale),
        source=None if life is None else life.source,
        load_bearing=bool(likelihood.fleet.load_bearing[row]),
    )
