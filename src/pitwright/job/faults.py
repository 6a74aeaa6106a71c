"""Faults of a job file in the shop's words: where they are, what was typed, what is allowed, what was probably meant."""

from __future__ import annotations

import difflib
import typing
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel, ValidationError

from pitwright.errors import JobError, PitwrightError
from pitwright.job.quantities import Quantity, System
from pitwright.tape import Tape

# What a value of the wrong kind should have been: pydantic's name for the fault -> (what is wrong, what is allowed).
_KINDS: dict[str, tuple[str, str]] = {
    "model_type": ("this is a heading with lines under it, not one value", ""),
    "model_attributes_type": ("this is a heading with lines under it, not one value", ""),
    "dict_type": ("this is a heading with lines under it, not one value", ""),
    "mapping_type": ("this is a heading with lines under it, not one value", ""),
    "tuple_type": ("this is a list", "values in square brackets, or the same [[heading]] several times"),
    "list_type": ("this is a list", "values in square brackets, or the same [[heading]] several times"),
    "string_type": ("this wants words in quotation marks", 'text such as "Orchard pit"'),
    "int_type": ("this wants a whole number", "a whole number without quotation marks"),
    "int_parsing": ("this wants a whole number", "a whole number without quotation marks"),
    "int_from_float": ("this wants a whole number", "a whole number without quotation marks"),
    "int_parsing_size": ("this wants a whole number", "a whole number without quotation marks"),
    "float_type": ("this wants a number", "a number without quotation marks"),
    "float_parsing": ("this wants a number", "a number without quotation marks"),
    "bool_type": ("this wants true or false", "true, false"),
    "bool_parsing": ("this wants true or false", "true, false"),
    "finite_number": ("no tape reads that", "a number"),
}
_DATES = ("date_type", "date_parsing", "date_from_datetime_parsing", "date_from_datetime_inexact")


def explained(
    problem: ValidationError, data: Mapping[str, Any], system: System, root: type[BaseModel], where: str = ""
) -> JobError:
    """The first fault of a file as our own error; the number of further ones is told.

    root   the table the data belong to; where: put before the field's name (the shop file's name)
    """
    faults = problem.errors(include_url=False)
    fault = faults[0]
    loc = tuple(step for step in fault["loc"] if not str(step).startswith("function-"))
    field, typed, help_text = where + _named(loc, data), _typed_at(data, loc), _help_at(root, loc)
    message, allowed, remedy = _in_words(fault, root, loc, typed, help_text, system)
    if not remedy:
        remedy = "Correct the line or take it out."
        if help_text and help_text != allowed:
            remedy += f" It is: {help_text}."
    others = len({f["loc"] for f in faults if fault["loc"][: len(f["loc"])] != f["loc"]})
    if others:
        remedy += f" After this one: {others} more."
    return JobError(message, field=field, value=typed, allowed=allowed, remedy=remedy)


def _in_words(
    fault: Any, root: type[BaseModel], loc: tuple[Any, ...], typed: Any, help_text: str, system: System
) -> tuple[str, str, str]:
    """(what is wrong, what is allowed, what to do) of one fault; what to do may be empty."""
    kind = fault["type"]
    context: dict[str, Any] = dict(fault.get("ctx") or {})
    cause = context.get("error")
    if isinstance(cause, PitwrightError):
        return cause.message, cause.allowed, cause.remedy
    match kind:
        case "extra_forbidden":
            return "no such line", _nearest(root, loc), "Correct the name or take the line out."
        case "missing":
            remedy = "Pitwright does not guess a fact; put a tape on it and type what it reads."
            return "measure this: it is blank", help_text or "a value", remedy
        case "greater_than" | "greater_than_equal" | "less_than" | "less_than_equal":
            return f"{typed} is out of range", _limits(root, loc, system), ""
        case "literal_error":
            allowed = str(context.get("expected", "")).replace("'", "").replace(" or ", ", ")
            near = difflib.get_close_matches(str(typed), allowed.split(", "), n=1, cutoff=0.5)
            return (
                f"{typed!r} is not one of the choices",
                allowed,
                f"Did you mean {near[0]}?" if near else "Pick one of them.",
            )
    message, allowed = _wrong_kind(kind, context, help_text)
    return message, allowed, ""


