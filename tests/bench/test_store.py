"""The store of the bench: nothing lost, nothing done twice, nothing silently overwritten, whatever the names."""

from __future__ import annotations

import copy
import io
import json
import sqlite3
import threading
import zipfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from pitwright.bench import schema, store
from pitwright.bench.documents import Document, apply_edits, new_document, value_at
from pitwright.bench.merge import Conflict
from pitwright.bench.store import Store, UnknownJob
from pitwright.bench.store_rows import short
from pitwright.errors import JobError, OutputError

LEAST = new_document({"name": "Hill job", "around": "94 1/2", "wall": "1/4", "length": "84", "grate_height": "37"})
HEIGHT = ["order", "grate_height"]


def to(path: list[Any], value: Any) -> Any:
    return {"path": path, "value": value}


@pytest.fixture
def shop(tmp_path: Path) -> Any:
    with Store.open(tmp_path) as held:
        yield held


def set_height(shop: Store, job: str, value: Any, base: int, rid: str) -> Any:
    return shop.edit(job, [to(HEIGHT, value)], base=base, rid=rid, label=f"grate to {value}", who="desk")


# ---------------------------------------------------------------- one job


def test_a_job_is_kept_over_closing(tmp_path: Path) -> None:
    with Store.open(tmp_path) as shop:
        row = shop.create(LEAST, {"shop.toml": b"schema = 1"}, "r1", "desk")
        done = set_height(shop, row.id, "38", row.head, "r2")
    with Store.open(tmp_path) as shop:
        held = shop.get(row.id)
        assert held.document == done.document == apply_edits(LEAST, [to(HEIGHT, "38")])
        assert held.beside == {"shop.toml": b"schema = 1"}
        assert (held.head, held.undo_label, held.redo_label) == (done.head, "grate to 38", None)
        assert [(c.label, c.who, c.current) for c in shop.history(row.id)] == [
            ("job begun", "desk", False),
            ("grate to 38", "desk", True),
        ]
        assert shop.get(row.id).document != LEAST


def test_undo_redo_and_a_branch_keep_everything(shop: Store) -> None:
    row = shop.create(LEAST, {}, "r", "desk")
    a = set_height(shop, row.id, "38", row.head, "a")
    b = set_height(shop, row.id, "39", a.head, "b")
    assert shop.undo(row.id, "u1", b.head).document == a.document
    assert shop.get(row.id).redo_label == "grate to 39"
    assert shop.undo(row.id, "u2", a.head).document == LEAST
    with pytest.raises(JobError, match="nothing to undo"):
        shop.undo(row.id, "u3", row.head)
    assert shop.redo(row.id, "r1", row.head).document == a.document
    c = set_height(shop, row.id, "40", a.head, "c")  # a branch
    with pytest.raises(JobError, match="nothing to redo"):
        shop.redo(row.id, "r2", c.head)
    assert [(x.label, x.standing) for x in shop.history(row.id)] == [
        ("job begun", True),
        ("grate to 38", True),
        ("grate to 39", False),
        ("grate to 40", True),
    ]
    back = shop.make_current(row.id, b.head, "m")
    assert back.document == b.document
    assert shop.undo(row.id, "u4", back.head).document == c.document
    assert shop.document(row.id, b.head) == b.document


def test_an_edit_that_changes_nothing_is_no_change(shop: Store) -> None:
    row = shop.create(LEAST, {}, "r", "desk")
    assert set_height(shop, row.id, "37", row.head, "a").head == row.head
    assert len(shop.history(row.id)) == 1


def test_a_refused_edit_leaves_no_trace_and_its_id_can_be_used_again(shop: Store) -> None:
    row = shop.create(LEAST, {}, "r", "desk")
    with pytest.raises(JobError, match="no such line"):
        shop.edit(row.id, [to(["order", "grate"], 1)], base=row.head, rid="a", label="x", who="desk")
    assert not shop.answered("a")
    assert set_height(shop, row.id, "38", row.head, "a").head != row.head


