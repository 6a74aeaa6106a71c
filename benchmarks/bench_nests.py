"""How dense plate nests are and how long they take.

    python benchmarks/bench_nests.py [--quick]

Published strips: shirts and trousers (tests/data/nesting) against the record layouts (sparrow, arXiv 2509.13329);
asked for: 0.93 of the record density. Shop plate: 40 mixed parts, asked for in under 20 s with progress; 108
triangles, saddles, discs and angles, by boxes and by true shape; straight shear cuts. Every line: parts, sheets
against the bound by bare area, density of the sheets, density of the plate used, seconds, the way chosen.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from pitwright.parts import Outline
from pitwright.shop.nests import FlatPart, NestPlan, SheetStock, plan_nest
from pitwright.tape import INCH

DATA = Path(__file__).parents[1] / "tests" / "data" / "nesting"
RECORDS = {"shirts": (40.0, 59.393), "trousers": (79.0, 235.172)}
SHEET = SheetStock(label="4 x 8", width=48 * INCH, length=96 * INCH, price=310.0)


def inches(mark: str, outline: Outline, quantity: int) -> FlatPart:
    """A part drawn in inches."""
    return FlatPart.from_outline(mark, scaled(outline), quantity=quantity)


def scaled(outline: Outline) -> Outline:
    points = tuple((x * INCH, y * INCH) for x, y in outline.points)
    return Outline(points, outline.bulges, tuple(scaled(hole) for hole in outline.holes))


def saddle(width: float, height: float) -> Outline:
    half = 0.5 * width
    return Outline(((-half, 0.0), (-half, height), (half, height), (half, 0.0)), (0.0, -0.35, 0.0, 0.0))


def angle(long: float, short: float, leg: float) -> Outline:
    return Outline.polygon(((0.0, 0.0), (long, 0.0), (long, leg), (leg, leg), (leg, short), (0.0, short)))


def forty() -> list[FlatPart]:
    gusset = Outline.polygon(((0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (2.0, 6.0), (0.0, 6.0)))
    return [
        inches("D1", Outline.circle(0.0, 0.0, 12.0), 2),
        inches("R1", Outline.circle(0.0, 0.0, 12.0, (Outline.circle(0.0, 0.0, 9.0),)), 2),
        inches("S1", saddle(22.5, 11.0), 2),
        inches("P1", Outline.rectangle(0.0, 0.0, 4.0, 4.0, (Outline.circle(2.0, 2.0, 0.5),)), 8),
        inches("W1", Outline.circle(0.0, 0.0, 3.0), 4),
        inches("T1", Outline.polygon(((0.0, 0.0), (8.0, 0.0), (0.0, 8.0))), 8),
        inches("G1", gusset, 8),
        inches("L1", angle(20.0, 14.0, 3.0), 4),
        inches("B1", Outline.rectangle(0.0, 0.0, 30.0, 18.0), 2),
    ]


def irregular() -> list[FlatPart]:
    return [
        inches("T1", Outline.polygon(((0.0, 0.0), (14.0, 0.0), (0.0, 14.0))), 60),
        inches("S1", saddle(24.5, 12.0), 16),
        inches("D1", Outline.circle(0.0, 0.0, 4.0), 24),
        inches("L1", angle(24.0, 18.0, 4.0), 8),
    ]


def strip(name: str) -> tuple[list[FlatPart], SheetStock]:
    width, record = RECORDS[name]
    parts = []
    for block in (DATA / f"{name}.txt").read_text().split("PIECE")[1:]:
        words = block.split()
        count = int(words[words.index("QUANTITY") + 1])
        figures = [float(word) * 0.01 for word in words[words.index("(X,Y)") + 1 :]]
        ring = tuple(zip(figures[0::2], figures[1::2]))
        parts.append(FlatPart(mark=f"P{words[0]}", outline=ring, quantity=count, allow_rotation="half turn"))
    return parts, SheetStock(label="strip", width=0.01 * width, length=0.01 * record * 1.6)


def line(name: str, parts: list[FlatPart], sheet: SheetStock, **how: object) -> tuple[NestPlan, float, int]:
    told: list[str] = []
    begun = time.perf_counter()
    plan = plan_nest(parts, [sheet], progress=lambda text, _: told.append(text), **how)  # type: ignore[arg-type]
    seconds = time.perf_counter() - begun
    print(
        f"{name:26} {sum(part.quantity for part in parts):4} parts  {plan.sheets_used} sheets (bound "
        f"{plan.lower_bound})  {plan.density:.3f}  {plan.strip_density:.3f}  {seconds:6.1f} s  {plan.method}",
        flush=True,
    )
    return plan, seconds, len(told)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="short times, lighter bars")
    quick = parser.parse_args().quick
    good = True
    for name, (_, record) in RECORDS.items():
        parts, sheet = strip(name)
        plan, _, _ = line(name, parts, sheet, gap=0.0, margin=0.0, time_budget=8.0 if quick else 40.0)
        ratio = 0.01 * record / plan.sheets[0].used_length
        bar = 0.87 if quick else 0.93
        good &= ratio >= bar and plan.sheets_used == 1
        print(f"{'':26} {ratio:.3f} of the record density (asked for {bar})")
    table = {"gap": INCH / 4, "margin": INCH / 2}
    line("40 mixed, boxes", forty(), SHEET, method="boxes", **table)
    _, seconds, told = line("40 mixed", forty(), SHEET, **table)
    good &= seconds < 20.0 and told > 5
    line("40 mixed, shear", forty(), SHEET, gap=0.0, margin=0.0, method="shear")
    line("108 irregular, boxes", irregular(), SHEET, method="boxes", **table)
    line("108 irregular", irregular(), SHEET, time_budget=10.0 if quick else 30.0, **table)
    print("within the bars:", "yes" if good else "NO")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
