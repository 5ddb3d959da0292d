"""Copies of the database, and whether it is sound."""

from __future__ import annotations

import argparse
from dataclasses import asdict
from pathlib import Path

from parts.cli.answering import tell
from parts.records.copies import ABOUT_THE_SEAL, Copied, Soundness

SOUND, DAMAGED = 0, 1


def backup(options: argparse.Namespace) -> int:
    from parts.services import copies

    target = Path(options.target or copies.backup_name(options.db, options.today))
    made = copies.backup(options.db, target)
    return _told(options, made, [f"{made.source} is copied to {made.target}"])


def restore(options: argparse.Namespace) -> int:
    from parts.services import copies

    made = copies.restore(options.copy, options.db)
    lines = [f"{made.target} holds what {made.source} holds"]
    if made.kept is not None:
        lines.append(f"what it held before is kept in {made.kept}")
    return _told(options, made, lines)


def verify(options: argparse.Namespace) -> int:
    from parts.services import copies

    found = copies.verify(options.db, options.seal)
    tell(
        options, {"sound": found.sound, "seal": found.seal} | asdict(found), _soundness_lines(found)
    )
    return SOUND if found.sound else DAMAGED


def _told(options: argparse.Namespace, made: Copied, lines: list[str]) -> int:
    document = asdict(made) | {"sound": made.soundness.sound}
    tell(options, document, [*lines, *_soundness_lines(made.soundness)])
    return SOUND if made.soundness.sound else DAMAGED


def _soundness_lines(found: Soundness) -> list[str]:
    if not found.sound:
        told = [damage.sentence() for damage in found.damage]
        return [*told, f"{found.where} is damaged: put the latest sound copy back"]
    held = f"{found.movements:,} movements in {found.accounts:,} accounts, all as they were entered"
    return [f"{found.where} is sound: {held}", f"seal {found.seal}", ABOUT_THE_SEAL]
