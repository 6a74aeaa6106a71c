"""The live line: order of what is done, moves that collapse, changes acknowledged once stored, two pages at one job."""

from __future__ import annotations

import io
import json
import threading
import time
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import anyio
import pytest
from starlette.websockets import WebSocketDisconnect

from bench_kit import EXAMPLES, bench, live_at, new_job, rid
from pitwright.bench import seat
from pitwright.bench.drawings import VIEWS
from pitwright.bench.share import Share
from pitwright.bench.state import Desk
from pitwright.bench.store import Store
from pitwright.layout.pit import solve

LEG, END = "leg A foot", "stack end"


class Page:
    """One page at one job: says things and hears answers."""

    def __init__(self, line: Any):
        self.line = line
        self.heard: list[dict[str, Any]] = []

    def say(self, **message: Any) -> None:
        self.line.send_text(json.dumps(message))

    def hear(self, *wanted: str, most: int = 40, **values: Any) -> dict[str, Any]:
        """The next message that has all these parts; what comes between is kept in `heard`."""
        for _ in range(most):
            message: dict[str, Any] = json.loads(self.next())
            self.heard.append(message)
            if all(w in message for w in wanted) and all(message.get(k) == v for k, v in values.items()):
                return message
        raise AssertionError(f"never heard {wanted} {values}")

    def next(self) -> str:
        """What comes next; a line that stays silent fails the test instead of holding it up."""

        async def soon() -> Any:
            with anyio.fail_after(20.0):
                return await self.line._send_rx.receive()

        message = self.line.portal.call(soon)
        self.line._raise_on_close(message)
        return str(message["text"])

    def look(self, *views: str, hand: str | None = None) -> dict[str, Any]:
        self.say(do="look", views=list(views), hand=hand, seq=-7)
        return self.hear("picture", seq=-7)

    def handle(self, picture: dict[str, Any], name: str, view: str) -> dict[str, Any]:
        found: dict[str, Any] = next(h for h in picture["views"][view]["handles"] if h["id"] == name)
        return found


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Any]:
    with bench(tmp_path) as c:
        yield c


@contextmanager
def at(client: Any, job: str) -> Iterator[Page]:
    with client.websocket_connect(live_at(job)) as line:
        yield Page(line)


def store_of(client: Any) -> Store:
    found: Store = client.app.state.hub.store
    return found


def moved(handle: dict[str, Any], by: float, **more: Any) -> dict[str, Any]:
    u, v = handle["at"]
    return {"handle": LEG, "view": END, "u": u + by, "v": v, "free": True} | more


# ---------------------------------------------------------------- looking


