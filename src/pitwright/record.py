"""The solved pit as one JSON file: figures with their reasons, pieces, openings, marks, balance and findings.

The models below are the published schema (`pitwright schema`, `docs/pit.schema.json`); numbers are SI, angles radians.
"""

from __future__ import annotations

import dataclasses
import json
import math
from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from pitwright import __version__
from pitwright.layout.model import Pit
from pitwright.masses import mass_of
from pitwright.parts import Part, Shape

RECORD_SCHEMA = 1


class _Record(BaseModel):
    model_config = ConfigDict(extra="forbid")


class Figure(_Record):
    """One figure and why it is what it is."""

    value: float | str | None = Field(description="SI value or text; null where it never happens (endless)")
    measure: str
    kind: str = Field(description="fixed, proportion, solved, override, measured or assumed")
    because: str
    formula: str
    source: str
    rests_on: list[str]
    gave_way: str
    band: tuple[float, float] | None


class Placed(_Record):
    """One copy of a piece: origin and axes in the pit frame."""

    origin: tuple[float, float, float]
    x: tuple[float, float, float]
    y: tuple[float, float, float]
    z: tuple[float, float, float]
    mirrored: bool
    where: str


class Piece(_Record):
    """One piece mark."""

    mark: str
    name: str
    group: str
    stock: str
    material: str
    quantity: int
    mass_each: float = Field(description="kg")
    centre: tuple[float, float, float] = Field(description="centre of gravity in the piece's own frame [m]")
    assumed_weight: bool
    moving: str
    state: str
    shape: dict[str, Any] = Field(description="kind and exact sizes [m, rad]; cuts in the piece's own frame")
    placements: list[Placed]
    notes: list[str]


class OpeningRecord(_Record):
    """A hole, developed on the skin or plate it is cut in."""

    name: str
    on: str
    area: float
    outline: list[tuple[float, float]]


class MarkRecord(_Record):
    """A point pulled with a tape."""

    on: str
    along: float
    around: float
    what: str


class BalanceRecord(_Record):
    """Weight and centre of gravity in one state."""

    mass: float
    centre: tuple[float, float, float]
    assumed: float


class FindingRecord(_Record):
    """One finding."""

    code: str
    severity: str
    text: str
    pieces: list[str]
    remedy: str
    source: str
    clearance: float | None


class PitRecord(_Record):
    """A whole solved pit."""

    pitwright: str = Field(description="version that solved it")
    record: int = Field(description="version of this record")
    job: str
    revision: str
    cleared: bool = Field(description="a make-safe record is on file; it does not mean that the vessel is safe")
    hand: int = Field(description="1: pit frame as it stands; -1: the real pit is mirrored along x")
    figures: dict[str, Figure]
    pieces: list[Piece]
    openings: list[OpeningRecord]
    marks: list[MarkRecord] = Field(description="cut marks on the vessel are left out until it is cleared")
    balance: dict[str, BalanceRecord]
    findings: list[FindingRecord]
    moved: list[str]
    verdicts: list[dict[str, Any]]


def record_of(pit: Pit) -> PitRecord:
    """The record of a pit."""
    return PitRecord(
        pitwright=__version__,
        record=RECORD_SCHEMA,
        job=pit.job.job.name,
        revision=pit.revision,
        cleared=pit.cleared,
        hand=pit.vessel.hand,
        figures={
            name: Figure(
                value=_finite(r.value),
                measure=r.measure,
                kind=r.kind,
                because=r.because,
                formula=r.formula,
                source=r.source,
                rests_on=list(r.rests_on),
                gave_way=r.gave_way,
                band=r.band,
            )
            for name, r in sorted(pit.reasons.items())
        },
        pieces=[_piece(p) for p in pit.parts],
        openings=[OpeningRecord(name=o.name, on=o.on, area=o.area, outline=list(o.outline)) for o in pit.openings],
        marks=[
            MarkRecord(on=m.on, along=m.along, around=m.around, what=m.what)
            for m in pit.marks
            if pit.cleared or not m.needs
        ],
        balance={
            name: BalanceRecord(mass=b.mass, centre=b.centre, assumed=b.assumed) for name, b in pit.balance.items()
        },
        findings=[
            FindingRecord(
                code=f.code,
                severity=f.severity,
                text=f.text,
                pieces=list(f.pieces),
                remedy=f.remedy,
                source=f.source,
                clearance=f.clearance,
            )
            for f in pit.findings
        ],
        moved=list(pit.moved),
        verdicts=[dataclasses.asdict(v) for v in pit.verdicts],
    )


def record_bytes(pit: Pit) -> bytes:
    """The record as JSON, the same bytes for the same pit."""
    data = record_of(pit).model_dump(mode="json")
    return (json.dumps(data, indent=1, sort_keys=True, ensure_ascii=False, allow_nan=False) + "\n").encode()


def record_schema() -> dict[str, Any]:
    """The JSON schema of the record."""
    return PitRecord.model_json_schema()


def _piece(part: Part) -> Piece:
    mass = mass_of(part)
    return Piece(
        mark=part.mark,
        name=part.name,
        group=part.group,
        stock=part.stock,
        material=part.material,
        quantity=part.quantity,
        mass_each=mass.mass,
        centre=mass.centre,
        assumed_weight=part.assumed,
        moving=part.moving,
        state=part.state,
        shape=_shape(part.shape),
        placements=[
            Placed(origin=p.origin, x=p.x, y=p.y, z=p.z, mirrored=p.mirrored, where=p.where) for p in part.placements
        ],
        notes=list(part.notes),
    )


def _shape(shape: Shape) -> dict[str, Any]:
    return {"kind": type(shape).__name__.lower(), **_plain(shape)}


def _plain(thing: Any) -> Any:
    """Dataclasses as dictionaries, each cut with its kind; endless reaches as null."""
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        out = {f.name: _plain(getattr(thing, f.name)) for f in dataclasses.fields(thing)}
        name = type(thing).__name__
        return {"kind": name, **out} if name.endswith("Cut") or name == "Window" else out
    if isinstance(thing, tuple | list):
        return [_plain(item) for item in thing]
    if isinstance(thing, float):
        return _finite(thing)
    return thing


def _finite(value: Any) -> Any:
    return None if isinstance(value, float) and not math.isfinite(value) else value