def test_files_beside_are_changed_and_undone_like_lines(shop: Store) -> None:
    row = shop.create(LEAST, {}, "r", "desk")
    done = shop.put_beside(row.id, "shop.toml", b"schema = 1", base=row.head, rid="b", who="desk")
    assert shop.get(row.id).beside == {"shop.toml": b"schema = 1"}
    with pytest.raises(Conflict):
        shop.put_beside(row.id, "shop.toml", b"other", base=row.head, rid="b2", who="phone")
    shop.undo(row.id, "u", done.head)
    assert shop.get(row.id).beside == {}
    for name in ("../x", "a/b", "a\\b", "", ".x", "JOB.toml", "c:x", "x" * 200, "a\nb"):
        with pytest.raises(JobError, match="not a file's name"):
            shop.put_beside(row.id, name, b"", base=row.head, rid="b3", who="desk")
    with pytest.raises(JobError, match="too large"):
        shop.put_beside(row.id, "x.toml", b"x" * 1_000_001, base=row.head, rid="b3", who="desk")


# ---------------------------------------------------------------- asked twice


def test_a_request_that_comes_twice_is_done_once(shop: Store) -> None:
    row = shop.create(LEAST, {}, "r", "desk")
    assert shop.create(LEAST, {}, "r", "desk") == row
    a = set_height(shop, row.id, "38", row.head, "a")
    b = set_height(shop, row.id, "39", a.head, "b")
    assert set_height(shop, row.id, "38", row.head, "a") == a  # the first answer, not a conflict
    assert shop.get(row.id).head == b.head
    assert shop.undo(row.id, "u", b.head) == shop.undo(row.id, "u", b.head)
    assert shop.redo(row.id, "v", a.head) == shop.redo(row.id, "v", a.head)
    assert shop.make_current(row.id, row.head, "m") == shop.make_current(row.id, row.head, "m")
    twin = shop.copy(row.id, "c")
    assert shop.copy(row.id, "c").id == twin.id
    shop.tick(row.id, "set", True, "t", "phone")
    shop.tick(row.id, "set", False, "t2", "phone")
    assert not shop.tick(row.id, "set", True, "t", "phone")["set"].done
    assert len(shop.history(row.id)) == 4
    assert len(shop.jobs()) == 2


def test_an_id_used_for_something_else_is_refused(shop: Store) -> None:
    row = shop.create(LEAST, {}, "r", "desk")
    other = shop.create(LEAST, {}, "r2", "desk")
    a = set_height(shop, row.id, "38", row.head, "a")
    with pytest.raises(JobError, match="used for something else"):
        shop.undo(row.id, "a", a.head)
    with pytest.raises(JobError, match="used for something else"):
        set_height(shop, other.id, "38", other.head, "a")
    for rid in ("", "x" * 81, "a b", "é", None):
        with pytest.raises(JobError, match="not a request's id"):
            set_height(shop, row.id, "39", a.head, rid)  # type: ignore[arg-type]


# ---------------------------------------------------------------- two at one job


def test_two_who_change_different_lines_both_stand(shop: Store) -> None:
    row = shop.create(LEAST, {}, "r", "desk")
    a = set_height(shop, row.id, "38", row.head, "a")
    b = shop.edit(row.id, [to(["order", "people"], 60)], base=row.head, rid="b", label="people", who="phone")
    assert (a.merged, b.merged) == (False, True)
    assert value_at(b.document, HEIGHT) == "38"
    assert value_at(b.document, ["order", "people"]) == 60


def test_two_who_change_the_same_line_meet_and_nothing_changes(shop: Store) -> None:
    row = shop.create(LEAST, {}, "r", "desk")
    a = set_height(shop, row.id, "38", row.head, "a")
    with pytest.raises(Conflict) as met:
        set_height(shop, row.id, "39", row.head, "b")
    assert met.value.theirs == [to(HEIGHT, "38")]
    assert met.value.mine == [to(HEIGHT, "39")]
    assert met.value.paths == [HEIGHT]
    assert "order.grate_height" in str(met.value)
    assert shop.get(row.id).head == a.head
    assert set_height(shop, row.id, "39", a.head, "b").document["order"]["grate_height"] == "39"


