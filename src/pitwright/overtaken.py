"""Long work given up half way: a full picture in the making is of no use once the hand has moved on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar


class Overtaken(Exception):
    """The work was given up: nobody waits for it."""


_wanted: ContextVar[Callable[[], bool] | None] = ContextVar("wanted", default=None)


@contextmanager
def as_long_as(wanted: Callable[[], bool]) -> Iterator[None]:
    """Work done inside on this thread is given up at its next `breathe` once it is not wanted any more."""
    token = _wanted.set(wanted)
    try:
        yield
    finally:
        _wanted.reset(token)


def breathe() -> None:
    """Between two pieces of long work: go on, or give up.

    Raises Overtaken where the work is not wanted any more.
    """
    wanted = _wanted.get()
    if wanted is not None and not wanted():
        raise Overtaken
