"""A new job file: the stated facts filled in, everything else as commented lines ready to use."""

from __future__ import annotations

import json
import tomllib
import typing
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pitwright.errors import JobError
from pitwright.job.facts import Base
from pitwright.job.file import SCHEMA, job_from, write_whole
from pitwright.job.quantities import System

HEAD = """# A Pitwright job: only what somebody stated. Sizes in any shop way: "37 1/2", "3' 1 1/2\\"", "952.5 mm".
schema = {schema}

# [shop]
# file = "shop.toml"          # the shop's own proportions, beside this file

[job]
name = {name}
# customer = "..."
# number = "..."
units = {units}

[vessel]                      # the survey, before it is turned: end A is where the tape is hooked on
around = {around}             # tape right round the outside skin
wall = {wall}                 # by gauge; several readings: ["1/4", "1/4", "15/64"]
length = {length}             # girth seam to girth seam
# held = "..."                # what it held
# coating = "bare"            # bare, painted, galvanized, lined
# bow = "0"

[vessel.head_a]
type = {heads}                # ellipsoidal, hemispherical, torispherical, flat, none
# depth = "7 3/4"             # outside depth from the seam, if measured

[vessel.head_b]
type = {heads}

# [[vessel.rounds]]           # out of round: diameters at up to three stations
# station = "12"
# across_seam = "30 3/8"
# across_side = "29 3/4"

[[vessel.seams]]
kind = "long"                 # arounds are taped clockwise from here, seen at end A
around = "0"

# [[vessel.fittings]]
# name = "drain boss"
# station = "70"
# around = "47"
# size = "2 1/2"
# plan = "reuse"              # reuse, plug, cut away, keep
# good_for = ["drain"]        # drain, thermometer, inlet

# Pitwright records who cleared the vessel; it never calls a vessel safe. No cut marks are issued without it.
[make_safe]
# held = "..."
# method = "..."
# signed_by = "..."
# signed_on = 2026-01-31

[order]
grate_height = {grate_height}  # main grate over the floor
{people}
base = {base}                 # {bases}
{hitch}firebox_side = "right"        # seen from the working side
flow = "offset"               # offset, or reverse
# cook_temperature = "250 F"
# [[order.levels]]
# above = "8"                 # one more level over the main grate
# slides = true
# [[order.passages]]
# name = "yard gate"
# width = "60"

# Any rule of the shop can be changed for this job:
# [proportions.legs]
# inboard = "4"               # where the leg meets the shell, in from the vessel's side line
{under}
# Any free figure can be set by its name (`pitwright why JOB` lists them):
# [override]
# "stack.behind_top" = "4"

# What I got: measured on the build; it is frozen and the rest is solved again.
# [measured]
# around = "94 7/16"
# height = "38 3/16"
# [[measured.legs]]
# set = "A"
# lean = "12.4"
# [pieces]
# L1 = "cut"                  # open, cut, tacked, welded
"""


HITCH = """# tongue_share = 0.12          # part of the loaded weight on the hitch, 0.10 to 0.15
# hitch_height = "17"         # ball over the road
"""

UNDER = {
    "stand": """# [proportions.stand]
# on = "casters"              # casters, levelling feet, foot plates
# at = "end sets"             # under the end leg sets, under every set, or at the rail ends
# casters_apart = "30"        # swivel to swivel across; under the rails where blank
# caster_height = "7 1/2"     # floor to the top of its plate
# caster_rating = "600 lb"    # what its maker lets one caster carry
# stretcher = "8"             # a tie between the legs of each set, this high over the rails
""",
    "cart": """# [proportions.cart]
# axle_in = "8"               # axle in from the fire seam
# wheel = "16"                # wheel diameter
# grips_past = "26"           # middle of the grips past the stack seam
# grip_height = "35"
""",
    "trailer": """# [proportions.trailer]
# tongue = "a-frame"          # a-frame or straight
# tongue_end = "stack"        # end it is towed by
# tongue_reach = "54"         # ball ahead of the rails' end
# axles = "auto"              # 1, 2, or by the weight
# tyre = "27"                 # tyre diameter under load
# axle_drop = "4"             # dropped axle, 0 = straight
# ride = "6"                  # axle beam to the rail's underside, loaded
# axle_rating = "3500 lb"     # what its maker lets one axle carry
# tyre_rating = "1820 lb"
# coupler_rating = "7000 lb"
""",
}
"""Lines ready to use for what goes under the rails, by base."""


def job_text(facts: Mapping[str, Any], units: System) -> str:
    """The text of a new job file.

    facts  name, around, wall, length, grate_height as typed; people, heads, base may be None
    Raises JobError where a fact cannot be used.
    """
    people, base = facts.get("people"), facts.get("base") or "skid"
    text = HEAD.format(
        schema=SCHEMA,
        name=json.dumps(str(facts["name"]), ensure_ascii=False),
        units=json.dumps(units),
        around=json.dumps(str(facts["around"])),
        wall=json.dumps(str(facts["wall"])),
        length=json.dumps(str(facts["length"])),
        grate_height=json.dumps(str(facts["grate_height"])),
        heads=json.dumps(facts.get("heads") or "ellipsoidal"),
        base=json.dumps(base),
        bases=", ".join(typing.get_args(Base)),
        hitch=HITCH if base == "trailer" else "",
        under=UNDER.get(base, ""),
        people=f"people = {people}" if people else "# people = 60              # to feed from one cook",
    )
    job_from(tomllib.loads(text))
    return text


def write_new(path: Path, text: str, *, overwrite: bool) -> Path:
    """Write a new file; an old one of that name is kept unless told otherwise.

    Raises JobError where the file is there, OutputError where it cannot be written.
    """
    if path.exists() and not overwrite:
        raise JobError(
            "a file of that name is there already",
            field=str(path),
            allowed="a new name",
            remedy="Add --overwrite to replace it.",
        )
    write_whole(path, text.encode())
    return path