def test_an_edit_made_before_an_undo_meets_what_was_undone(shop: Store) -> None:
    row = shop.create(LEAST, {}, "r", "desk")
    a = set_height(shop, row.id, "38", row.head, "a")
    shop.undo(row.id, "u", a.head)
    with pytest.raises(Conflict):
        set_height(shop, row.id, "39", a.head, "b")
    with pytest.raises(Conflict):
        shop.undo(row.id, "u2", a.head)


def test_many_threads_at_one_job_lose_nothing(shop: Store, tmp_path: Path) -> None:
    row = shop.create(LEAST, {}, "r", "desk")
    lines = [f"stack.figure_{i}" for i in range(8)]
    stores = [shop, Store.open(tmp_path)]  # and two programs at one store
    failed: list[BaseException] = []

    def work(i: int) -> None:
        try:
            for n in range(10):
                stores[i % 2].edit(
                    row.id, [to(["override", lines[i]], n)], base=row.head, rid=f"{i}.{n}", label="x", who=str(i)
                ) if n == 0 else stores[i % 2].edit(
                    row.id,
                    [to(["override", lines[i]], n)],
                    base=stores[i % 2].get(row.id).head,
                    rid=f"{i}.{n}",
                    label="x",
                    who=str(i),
                )
        except BaseException as problem:
            failed.append(problem)

    threads = [threading.Thread(target=work, args=(i,)) for i in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    stores[1].close()
    assert not failed
    assert shop.get(row.id).document["override"] == dict.fromkeys(lines, 9)
    assert len(shop.history(row.id)) == 81


# ---------------------------------------------------------------- the list


def test_search_finds_by_every_word_and_removing_only_hides(shop: Store) -> None:
    hill = shop.create(new_document({"name": "Hill job", "customer": "Quince Hollow"}), {}, "1", "")
    mill = shop.create(new_document({"name": "MÜHLE yard", "customer": "Hollow lane", "number": "26-031"}), {}, "2", "")
    assert [j.id for j in shop.jobs()] == [mill.id, hill.id]
    assert [j.id for j in shop.jobs("hollow hill")] == [hill.id]
    assert [j.id for j in shop.jobs("mühle 031")] == [mill.id]
    assert shop.jobs("%") == shop.jobs("_") == []
    shop.remove(hill.id, "3")
    assert [j.id for j in shop.jobs()] == [mill.id]
    assert [j.id for j in shop.jobs(removed=True)] == [hill.id]
    shop.restore(hill.id, "4")
    assert {j.id for j in shop.jobs()} == {hill.id, mill.id}
    assert shop.get(hill.id).document["job"]["name"] == "Hill job"


def test_a_copy_is_a_job_of_its_own(shop: Store) -> None:
    row = shop.create(LEAST, {"shop.toml": b"schema = 1"}, "r", "desk")
    shop.tick(row.id, "set", True, "t", "phone")
    twin = shop.copy(row.id, "c")
    assert twin.name == "Hill job (copy)"
    assert shop.get(twin.id).beside == {"shop.toml": b"schema = 1"}
    assert shop.ticks(twin.id) == {}
    set_height(shop, twin.id, "50", twin.head, "e")
    assert shop.get(row.id).document == LEAST
    long = shop.create(new_document({"name": "n" * 80}), {}, "l", "")
    assert len(shop.copy(long.id, "c2").name) == 80


ODD = ["'; DROP TABLE jobs; --", '"><script>', "../../etc/passwd", "%_*?", "名前 🔥 \u202e", "a\tb", "x" * 2000]


@pytest.mark.parametrize("name", ODD)
def test_names_may_hold_anything(shop: Store, name: str) -> None:
    row = shop.create({**LEAST, "job": {"name": name, "customer": name, "number": name}}, {}, "r", name)
    shop.edit(row.id, [to(["pieces", name[:100]], "cut")], base=row.head, rid="e", label=name, who=name)
    shop.tick(row.id, short(name), True, "t", name)
    assert shop.get(row.id).document["job"]["name"] == name
    assert shop.jobs()[0].id == row.id
    again = shop.import_(shop.export(row.id), f"{name}.zip")
    assert shop.get(again.id).document == shop.get(row.id).document


def test_unknown_jobs_changes_and_foreign_ones_are_not_there(shop: Store) -> None:
    one, two = shop.create(LEAST, {}, "1", ""), shop.create(LEAST, {}, "2", "")
    for job in ("", "nothing", one.id.upper()):
        for ask in (shop.get, shop.history, shop.ticks, shop.export, shop.job):
            with pytest.raises(UnknownJob):
                ask(job)
        with pytest.raises(UnknownJob):
            shop.tick(job, "set", True, "t", "")
    with pytest.raises(UnknownJob):
        shop.document(one.id, two.head)
    with pytest.raises(UnknownJob):
        shop.make_current(one.id, two.head, "m")
    shop.edit(one.id, [to(HEIGHT, "38")], base=one.head, rid="e", label="", who="")
    with pytest.raises(UnknownJob):
        shop.edit(one.id, [to(HEIGHT, "39")], base=two.head, rid="f", label="", who="")


def test_an_export_holds_the_job_the_files_and_the_history(shop: Store) -> None:
    row = shop.create(LEAST, {"shop.toml": b"schema = 1"}, "r", "desk")
    done = set_height(shop, row.id, "38", row.head, "a")
    shop.undo(row.id, "u", done.head)
    with zipfile.ZipFile(io.BytesIO(shop.export(row.id))) as pack:
        assert sorted(pack.namelist()) == ["history.json", "job.toml", "shop.toml"]
        told = json.loads(pack.read("history.json"))
    assert [t["document"]["order"]["grate_height"] for t in told] == ["37", "38"]
    assert [t["current"] for t in told] == [True, False]
    assert shop.import_(b"[job]\nname = 'plain'\n", "x.toml").name == "plain"


def test_an_export_comes_in_again_with_its_whole_history(shop: Store, tmp_path: Path) -> None:
    row = shop.create(LEAST, {"shop.toml": b"schema = 1"}, "r", "desk")
    a = set_height(shop, row.id, "38", row.head, "a")
    shop.undo(row.id, "u", a.head)
    edits = [to(HEIGHT, "39"), to(["order", "flow"], None), to(["measured", "legs", 0], {"set": "A", "lean": "4"})]
    b = shop.edit(row.id, edits, base=row.head, rid="b", label="a branch", who="desk")
    with Store.open(tmp_path / "other") as other:
        new = other.import_(shop.export(row.id), "hill.zip", "i", "lead")
        assert other.import_(shop.export(row.id), "hill.zip", "i", "lead") == new  # asked twice
        was, now = shop.history(row.id), other.history(new.id)
        assert [(c.label, c.who, c.at, c.edits) for c in now[:-1]] == [(c.label, c.who, c.at, c.edits) for c in was]
        assert now[-1].label == "read from hill.zip"
        assert [c.standing for c in now] == [True, False, True, True]
        assert other.get(new.id).document == b.document
        back = other.undo(new.id, "u1", new.head)
        assert other.undo(new.id, "u2", back.head).document == LEAST
        assert other.document(new.id, now[1].id) == a.document


@pytest.mark.parametrize(
    "spoil",
    [
        lambda told: told[0].update(document={"job": {"name": "x" * 9000}}),
        lambda told: told[1].update(after=99),
        lambda told: told[1].update(id=told[0]["id"]),
        lambda told: told[1].update(current=False),
        lambda told: told[1].update(document=LEAST),
        lambda told: told[1].update(at="yesterday"),
        lambda told: told[1].update(label=7),
        lambda told: told.clear(),
        lambda told: told.append("x"),
    ],
)
def test_a_history_that_is_not_whole_is_left_out(shop: Store, spoil: Any) -> None:
    row = shop.create(LEAST, {}, "r", "desk")
    set_height(shop, row.id, "38", row.head, "a")
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(shop.export(row.id))) as old, zipfile.ZipFile(out, "w") as new:
        told = json.loads(old.read("history.json"))
        spoil(told)
        new.writestr("job.toml", old.read("job.toml"))
        new.writestr("history.json", json.dumps(told))
    again = shop.import_(out.getvalue(), "x.zip")
    assert [c.label for c in shop.history(again.id)] == ["read from x.zip"]
    assert shop.get(again.id).document["order"]["grate_height"] == "38"


