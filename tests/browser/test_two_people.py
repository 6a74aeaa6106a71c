"""Two windows on one job: what one does the other sees; where both change one thing, a person decides."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect

from windows import Bench, Person, make_pit


def field(page: Page, label: str) -> Any:
    return page.locator("#inputs-body").get_by_label(label, exact=True).first


def set_field(page: Page, label: str, text: str) -> None:
    box = field(page, label)
    box.fill(text)
    box.press("Enter")


def test_each_sees_what_the_other_does(people: Any, bench: Bench) -> None:
    one: Person = people()
    other: Person = people()
    address = make_pit(one.page, bench)
    other.page.goto(address)
    other.page.wait_for_selector("#board svg.drawing")
    height = other.page.locator("#strip-height .text").inner_text()
    set_field(one.page, "Main grate over the floor", "38")
    expect(other.page.locator("#strip-height .text")).not_to_have_text(height)
    assert (
        other.page.locator("#strip-height .text").inner_text() == one.page.locator("#strip-height .text").inner_text()
    )
    set_field(other.page, "Customer", "Otterbank allotments")
    expect(one.page.locator("#job-customer")).to_contain_text("Otterbank allotments")
    one.page.reload()
    expect(field(one.page, "Main grate over the floor")).to_have_value("38")
    expect(field(one.page, "Customer")).to_have_value("Otterbank allotments")


def test_nothing_is_silently_overwritten(people: Any, bench: Bench) -> None:
    one: Person = people()
    other: Person = people()
    address = make_pit(one.page, bench)
    other.page.goto(address)
    other.page.wait_for_selector("#board svg.drawing")
    expect(field(other.page, "Main grate over the floor")).to_have_value("36")
    field(other.page, "Main grate over the floor").fill("34")  # begun, not yet sent
    set_field(one.page, "Main grate over the floor", "38")
    expect(other.page.locator("#said")).to_contain_text("38", timeout=20000)
    field(other.page, "Main grate over the floor").press("Enter")
    ask = other.page.locator("dialog[open]")
    expect(ask).to_contain_text("38")
    expect(ask).to_contain_text("34")
    ask.get_by_role("button", name="38").click()
    expect(field(other.page, "Main grate over the floor")).to_have_value("38")
    one.page.reload()
    expect(field(one.page, "Main grate over the floor")).to_have_value("38")
