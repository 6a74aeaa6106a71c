"""Any rules for stands, carts and trailers: a pit or the shop's own error, never a crash; every piece weighs something."""

from __future__ import annotations

import math
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import PitwrightError
from pitwright.layout.pit import solve
from pitwright.masses import mass_of
from workbench import job


def inches(low: float, high: float) -> st.SearchStrategy[str]:
    return st.integers(int(low * 16), int(high * 16)).map(lambda n: f"{n / 16.0!r} in")


STAND = st.fixed_dictionaries(
    {
        "on": st.sampled_from(["casters", "levelling feet", "foot plates"]),
        "at": st.sampled_from(["end sets", "every set", "rail ends"]),
    },
    optional={
        "casters_apart": inches(8, 90),
        "caster_height": inches(3, 14),
        "caster_wheel": inches(2, 12),
        "stretcher": inches(0.5, 40),
        "knee": inches(0.5, 30),
        "caster_rating": st.integers(50, 2000).map(lambda n: f"{n} lb"),
    },
)
CART = st.fixed_dictionaries(
    {},
    optional={
        "axle_in": inches(-30, 90),
        "wheel": inches(5, 40),
        "grips_past": inches(-40, 80),
        "grip_height": inches(25, 47),
        "handle": st.sampled_from(["1 sch 40 pipe", "2 x 2 x 1/8 tube", "1-1/2 round"]),
        "axle": st.sampled_from(["3/4 round", "2 sch 80 pipe", "2 x 2 x 1/4 tube"]),
    },
)
TRAILER = st.fixed_dictionaries(
    {
        "tongue": st.sampled_from(["a-frame", "straight"]),
        "tongue_end": st.sampled_from(["stack", "fire"]),
        "axles": st.sampled_from([1, 2, "auto"]),
        "fenders": st.sampled_from(["plate", "bought", "none"]),
    },
    optional={
        "tongue_reach": inches(16, 150),
        "tongue_bite": inches(5, 70),
        "axle_gap": inches(16, 70),
        "axle_drop": inches(0, 11),
        "tyre": inches(13, 50),
        "tyre_width": inches(4, 19),
        "spring": inches(12, 58),
        "ride": inches(1.5, 19),
    },
)


@given(
    st.sampled_from(["stand", "cart", "trailer"]),
    st.data(),
    st.integers(30, 60),
    inches(20, 70),
    st.floats(0.10, 0.15),
    st.sampled_from(["2 x 2 x 3/16 tube", "4 x 4 x 1/4 tube", "C4 x 5.4 channel"]),
)
@settings(max_examples=150, deadline=None)
def test_any_rules_give_a_pit_or_our_own_error(
    base: str, data: st.DataObject, grate: int, outside: str, share: float, rail: str
) -> None:
    rules = data.draw({"stand": STAND, "cart": CART, "trailer": TRAILER}[base])
    facts: dict[str, Any] = {
        "order": {"grate_height": str(grate), "base": base, "tongue_share": share},
        "proportions": {base: rules, "base": {"rails_outside": outside, "rail": rail}, "firebox": {"size": "20"}},
    }
    refused: PitwrightError | None = None
    try:
        pit = solve(job(facts))
    except PitwrightError as problem:
        refused = problem
    if refused is not None:
        assert refused.message
        assert refused.field.split(".")[0] in ("order", "proportions", "override", "vessel"), refused.text()
        assert refused.allowed or refused.remedy
        return
    assert pit.base.kind == base
    for part in pit.parts:
        mass = mass_of(part).mass
        assert math.isfinite(mass), part.name
        assert mass > 0.0, part.name
    for finding in pit.findings:
        assert finding.text
        assert "nan" not in finding.text
    if base == "trailer":
        got = float(pit.reasons["trailer.share.loaded"].value)
        assert abs(got - share) < 1e-6