# ---------------------------------------------------------------- the file itself


def test_a_file_that_is_no_store_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / store.FILE_NAME
    path.write_bytes(b"not a database at all" * 100)
    with pytest.raises(OutputError, match="cannot be used"):
        Store.open(tmp_path)
    path.unlink()
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE theirs (a)")
    other.close()
    with pytest.raises(OutputError, match="not a store"):
        Store.open(tmp_path)
    (tmp_path / "file").write_text("x")
    with pytest.raises(OutputError, match="cannot be used"):
        Store.open(tmp_path / "file")


def test_a_newer_store_is_refused_and_an_older_one_brought_up_to_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Store.open(tmp_path) as shop:
        row = shop.create(LEAST, {}, "r", "desk")
    newer = (*schema.MIGRATIONS, "ALTER TABLE jobs ADD COLUMN colour TEXT NOT NULL DEFAULT 'black'")
    monkeypatch.setattr(schema.bring_up_to_date, "__defaults__", (newer,))
    with Store.open(tmp_path) as shop:
        assert shop.get(row.id).document == LEAST
        assert shop._rows("SELECT colour FROM jobs")[0]["colour"] == "black"
    monkeypatch.setattr(schema.bring_up_to_date, "__defaults__", (schema.MIGRATIONS,))
    with pytest.raises(OutputError, match="newer Pitwright"):
        Store.open(tmp_path)
    (tmp_path / "old").mkdir()
    (tmp_path / "pits-before-2.sqlite3").rename(tmp_path / "old" / store.FILE_NAME)
    with Store.open(tmp_path / "old") as shop:  # the copy kept from before
        assert shop.get(row.id).document == LEAST