def _wrong_kind(kind: str, context: Mapping[str, Any], help_text: str) -> tuple[str, str]:
    """(what is wrong, what is allowed) for a value of the wrong kind or length."""
    if kind in _KINDS:
        message, allowed = _KINDS[kind]
        return message, allowed or "lines such as name = value under its heading"
    if kind in _DATES:
        return "this wants a date", "year-month-day without quotation marks, such as 2026-01-31"
    if kind in ("too_long", "string_too_long"):
        what = "letters" if kind.startswith("string") else "of them"
        return "too long", f"up to {context.get('max_length')} {what}"
    if kind in ("too_short", "string_too_short"):
        what = "letters" if kind.startswith("string") else "of them"
        return "too short", f"at least {context.get('min_length')} {what}"
    return "this cannot be used as it stands", help_text or "see the example jobs"


def _nearest(root: type[BaseModel], loc: tuple[Any, ...]) -> str:
    """For a line nobody knows: the nearest name, or the heading it belongs under, or all names."""
    name = str(loc[-1])
    known = sorted(_fields_at(root, loc[:-1]))
    if len(loc) == 1 and "job" in known:
        known.append("shop")
    near = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
    elsewhere = sorted(_headings_with(root, name))
    if elsewhere and not near:
        return f"{name} stands under [{elsewhere[0]}]"
    return f"did you mean {near[0]}" if near else ", ".join(known)


def _named(loc: tuple[Any, ...], data: Any) -> str:
    """A place in the file as a person counts it: `vessel.fittings no. 2.size`."""
    out = ""
    for step in loc:
        if isinstance(step, int):
            out += f" no. {step + 1}" if isinstance(data, list | tuple) else ""
        else:
            out += f".{step}" if out else str(step)
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            data = None
    return out


def _typed_at(data: Any, loc: tuple[Any, ...]) -> Any:
    """What was typed at a place."""
    for step in loc:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return data
    return data


def _walk(root: type[BaseModel], loc: tuple[Any, ...]) -> tuple[type[BaseModel] | None, Any]:
    """(table, field) a place leads to; list positions are stepped over."""
    model: type[BaseModel] | None = root
    info: Any = None
    for step in loc:
        if isinstance(step, int):
            continue
        if model is None:
            return None, None
        info = next((f for n, f in model.model_fields.items() if step in (n, f.alias)), None)
        model = model_in(info.annotation) if info is not None else None
    return model, info


def model_in(annotation: Any) -> type[BaseModel] | None:
    """The table a field holds (one, or many of), None where it holds a value."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in typing.get_args(annotation):
        found = model_in(inner)
        if found is not None:
            return found
    return None


def _fields_at(root: type[BaseModel], loc: tuple[Any, ...]) -> list[str]:
    model, _ = _walk(root, loc)
    return [f.alias or n for n, f in model.model_fields.items()] if model is not None else []


def _headings_with(model: type[BaseModel], name: str, heading: str = "") -> list[str]:
    """Headings under which a line of this name is known."""
    out: list[str] = []
    for field, info in model.model_fields.items():
        own = info.alias or field
        if heading and own == name:
            out.append(heading)
        inner = model_in(info.annotation)
        if inner is not None:
            out += _headings_with(inner, name, f"{heading}.{own}" if heading else own)
    return out


def _help_at(root: type[BaseModel], loc: tuple[Any, ...]) -> str:
    _, info = _walk(root, loc)
    return info.description or "" if info is not None else ""


def measure_of(info: Any) -> str:
    """The measure of a field (`length`, `angle`, `share`, ...), empty for plain values and headings."""
    for mark in _marks(info.annotation, info.metadata):
        return mark
    return ""


def _marks(annotation: Any, metadata: Any) -> list[str]:
    found = [m.measure for m in metadata if isinstance(m, Quantity)]
    for inner in typing.get_args(annotation):
        found += [m.measure for m in getattr(inner, "__metadata__", ()) if isinstance(m, Quantity)]
        found += _marks(inner, ()) if typing.get_args(inner) else []
    return found


def _limits(root: type[BaseModel], loc: tuple[Any, ...], system: System) -> str:
    _, info = _walk(root, loc)
    return "" if info is None else limits_of(info, system)


def limits_of(info: Any, system: System) -> str:
    """A field's range in the shop's units, empty where it has none."""
    measure = measure_of(info) or "ratio"
    tape = Tape.for_system(system)
    out = []
    for words, names in ((("from", "over"), ("ge", "gt")), (("to", "under"), ("le", "lt"))):
        for word, name in zip(words, names, strict=True):
            bound = next((getattr(m, name) for m in info.metadata if getattr(m, name, None) is not None), None)
            if bound is not None:
                out.append(f"{word} {tape.figure(float(bound), 'length' if measure == 'share' else measure)}")
    return " ".join(out)
