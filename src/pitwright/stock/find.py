"""Finding stock by the name a shop writes."""

from __future__ import annotations

import dataclasses
import difflib
import functools
import re
from collections.abc import Callable, Sequence

from pitwright.errors import JobError, TapeError
from pitwright.stock import sections, tables
from pitwright.stock.profile import Profile, size_text
from pitwright.tape import INCH, MILLIMETRE, LengthUnit, System, parse_length, plain_text

ALLOWED = (
    "2 x 2 x 3/16 tube, 1-1/2 x 1-1/2 x 11 ga tube, 6 in sch 40 pipe, 4 OD x 1/4 round tube, 2 x 2 x 1/4 angle, "
    "C4 x 5.4 channel, 2 x 1/4 flat, 1/2 round, 50 x 50 x 4 mm tube, 168.3 x 7.1 mm pipe"
)
_NEAR = 2e-5  # m; a listed size and a typed one are the same size (0.188 is 3/16)
_SCHEDULES = {
    "standard": "std", "standard weight": "std", "extra strong": "xs", "xh": "xs", "extra heavy": "xs",
    "double extra strong": "xxs", "xxh": "xxs", "stdwt": "std",
}  # fmt: skip
_WORDS = {
    "tube": ("tube", "tubing", "hss", "rhs", "shs", "box", "square tube", "square tubing", "rectangular tube"),
    "round tube": ("round tube", "round tubing", "round hss", "dom", "mechanical tube", "chs"),
    "pipe": ("pipe", "nps"),
    "angle": ("angle", "angle iron", "angle bar", "l"),
    "channel": ("channel", "c"),
    "flat": ("flat", "flat bar", "bar", "strap", "fb"),
    "round": ("round", "round bar", "rod", "round rod", "rb"),
}
_KIND_OF = {word: kind for kind, words in _WORDS.items() for word in words}
_KIND = r"(?<![a-z])(?:" + "|".join(sorted(_KIND_OF, key=len, reverse=True)) + r")(?![a-z])"
_GRADE = r"(?<![a-z0-9])(?:a36|a53|a500|a513|s235|s275|s355|hot rolled|cold rolled)(?![a-z0-9])"
_BETWEEN = r"(?:square |round )?(?:tube|tubing)|angle(?: iron)?|flat(?: bar)?"
_SCHEDULE = (
    r"(?<![a-z])(?:(?:sch|sched|schedule)\.?\s*-?\s*(?P<number>\d+|std|xs|xxs)"
    r"|(?P<word>std|xxs|xs|" + "|".join(sorted(_SCHEDULES, key=len, reverse=True)) + r"))(?![a-z0-9])\.?"
)
_FILLER = r"(?<![a-z])(?:steel|mild|erw|wall|wt|thick|od|o\.d\.|outside|dia|diameter|ø|square|sq|rectangular)(?![a-z])"
_NAMED_BY = {
    "tube": "A tube is named by height x width x wall.", "round tube": "A round tube is named by OD x wall.",
    "pipe": "A pipe is named by size and schedule, or by OD x wall.", "angle": "An angle is named by leg x leg x wall.",
    "channel": "A channel is named by depth and weight: C4 x 5.4.", "flat": "A flat is named by width x thickness.",
    "round": "A round bar is named by its diameter; a hollow one is a round tube.",
}  # fmt: skip
_PLAUSIBLE_INCHES = {"tube": (24.0, 1.0), "round tube": (36.0, 1.0), "pipe": (60.0, 1.0), "angle": (12.0, 1.4),
                     "flat": (12.0, 2.0), "round": (4.0, 4.0)}  # fmt: skip


