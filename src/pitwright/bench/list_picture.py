"""The picture of a job in the list: the side view as it is printed, without its lettering, small."""

from __future__ import annotations

from pitwright.layout.model import Pit

WIDTH = 90.0
EDGE = 1.5
EMPTY = b'<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="45mm" viewBox="0 0 90 45"></svg>\n'
"""What stands in the list for a job without a pit."""


def list_picture(pit: Pit) -> bytes:
    """The side view, 90 mm wide, black on nothing."""
    from pitwright.bench.drawings import quick
    from pitwright.sheets.ink import extent
    from pitwright.sheets.laying import lay
    from pitwright.sheets.svg import svg

    drawing = quick(pit, "side")
    x0, y0, x1, y1 = extent(lay(drawing, 0.01))
    ratio = 0.01 * (WIDTH - 2.0 * EDGE) / max(x1 - x0, 1e-6)
    x0, y0, x1, y1 = extent(lay(drawing, ratio))
    ink = lay(drawing, ratio, (EDGE - x0, EDGE - y0))
    return svg(ink, x1 - x0 + 2.0 * EDGE, y1 - y0 + 2.0 * EDGE).encode()
