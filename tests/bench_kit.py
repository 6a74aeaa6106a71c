"""What the tests of the bench share: the application over a store of its own, asked as its own page asks."""

from __future__ import annotations

import itertools
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from pitwright.bench.app import make_app
from pitwright.bench.share import Share
from pitwright.bench.store import Store

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the client says that its own peer will be renamed
    from starlette.testclient import TestClient

HOST = "127.0.0.1:8321"
FACTS = {"name": "Hill job", "around": "94 1/2", "wall": "1/4", "length": "84", "grate_height": "37"}
EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
_numbers = itertools.count(1)


def rid() -> str:
    return f"r{next(_numbers)}"


@contextmanager
def bench(
    folder: Path, *, share: Share | None = None, client: str = "127.0.0.1", host: str = HOST, **more: Any
) -> Iterator[TestClient]:
    app = make_app(Store.open(folder / "store"), share=share, **more)
    with TestClient(app, base_url=f"http://{host}", client=(client, 50000), headers={"origin": f"http://{host}"}) as c:
        yield c


def live_at(job: str, host: str = HOST) -> str:
    """Where the live line of a job is (the test client needs the whole address)."""
    return f"ws://{host}/live/{job}"


def new_job(client: TestClient, **facts: str) -> str:
    answer = client.post("/api/jobs", json={"facts": FACTS | facts, "rid": rid()})
    assert answer.status_code == 201, answer.text
    return str(answer.json()["job"]["id"])