def find_profile(text: str, *, field: str = "stock", unit: LengthUnit | None = None) -> Profile:
    """The stock a shop means by a name such as `2x2x3/16`, `6 sch 40`, `C4x5.4`, `50x50x4 mm tube`.

    A listed size comes from its table; any other size is computed and its source says so. Bare numbers are read in
    `unit` (inches where it is not given), but sizes no inch stock has are millimetres: `50 x 50 x 4`. Where the first
    side is the shorter, the stock is turned. Raises JobError, naming the nearest known sizes.
    """
    if not isinstance(text, str) or not text.strip() or len(text) > 60:
        raise JobError("no name of stock", field=field, value=str(text)[:60], allowed=ALLOWED)
    try:
        return _typed(text, unit)
    except _Unreadable as problem:
        raise JobError(f"cannot find {text!r} in stock", field=field, value=text, allowed=ALLOWED,
                       remedy=str(problem) or _nearest(text)) from None  # fmt: skip
    except (JobError, TapeError) as problem:
        raise JobError(f"{text!r}: {problem.message}", field=field, value=text, allowed=problem.allowed or ALLOWED,
                       remedy=problem.remedy) from None  # fmt: skip


@functools.lru_cache(maxsize=512)
def _typed(text: str, unit: LengthUnit | None) -> Profile:
    """The stock of a name just as it was typed."""
    return _find(plain_text(text), unit)


class _Unreadable(Exception):
    """No such stock; the text is a hint."""


def _nearest(text: str) -> str:
    names = {p.designation.lower(): p.designation for p in tables.known_profiles()}
    close = difflib.get_close_matches(re.sub(r"\s*x\s*", " x ", plain_text(text)), names, 3, 0.5)
    return f"Nearest known: {'; '.join(names[n] for n in close)}." if close else ""


@functools.lru_cache(maxsize=512)
def _find(text: str, unit: LengthUnit | None) -> Profile:
    text = re.sub(r"\s*[×*]\s*|\s+by\s+", " x ", re.sub(_GRADE, " ", text)).strip()
    text = re.sub(r"(?<=[\d\"])\s*(?:,|wall|wt)\s*(?=[\d.])", " x ", text)
    text = re.sub(rf"(?<=[\d\"n])\s*({_BETWEEN})\s+(?=[\d.])", r" \1 x ", text)
    match = re.fullmatch(r"(channel\s*c?|c)?\s*(\d+)\s*x\s*([\d.]+)\s*(?:#|lb|lb/ft)?\s*(channel)?", text)
    if match and (match[1] or match[4]):
        return _channel(match[2], float(match[3]))
    square, od = bool(re.search(r"\bsq(?:uare)?\b", text)), bool(re.search(r"(?<![a-z])o\.?d\b", text))
    said = {_KIND_OF[k] for k in re.findall(_KIND, text)}
    rest = re.sub(_KIND, " ", text)
    if schedule := re.search(_SCHEDULE, rest):
        rest = rest[: schedule.start()] + " " + rest[schedule.end() :]
        said.add("pipe")
    rest = " ".join(re.sub(_FILLER, " ", rest).split()).strip(" ,")
    kind = _one_kind(said)
    pieces = re.split(r"\s*x\s*", rest) if rest else []
    if kind == "pipe" and len(pieces) == 1:
        code = (schedule["number"] or schedule["word"]) if schedule else "std"
        return _nominal_pipe(pieces[0], _SCHEDULES.get(code, code))
    if kind in ("tube", "flat") and square and len(pieces) == (2 if kind == "tube" else 1):
        pieces.insert(0, pieces[0])
    elif kind == "tube" and len(pieces) == 2:
        if not od and "hss" not in text:
            a, t = pieces
            raise _Unreadable(f"Square or round? Write {a} x {a} x {t} tube, or {a} OD x {t} round tube.")
        kind = "round tube"
    elif not kind and len(pieces) == 3:
        kind = "tube"
    wanted = {"tube": (3,), "round tube": (2,), "pipe": (2,), "angle": (2, 3), "flat": (2,), "round": (1,)}
    if schedule or len(pieces) not in wanted.get(kind, ()):
        raise _Unreadable(_NAMED_BY.get(kind, "Say what it is: tube, pipe, angle, channel, flat or round."))
    sizes, system = _sizes(pieces, kind, unit)
    if kind == "pipe" and system == "inch" and not od:
        return _pipe_without_od(pieces, sizes)
    return _BY_SIZE[kind](sizes, system)


