"""What the page shows of one job.

    desk = Desk(document, beside)
    picture = desk.show(document, views={"side"}, full=False, hand="leg A foot")
    picture.as_json()

A quick picture (`full=False`) is made while a hand moves: solved pit, drawings without lettering, strip with the fire.
A full one also has every finding with its place and a way out, and the lettered drawing. Where no pit can be, the last
good one is shown with the problem; where facts are still blank, what to measure.
"""

from __future__ import annotations

import json
import re
import threading
from collections import Counter, OrderedDict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final
from xml.sax.saxutils import escape

from pitwright.bench.blank import blank_drawing, blank_rows
from pitwright.bench.dims import live_dims
from pitwright.bench.documents import Document, blanks, read_job, value_at
from pitwright.bench.drawings import Live, View, as_svg, lettered, quick, ratio_for, ratio_of
from pitwright.bench.handles import handles
from pitwright.bench.places import place_of
from pitwright.bench.remedies import offer
from pitwright.bench.strip import Item, strip
from pitwright.errors import PitwrightError
from pitwright.findings import Finding, worst_first
from pitwright.job.facts import Job
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.overtaken import breathe
from pitwright.summary import key_figures
from pitwright.tape import Tape
from pitwright.whole import all_findings

_KEPT: Final = 12
_MARGIN: Final = 42.0  # room kept round a drawing for its lettering [mm of the drawing]
_BOX: Final = re.compile(r'viewBox="([^"]*)"')
_TABLES: Final = frozenset(
    ("job", "vessel", "make_safe", "order", "proportions", "override", "measured", "fire", "pieces", "shop", "schema")
)
_NUMBERED: Final = re.compile(r"(?P<name>[^.]+?) no\. (?P<n>\d+)")
_WHYS: Final[Mapping[str, str]] = {
    "vessel outside diameter": "vessel.diameter",
    "seam to seam": "vessel.length",
    "top line": "clock.top_from_seam",
    "end that gets the fire": "clock.fire_end",
    "vessel centre over the floor": "vessel.centre",
    "weight empty": "weight.empty",
    "centre of gravity": "weight.station",
    "length x width x height": "overall.length",
    "width, doors open, slides out": "overall.width_open",
    "firebox": "firebox.width",
    "firebox drop": "firebox.drop",
    "throat, net": "throat.net",
    "inlets, open": "firebox.inlet_area",
    "stack": "stack.length",
    "main grate": "grates.main grate.height",
    "meat at once, about": "grates.meat",
}
_LEG_WHYS: Final[Mapping[str, str]] = {
    "station": "station",
    "lean": "lean",
    "foot cut, top cut (off square)": "top_cut",
    "long point, short point": "long_point",
    "top end": "end",
    "chord, sag": "chord",
    "height at edge, middle": "edge_height",
}

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One picture of a job; `pit` is the one it shows, None before there is any."""

    state: str
    blanks: tuple[dict[str, Any], ...] = ()
    problem: dict[str, Any] | None = None
    units: str = "inch"
    name: str = ""
    customer: str = ""
    revision: str = ""
    cleared: bool = False
    strip: tuple[dict[str, Any], ...] = ()
    figures: tuple[dict[str, Any], ...] = ()
    findings: tuple[dict[str, Any], ...] = ()
    views: Mapping[str, dict[str, Any]] = field(default_factory=dict)
    live: tuple[Live, ...] = ()
    full: bool = False
    pit: Pit | None = None

    def as_json(self) -> dict[str, Any]:
        """As the page takes it."""
        return {
            "state": self.state,
            "blanks": list(self.blanks),
            "problem": self.problem,
            "units": self.units,
            "name": self.name,
            "customer": self.customer,
            "revision": self.revision,
            "cleared": self.cleared,
            "strip": list(self.strip),
            "figures": list(self.figures),
            "findings": list(self.findings),
            "views": dict(self.views),
            "live": [one.as_json() for one in self.live],
            "full": self.full,
            "on_end": self.pit is not None and self.pit.job.order.base == "upright",
        }


class Desk:
    """One open job: pits solved of late, the last good one, and what the strip showed before the last change.

    May be asked from two threads at once.
    """

    def __init__(self, document: Document, beside: Mapping[str, bytes]):
        self._beside = dict(beside)
        self._lock = threading.Lock()
        self._solved: OrderedDict[str, Pit] = OrderedDict()
        self._good: Pit | None = None
        self._read_last: tuple[Document, Job] | None = None
        self._stored = document
        self._before: Document | None = None
        self._frames: dict[tuple[View, float], Box] = {}
        self._ratios: dict[View, float] = {}

    # ------------------------------------------------------------ pits

    def pit(self, document: Document) -> Pit:
        """The solved pit of a document.

        Raises JobError or LayoutError where there is none.
        """
        key = json.dumps(document, sort_keys=True)
        with self._lock:
            found = self._solved.get(key)
            if found is not None:
                self._solved.move_to_end(key)
                return found
        job = self._read(document)
        found = solve(job)
        with self._lock:
            self._read_last = (document, job)
            self._solved[key] = found
            if len(self._solved) > _KEPT:
                self._solved.popitem(last=False)
        return found

    def _read(self, document: Document) -> Job:
        """The checked job; where only its own figures differ from the last one read, with those alone changed.

        Raises JobError.
        """
        with self._lock:
            last = self._read_last
        if last is not None and _but_figures(last[0]) == _but_figures(document):
            own = document.get("override")
            if isinstance(own, dict) and not any(isinstance(v, dict) for v in own.values()):
                return last[1].model_copy(update={"override": dict(own)}).with_burns(last[1].burns)
        return read_job(document, self._beside)

    def _known_pit(self, document: Document | None) -> Pit | None:
        if document is None or blanks(document):
            return None
        try:
            return self.pit(document)
        except PitwrightError:
            return None

    def _base_of(self, document: Document, stored: Document | None) -> Document | None:
        """The document that moves are told against: what was stored before this change."""
        with self._lock:
            if stored is not None and stored != self._stored:
                self._before, self._stored = self._stored, stored
            return self._before if document == self._stored else self._stored

    # ------------------------------------------------------------ pictures

    def show(
        self,
        document: Document,
        *,
        views: Iterable[str],
        full: bool = False,
        hand: str | None = None,
        stored: Document | None = None,
    ) -> Picture:
        """The picture of a document.

        views   names of the drawings wanted, the main one first where it is a list
        full    with all findings and the lettered drawing
        hand    what is in hand: a handle's id, or `leg A`
        stored  the document as it stands in the store, where `document` is only tried; moves are told against it.
                Read from quick pictures alone: a full one may come late, from another thread
        Raises Overtaken where it is given up (`overtaken.py`).
        """
        base = self._base_of(document, None if full else stored)
        wanted: list[View] = [v for v in views if v in _VIEWS]  # type: ignore[misc]
        missing = blanks(document)
        if missing:
            return self._blank(document, missing, wanted)
        try:
            pit = self.pit(document)
        except PitwrightError as problem:
            return self._cannot(document, problem, wanted, hand)
        self._good = pit
        before = self._known_pit(base)
        breathe()
        findings = everything(pit) if full else worst_first(pit.findings)
        breathe()
        items = _strip_json(pit, hand, findings, before, full)
        drawn = self._views(pit, wanted, full=full)
        return Picture(
            state="solved",
            units=pit.job.job.units,
            name=pit.job.job.name,
            customer=pit.job.job.customer,
            revision=pit.revision,
            cleared=pit.cleared,
            strip=items,
            figures=_figures(pit) if full or hand is None else (),
            findings=_findings(pit, findings, offers=full),
            views=drawn,
            live=tuple(d for d in live_dims(pit, hand) if not _told(d, drawn)),
            full=full,
            pit=pit,
        )

    def _views(self, pit: Pit, wanted: list[View], *, full: bool) -> dict[str, dict[str, Any]]:
        out: dict[str, dict[str, Any]] = {}
        for i, view in enumerate(wanted):
            breathe()
            whole = full and (i == 0 or len(wanted) <= 2)
            drawing = lettered(pit, view) if whole else quick(pit, view)
            ratio = self._ratio_of(pit, view)
            svg = self._framed(as_svg(drawing, ratio), view, ratio, whole=whole)
            out[view] = {"svg": svg, "handles": handles(pit, view, keys=full), "lettered": whole}
        return out

    def _ratio_of(self, pit: Pit, view: View) -> float:
        """The scale, kept while it does, so that a drawing does not jump while a hand moves."""
        fitting = ratio_for(pit, view)
        kept = self._ratios.get(view)
        if kept is None or not 0.6 < fitting / kept < 1.4:
            self._ratios[view] = kept = fitting
        return kept

    def _framed(self, svg: str, view: View, ratio: float, *, whole: bool) -> str:
        """The picture in a frame that holds its lettering, also where that is left out."""
        match = _BOX.search(svg)
        if match is None:
            return svg
        x, y, w, h = (float(v) for v in match[1].split())
        own: Box = (x, y, x + w, y + h)
        with self._lock:
            if whole:
                self._frames[view, ratio] = own
            kept = self._frames.get((view, ratio))
        if whole:
            return svg
        if kept is None:
            kept = (own[0] - _MARGIN, own[1] - _MARGIN, own[2] + _MARGIN, own[3] + _MARGIN)
        x0, y0, x1, y1 = min(own[0], kept[0]), min(own[1], kept[1]), max(own[2], kept[2]), max(own[3], kept[3])
        box = f'viewBox="{x0:.3f} {y0:.3f} {x1 - x0:.3f} {y1 - y0:.3f}"'
        return svg[: match.start()] + box + svg[match.end() :]

    def _cannot(self, document: Document, problem: PitwrightError, wanted: list[View], hand: str | None) -> Picture:
        """No such pit: the last good one, and why."""
        told = {**problem.as_dict(), "path": _own_figure(document, problem.field) or path_of(problem.field)}
        good, about = self._good, _about(document)
        if good is None:
            tape = _tape_of(document)
            views: dict[str, dict[str, Any]] = {v: _bare(document, tape, v) for v in wanted}
            return Picture(state="cannot", problem=told, views=views, full=True, **about)
        findings = worst_first(good.findings)
        return Picture(
            state="cannot",
            problem=told,
            revision=good.revision,
            cleared=good.cleared,
            strip=_strip_json(good, hand, findings, None, True),
            figures=_figures(good),
            views=self._views(good, wanted, full=False),
            live=tuple(live_dims(good, hand)),
            full=True,
            pit=good,
            **about,
        )

    def _blank(self, document: Document, missing: list[str], wanted: list[View]) -> Picture:
        """Facts are still to be stated."""
        tape = _tape_of(document)
        return Picture(
            state="blank",
            blanks=tuple(blank_rows(missing)),
            views={v: _bare(document, tape, v) for v in wanted},
            full=True,
            **_about(document),
        )

    # ------------------------------------------------------------ trying

    def tried(self, document: Document, after: Document) -> dict[str, Any]:
        """What some changes would do, before they are made: the strip with its moves, findings gone and new.

        Raises nothing of the house: a pit that cannot be comes back as `problem`.
        """
        before = self._known_pit(document)
        missing = blanks(after)
        if missing:
            return {"problem": {"message": "facts would be blank", "field": ", ".join(missing)}}
        try:
            pit = self.pit(after)
        except PitwrightError as problem:
            return {"problem": {**problem.as_dict(), "path": path_of(problem.field)}}
        now = everything(pit)
        old = () if before is None else everything(before)
        return {
            "strip": list(_strip_json(pit, None, now, before, True)),
            "gone": [f.text for f in old if _key(f) not in {_key(n) for n in now}],
            "new": [f.text for f in now if _key(f) not in {_key(o) for o in old}],
            "problem": None,
        }


_VIEWS: Final = ("side", "stack end", "fire end", "plan", "wrap map")


def _key(finding: Finding) -> tuple[str, tuple[str, ...], str]:
    """What makes two findings the same one, whatever its figures read."""
    return finding.code, finding.pieces, finding.severity


def _told(line: Live, drawn: Mapping[str, dict[str, Any]]) -> bool:
    """Whether a lettered view says already what a live dimension would."""
    view = drawn.get(line.view)
    if view is None or not view["lettered"]:
        return False
    return f">{escape(line.text)}<" in view["svg"] or bool(line.name and f'data-about="{line.name}"' in view["svg"])


def _but_figures(document: Document) -> dict[str, Any]:
    return {name: table for name, table in document.items() if name != "override"}


def everything(pit: Pit) -> tuple[Finding, ...]:
    """All findings; where one of the reports cannot be made, those of the layout and a word about it."""
    try:
        return all_findings(pit)
    except PitwrightError as problem:
        left = Finding(
            code="check.not_made",
            severity="unchecked",
            text=f"Fire, standing and plates were not checked: {problem.text()}",
            remedy="Check them by hand, or change what it names.",
        )
        return worst_first((*pit.findings, left))


def _own_figure(document: Document, name: str) -> list[str | int] | None:
    """The figure the job sets itself, where that and not the rule the error names is what was typed."""
    own = document.get("override")
    head, _, rest = name.partition(".")
    table, _, line = rest.partition(".")
    if (
        head != "proportions"
        or not line
        or not isinstance(own, Mapping)
        or value_at(document, name.split(".")) is not None
    ):
        return None
    ends = {line, _AS_FIGURE.get(rest, line)}
    found = [n for n in own if n.partition(".")[0] == table and n.rpartition(".")[2] in ends]
    return ["override", found[-1]] if found else None


_AS_FIGURE: Final = {"legs.clock": "contact", "legs.sets": "station", "stack.at": "x", "firebox.size": "width"}


def path_of(name: str) -> list[str | int] | None:
    """The path in a document that an error's field names: `order.levels no. 2.above`; None where it names none."""
    name = name.rpartition(": ")[2].strip()
    head, _, rest = name.partition(".")
    if _NUMBERED.fullmatch(head) is None and head not in _TABLES:
        return None
    if head == "override":
        return ["override", rest] if rest else ["override"]
    out: list[str | int] = []
    for step in re.split(r"\.(?! )", name.replace("[", ".").replace("]", "")) if "[" in name else _steps(name):
        match = _NUMBERED.fullmatch(step)
        if match:
            out += [match["name"], int(match["n"]) - 1]
        else:
            out.append(int(step) if step.isdigit() else step)
    return out


