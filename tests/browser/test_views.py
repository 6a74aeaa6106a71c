"""The larger views of a job in a real browser: 3-D, fire, stand; what they say is what the server and the files say."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from windows import DESKTOP, PHONE, Bench, Person, make_pit

WAIT = 30000


def job_of(page: Page) -> str:
    return page.url.rsplit("/", 1)[1]


def told(page: Page, bench: Bench, path: str) -> Any:
    answer = page.request.get(f"{bench.address}/api/jobs/{job_of(page)}/{path}")
    assert answer.ok, answer.text()
    return answer.json()


def view(page: Page, name: str) -> None:
    page.locator("#views").get_by_role("button", name=name, exact=True).click()


def drawn(page: Page) -> int:
    expect(page.locator(".solid-canvas")).to_have_attribute("data-triangles", re.compile("^[1-9]"), timeout=WAIT)
    return int(page.locator(".solid-canvas").get_attribute("data-triangles") or 0)


def picture(page: Page) -> bytes:
    page.wait_for_timeout(250)
    return page.locator(".solid-stage").screenshot()


@pytest.mark.parametrize("size", [DESKTOP, PHONE])
def test_the_pit_in_three_dimensions(people: Any, bench: Bench, size: tuple[int, int]) -> None:
    person: Person = people(size)
    page = person.page
    make_pit(page, bench)
    view(page, "3-D")
    assert drawn(page) == told(page, bench, "solid")["triangles"], "every piece is drawn"
    pieces = told(page, bench, "solid")["pieces"]
    shell = next(p for p in pieces if p["name"] == "shell")
    box = page.locator(f"input[data-mark='{shell['mark']}']")
    box.check()
    expect(page.locator(".solid-weight")).to_have_text(shell["weight"])
    expect(page.locator(".solid-picked")).to_contain_text(shell["stock"])
    box.uncheck()

    before = picture(page)
    page.locator(".solid-canvas").focus()
    page.keyboard.press("1")
    side = picture(page)
    assert side != before, "a view by its key"
    page.keyboard.press("ArrowLeft")
    assert picture(page) != side, "turned by an arrow key"
    page.keyboard.press("1")
    page.get_by_role("slider", name="Doors", exact=True).fill("100")
    opened = picture(page)
    assert opened != side, "the doors swing"
    page.get_by_role("checkbox", name="Cut along the middle").check()
    assert picture(page) != opened, "cut open"
    page.get_by_role("checkbox", name="Cut along the middle").uncheck()
    page.get_by_role("slider", name="Pull apart").fill("80")
    assert picture(page) != opened, "pulled apart"


def test_a_click_on_the_picture_weighs_what_is_under_it(person: Person, bench: Bench) -> None:
    page = person.page
    make_pit(page, bench)
    view(page, "3-D")
    drawn(page)
    page.locator(".solid-canvas").focus()
    page.keyboard.press("1")  # from the working side the doors are in front
    doors = [p for p in told(page, bench, "solid")["pieces"] if p["name"].endswith("skin")]
    page.wait_for_timeout(300)
    box = page.locator(".solid-canvas").bounding_box()
    assert box is not None
    hits = set()
    for across in (0.3, 0.4, 0.5, 0.6):
        for down in (0.4, 0.5, 0.6):
            page.mouse.click(box["x"] + box["width"] * across, box["y"] + box["height"] * down)
    page.wait_for_timeout(300)
    for mark in page.locator(".solid-picked b").all_inner_texts():
        hits.add(mark)
    assert hits & {p["mark"] for p in doors}, f"picked {hits}"


def test_a_change_of_the_pit_changes_the_pieces(person: Person, bench: Bench) -> None:
    page = person.page
    make_pit(page, bench)
    view(page, "3-D")
    drawn(page)
    was = page.locator(".solid-weight").inner_text()
    field = page.locator("#field-vessel-wall")
    field.fill("3/8")
    field.press("Enter")
    expect(page.locator(".solid-weight")).not_to_have_text(was, timeout=WAIT)
    assert page.locator(".solid-weight").inner_text() == told(page, bench, "solid")["weight"]


def test_the_fire_answers_its_sliders_and_goes_back_to_the_jobs_day(person: Person, bench: Bench) -> None:
    page = person.page
    make_pit(page, bench)
    view(page, "Fire")
    wood = page.locator(".fire-figures div", has_text=re.compile("^wood")).locator("dd")
    expect(wood).to_be_visible(timeout=WAIT)
    own = wood.inner_text()
    outside = page.get_by_role("slider", name="Outside")
    outside.focus()
    for _ in range(3):
        page.keyboard.press("PageDown")
    expect(wood).to_contain_text(f"own day {own}", timeout=WAIT)
    number = float(re.search(r"[\d.]+", wood.inner_text()).group())  # type: ignore[union-attr]
    assert number > float(re.search(r"[\d.]+", own).group()), "a colder day takes more wood"  # type: ignore[union-attr]
    typed = page.get_by_role("spinbutton", name=re.compile("Outside"))
    assert typed.input_value() == outside.input_value()
    page.get_by_role("button", name="Back to the job's day").click()
    expect(wood).to_have_text(own, timeout=WAIT)

    expect(page.locator(".fire-block", has_text="What chokes").locator("tbody tr")).not_to_have_count(0, timeout=WAIT)
    page.get_by_role("button", name="Show the warm-up").click()
    warm = page.locator(".fire-block", has_text="Warm-up")
    expect(warm).to_contain_text(re.compile("Ready after|Not ready"), timeout=WAIT)
    assert warm.locator("svg.chart").get_attribute("aria-label")
    page.get_by_role("button", name="How sure is it?").click()
    expect(wood).to_contain_text(" to ", timeout=2 * WAIT)


def test_the_stand_shows_each_case_with_what_it_carries(person: Person, bench: Bench) -> None:
    page = person.page
    make_pit(page, bench)
    view(page, "Stand")
    expect(page.locator(".stand-checks")).to_be_visible(timeout=WAIT)
    data = told(page, bench, "stand")
    assert page.locator(".stand-ratio").inner_text().startswith(f"{data['worst']['ratio']:.2f}")
    assert page.locator(".frame-member").count() == sum(1 for m in data["members"] if m["by"])
    page.get_by_label("How it stands").select_option("true floor")
    for row in data["reactions"]["true floor"]:
        line = page.locator("details[data-key='reactions'] tr", has_text=row["name"]).first
        expect(line).to_contain_text(row["text"])
    page.get_by_role("button", name="Side", exact=True).last.click()
    expect(page.locator("svg.plate").first).to_have_attribute("aria-label", re.compile("ratio"))
    for state in data["tip"]["states"]:
        expect(page.locator(".stand-block", has_text="Tipping")).to_contain_text(state["angle"])


def test_the_customers_page_is_a_file_to_keep(person: Person, bench: Bench, tmp_path: Path) -> None:
    page = person.page
    make_pit(page, bench, name="Lantern <b>&</b> pit")
    page.click("#pack")
    with page.expect_download(timeout=WAIT) as got:
        page.get_by_role("link", name="One page for the customer").click()
    assert got.value.suggested_filename.endswith(".html")
    text = Path(got.value.path()).read_text(encoding="utf-8")
    assert "Lantern &lt;b&gt;&amp;&lt;/b&gt; pit" in text
    assert "<b>&</b>" not in text
