"""What one running bench holds: the store, solved pits of late, who has which job open, packs under way.

The event loop only carries messages. Store calls run one at a time on a thread of their own (each returns only when
it is on the disk); solving runs on a few others, so that no page waits for another's job.
"""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

from pitwright.bench.documents import read_job
from pitwright.bench.share import Share

if TYPE_CHECKING:
    from pitwright.bench.live import Room
    from pitwright.bench.packs import Packs
    from pitwright.bench.store import Store
    from pitwright.layout.model import Pit

P = ParamSpec("P")
T = TypeVar("T")
PITS_KEPT = 24
PICTURES_KEPT = 400


class Kept(OrderedDict[Any, T]):
    """A few things made before, the least used dropped first."""

    def __init__(self, most: int):
        super().__init__()
        self._most = most

    def find(self, key: object) -> T | None:
        """What was kept under a key; None where nothing is."""
        if key not in self:
            return None
        self.move_to_end(key)
        return self[key]

    def keep(self, key: object, value: T) -> T:
        """Keep a value. Returns it."""
        self[key] = value
        self.move_to_end(key)
        while len(self) > self._most:
            self.popitem(last=False)
        return value


class Hub:
    """The running bench.

    store  the open store
    share  codes and sessions, where it is shared
    packs  packs under way and ready
    """

    def __init__(self, store: Store, packs: Packs, share: Share | None = None):
        self.store = store
        self.share = share
        self.packs = packs
        self.rooms: dict[str, Room] = {}
        self._disk = ThreadPoolExecutor(1, thread_name_prefix="store")
        self._solvers = ThreadPoolExecutor(2, thread_name_prefix="solve")
        self._fulls = ThreadPoolExecutor(1, thread_name_prefix="full")
        self._pits: Kept[Pit] = Kept(PITS_KEPT)
        self._pictures: Kept[bytes] = Kept(PICTURES_KEPT)

    async def keep(self, call: Callable[P, T], *args: P.args, **more: P.kwargs) -> T:
        """A store call, on the store's thread. Raises what it raises."""
        return await asyncio.get_running_loop().run_in_executor(self._disk, lambda: call(*args, **more))

    async def work(self, call: Callable[P, T], *args: P.args, **more: P.kwargs) -> T:
        """Something that takes a while, off the event loop. Raises what it raises."""
        return await asyncio.get_running_loop().run_in_executor(self._solvers, lambda: call(*args, **more))

    async def work_slowly(self, call: Callable[P, T], *args: P.args, **more: P.kwargs) -> T:
        """The same one at a time; what still waits in line is dropped where it is cancelled. Raises what it raises."""
        return await asyncio.get_running_loop().run_in_executor(self._fulls, lambda: call(*args, **more))

    async def pit(self, job: str) -> Pit:
        """The solved pit of a job as it stands now.

        Raises JobError or LayoutError where it has none, NotHere where there is no such job.
        """
        held = await self.keep(self.store.get, job)
        key = (job, held.head)
        return self._pits.find(key) or self._pits.keep(key, await self.work(_solved, held.document, held.beside))

    async def picture(self, job: str) -> bytes:
        """The small side view of a job in the list, as SVG; kept for each change.

        Raises as `pit` does.
        """
        from pitwright.bench.list_picture import list_picture

        held = await self.keep(self.store.get, job)
        key = (job, held.head)
        found = self._pictures.find(key)
        if found is not None:
            return found
        pit = await self.pit(job)
        return self._pictures.keep(key, await self.work(list_picture, pit))

    async def announce(self, job: str, *, by: str, but: object = None) -> None:
        """Tell every open page of a job that it was changed; each gets the new picture.

        by   who changed it
        but  the seat that made the change and knows already
        """
        room = self.rooms.get(job)
        if room is not None:
            room.announce(by, but)

    async def send_away(self, key: str) -> None:
        """Cut off the open pages of a device, or of every device where no key is given."""
        from pitwright.bench.live import AWAY

        lines = [line for room in self.rooms.values() for line in room.lines if line.session]
        for line in lines:
            if not key or line.session == key:
                await line.close(AWAY, "this device was sent away")

    async def close(self) -> None:
        """Stop packs, let the last store call end, and close the store."""
        await self.packs.close()
        for room in list(self.rooms.values()):
            room.close()
        await self.keep(self.store.close)
        self._disk.shutdown(wait=True)
        for threads in (self._solvers, self._fulls):
            threads.shutdown(wait=False, cancel_futures=True)


def _solved(document: Mapping[str, Any], beside: Mapping[str, bytes]) -> Pit:
    from pitwright.layout.pit import solve

    return solve(read_job(dict(document), beside))