def _steps(name: str) -> list[str]:
    """The steps of a dotted name whose lists are counted as `levels no. 2`."""
    return [s.replace(" no# ", " no. ") for s in name.replace(" no. ", " no# ").split(".")]


def _strip_json(
    pit: Pit, hand: str | None, findings: tuple[Finding, ...], before: Pit | None, full: bool
) -> tuple[dict[str, Any], ...]:
    old: dict[str, Item] = {}
    if before is not None and before is not pit:
        told = everything(before) if full else worst_first(before.findings)
        old = {item.key: item for item in strip(before, hand, told, whole=full)}
    return tuple(item.as_json(old.get(item.key)) for item in strip(pit, hand, findings, whole=full))


def _figures(pit: Pit) -> tuple[dict[str, Any], ...]:
    out = []
    for heading, rows in key_figures(pit):
        table = [{"label": label, "text": text, "why": _why(pit, heading, label)} for label, text in rows]
        out.append({"heading": heading, "rows": table})
    return tuple(out)


def _why(pit: Pit, heading: str, label: str) -> str | None:
    """The figure behind a line of the key figures; None where it is no figure of the layout."""
    topic, _, name = heading.rpartition(" ")
    if topic in ("leg set", "saddle") and label in _LEG_WHYS:
        figure = f"legs.{name}.{_LEG_WHYS[label]}" if topic == "leg set" else f"saddles.{_LEG_WHYS[label]}"
        if topic == "saddle" and label == "station":
            figure = f"saddles.{name}.station"
        return figure if figure in pit.reasons else None
    if heading == "grates" and f"grates.{label}.height" in pit.reasons:
        return f"grates.{label}.height"
    if heading == "doors" and f"{label}.weight" in pit.reasons:
        return f"{label}.weight"
    figure = _WHYS.get(label, "")
    return figure if figure in pit.reasons else None


