"""A real bench in a process of its own, and a real browser that sees nothing but that page."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any

from playwright.sync_api import Browser, BrowserContext, Page

ROOT = Path(__file__).resolve().parents[1]
DESKTOP, TABLET, PHONE = (1440, 900), (820, 1180), (390, 844)
ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]


@dataclass
class Bench:
    """A running bench: its address, its store, and the process behind it."""

    address: str
    store: Path
    process: subprocess.Popen[str]

    def stop(self) -> None:
        self.process.terminate()
        self.process.wait(timeout=15)


def start_bench(store: Path, *more: str) -> Bench:
    """Start the command as a person would, on any free port."""
    process = subprocess.Popen(
        [sys.executable, "-m", "pitwright", "bench", "--store", str(store), "--port", "0", "--no-browser", *more],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        cwd=ROOT,
    )
    assert process.stdout is not None
    return Bench(address=_address(process.stdout), store=store, process=process)


def _address(out: IO[str]) -> str:
    said = ""
    for line in out:
        said += line
        if found := re.search(r"http://127\.0\.0\.1:\d+", line):
            return found.group()
    raise AssertionError(f"the bench did not start:\n{said}")


@dataclass
class Seen:
    """What a page did that nobody wants: asked elsewhere, or said an error."""

    outside: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)


class Person:
    """One person at one browser window; `page` is what they see."""

    def __init__(self, browser: Browser, bench: Bench, size: tuple[int, int], **more: Any):
        self.seen = Seen()
        self.context: BrowserContext = browser.new_context(
            viewport={"width": size[0], "height": size[1]}, accept_downloads=True, **more
        )
        self.context.set_default_timeout(15000)
        self.page: Page = self.context.new_page()
        self.bench = bench
        own = (bench.address, bench.address.replace("http", "ws"), "data:", "blob:")
        self.page.on("request", lambda r: None if r.url.startswith(own) else self.seen.outside.append(r.url))
        self.page.on("pageerror", lambda e: self.seen.errors.append(str(e)))
        self.page.on("console", lambda m: self.seen.errors.append(m.text) if m.type == "error" else None)

    def close(self) -> None:
        self.context.close()
        assert not self.seen.outside, f"asked elsewhere: {self.seen.outside}"
        assert not self.seen.errors, f"errors on the page: {self.seen.errors}"


def make_pit(page: Page, bench: Bench, name: str = "Hill job", **facts: str) -> str:
    """A new pit from the five facts, by the form; returns its address."""
    facts = {"around": "94 1/2", "wall": "1/4", "length": "84", "grate_height": "36"} | facts
    page.goto(bench.address)
    page.fill("#new-name", name)
    for key, text in facts.items():
        page.fill(f"#new-{key}", text)
    page.click("#make-job")
    page.wait_for_url("**/job/*")
    page.wait_for_selector("#board svg.drawing")
    return page.url