def test_a_look_gives_a_quick_picture_and_then_the_full_one(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        quick = page.look("side")
        assert quick["picture"]["state"] == "solved"
        assert not quick["picture"]["full"]
        assert quick["picture"]["views"]["side"]["svg"].startswith("<svg")
        assert quick["head"] == store_of(client).get(job).head
        assert quick["undo"] is None
        full = page.hear("picture")
        assert full["picture"]["full"]
        assert {f["code"] for f in full["picture"]["findings"]} >= {f["code"] for f in quick["picture"]["findings"]}


def test_a_job_with_blanks_says_what_to_measure_and_guesses_nothing(client: Any) -> None:
    job = client.post("/api/jobs", json={"facts": {"name": "Later"}, "rid": rid()}).json()["job"]["id"]
    with at(client, job) as page:
        picture = page.look("side")["picture"]
        assert picture["state"] == "blank"
        assert ["vessel", "around"] in [b["path"] for b in picture["blanks"]]
        assert picture["strip"] == []
        page.say(do="why", name="legs.A.lean", seq=3)
        assert page.hear("refused", seq=3)


def test_a_job_that_is_not_there_is_told_and_hung_up(client: Any) -> None:
    with at(client, "nope") as page:
        assert page.hear("refused")["refused"]["message"]
        with pytest.raises(WebSocketDisconnect) as gone:
            page.next()
        assert gone.value.code == 4404


# ---------------------------------------------------------------- moving


def test_a_drag_shows_and_stores_nothing_and_a_drop_stores_what_it_showed(client: Any) -> None:
    job = new_job(client)
    store = store_of(client)
    with at(client, job) as page:
        first = page.look(END, hand=LEG)
        handle = page.handle(first["picture"], LEG, END)
        page.say(do="drag", seq=1, **moved(handle, 0.02))
        shown = page.hear("picture", seq=1)
        assert store.get(job).head == first["head"]
        lean = next(i for i in shown["picture"]["strip"] if i["key"] == "lean")
        assert lean["move"]
        page.say(do="drop", rid="drop-1", base=first["head"], label="foot of leg A moved", **moved(handle, 0.02))
        done = page.hear("picture", rid="drop-1")
        assert done["undo"] == "foot of leg A moved"
        assert done["head"] == store.get(job).head != first["head"]
        kept = next(i for i in done["picture"]["strip"] if i["key"] == "lean")
        assert kept["text"] == lean["text"]
    pit = solve(seat_job(store, job))
    assert kept["text"] == pit.tape.angle(pit.leg_sets[0].legs[0].lean)


def seat_job(store: Store, job: str) -> Any:
    from pitwright.bench.documents import read_job

    held = store.get(job)
    return read_job(held.document, held.beside)


def test_letting_go_without_dropping_shows_the_job_as_it_stands(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        first = page.look(END, hand=LEG)
        handle = page.handle(first["picture"], LEG, END)
        page.say(do="drag", seq=1, **moved(handle, 0.05))
        page.hear("picture", seq=1)
        page.say(do="cancel", seq=2)
        back = page.hear("picture", seq=2)
        assert page.handle(back["picture"], LEG, END)["at"] == handle["at"]
        assert back["head"] == first["head"]


def test_moves_collapse_to_the_newest_and_the_drop_is_never_dropped(
    client: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = new_job(client)
    show = Desk.show

    def slow(self: Desk, *args: Any, **more: Any) -> Any:
        time.sleep(0.03)
        return show(self, *args, **more)

    with at(client, job) as page:
        first = page.look(END, hand=LEG)
        handle = page.handle(first["picture"], LEG, END)
        monkeypatch.setattr(Desk, "show", slow)
        steps = 60
        for n in range(1, steps + 1):
            page.say(do="drag", seq=n, **moved(handle, 0.0005 * n))
        page.say(do="drop", rid="end", base=first["head"], **moved(handle, 0.04))
        done = page.hear("picture", rid="end", most=steps + 5)
        drawn = [m["seq"] for m in page.heard if m.get("seq", 0) > 0]
        assert drawn == sorted(set(drawn))
        assert len(drawn) < steps / 2
        at_end = page.handle(done["picture"], LEG, END)["at"]
        page.say(do="drag", seq=999, **moved(handle, 0.04))
        again = page.hear("picture", seq=999)
        assert page.handle(again["picture"], LEG, END)["at"] == pytest.approx(at_end, abs=2e-4)


def test_the_newest_of_waiting_moves_is_the_one_worked(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    job = new_job(client)
    hold, worked = threading.Event(), []
    on = seat.Move.on

    def watched(self: seat.Move, pit: Any) -> Any:
        worked.append(round(1000.0 * (self.u - handle["at"][0])))
        return on(self, pit)

    show = Desk.show

    def held_up(self: Desk, *args: Any, **more: Any) -> Any:
        if not more.get("full"):
            hold.wait(10.0)
        return show(self, *args, **more)

    with at(client, job) as page:
        first = page.look(END, hand=LEG)
        handle = page.handle(first["picture"], LEG, END)
        page.hear("picture")
        monkeypatch.setattr(seat.Move, "on", watched)
        monkeypatch.setattr(Desk, "show", held_up)
        for n in range(1, 31):
            page.say(do="drag", seq=n, **moved(handle, 0.001 * n))
        time.sleep(0.5)
        hold.set()
        page.hear("picture", seq=30)
    assert worked[-1] == 30
    assert len(worked) <= 3


def test_a_hand_that_rests_gets_the_full_picture_of_what_it_holds(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        first = page.look(END, hand=LEG)
        handle = page.handle(first["picture"], LEG, END)
        page.say(do="drag", seq=5, **moved(handle, 0.03))
        quick = page.hear("picture", seq=5)
        full = page.hear("picture", seq=5)
        assert (quick["picture"]["full"], full["picture"]["full"]) == (False, True)
        assert page.handle(full["picture"], LEG, END)["at"] == page.handle(quick["picture"], LEG, END)["at"]


@pytest.mark.parametrize(
    "wrong",
    [
        {"handle": "nothing"},
        {"view": "from below"},
        {"u": "far"},
        {"u": 1e9},
        {"v": None},
        {"handle": "<script>"},
        {"handle": 7},
    ],
)
def test_a_move_of_nothing_is_refused_and_the_line_stays(client: Any, wrong: dict[str, Any]) -> None:
    job = new_job(client)
    with at(client, job) as page:
        handle = page.handle(page.look(END)["picture"], LEG, END)
        page.say(do="drag", **(moved(handle, 0.01, seq=1) | wrong))
        assert page.hear("refused", seq=1)["refused"]["message"]
        page.say(do="drag", **moved(handle, 0.01, seq=2))
        assert page.hear("picture", seq=2)


# ---------------------------------------------------------------- changing


def test_edits_undo_and_redo(client: Any) -> None:
    job = new_job(client)
    store = store_of(client)
    with at(client, job) as page:
        first = page.look("side")
        edits = [{"path": ["order", "grate_height"], "value": "38"}]
        page.say(do="edit", edits=edits, label="grate height: 38", rid="e1", base=first["head"])
        done = page.hear("picture", rid="e1")
        assert done["undo"] == "grate height: 38"
        page.say(do="undo", rid="u1", base=done["head"])
        back = page.hear("picture", rid="u1")
        assert (back["head"], back["redo"]) == (first["head"], "grate height: 38")
        assert store.get(job).document["order"]["grate_height"] == "37"
        page.say(do="redo", rid="r1", base=back["head"])
        assert page.hear("picture", rid="r1")["head"] == done["head"]
        page.say(do="redo", rid="r2", base=done["head"])
        assert "redo" in page.hear("refused", rid="r2")["refused"]["message"]


def test_a_change_is_acknowledged_only_after_the_store_has_it(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    job = new_job(client)
    store = store_of(client)
    edit, order = store.edit, []

    def watched(*args: Any, **more: Any) -> Any:
        time.sleep(0.2)
        done = edit(*args, **more)
        order.append("stored")
        return done

    monkeypatch.setattr(store, "edit", watched)
    with at(client, job) as page:
        head = page.look("side")["head"]
        page.say(do="edit", edits=[{"path": ["order", "people"], "value": 40}], rid="e1", base=head)
        page.hear("picture", rid="e1")
        order.append("told")
    assert order == ["stored", "told"]


def test_a_store_that_cannot_write_acknowledges_nothing(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    from pitwright.errors import OutputError

    job = new_job(client)

    def full(*_: Any, **__: Any) -> None:
        raise OutputError("the store cannot be used (disk is full)")

    monkeypatch.setattr(store_of(client), "edit", full)
    with at(client, job) as page:
        first = page.look("side")
        page.say(do="edit", edits=[{"path": ["order", "people"], "value": 40}], rid="e1", base=first["head"])
        assert "disk is full" in page.hear("refused", rid="e1")["refused"]["message"]
        assert page.hear("picture")["head"] == first["head"]


def test_a_change_sent_twice_is_done_once(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        first = page.look(END, hand=LEG)
        handle = page.handle(first["picture"], LEG, END)
        drop = {"do": "drop", "rid": "again", "base": first["head"]} | moved(handle, 0.02)
        page.say(**drop)
        head = page.hear("picture", rid="again")["head"]
    with at(client, job) as page:  # the line broke before the answer came
        page.look(END, hand=LEG)
        page.say(**drop)
        assert page.hear("picture", rid="again")["head"] == head
    assert len(store_of(client).history(job)) == 2


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (["order", "grate_height"], "abc"),
        (["order", "base"], "hovercraft"),
        (["override", "legs.A.nothing"], "3"),
        (["nothing", "here"], "3"),
        (["vessel", "around"], "-4"),
        (["job", "units"], "cubits"),
    ],
)
def test_a_value_that_cannot_be_read_is_refused_and_not_stored(client: Any, path: list[str], value: str) -> None:
    job = new_job(client)
    with at(client, job) as page:
        first = page.look("side")
        page.say(do="edit", edits=[{"path": path, "value": value}], rid="bad", base=first["head"])
        refused = page.hear("refused", rid="bad")["refused"]
        assert refused["message"]
        assert refused["field"]
        if path[0] != "nothing":
            assert refused["path"] == path
        assert page.hear("picture")["picture"]["state"] == "solved"
    assert len(store_of(client).history(job)) == 1


def test_a_dimension_typed_is_stored_with_its_label(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        head = page.look("side")["head"]
        page.say(do="typed", name="grates.main grate.height", text="40", label="main grate: 40", rid="t1", base=head)
        done = page.hear("picture", rid="t1")
        assert done["undo"] == "main grate: 40"
        assert store_of(client).get(job).document["order"]["grate_height"] == "40"
        page.say(do="typed", name="overall.height", text="90", rid="t2", base=done["head"])
        assert page.hear("refused", rid="t2")["refused"]["remedy"]


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", '"x"', '{"do":"nothing"}', '{"do":7}', '{"do":"drag"', "[" * 5000, '{"do":"look","views":3}'],
)
def test_what_is_no_message_is_told_and_the_line_stays(client: Any, text: str) -> None:
    job = new_job(client)
    with at(client, job) as page:
        page.line.send_text(text)
        assert page.hear("refused")["refused"]["message"]
        assert page.look("side")["picture"]["state"] == "solved"


def test_a_page_that_shouts_is_told_to_wait_and_the_line_stays(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        page.look("side")
        for n in range(400):
            page.say(do="try", edits=[{"path": ["order", "grate_height"], "value": "38"}], seq=n)
        assert "wait" in page.hear("refused", most=500)["refused"]["message"]
        for n in range(1000, 1400):  # the queue may still be full: asked again until it is taken
            page.say(do="look", views=["plan"], seq=n)
            if "picture" in page.hear(seq=n, most=900):
                return
        raise AssertionError("the line never came free")


def test_a_crash_of_the_solver_is_told_and_the_line_lives(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    job = new_job(client)
    with at(client, job) as page:
        first = page.look(END, hand=LEG)
        handle = page.handle(first["picture"], LEG, END)
        page.hear("picture")
        show = Desk.show

        def broken(*_: Any, **__: Any) -> Any:
            raise ZeroDivisionError("inside secret")

        monkeypatch.setattr(Desk, "show", broken)
        page.say(do="drag", seq=1, **moved(handle, 0.01))
        refused = page.hear("refused", seq=1)
        assert "secret" not in json.dumps(refused)
        monkeypatch.setattr(Desk, "show", show)
        page.say(do="drag", seq=2, **moved(handle, 0.01))
        assert page.hear("picture", seq=2)["picture"]["state"] == "solved"


def test_a_change_that_is_stored_is_acknowledged_even_where_its_picture_fails(
    client: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = new_job(client)
    with at(client, job) as page, at(client, job) as other:
        first = page.look("side")
        page.hear("picture")
        other.look("side")
        show = Desk.show

        def broken(self: Desk, *args: Any, **more: Any) -> Any:
            raise ZeroDivisionError

        monkeypatch.setattr(Desk, "show", broken)
        page.say(do="edit", edits=[{"path": ["order", "people"], "value": 61}], rid="e1", base=first["head"])
        told = page.hear("picture", rid="e1")
        assert told["head"] == store_of(client).get(job).head != first["head"]
        assert told["picture"]["state"] == "cannot"
        monkeypatch.setattr(Desk, "show", show)
        other.say(do="look", views=["side"], seq=9)
        assert other.hear("picture", seq=9)["head"] == told["head"]


def test_a_crash_in_the_full_picture_is_told_once(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    job = new_job(client)
    show, calls = Desk.show, []

    def broken(self: Desk, *args: Any, **more: Any) -> Any:
        if more.get("full"):
            calls.append(1)
            raise ZeroDivisionError
        return show(self, *args, **more)

    monkeypatch.setattr(Desk, "show", broken)
    with at(client, job) as page:
        page.look("side")
        page.hear("refused")
        time.sleep(0.4)
        assert len(calls) == 1
        assert page.look("plan")["picture"]["views"]["plan"]


# ---------------------------------------------------------------- two pages


def test_a_change_reaches_the_other_page_with_its_picture(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as one, at(client, job) as two:
        first = one.look("side")
        two.look("plan")
        two.hear("picture", most=3)
        edits = [{"path": ["order", "grate_height"], "value": "39"}]
        one.say(do="edit", edits=edits, label="grate height: 39", rid="e1", base=first["head"])
        done = one.hear("picture", rid="e1")
        news = two.hear("changed")
        assert news["changed"]["head"] == news["head"] == done["head"]
        assert news["changed"]["by"] == "the bench"
        assert list(news["picture"]["views"]) == ["plan"]
        assert news["undo"] == "grate height: 39"


def test_two_pages_at_different_lines_both_get_through(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as one, at(client, job) as two:
        base = one.look("side")["head"]
        two.look("side")
        one.say(do="edit", edits=[{"path": ["order", "grate_height"], "value": "39"}], rid="a", base=base)
        one.hear("picture", rid="a")
        two.say(do="edit", edits=[{"path": ["order", "people"], "value": 60}], rid="b", base=base)
        done = two.hear("picture", rid="b")
        assert done["merged"]
    order = store_of(client).get(job).document["order"]
    assert (order["grate_height"], order["people"]) == ("39", 60)


def test_two_pages_at_one_line_nothing_is_silently_overwritten(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as one, at(client, job) as two:
        base = one.look("side")["head"]
        two.look("side")
        one.say(do="edit", edits=[{"path": ["order", "grate_height"], "value": "39"}], rid="a", base=base)
        one.hear("picture", rid="a")
        two.say(do="edit", edits=[{"path": ["order", "grate_height"], "value": "41"}], rid="b", base=base)
        told = two.hear("conflict", rid="b")["conflict"]
        assert told["paths"] == [["order", "grate_height"]]
        assert told["theirs"][0]["value"] == "39"
        assert told["mine"][0]["value"] == "41"
        assert two.hear("picture", most=5)["head"] == store_of(client).get(job).head
    assert store_of(client).get(job).document["order"]["grate_height"] == "39"


def test_undo_of_what_another_changed_meanwhile_is_a_conflict(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as one, at(client, job) as two:
        base = one.look("side")["head"]
        two.look("side")
        one.say(do="edit", edits=[{"path": ["order", "grate_height"], "value": "39"}], rid="a", base=base)
        head = one.hear("picture", rid="a")["head"]
        two.say(do="undo", rid="b", base=base)
        assert two.hear("conflict", rid="b")
        assert store_of(client).get(job).head == head


def test_an_earlier_state_made_current_reaches_open_pages(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        first = page.look("side")
        page.say(do="edit", edits=[{"path": ["order", "people"], "value": 60}], rid="a", base=first["head"])
        page.hear("picture", rid="a")
        client.post(f"/api/jobs/{job}/current", json={"change": first["head"], "rid": rid()})
        assert page.hear("changed")["undo"].startswith("brought back")


# ---------------------------------------------------------------- trying, pinning


def test_a_try_shows_its_effect_and_stores_nothing(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        first = page.look("side")
        page.say(do="try", edits=[{"path": ["order", "grate_height"], "value": "44"}], seq=4)
        tried = page.hear("tried", seq=4)["tried"]
        assert tried["problem"] is None
        assert any(i["move"] for i in tried["strip"])
        assert store_of(client).get(job).head == first["head"]
        page.say(do="try", edits=[{"path": ["order", "grate_height"], "value": "x"}], seq=5)
        assert page.hear("tried", seq=5)["tried"]["problem"]


def test_a_variant_is_pinned_also_by_its_change(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        first = page.look("side")
        page.say(do="edit", edits=[{"path": ["order", "people"], "value": 60}], label="60", rid="a", base=first["head"])
        head = page.hear("picture", rid="a")["head"]
        page.say(do="pin", seq=1)
        assert page.hear("pinned", seq=1)["pinned"] == {"head": head, "label": "60"}
        page.say(do="pin", head=first["head"], label="as begun", seq=2)
        assert page.hear("pinned", seq=2)["pinned"] == {"head": first["head"], "label": "as begun"}
        page.say(do="unpin", seq=3)
        assert page.hear("pinned", seq=3)["pinned"] is None
        page.say(do="compare", seq=4)
        assert page.hear("refused", seq=4)


# ---------------------------------------------------------------- devices


def test_a_device_sent_away_is_cut_off_at_once(tmp_path: Path) -> None:
    shop = "192.168.7.20:8321"
    share = Share(addresses=(shop,), cookie="pitwright_8321")
    with bench(tmp_path, share=share, client="192.168.7.31", host=shop, hosts=(shop,)) as device:
        with (
            pytest.raises(WebSocketDisconnect),
            device.websocket_connect(live_at("x", shop)),
        ):
            pass
        device.post("/api/enter", json={"code": share.code()[0], "name": "welder's phone"})
        job = new_job(device)
        with device.websocket_connect(live_at(job, shop)) as line:
            page = Page(line)
            head = page.look("side")["head"]
            page.say(do="edit", edits=[{"path": ["order", "people"], "value": 60}], rid="a", base=head)
            page.hear("picture", rid="a")
            assert store_of(device).history(job)[-1].who == "welder's phone"
            share.revoke()
            page.say(do="edit", edits=[{"path": ["order", "people"], "value": 70}], rid="b", base=head)
            with pytest.raises(WebSocketDisconnect) as away:
                page.hear("picture", rid="b")
            assert away.value.code == 4401
        assert store_of(device).get(job).document["order"]["people"] == 60


def test_rooms_are_cleared_when_the_last_page_leaves(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        page.look("side")
        assert list(client.app.state.hub.rooms) == [job]
    until = time.monotonic() + 5.0
    while client.app.state.hub.rooms and time.monotonic() < until:
        time.sleep(0.02)
    assert client.app.state.hub.rooms == {}


# ---------------------------------------------------------------- fields and comparing


def test_fields_come_when_asked_and_follow_every_change(client: Any) -> None:
    job = new_job(client)

    def shown(inputs: list[dict[str, Any]]) -> str:
        fields = [f for g in inputs for f in g["fields"]]
        return str(next(f["text"] for f in fields if f["path"] == ["order", "grate_height"]))

    with at(client, job) as page:
        head = page.look("side")["head"]
        page.say(do="inputs", seq=1)
        assert shown(page.hear("inputs", seq=1)["inputs"]) == "37"
        edits = [{"path": ["order", "grate_height"], "value": "39"}]
        page.say(do="edit", edits=edits, rid="e1", base=head)
        page.hear("picture", rid="e1")
        assert shown(page.hear("inputs")["inputs"]) == "39"


def test_the_other_units_move_no_size(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        first = page.look("side")
        page.say(do="units", units="metric", rid="m", base=first["head"])
        done = page.hear("picture", rid="m")
        assert done["picture"]["units"] == "metric"
        page.say(do="units", units="cubits", rid="c", base=done["head"])
        assert page.hear("refused", rid="c")
    store = store_of(client)
    before, after = (solve(job_of_change(store, job, change)) for change in (first["head"], done["head"]))
    assert after.vessel.outer_radius == pytest.approx(before.vessel.outer_radius, rel=1e-12)
    assert after.grates.levels[0].z == pytest.approx(before.grates.levels[0].z, rel=1e-12)


def job_of_change(store: Store, job: str, change: int) -> Any:
    from pitwright.bench.documents import read_job

    return read_job(store.document(job, change), {})


def test_a_pinned_variant_is_compared_figure_by_figure(client: Any) -> None:
    job = new_job(client)
    with at(client, job) as page:
        first = page.look("side")
        page.say(do="pin", seq=1)
        page.hear("pinned", seq=1)
        page.say(do="edit", edits=[{"path": ["order", "grate_height"], "value": "44"}], rid="a", base=first["head"])
        page.hear("picture", rid="a")
        page.say(do="compare", seq=2)
        found = page.hear("compare", seq=2)["compare"]
        assert found["pinned"]["head"] == first["head"]
        assert found["rows"]
        assert "<svg" in found["views"]["side"]


# ---------------------------------------------------------------- every demo job

DEMOS = sorted(p for p in EXAMPLES.glob("*.toml") if p.stem != "shop")


@pytest.mark.parametrize("path", DEMOS, ids=[p.stem for p in DEMOS])
def test_every_demo_job_opens_in_every_view_and_follows_the_hand(client: Any, path: Path) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as out:
        for name in (path.name, "shop.toml"):
            out.write(EXAMPLES / name, name)
    job = client.post("/api/jobs/import?name=demo.zip", content=packed.getvalue()).json()["job"]["id"]
    for method, view in (
        ("GET", "picture.svg"),
        ("POST", "fire"),
        ("GET", "stand"),
        ("GET", "solid"),
        ("GET", "figures"),
    ):
        answer = client.request(method, f"/api/jobs/{job}/{view}", **({"json": {}} if method == "POST" else {}))
        assert answer.status_code == 200, (view, answer.text[:300])
    assert client.get(f"/api/floor/{job}").status_code == 200
    solved = 0
    with at(client, job) as page:
        for view in VIEWS:
            quick = page.look(view)["picture"]
            assert quick["state"] == "solved"
            assert page.hear("picture")["picture"]["full"]
            for n, handle in enumerate(quick["views"][view]["handles"] if view in ("side", "plan") else ()):
                u, v = handle["at"]
                page.say(do="drag", handle=handle["id"], view=view, u=u + 0.013, v=v + 0.013, seq=n)
                told = page.hear(seq=n)
                if handle.get("fixed"):
                    assert told["refused"]["message"]
                else:
                    solved += told["picture"]["state"] == "solved"
            page.say(do="cancel", seq=-1)
            page.hear("picture", seq=-1)
        page.say(do="inputs", seq=-2)
        assert page.hear("inputs", seq=-2)["inputs"]
    assert solved >= 5