_RECORD: Final = {"path": ["make_safe", "held"], "label": "To the make-safe record"}


def _findings(pit: Pit, findings: Iterable[Finding], *, offers: bool) -> tuple[dict[str, Any], ...]:
    """Findings as the page takes them, each under an id of its own that stays while nothing like it comes or goes."""
    met: Counter[str] = Counter()
    out = []
    for finding in findings:
        told = "|".join((finding.code, *finding.pieces))
        met[told] += 1
        out.append(_finding(pit, finding, told if met[told] == 1 else f"{told}|{met[told]}", offers=offers))
    return tuple(out)


def _finding(pit: Pit, finding: Finding, name: str, *, offers: bool) -> dict[str, Any]:
    found = offer(pit, finding) if offers else None
    return {
        "id": name,
        "code": finding.code,
        "severity": finding.severity,
        "text": finding.text,
        "remedy": finding.remedy,
        "source": finding.source,
        "place": place_of(pit, finding),
        "go": _RECORD if finding.code == "vessel.not_cleared" else None,
        "offer": None if found is None else {"label": found.label, "edits": list(found.edits)},
    }


def _bare(document: Document, tape: Tape, view: View) -> dict[str, Any]:
    drawing = blank_drawing(document, tape, view)
    x0, y0, x1, y1 = drawing.bounds()
    return {"svg": as_svg(drawing, ratio_of(x1 - x0, y1 - y0)), "handles": [], "lettered": True}


def _about(document: Document) -> dict[str, Any]:
    table = document.get("job")
    about = table if isinstance(table, Mapping) else {}
    return {
        "units": _tape_of(document).system,
        "name": str(about.get("name") or ""),
        "customer": str(about.get("customer") or ""),
    }


def _tape_of(document: Document) -> Tape:
    about = document.get("job")
    units = about.get("units") if isinstance(about, Mapping) else None
    return Tape.for_system("metric" if units == "metric" else "inch")
