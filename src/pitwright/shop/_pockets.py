"""Parts inside holes and between other parts, and the rectangles that are left.

Where a part fits into an opening is found exactly: its (0, 0) may stand where the part's middle is in the opening and
no edge of the opening cuts into the part. The second is the opening's edge swept by the part turned about
(Minkowski sum), taken away from the first. The part is taken as its convex hull, which is on the safe side.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from pitwright.shop._nest_records import FlatPart, Placed, PlateDrop
from pitwright.shop._plate_shapes import Item, Polygon, grown, moved, outer, turned, turns

TOUCH = 1e-7
"""Openings are widened by this so that an exact fit is a fit [m]."""


def where_it_fits(opening: Polygon, part: Polygon) -> Polygon:
    """The region of moves (x, y) that bring `part` into `opening`; empty where it does not fit."""
    import shapely

    hull = np.asarray(part.convex_hull.exterior.coords)[:-1]
    middle = part.convex_hull.centroid
    x0, y0, x1, y1 = part.bounds
    fits: list[Any] = []
    for piece in getattr(opening, "geoms", (opening,)):
        a0, b0, a1, b1 = piece.bounds
        if piece.is_empty or x1 - x0 > a1 - a0 + 2 * TOUCH or y1 - y0 > b1 - b0 + 2 * TOUCH:
            continue
        wide = piece.buffer(TOUCH, join_style="mitre")
        swept: list[Any] = []
        for ring in (wide.exterior, *wide.interiors):
            edge = np.asarray(ring.coords)
            ends = np.stack([edge[:-1], edge[1:]], axis=1)[:, :, None, :] - hull[None, None, :, :]
            corners = shapely.multipoints(list(ends.reshape(len(edge) - 1, -1, 2)))
            swept.extend(shapely.convex_hull(corners))
        start = moved(wide, -middle.x, -middle.y)
        fits.append(start.difference(shapely.union_all(swept)))
    return shapely.union_all(fits) if fits else shapely.Polygon()


def lowest(region: Polygon, key: Callable[[tuple[float, float]], tuple[float, ...]]) -> tuple[float, float] | None:
    """The corner of a region that comes first by `key`, or None for an empty region."""
    import shapely

    corners = shapely.get_coordinates(region)
    return min(((float(x), float(y)) for x, y in corners), key=key) if len(corners) else None


def _thin(polygon: Polygon) -> float:
    """Radius of the largest circle inside [m]."""
    import shapely

    return float(shapely.maximum_inscribed_circle(polygon.convex_hull).length)


def fill_opening(
    opening: Polygon, waiting: dict[Item, int], *, gap: float, until: float, step: float
) -> list[tuple[Item, float, float, float]]:
    """Items (item, x, y, turn) laid into an opening, largest first; takes them off `waiting`.

    The opening is already smaller by the gap along its own edges.

    step  turns tried where any turn is allowed [degrees]
    until stop when the clock reads this [s]
    """
    done: list[tuple[Item, float, float, float]] = []
    for item in sorted(waiting, key=lambda i: (-outer(i.part).area, i.part.mark)):
        whole = outer(item.part)
        radius = _thin(whole)
        while waiting[item] and time.monotonic() < until:
            if opening.is_empty or opening.area < whole.area * 0.999 or opening.buffer(TOUCH - radius).is_empty:
                break
            best: tuple[tuple[float, float], float, float, float, Any] | None = None
            for turn in turns(item.rotation, item.part, step=step):
                lying = turned(whole, turn)
                at = lowest(where_it_fits(opening, lying), lambda corner: (round(sum(corner), 6), corner[0]))
                if at is None:
                    continue
                rank = (round(at[0] + at[1] + lying.bounds[2] + lying.bounds[3], 6), turn)
                if best is None or rank < best[0]:
                    best = (rank, at[0], at[1], turn, moved(lying, *at))
            if best is None:
                break
            _, x, y, turn, lying = best
            done.append((item, x, y, turn))
            opening = opening.difference(grown(lying, gap))
            waiting[item] -= 1
    return done


def with_guests(parts: Sequence[FlatPart], *, gap: float, until: float) -> list[Item]:
    """Every copy of every part, small ones already laid in the holes of larger ones where they fit."""
    waiting = {part: part.quantity for part in parts}
    items: list[Item] = []
    for host in sorted(parts, key=lambda p: (-outer(p).area, p.mark)):
        while waiting[host]:
            waiting[host] -= 1
            items.append(Item(host, tuple(_guests(host, waiting, gap=gap, until=until))))
    return items


def _guests(host: FlatPart, waiting: dict[FlatPart, int], *, gap: float, until: float) -> list[tuple[FlatPart, Placed]]:
    from shapely import Polygon as Shape

    found: list[tuple[FlatPart, Placed]] = []
    for hole in sorted(host.holes, key=lambda ring: -Shape(ring).area):
        opening = grown(Shape(hole), -gap)
        small = {Item(part): count for part, count in waiting.items() if outer(part).area < outer(host).area}
        laid = fill_opening(opening, small, gap=gap, until=until, step=30.0)
        for item, *_ in laid:  # all of them are taken before the holes of any are filled from what is left
            waiting[item.part] -= 1
        for item, x, y, turn in laid:
            inner = Item(item.part, tuple(_guests(item.part, waiting, gap=gap, until=until)))
            lying = inner.placed(x, y, turn)
            first = Placed(mark=item.part.mark, x=x, y=y, rotation=lying[0].rotation, inside=host.mark)
            found.append((item.part, first))
            found.extend((guest, placed) for (guest, _), placed in zip(inner.guests, lying[1:]))
    return found


def free_room(length: float, width: float, lying: Sequence[Polygon], *, gap: float, margin: float) -> Polygon:
    """What is left of a sheet inside its margin, a gap away from every part."""
    import shapely

    sheet = shapely.box(margin, margin, length - margin, width - margin)
    return sheet.difference(shapely.union_all([grown(part, gap) for part in lying]))


def rectangles_left(
    length: float, width: float, boxes: Sequence[tuple[float, float, float, float]], *, gap: float, least: float
) -> tuple[PlateDrop, ...]:
    """Rectangles clear of every box (x0, y0, x1, y1), largest first, none overlapping, both sides at least `least`."""
    free = [(0.0, 0.0, length, width)]
    for x0, y0, x1, y1 in boxes:
        free = _without(free, (x0 - gap, y0 - gap, x1 + gap, y1 + gap), least)
    drops: list[PlateDrop] = []
    while free:
        best = max(free, key=lambda r: ((r[2] - r[0]) * (r[3] - r[1]), r))
        drops.append(PlateDrop(x=best[0], y=best[1], length=best[2] - best[0], width=best[3] - best[1]))
        free = _without(free, best, least)
    return tuple(drops)


_Box = tuple[float, float, float, float]


def _without(free: list[_Box], box: _Box, least: float) -> list[_Box]:
    """Largest free rectangles once a box is taken away."""
    x0, y0, x1, y1 = box
    left: list[_Box] = []
    for a0, b0, a1, b1 in free:
        if x0 >= a1 or x1 <= a0 or y0 >= b1 or y1 <= b0:
            left.append((a0, b0, a1, b1))
            continue
        left += [(a0, b0, x0, b1), (x1, b0, a1, b1), (a0, b0, a1, y0), (a0, y1, a1, b1)]
    big = {
        r for r in left if r[2] - r[0] >= least - 1e-9 and r[3] - r[1] >= least - 1e-9 and r[2] > r[0] and r[3] > r[1]
    }
    return [
        r
        for r in sorted(big)
        if not any(s != r and s[0] <= r[0] and s[1] <= r[1] and s[2] >= r[2] and s[3] >= r[3] for s in big)
    ]
