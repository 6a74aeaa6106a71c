"""What goes into a stick plan and what comes out of it.

A stick lies with its *chalked face* towards you and its *near end* at your left hand; every position is a tape reading
from the near end. A piece has a marked face of its own, the face its end angles are read on. As drawn, the piece's
marked face is the chalked face.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pitwright.errors import PitwrightError
from pitwright.findings import Finding

EndKind = Literal["square", "mitre", "cope"]
Turns = Literal["any", "end for end", "none"]
PieceShape = Literal["square", "one end mitred", "trapezoid", "parallelogram"]

STEEPEST = math.radians(85.0)
"""No saw angle beyond this is a cut at all [rad]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StickEnd:
    """One end of a piece.

    angle  saw setting off square [rad]: positive puts the long point on the marked face, negative on the face
           opposite, 0 is square
    kind   a cope is sawn at `angle` first and coped to its template afterwards
    tilt   blade tilt [rad], positive with the long point on the side away from you, for ends that lean both ways
    """

    angle: float = 0.0
    kind: EndKind = "square"
    tilt: float = 0.0

    def __post_init__(self) -> None:
        for name, value in (("angle", self.angle), ("tilt", self.tilt)):
            if not (math.isfinite(value) and abs(value) <= STEEPEST):
                raise PitwrightError(
                    f"{math.degrees(value):.1f} degrees off square cannot be cut",
                    field=name,
                    value=value,
                    allowed="85 degrees off square at most",
                )
        if (self.kind == "square") != (self.angle == 0.0 and self.tilt == 0.0) and self.kind != "cope":
            raise PitwrightError("a square end has no angle and a mitre has one", field="kind", value=self.kind)


SQUARE = StickEnd()


@dataclass(frozen=True, slots=True, kw_only=True)
class StickPiece:
    """A piece to cut, with how many.

    length   from long point to long point, along the stick [m]
    height   of the section across the marked face, in the plane the mitres lie in [m] (0 where both ends are square)
    turns    ways the piece may be turned in the stick and still be the same piece: `any` for square and round tube
             and flat; `end for end` (marked face kept) for a channel or tee; `none` for an angle
    """

    mark: str
    length: float
    quantity: int = 1
    left: StickEnd = SQUARE
    right: StickEnd = SQUARE
    height: float = 0.0
    turns: Turns = "any"

    def __post_init__(self) -> None:
        if not self.mark:
            raise PitwrightError("a piece needs a mark", field="mark")
        if not (math.isfinite(self.length) and self.length > 0.0):
            raise PitwrightError(f"{self.mark} has no length", field="length", value=self.length, allowed="above 0")
        if self.quantity < 1:
            raise PitwrightError(f"{self.mark} is wanted {self.quantity} times", field="quantity",
                                 value=self.quantity, allowed="1 or more")  # fmt: skip
        if not (math.isfinite(self.height) and self.height >= 0.0):
            raise PitwrightError(f"{self.mark} has no height", field="height", value=self.height, allowed="0 or more")
        if (self.left.angle or self.right.angle) and self.height == 0.0:
            raise PitwrightError(f"{self.mark} has a mitre but no height of section", field="height", value=0.0)
        if self.short_length < 0.0:
            raise PitwrightError(
                f"{self.mark} cannot be cut: its two end cuts cross inside the piece",
                field="length",
                value=self.length,
                remedy="Make it longer or the angles smaller.",
            )

    def face_lengths(self) -> tuple[float, float]:
        """(length of the marked face, length of the face opposite) [m]."""
        lost = [0.0, 0.0]
        for end in (self.left, self.right):
            lost[1 if end.angle > 0.0 else 0] += self.height * math.tan(abs(end.angle))
        return self.length - lost[0], self.length - lost[1]

    @property
    def short_length(self) -> float:
        """Length of the shorter face [m]."""
        return min(self.face_lengths())

    @property
    def shape(self) -> PieceShape:
        """Trapezoid: both long points on one face (roll between cuts). Parallelogram: on opposite faces (do not)."""
        product = self.left.angle * self.right.angle
        if product > 0.0:
            return "trapezoid"
        if product < 0.0:
            return "parallelogram"
        return "one end mitred" if self.left.angle or self.right.angle else "square"