def test_a_step_that_fails_leaves_the_store_as_it_was(tmp_path: Path) -> None:
    with Store.open(tmp_path) as shop:
        row = shop.create(LEAST, {}, "r", "desk")
        broken = (*schema.MIGRATIONS, "CREATE TABLE extra (a); CREATE TABLE jobs (a)")
        with pytest.raises(sqlite3.Error):
            schema.bring_up_to_date(shop._connection, shop.path, broken)
        assert not shop._rows("SELECT 1 FROM sqlite_schema WHERE name = 'extra'")
        assert shop.get(row.id).document == LEAST


def test_writes_are_flushed_before_they_are_acknowledged(shop: Store) -> None:
    told = {name: shop._rows(f"PRAGMA {name}")[0][0] for name in ("journal_mode", "synchronous", "foreign_keys")}
    assert told == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}


# ---------------------------------------------------------------- against a plain model


class Desk(RuleBasedStateMachine):
    """Any run of edits, undos, redos and bringings back, sent once or twice, against a list of documents."""

    @initialize(folder=st.just(None))
    def begin(self, folder: None) -> None:
        import tempfile

        self.folder = tempfile.TemporaryDirectory()
        self.shop = Store.open(Path(self.folder.name))
        row = self.shop.create(LEAST, {}, "begin", "desk")
        self.job = row.id
        self.documents: dict[int, Document] = {row.head: copy.deepcopy(LEAST)}
        self.parents: dict[int, int | None] = {row.head: None}
        self.head = row.head
        self.count = 0

    def rid(self) -> str:
        self.count += 1
        return f"r{self.count}"

    def settle(self, done: Any, document: Document) -> None:
        assert done.document == document
        if done.head not in self.documents:
            self.documents[done.head], self.parents[done.head] = document, self.head
        self.head = done.head

    @rule(height=st.sampled_from(["36", "37", "38", None]), mark=st.sampled_from(["L1", "L2"]), twice=st.booleans())
    def edit(self, height: str | None, mark: str, twice: bool) -> None:
        edits, rid = [to(HEIGHT, height), to(["pieces", mark], "cut")], self.rid()
        want = apply_edits(self.documents[self.head], edits)
        for _ in range(2 if twice else 1):
            done = self.shop.edit(self.job, edits, base=self.head, rid=rid, label="e", who="desk")
        assert (done.head == self.head) == (want == self.documents[self.head])
        self.settle(done, want)

    @rule(twice=st.booleans())
    def undo(self, twice: bool) -> None:
        rid, parent = self.rid(), self.parents[self.head]
        if parent is None:
            with pytest.raises(JobError):
                self.shop.undo(self.job, rid, self.head)
            return
        for _ in range(2 if twice else 1):
            done = self.shop.undo(self.job, rid, self.head)
        assert done.head == parent
        self.settle(done, self.documents[parent])

    @rule(twice=st.booleans())
    def redo(self, twice: bool) -> None:
        rid, after = self.rid(), [c for c, p in self.parents.items() if p == self.head]
        if not after:
            with pytest.raises(JobError):
                self.shop.redo(self.job, rid, self.head)
            return
        for _ in range(2 if twice else 1):
            done = self.shop.redo(self.job, rid, self.head)
        assert done.head == max(after)
        self.settle(done, self.documents[max(after)])

    @rule(pick=st.integers(0, 100))
    def bring_back(self, pick: int) -> None:
        change = sorted(self.documents)[pick % len(self.documents)]
        self.settle(self.shop.make_current(self.job, change, self.rid()), self.documents[change])

    @precondition(lambda self: len(self.documents) > 1)
    @rule(pick=st.integers(0, 100), people=st.sampled_from([10, 20]))
    def edit_from_long_ago(self, pick: int, people: int) -> None:
        base, rid = sorted(self.documents)[pick % len(self.documents)], self.rid()
        edits = [to(["order", "people"], people)]
        before, now = (value_at(self.documents[c], ["order", "people"]) for c in (base, self.head))
        if before != now and now != people:
            with pytest.raises(Conflict):
                self.shop.edit(self.job, edits, base=base, rid=rid, label="p", who="phone")
            return
        want = apply_edits(self.documents[self.head], edits)
        self.settle(self.shop.edit(self.job, edits, base=base, rid=rid, label="p", who="phone"), want)

    @rule()
    def close_and_open(self) -> None:
        self.shop.close()
        self.shop = Store.open(Path(self.folder.name))

    @invariant()
    def the_store_holds_what_the_model_holds(self) -> None:
        if not hasattr(self, "shop"):
            return
        held = self.shop.get(self.job)
        assert (held.head, held.document) == (self.head, self.documents[self.head])
        assert (held.undo_label is None) == (self.parents[self.head] is None)
        assert (held.redo_label is None) == (self.head not in self.parents.values())
        assert {c.id: c.parent for c in self.shop.history(self.job)} == self.parents
        assert all(self.shop.document(self.job, c) == d for c, d in self.documents.items())

    def teardown(self) -> None:
        if hasattr(self, "shop"):
            self.shop.close()
            self.folder.cleanup()


Desk.TestCase.settings = settings(max_examples=40, stateful_step_count=25, deadline=None)
test_any_run_of_requests_against_a_plain_model = Desk.TestCase
