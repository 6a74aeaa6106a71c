"""A job's coefficients: published, narrowed by the shop's other pits, then by this pit's own burns."""

from __future__ import annotations

from pitwright.fire.calibrate import Calibration, shop_prior
from pitwright.fire.coefficients import Coefficients
from pitwright.job.burns import SavedBurn
from pitwright.job.facts import Job


def calibration_of(burn: SavedBurn) -> Calibration:
    """What a saved burn taught."""
    return Calibration.from_dict(burn.model_dump())


def coefficients_of(job: Job, *, own: bool = True) -> Coefficients:
    """What is known before the next burn. `own`: with this pit's own burns, else with the shop's alone."""
    known = Coefficients()
    if job.burns.shop:
        known = shop_prior(known, [calibration_of(burn) for burn in job.burns.shop])
    if own and job.burns.own:
        for burn in job.burns.own:
            known = calibration_of(burn).apply(known, "learned from this pit's own burns")
    return known


def known_from(job: Job) -> str:
    """Where the figures' bands rest, in one line."""
    own, shop = len(job.burns.own), len(job.burns.shop)
    parts = []
    if own:
        parts.append(f"{own} burn{'s' if own > 1 else ''} of this pit")
    if shop:
        parts.append(f"{shop} other pit{'s' if shop > 1 else ''} of the shop")
    return " and ".join(parts) if parts else "no burn yet: published laws and their ranges"
