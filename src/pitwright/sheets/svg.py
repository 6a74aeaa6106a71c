"""SVG: a page at true size in millimetres for print, or a drawing on the screen that a page can colour and point at.

Print carries its line weights on the groups. The screen carries only class names (one for each role) and `data-about`,
so that one style sheet colours every drawing; `SCREEN_STYLE` is that sheet, with `--ink`, `--paper`, `--accent`,
`--wrong` and `--quiet` left to the page. The same input always gives the same text.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from xml.sax.saxutils import escape, quoteattr

from pitwright.parts import Point2, arc_of
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.ink import STYLES, Clip, Ink, Patch, Path, Stroke, Style, Words, extent
from pitwright.sheets.laying import lay
from pitwright.sheets.lettering import FAMILY, font_size
from pitwright.sheets.shapes import ROLES, Role

_PLATE = 0.45  # how far a white plate stands out round its lettering [mm]
_ANCHORS = {"left": "start", "middle": "middle", "right": "end"}


def svg(ink: Iterable[Ink], width: float, height: float) -> str:
    """Ink as a whole SVG picture of a true size [mm], black on white."""
    writer = _Writer(screen=False)
    body = "\n".join(writer.lines(ink))
    w, h = number(width), number(height)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}"'
        f' font-family="{FAMILY}" fill="none" stroke-linejoin="round">\n{body}\n</svg>\n'
    )


def screen(drawing: Drawing, ratio: float, *, margin: float = 4.0) -> str:
    """A drawing as an `<svg>` element for a page, one user unit to a millimetre of paper at scale `ratio`.

    `data-ratio`, `data-x`, `data-y` on it turn a place on the picture into metres of the drawing:
    x = (px - data-x) / (1000 ratio), y = (data-y - py) / (1000 ratio).
    """
    ink = lay(drawing, ratio)
    x0, y0, x1, y1 = extent(ink)
    box = " ".join(number(v) for v in (x0 - margin, y0 - margin, x1 - x0 + 2 * margin, y1 - y0 + 2 * margin))
    body = "\n".join(_Writer(screen=True).lines(ink))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing" viewBox="{box}" data-ratio="{ratio!r}"'
        f' data-x="0" data-y="0" font-family="{FAMILY}" fill="none" stroke-linejoin="round">\n{body}\n</svg>\n'
    )


def number(value: float) -> str:
    """A length to a thousandth of a millimetre, without idle zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def path_data(path: Path, *, arcs: bool = True) -> str:
    """The `d` of a path; round pieces as arcs, or as curves true to a millionth of their radius.

    Print takes curves: the printing library's own way from arcs to curves strays by up to a tenth of a millimetre.
    """
    x, y = path.points[0]
    out = [f"M{number(x)} {number(y)}"]
    straight_back = path.closed and not (path.bulges and path.bulges[-1])
    for p, q, bulge in path.edges():
        if not bulge:
            out.append(f"L{number(q[0])} {number(q[1])}")
        elif arcs:
            out.append(_arc(p, q, bulge))
        else:
            out.extend(_curves(p, q, bulge))
    if path.closed:
        if straight_back:
            out.pop()
        out.append("Z")
    return "".join(out)


def _arc(p: Point2, q: Point2, bulge: float) -> str:
    half = 2.0 * math.atan(abs(bulge))
    radius = number(math.hypot(q[0] - p[0], q[1] - p[1]) / (2.0 * math.sin(half)))
    return f"A{radius} {radius} 0 {int(abs(bulge) > 1.0)} {int(bulge > 0.0)} {number(q[0])} {number(q[1])}"


def _curves(p: Point2, q: Point2, bulge: float) -> Iterator[str]:
    """Cubic curves through an arc, each at most 30 degrees: handles of 4/3 tan(sweep/4) of the radius."""
    (cx, cy), radius, start, sweep = arc_of(p, q, bulge)
    n = math.ceil(abs(sweep) / (math.pi / 6.0) - 1e-9)
    step = sweep / n
    handle = 4.0 / 3.0 * math.tan(step / 4.0) * radius
    for i in range(n):
        a, b = start + i * step, start + (i + 1) * step
        ax, ay = cx + radius * math.cos(a), cy + radius * math.sin(a)
        bx, by = (q[0], q[1]) if i == n - 1 else (cx + radius * math.cos(b), cy + radius * math.sin(b))
        first = (ax - handle * math.sin(a), ay + handle * math.cos(a))
        second = (bx + handle * math.sin(b), by - handle * math.cos(b))
        yield "C" + " ".join(f"{number(x)} {number(y)}" for x, y in (first, second, (bx, by)))


def grey(tone: float) -> str:
    """Grey of a tone, 0 white to 1 black."""
    level = round(255 * (1.0 - tone))
    return f"#{level:02x}{level:02x}{level:02x}"