@dataclass(frozen=True, slots=True, kw_only=True)
class StickStock:
    """A length of stick that can be had.

    length   [m]
    price    money for one stick; 0 on every stick of the store means prices are not known, and length is counted
    on_hand  how many lie on the rack (a drop of an earlier job has a count and as a rule no price);
             None: the store has as many as are wanted
    store    where it is bought or where it lies
    """

    label: str
    length: float
    price: float = 0.0
    on_hand: int | None = None
    store: str = ""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.length) and self.length > 0.0):
            raise PitwrightError(f"stick {self.label} has no length", field="length", value=self.length,
                                 allowed="above 0")  # fmt: skip
        if not (math.isfinite(self.price) and self.price >= 0.0):
            raise PitwrightError(f"stick {self.label} has no price", field="price", value=self.price,
                                 allowed="0 or more")  # fmt: skip
        if self.on_hand is not None and self.on_hand < 0:
            raise PitwrightError(f"stick {self.label} cannot lie on the rack {self.on_hand} times", field="on_hand",
                                 value=self.on_hand, allowed="0 or more")  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class SawCut:
    """One cut on a stick, numbered from the near end.

    at         where it meets the chalked face, on the side that is kept [m]
    across     where it meets the face opposite [m]
    kerf       which side of the line the blade takes: `beyond` or `before` it
    angle      saw setting off square [rad], never negative
    tilt       blade tilt [rad]
    roll       roll the stick 180 about its length before this cut, coming from the cut before it
    chalk_up   whether the chalked face is up for this cut (it is down after a roll)
    finishes   mark of the piece this cut finishes, empty for none
    starts     mark of the piece this cut starts, empty for none
    shared     one mitre that finishes one piece and starts the next
    """

    number: int
    at: float
    across: float
    kerf: Literal["beyond", "before"]
    angle: float
    tilt: float
    roll: bool
    chalk_up: bool
    finishes: str
    starts: str
    shared: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPiece:
    """A piece as it lies in its stick: long point at `start`, long point at `finish` [m]."""

    mark: str
    start: float
    finish: float
    turned: Literal["as drawn", "rolled", "end for end", "rolled, end for end"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStick:
    """One stick with its pieces in cut order.

    drop    what is left beyond the last cut [m]
    keep    whether the drop is worth keeping
    saved   length that shared mitres added to the drop [m]
    """

    number: int
    label: str
    store: str
    length: float
    on_hand: bool
    pieces: tuple[CutPiece, ...]
    cuts: tuple[SawCut, ...]
    drop: float
    keep: bool
    saved: float

    @property
    def shared_mitres(self) -> int:
        """How many mitres finish one piece and start the next."""
        return sum(cut.shared for cut in self.cuts)


@dataclass(frozen=True, slots=True, kw_only=True)
class StickLine:
    """A line of the buy list (or of what to take from the rack)."""

    label: str
    store: str
    length: float
    count: int
    price: float
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SawSetup:
    """The saw set once, and every cut made at that setting: (stick number, cut number).

    Every line is marked on the sticks first; then all the cuts of one setting are made together, each with the
    chalked face as its cut says. Cut in number order along one stick instead, `roll` says when to roll.
    """

    angle: float
    tilt: float
    cuts: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StickPlan:
    """Every stick of one profile, with what to buy and how good the plan is.

    counted_by     whether the least money or (no prices given) the least length bought was sought
    counted        what the plan comes to by that count [money or m]
    lower_bound    no plan with the pieces long point to long point can come to less [money or m]
    sharing_bound  no plan can come to less, every mitre shared that could be [money or m]
    proven         whether no plan with the pieces long point to long point is better (where shared mitres save a
                   stick: whether no plan at all is)
    gap            how far the plan may be above the best one, as a fraction of the plan (0 when proven)
    cost           money for what is bought
    used           piece lengths over stick lengths taken, bought and rack together
    saved          length that shared mitres added to the drops [m]
    """

    profile: str
    sticks: tuple[PlannedStick, ...]
    buy: tuple[StickLine, ...]
    from_rack: tuple[StickLine, ...]
    setups: tuple[SawSetup, ...]
    counted_by: Literal["price", "length"]
    counted: float
    lower_bound: float
    sharing_bound: float
    proven: bool
    gap: float
    cost: float
    used: float
    saved: float
    kerf: float
    end_trim: float
    findings: tuple[Finding, ...]

    @property
    def drops(self) -> tuple[tuple[int, float], ...]:
        """Drops worth keeping: (stick number, length [m]), longest first."""
        kept = [(stick.number, stick.drop) for stick in self.sticks if stick.keep]
        return tuple(sorted(kept, key=lambda drop: -drop[1]))