def _one_kind(said: set[str]) -> str:
    """The kind meant by the words found: `round` with `tube` or `pipe` is hollow, `round` with `bar` is solid."""
    hollow = said & {"tube", "pipe", "round tube"}
    if len(said) > 1 and said <= {"round", "tube", "pipe", "round tube"} and len(hollow - {"round tube"}) <= 1:
        return "pipe" if "pipe" in said else "round tube"
    if said == {"round", "flat"}:
        return "round"
    if len(said) > 1:
        raise _Unreadable(f"It names both {' and '.join(sorted(said))}.")
    return next(iter(said), "")


def _pipe_without_od(pieces: Sequence[str], sizes: Sequence[float]) -> Profile:
    """`pipe 6 x .280`: 6 is the nominal size where that wall is one of its schedules; below 14 in it may be neither."""
    size, wall = sizes
    nps = next((n for n, nominal in tables.nominal_pipes().items() if abs(nominal - size) < _NEAR), "")
    listed = {s: at for (n, s), at in tables.schedules().items() if n == nps}
    if not nps or abs(listed["std"][0] - size) < _NEAR:
        return _pipe(sizes, "inch")
    for schedule, (_, scheduled) in listed.items():
        if abs(scheduled - wall) < _NEAR:
            return _nominal_pipe(nps, schedule)
    raise _Unreadable(
        f"Is {pieces[0]} the pipe size or its outside? Write {nps} in sch 40 pipe, or {pieces[0]} OD x {pieces[1]} pipe."
    )


def _channel(depth: str, weight: float) -> Profile:
    for profile in tables.channels():
        size, heavy = re.findall(r"[\d.]+", profile.designation)
        if size == depth and abs(float(heavy) - weight) < 0.011:
            return profile
    near = [p.designation for p in tables.channels() if p.designation.startswith(f"C{depth} ")]
    raise _Unreadable(f"Channels of that depth: {'; '.join(near)}." if near else "No channel of that depth is listed.")


def _nominal_pipe(size: str, schedule: str) -> Profile:
    listed, nominal = tables.schedules(), tables.nominal_pipes()
    try:
        wanted = parse_length(re.sub(r"\s*(?:in|inch|\")$", "", size), unit="in")
    except TapeError:
        raise _Unreadable(_NAMED_BY["pipe"]) from None
    nps = next((name for name, at in nominal.items() if abs(at - wanted) < _NEAR), "")
    if not nps:
        raise _Unreadable(f"Nominal pipe sizes: {', '.join(nominal)}. Another pipe is named by OD x wall.")
    if (nps, schedule) not in listed:
        have = [s for n, s in listed if n == nps]
        raise _Unreadable(f"{nps} in pipe is listed in schedule {', '.join(have)}.")
    od, wall = listed[nps, schedule]
    found = _listed(tables.pipes(), od, od, wall)
    if found:
        return found
    made = sections.pipe(od, wall)
    name = f"{nps} in {schedule if schedule.isalpha() else 'sch ' + schedule} pipe"
    return dataclasses.replace(made, designation=name, source=f"{made.source}; {tables.B36_10}")


