"""The whole pit: what the layout finds and what the reports on it find, together.

The layout knows nothing of the fire; a person wants one list, worst first.
"""

from __future__ import annotations

import dataclasses

from pitwright.findings import Finding, worst_first
from pitwright.fire.of_pit import report_of
from pitwright.layout.model import Pit
from pitwright.shop.nesting import nest_findings, plan_plates
from pitwright.strength.standing import stand


def all_findings(pit: Pit) -> tuple[Finding, ...]:
    """Findings of the layout, of the fire, of how it stands and of its plates, worst first."""
    known = set(pit.findings)
    more = (*report_of(pit).findings, *stand(pit).findings, *nest_findings(plan_plates(pit)))
    return worst_first((*pit.findings, *(f for f in more if f not in known)))


def with_all_findings(pit: Pit) -> Pit:
    """The same pit with every finding on it: what the cover, the record and the terminal show."""
    return dataclasses.replace(pit, findings=all_findings(pit))
