"""A few things worked out of late, kept by what they were worked out from; may be asked from several threads."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

_Made = TypeVar("_Made")


class Keep(Generic[_Made]):
    """The last few of one kind.

    most  how many
    """

    def __init__(self, most: int):
        self._most = most
        self._lock = threading.Lock()
        self._held: OrderedDict[tuple[int, Hashable], tuple[object, _Made]] = OrderedDict()

    def made(self, source: object, make: Callable[[], _Made], key: Hashable = None) -> _Made:
        """What was made from a source (that very object), made now where it was not; nothing is locked while making."""
        place = (id(source), key)
        with self._lock:
            kept = self._held.get(place)
            if kept is not None and kept[0] is source:
                self._held.move_to_end(place)
                return kept[1]
        made = make()
        with self._lock:
            self._held[place] = (source, made)
            self._held.move_to_end(place)
            while len(self._held) > self._most:
                self._held.popitem(last=False)
        return made
