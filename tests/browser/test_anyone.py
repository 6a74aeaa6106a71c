"""Pages anyone can use: no fault that axe calls serious or critical, and nothing that runs over at any size.

axe-core is Deque's open rule engine (MPL-2.0), here with its rules for WCAG 2.2 A and AA.
"""

from __future__ import annotations

from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from windows import DESKTOP, PHONE, TABLET, Bench, Person, make_pit

VIEWS = ("Side", "Stack end", "Plan", "Wrap map", "3-D", "Fire", "Stand", "Compare")
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


def faults(person: Person) -> list[str]:
    """What axe finds; the styles it tries to put into the page, and our policy refuses, are no errors of the page."""
    before = list(person.seen.errors)
    found = Axe().run(person.page, options=RULES).response["violations"]
    person.seen.errors[:] = before
    return [
        f"{v['id']}: {v['help']} at {[n['target'] for n in v['nodes']][:4]}"
        for v in found
        if v["impact"] in ("serious", "critical")
    ]


def runs_over(page: Page) -> list[str]:
    """Things that stand out past the window's edge, or whose words are cut off, in the page as it is laid out."""
    return list(
        page.evaluate(
            """() => {
              const wide = document.documentElement.clientWidth;
              const out = [];
              if (document.documentElement.scrollWidth > wide + 1) out.push(`the page is ${document.documentElement.scrollWidth} wide`);
              for (const node of document.querySelectorAll('button, a, input, select, h1, h2, h3, p, li, td, th, label, .text')) {
                const box = node.getBoundingClientRect();
                if (!box.width || !box.height || getComputedStyle(node).visibility === 'hidden') continue;
                let inside = false;
                for (let up = node.parentElement; up; up = up.parentElement) {
                  const o = getComputedStyle(up);
                  if (/(auto|scroll|hidden|clip)/.test(o.overflowX + o.overflow) || up.closest('.unseen')) { inside = true; break; }
                }
                if (inside || node.closest('.unseen') || node.classList.contains('skip')) continue;
                if (box.right > wide + 1 || box.left < -1) out.push(`${node.tagName} ${node.id || node.className} "${node.textContent.slice(0, 30)}"`);
              }
              for (const node of document.querySelectorAll('#strip .cell:not(#strip-worst) .text')) {
                if (node.scrollWidth > node.clientWidth + 1) out.push(`cut off in the strip: "${node.textContent}"`);
              }
              for (const node of document.querySelectorAll('button, .button')) {
                if (node.offsetParent && node.scrollWidth > node.clientWidth + 1) out.push(`cut off: "${node.textContent.trim().slice(0, 40)}"`);
              }
              return out;
            }"""
        )
    )


def over_each_other(page: Page, *parts: str) -> list[str]:
    """Pairs of these parts of the page that share ground."""
    boxes = [(what, page.locator(what).first.bounding_box()) for what in parts if page.locator(what).first.is_visible()]
    out = []
    for i, (a, p) in enumerate(boxes):
        for b, q in boxes[i + 1 :]:
            if p and q:
                w = min(p["x"] + p["width"], q["x"] + q["width"]) - max(p["x"], q["x"])
                h = min(p["y"] + p["height"], q["y"] + q["height"]) - max(p["y"], q["y"])
                if w > 1.0 and h > 1.0:
                    out.append(f"{a} and {b}")
    return out


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious(people: Any, bench: Bench, scheme: str) -> None:
    person: Person = people(DESKTOP, color_scheme=scheme, reduced_motion="reduce")
    page = person.page
    make_pit(page, bench)
    page.wait_for_timeout(1500)
    found = {}
    for view in VIEWS:
        page.locator("#views").get_by_role("button", name=view, exact=True).click()
        page.wait_for_timeout(700)
        found[view] = faults(person)
    page.click("#pack")
    page.wait_for_timeout(500)
    found["Pack"] = faults(person)
    page.goto(page.url.split("#")[0].replace("/job/", "/floor/"))
    page.wait_for_timeout(1000)
    found["floor"] = faults(person)
    page.goto(bench.address)
    page.wait_for_selector("#jobs li")
    found["list"] = faults(person)
    assert not {where: what for where, what in found.items() if what}


@pytest.mark.parametrize(
    "size", [DESKTOP, (1280, 800), TABLET, PHONE], ids=["desktop", "small desktop", "tablet", "phone"]
)
def test_nothing_runs_over_at_any_size(people: Any, bench: Bench, size: tuple[int, int]) -> None:
    person: Person = people(size, has_touch=size in (TABLET, PHONE))
    page = person.page
    make_pit(page, bench)
    page.wait_for_timeout(1500)
    found = {}
    for view in VIEWS:
        page.locator("#views").get_by_role("button", name=view, exact=True).click()
        page.wait_for_timeout(700)
        found[view] = runs_over(page) + over_each_other(page, "header.top", "#strip", "#inputs", "#middle", "#side")
    page.goto(page.url.split("#")[0].replace("/job/", "/floor/"))
    page.wait_for_timeout(1000)
    found["floor"] = runs_over(page)
    page.goto(bench.address)
    page.wait_for_selector("#jobs li")
    found["list"] = runs_over(page)
    assert not {where: what for where, what in found.items() if what}


def test_targets_on_the_shop_floor_are_for_gloves(people: Any, bench: Bench) -> None:
    person: Person = people(PHONE, has_touch=True)
    page = person.page
    make_pit(page, bench)
    page.goto(page.url.replace("/job/", "/floor/"))
    page.wait_for_timeout(1500)
    small = page.evaluate(
        """() => [...document.querySelectorAll('button, a[href], input, select, summary, [role=button]')]
          .filter((n) => n.offsetParent && !n.closest('.unseen') && !n.classList.contains('skip'))
          .map((n) => [n, (n.closest('label') ?? n).getBoundingClientRect()])
          .filter(([, b]) => b.width && b.height && (b.width < 48 || b.height < 48))
          .map(([n, b]) => `${n.tagName} ${n.id} "${n.textContent.trim().slice(0, 20)}" ${b.width.toFixed(0)}x${b.height.toFixed(0)}`)"""
    )
    assert not small
