"""The pit as one HTML file to send to the customer: pictures, figures, cautions, and the 3-D view, all inside the file.

Nothing is asked of any server: the page's own policy forbids it, and its scripts are allowed by their fingerprints only.
No money, hours or saw settings of the shop stand in it. Opens from a disk, a mail or a phone.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from functools import lru_cache
from html import escape
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

from pitwright.bench.drawings import as_svg, quick, ratio_for
from pitwright.bench.solid_view import solid
from pitwright.fire.of_pit import outcome_of
from pitwright.fire.report import CAUTIONS, UNSURE
from pitwright.fire.result import SteadyFire
from pitwright.layout.model import Pit
from pitwright.sheets.svg import SCREEN_STYLE
from pitwright.sheets.views.quote import sizes, what_you_get
from pitwright.strength.lifting import CAUTION as LIFTING
from pitwright.whole import all_findings

_STATIC: Final = Path(__file__).parent / "static"
_MODULES: Final = ("three.js", "js/dom.js", "js/view_kit.js", "js/solid_scene.js", "js/solid.js")
_SHEETS: Final = ("css/base.css", "css/views.css", "css/solid.css", "css/customer.css")
_IMPORT: Final = re.compile(r'(\bfrom\s*|\bimport\s*)"/static/([^"]+)"')
_AT_IMPORT: Final = re.compile(r'@import url\("/static/[^"]+"\);\n?')
_PLAIN: Final = " !$&'()*+,/:;=?@[]{}|^`~<>_.-"  # stands for itself in a data address

_START: Final = """
import { mount } from "/static/js/solid.js";
const data = JSON.parse(document.getElementById("pieces").textContent);
mount(document.getElementById("solid"), { fetchSolid: async () => data, calm: true });
"""


def customer_page(pit: Pit) -> str:
    """The whole file as text."""
    job, tape = pit.job.job, pit.tape
    maps, start = json.dumps({"imports": _modules()}), _bare(_START)
    policy = (
        f"default-src 'none'; script-src {_print_of(maps)} {_print_of(start)} data:; style-src 'unsafe-inline'; "
        "img-src data:; base-uri 'none'; form-action 'none'"
    )
    title = escape(f"{job.name}, revision {pit.revision}")
    by = " · ".join(escape(t) for t in (_with("for", job.customer), _with("by", job.shop), _dated(pit)) if t)
    body = [
        f"<header><h1>{title}</h1>",
        f'<p class="quiet">{by}</p></header>' if by else "</header>",
        _standing(pit),
        f'<figure class="customer-picture">{_picture(pit)}<figcaption>From the working side.</figcaption></figure>',
        '<div class="customer-figures">',
        _pairs("What you get", what_you_get(pit).pairs),
        _pairs("Size and weight: look at your gate, lane and floor", sizes(pit).pairs),
        _fire(pit),
        "</div>",
        '<section class="customer-solid" aria-labelledby="turn"><h2 id="turn">Turn it, open it, look inside</h2>',
        '<div id="solid"></div></section>',
        _cautions(),
        f'<footer class="quiet"><p>Weights are from true shapes and stay estimates until a scale ticket; sizes are as drawn in '
        f"revision {escape(str(pit.revision))}, in {'inches' if tape.inch else 'millimetres'}.</p></footer>",
    ]
    return "\n".join(
        [
            "<!doctype html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            f'<meta http-equiv="Content-Security-Policy" content="{escape(policy)}">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            '<meta name="referrer" content="no-referrer">',
            f"<title>{title}</title>",
            f"<style>{_style()}</style>",
            f'<script type="importmap">{maps}</script>',
            "</head>",
            "<body>",
            '<main class="customer">',
            *body,
            "</main>",
            '<div id="said" class="unseen" role="status" aria-live="polite"></div>',
            f'<script type="application/json" id="pieces">{_json(solid(pit))}</script>',
            f'<script type="module">{start}</script>',
            f"<!-- The 3-D view uses three.js.\n{_licence()}-->",
            "</body>",
            "</html>",
            "",
        ]
    )


# ---------------------------------------------------------------- what it says


def _with(word: str, name: str) -> str:
    return f"{word} {name}" if name else ""


def _dated(pit: Pit) -> str:
    return pit.job.job.date.isoformat() if pit.job.job.date is not None else ""


def _standing(pit: Pit) -> str:
    """What is still open, said plainly; nothing where all is settled."""
    lines = []
    if not pit.cleared:
        lines.append("The vessel is not yet signed off as made safe: no steel is cut before that.")
    stops = sum(1 for f in all_findings(pit) if f.severity == "stop")
    if stops:
        points = "1 point" if stops == 1 else f"{stops} points"
        lines.append(f"A proposal, not ready to build: {points} must be settled by the shop first.")
    return "".join(f'<p class="trouble">{escape(line)}</p>' for line in lines)


def _picture(pit: Pit) -> str:
    drawing = as_svg(quick(pit, "side"), ratio_for(pit))
    label = escape(f"{pit.job.job.name}, drawn from the working side", quote=True)
    return drawing.replace("<svg ", f'<svg role="img" aria-label="{label}" ', 1)


def _pairs(title: str, pairs: tuple[tuple[str, str], ...]) -> str:
    rows = "".join(f"<div><dt>{escape(name)}</dt><dd>{escape(text)}</dd></div>" for name, text in pairs)
    return f"<section><h2>{escape(title)}</h2><dl>{rows}</dl></section>"


def _fire(pit: Pit) -> str:
    """How it will burn, with how sure that is."""
    fire, tape = outcome_of(pit), pit.tape
    wanted = tape.temperature(pit.job.order.cook_temperature)
    if not isinstance(fire, SteadyFire):
        return _pairs("Fire", ((f"holding {wanted}", "not as drawn; the shop is at work on it"),))
    sure = "fitted to a burn of this pit" if pit.job.burns.own else UNSURE
    rows = (
        (f"wood an hour to hold {wanted}", tape.mass_rate(fire.wood)),
        ("hottest to coldest on the main grate", tape.temperature_difference(fire.spread)),
        ("how sure", sure),
    )
    return _pairs("Fire", rows)


def _cautions() -> str:
    items = "".join(f"<li><b>{escape(c.about.capitalize())}.</b> {escape(c.text)}</li>" for c in CAUTIONS)
    return (
        '<section class="customer-cautions"><h2>Cautions</h2><ul>'
        f"{items}<li><b>Lifting.</b> {escape(LIFTING)}</li></ul></section>"
    )


# ---------------------------------------------------------------- how it is packed


@lru_cache(maxsize=1)
def _modules() -> dict[str, str]:
    """The view's scripts as data addresses, by the bare names they ask each other for."""
    out = {}
    for name in _MODULES:
        text = _bare((_STATIC / name).read_text(encoding="utf-8"))
        out[f"pit/{name}"] = "data:text/javascript;charset=utf-8," + quote(text, safe=_PLAIN)
    return out


def _bare(script: str) -> str:
    """A script that asks for its fellows by bare names: an address from `/` means nothing inside a single file."""
    return _IMPORT.sub(r'\1"pit/\2"', script)


@lru_cache(maxsize=1)
def _style() -> str:
    sheets = "".join(_AT_IMPORT.sub("", (_STATIC / name).read_text(encoding="utf-8")) for name in _SHEETS)
    return sheets + SCREEN_STYLE


@lru_cache(maxsize=1)
def _licence() -> str:
    return (_STATIC / "three.LICENSE.txt").read_text(encoding="utf-8")


def _json(data: dict[str, Any]) -> str:
    """JSON that cannot end the script element it stands in."""
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


def _print_of(script: str) -> str:
    """The fingerprint that allows one inline script."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode('ascii')}'"
