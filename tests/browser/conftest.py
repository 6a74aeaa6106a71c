"""A real bench in a process of its own, and windows of a real browser on it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Playwright, sync_playwright

from windows import ARGS, DESKTOP, Bench, Person, start_bench


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    running = start_bench(tmp_path / "store")
    yield running
    running.stop()


@pytest.fixture(scope="session")
def player() -> Iterator[Playwright]:
    with sync_playwright() as playing:
        yield playing


@pytest.fixture(scope="session")
def chromium(player: Playwright) -> Iterator[Browser]:
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    assert found, "the browser tests need Debian's package chromium: apt-get install chromium libatomic1"
    browser = player.chromium.launch(executable_path=found, args=ARGS)
    yield browser
    browser.close()


@pytest.fixture
def people(chromium: Browser, bench: Bench) -> Iterator[Any]:
    """Open windows: `people(DESKTOP)` gives a Person; all are closed and held to their word at the end."""
    came: list[Person] = []

    def come(size: tuple[int, int] = DESKTOP, **more: Any) -> Person:
        came.append(Person(chromium, bench, size, **more))
        return came[-1]

    yield come
    for person in came:
        person.close()


@pytest.fixture
def person(people: Any) -> Person:
    return people()  # type: ignore[no-any-return]
