"""Tuning-plate layouts to set side by side: the pit's own, none, and even rows with the gaps shared out differently."""

from __future__ import annotations

from pitwright.fire.case import Deck, FireCase, Gap

_THICK = 0.00635  # m, 1/4 in, where the pit has no plates of its own; common practice, no source
_CLEAR = 0.10  # m under the grate, where it has none; common practice, no source
_OPEN = 0.25  # of the plan is gap


def plate_layouts(case: FireCase, count: int = 6) -> tuple[tuple[str, tuple[Deck, ...]], ...]:
    """(name, plates) of each layout: as it is, none, even gaps, gaps widening and narrowing from the fire.

    count  plates of the rows tried; they leave a quarter of the plan open
    """
    chamber = case.chamber
    own = chamber.decks[0] if chamber.decks else None
    height = own.z if own else max(chamber.z_grate - _CLEAR, chamber.z_low + 0.5 * (chamber.z_grate - chamber.z_low))
    width = own.width if own else 0.95 * chamber.grate_width
    whole = _OPEN * chamber.length * width

    def row(weights: list[float]) -> tuple[Deck, ...]:
        spots = [chamber.length * i / count for i in range(count + 1)]
        spots[0], spots[-1] = 0.02 * chamber.length, 0.98 * chamber.length
        gaps = tuple(Gap(x=x, area=whole * w / sum(weights)) for x, w in zip(spots, weights, strict=True))
        return (Deck(z=height, thickness=own.thickness if own else _THICK, width=width, gaps=gaps),)

    even = [1.0] * (count + 1)
    wider = [1.0 + 2.0 * i / count for i in range(count + 1)]
    tried = [
        ("open floor, no plates", ()),
        (f"{count} plates, even gaps", row(even)),
        (f"{count} plates, gaps widening from the fire to three times", row(wider)),
        (f"{count} plates, gaps narrowing from the fire to a third", row(wider[::-1])),
        (f"{count} plates, shut at the fire half", row([0.05 if i < count / 2 else 1.0 for i in range(count + 1)])),
    ]
    return (("as it is", chamber.decks), *tried) if own else tuple(tried)
