"""What a shop owner tries on the first day: wrong figures, blanks, a job without its shop file, a phone."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from playwright.sync_api import expect

from windows import PHONE, ROOT, Bench, Person, make_pit

WAIT = 20000


def test_a_likely_meaning_of_a_wrong_figure_is_one_press(person: Person, bench: Bench) -> None:
    page = person.page
    page.goto(bench.address)
    for key, text in {"name": "Hill", "around": "945", "wall": "1/4", "length": "84", "grate_height": "36"}.items():
        page.fill(f"#new-{key}", text)
    page.click("#make-job")
    expect(page.locator("#new-around-trouble")).to_contain_text("Did you mean 94-1/2")
    page.get_by_role("button", name='Use 94-1/2"').click()
    expect(page.locator("#new-around-trouble")).to_have_count(0)
    assert page.input_value("#new-length") == "84", "nothing typed is lost"
    page.click("#make-job")
    page.wait_for_url("**/job/*")
    page.wait_for_selector("body[data-picture=solved]")
    field = page.locator("#field-vessel-around")
    field.fill("9-4-1/2")
    field.press("Enter")
    fault = page.locator("#field-vessel-around-fault")
    expect(fault.get_by_role("button")).to_have_count(2)
    fault.get_by_role("button", name="Use 9'-4 1/2\"").click()
    expect(fault).to_be_empty(timeout=WAIT)
    expect(page.locator("#undo")).to_contain_text("tape around")
    person.seen.errors.clear()  # the two refused answers are 400s, which the browser logs


def test_a_job_begun_by_its_name_asks_for_what_to_measure(person: Person, bench: Bench) -> None:
    page = person.page
    page.goto(bench.address)
    page.fill("#new-name", "Not yet fetched")
    page.click("#make-job")
    page.wait_for_url("**/job/*")
    page.wait_for_selector("body[data-picture=blank]")
    for path, text in {"vessel-around": "94 1/2", "vessel-length": "84", "vessel-wall": "1/4"}.items():
        expect(page.locator(f"#field-{path}-force")).to_have_text("measure this")
        page.fill(f"#field-{path}", text)
        page.press(f"#field-{path}", "Enter")
        expect(page.locator(f"#field-{path}-force")).not_to_have_text("measure this")
    expect(page.locator("#strip .cell")).to_have_count(0)
    page.fill("#field-order-grate_height", "36")
    page.press("#field-order-grate_height", "Enter")
    page.wait_for_selector("body[data-picture=solved]")


def test_the_make_safe_finding_leads_to_a_folded_field(person: Person, bench: Bench) -> None:
    page = person.page
    make_pit(page, bench)
    page.wait_for_selector("body[data-picture=solved]")
    page.get_by_role("button", name="To the make-safe record").click()
    expect(page.locator("#field-make_safe-held")).to_be_focused()


def test_a_job_without_its_shop_file_says_so_in_the_list(person: Person, bench: Bench) -> None:
    page = person.page
    page.goto(bench.address)
    job, shop = ROOT / "examples" / "orchard-30.toml", ROOT / "examples" / "shop.toml"
    page.set_input_files("#import-file", [job])
    expect(page.locator("#list-trouble")).to_contain_text(re.compile(r"builds by shop\.toml"))
    both: list[str | Path] = [job, shop]
    page.set_input_files("#import-file", both)
    expect(page.locator("#list-trouble")).to_be_empty(timeout=WAIT)


def test_a_small_board_shows_the_pit_and_more_grips_as_one_zooms_in(people: Any, bench: Bench) -> None:
    person: Person = people(PHONE, has_touch=True)
    page = person.page
    make_pit(page, bench)
    page.wait_for_selector("body[data-picture=solved]")
    grips = page.locator("#board .grip")
    shown = page.locator("#board .grip:not([hidden])")
    boxes = [b for b in (g.bounding_box() for g in shown.all()) if b]
    assert 3 < len(boxes) < grips.count()
    for i, a in enumerate(boxes):
        for b in boxes[i + 1 :]:
            assert abs(a["x"] - b["x"]) > 20 or abs(a["y"] - b["y"]) > 20, "no grip over another"
    few = len(boxes)
    for _ in range(4):
        page.locator("#zoom-in").tap()
    expect(page.locator("#board .grip[hidden]")).not_to_have_count(grips.count() - few)