def _stroke_style(style: Style) -> str:
    dash = f' stroke-dasharray="{" ".join(number(d) for d in style.dash)}"' if style.dash else ""
    return f' stroke="{grey(style.tone)}" stroke-width="{number(style.weight)}"{dash}'


class _Writer:
    """Writes ink as SVG lines, one group for each run of strokes of one role."""

    def __init__(self, *, screen: bool):
        self._screen = screen
        self._clips = 0

    def lines(self, ink: Iterable[Ink]) -> Iterator[str]:
        group: Role | None = None
        for item in ink:
            role = item.role if isinstance(item, Stroke) else None
            if role != group:
                if group is not None:
                    yield "</g>"
                if role is not None:
                    yield self._group(role)
                group = role
            yield from self._item(item)
        if group is not None:
            yield "</g>"

    def _group(self, role: Role) -> str:
        return f'<g class="{role}">' if self._screen else f"<g{_stroke_style(STYLES[role])}>"

    def _item(self, item: Ink) -> Iterator[str]:
        match item:
            case Stroke():
                yield self._element("path", f' d="{path_data(item.path, arcs=self._screen)}"', item)
            case Patch():
                data = "".join(path_data(p, arcs=self._screen) for p in item.paths)
                yield self._element("path", f'{self._tone(item)} fill-rule="evenodd" d="{data}"', item)
            case Words():
                yield from self._words(item)
            case Clip():
                yield from self._clip(item)

    def _words(self, item: Words) -> Iterator[str]:
        if not item.text:
            return
        if item.plate:
            plate = path_data(Path(item.corners(_PLATE), closed=True))
            yield f'<path class="plate" d="{plate}"/>' if self._screen else f'<path fill="#ffffff" d="{plate}"/>'
        x, y = number(item.at[0]), number(item.at[1])
        style = f' class="words {item.role}"' if self._screen else f' fill="{grey(item.tone)}"'
        weight = ' font-weight="700"' if item.bold else ""
        anchor = "" if item.anchor == "left" else f' text-anchor="{_ANCHORS[item.anchor]}"'
        turn = f' transform="rotate({number(-math.degrees(item.angle))} {x} {y})"' if item.angle else ""
        attributes = (
            f' x="{x}" y="{y}" font-size="{number(font_size(item.height))}"{weight}{anchor}{style}{turn}'
            ' xml:space="preserve"'
        )
        yield self._element("text", attributes, item, escape(item.text))

    def _clip(self, item: Clip) -> Iterator[str]:
        self._clips += 1
        name = f"window{self._clips}"
        x0, y0, x1, y1 = item.window
        yield (
            f'<clipPath id="{name}"><rect x="{number(x0)}" y="{number(y0)}"'
            f' width="{number(x1 - x0)}" height="{number(y1 - y0)}"/></clipPath>'
        )
        yield f'<g clip-path="url(#{name})">'
        yield from self.lines(item.ink)
        yield "</g>"

    def _tone(self, item: Patch) -> str:
        if not self._screen:
            return f' fill="{grey(item.tone)}"'
        name = "paper" if item.tone == 0.0 else "solid" if item.tone == 1.0 else "tone"
        faint = f' fill-opacity="{number(item.tone)}"' if name == "tone" else ""
        return f' class="{name} {item.role}"{faint}'

    def _element(self, name: str, attributes: str, item: Stroke | Patch | Words, inside: str = "") -> str:
        if self._screen:
            if item.about:
                attributes += f" data-about={quoteattr(item.about)}"
            if item.title:
                inside = f"<title>{escape(item.title)}</title>{inside}"
        return f"<{name}{attributes}>{inside}</{name}>" if inside else f"<{name}{attributes}/>"


def _screen_style() -> str:
    colours = {"accent": "var(--accent)", "wrong": "var(--wrong)", "ghost": "var(--quiet)"}
    rules = [
        ".drawing .plate,.drawing .paper{fill:var(--paper)}",
        ".drawing .solid,.drawing .words{fill:var(--ink)}",
        ".drawing .tone{fill:var(--ink)}",
    ]
    for role in ROLES:
        style = STYLES[role]
        if not style.weight:
            continue
        dash = f";stroke-dasharray:{' '.join(number(d) for d in style.dash)}" if style.dash else ""
        colour = colours.get(role, "var(--ink)")
        rules.append(f".drawing g.{role}{{stroke:{colour};stroke-width:{number(style.weight)}{dash}}}")
        if role in colours:
            rules.append(f".drawing .words.{role},.drawing .solid.{role}{{fill:{colour}}}")
    return "\n".join(rules) + "\n"


SCREEN_STYLE = _screen_style()
"""Style sheet for `screen` drawings: line weights and dashes from the print styles, colours from the page."""
