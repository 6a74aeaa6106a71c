"""Changes that mend a finding, offered where their effect is sure. The page shows the effect before anything is done."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.bench.documents import Edit
from pitwright.findings import Finding
from pitwright.layout.model import Pit


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A way out of a finding: what it does, in the shop's words, and the changes that do it."""

    label: str
    edits: tuple[Edit, ...]


def offer(pit: Pit, finding: Finding) -> Offer | None:
    """The changes that mend a finding; None where none is sure to."""
    return None