def _sizes(pieces: Sequence[str], kind: str, unit: LengthUnit | None) -> tuple[list[float], System]:
    """The sizes [m] and the system they are named in."""
    millimetres = [bool(re.search(r"(?<![a-z])mm$|(?<=\d)mm$", piece)) for piece in pieces]
    inches = [bool(re.search(r"/|\"|in\.?$|inch|ga(?:uge|ge)?$", piece)) for piece in pieces]
    if any(millimetres) and any(inches):
        raise _Unreadable("It mixes inches and millimetres.")
    if any(millimetres):
        chosen: LengthUnit = "mm"
    elif any(inches):
        chosen = "in"
    else:
        chosen = unit or "in"
        if chosen == "in":
            numbers = [float(p) for p in pieces if re.fullmatch(r"\d*\.?\d+|\d+\.", p)]
            side, wall = _PLAUSIBLE_INCHES[kind]
            if len(numbers) == len(pieces) and (max(numbers) > side or min(numbers) > wall):
                chosen = "mm"
    return [_size(piece, chosen, kind) for piece in pieces], "inch" if chosen == "in" else "metric"


def _size(piece: str, unit: LengthUnit, kind: str) -> float:
    if match := re.fullmatch(r"(\d+)\s*(?:ga|gauge|gage)\.?", piece):
        number = int(match[1])
        return tables.sheet_gauge(number) if kind in ("flat", "angle") else tables.tube_gauge(number)
    size = parse_length(piece, unit=unit)
    if size < 0.4 * MILLIMETRE:
        raise TapeError(f"{piece} is thinner than any stock", value=piece,
                        remedy="If it was read in inches, say so: add in." if unit == "mm" else "")  # fmt: skip
    return size


def _listed(profiles: Sequence[Profile], height: float, width: float, wall: float) -> Profile | None:
    for p in profiles:
        if abs(p.height - height) < _NEAR and abs(p.width - width) < _NEAR and abs(p.wall - wall) < _NEAR:
            return p
    return None


def _two_sided(
    listed: Callable[[], Sequence[Profile]], make: Callable[..., Profile], sizes: Sequence[float], system: System
) -> Profile:
    height, width, wall = sizes
    if found := _listed(listed(), height, width, wall):
        return found
    if found := _listed(listed(), width, height, wall):
        return found.turned()
    return make(height, width, wall, system=system)


def _tube(sizes: Sequence[float], system: System) -> Profile:
    return _two_sided(tables.tubes, sections.tube, sizes, system)


def _angle(sizes: Sequence[float], system: System) -> Profile:
    legs = sizes if len(sizes) == 3 else (sizes[0], *sizes)
    return _two_sided(tables.angles, sections.angle, legs, system)


def _pipe(sizes: Sequence[float], system: System) -> Profile:
    od, wall = sizes
    return _listed(tables.pipes(), od, od, wall) or sections.pipe(od, wall, system=system)


def _round_tube(sizes: Sequence[float], system: System) -> Profile:
    od, wall = sizes
    return _listed(tables.round_tubes(), od, od, wall) or sections.pipe(od, wall, system=system, name="round tube")


def _flat(sizes: Sequence[float], system: System) -> Profile:
    return sections.flat(sizes[0], sizes[-1], system=system)


def _round(sizes: Sequence[float], system: System) -> Profile:
    return sections.round_bar(sizes[0], system=system)


_BY_SIZE: dict[str, Callable[[Sequence[float], System], Profile]] = {
    "tube": _tube, "angle": _angle, "pipe": _pipe, "round tube": _round_tube, "flat": _flat, "round": _round,
}  # fmt: skip


@functools.lru_cache(maxsize=256)
def plate_name(thickness: float, system: System) -> str:
    """What a thickness [m] is asked for as: `1/4 plate`, `10 ga sheet`, `6 mm plate`."""
    if system == "metric":
        word = "plate" if thickness >= 2.999 * MILLIMETRE else "sheet"
        return f"{size_text(thickness, system)} mm {word}"
    for row in tables.rows("gauges"):
        if abs(thickness / INCH - float(row["sheet"])) < 3e-4:
            return f"{row['gauge']} ga sheet"
    return f"{size_text(thickness, system)} {'plate' if thickness > 0.186 * INCH else 'sheet'}"
