"""What a search found, as lines of text and as JSON."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from parts.cli.tables import table
from parts.records.find_answers import FindAnswer, Hit, Rank


def document(answer: FindAnswer) -> dict[str, Any]:
    return {
        "text": answer.text,
        "total": answer.total,
        "hits": [_hit(each) for each in answer.hits],
        "tried": list(answer.tried),
    }


def _hit(hit: Hit) -> dict[str, Any]:
    opens = {name: value for name, value in asdict(hit.opens).items() if value is not None}
    return {
        "kind": hit.kind.value,
        "name": hit.name,
        "description": hit.description,
        "why": hit.why,
        "rank": hit.rank.value,
        "opens": opens,
    }


def lines(answer: FindAnswer) -> list[str]:
    if not answer.hits:
        tried = [f"  tried: {each}" for each in answer.tried]
        return ["Nothing of that name was found.", *(tried or ["  type letters or digits"])]
    header = ("what", "name", "description", "found by")
    found = table(
        header, ((hit.kind.value, hit.name, hit.description, hit.why) for hit in answer.hits)
    )
    if answer.total > len(answer.hits):
        found.append(f"... and {answer.total - len(answer.hits)} more (--all shows them)")
    if any(hit.rank is Rank.NEAR for hit in answer.hits):
        found.append("Guesses: compare every letter and digit before you rely on one.")
    return [*found, *answer.tried]
