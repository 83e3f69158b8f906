"""Edits: added, never overwritten; the items as they are now follow from them."""

import contextlib
import threading
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from memo2list.errors import InputError, Memo2listError, NothingToUndoError, StaleEditError, UnknownItemError
from memo2list.records import Item, Quantity, WantedPicture, WordRange
from memo2list.store import open_store
from memo2list.store.edits import Edit, apply_edits, effective
from memo2list.store.records_json import loads
from tests.store.conftest import JOB, SHA, THREE, item, punch_list, said


def keys(items):
    return [i.key for i in items]


def test_a_field_is_changed_and_the_title_follows(store):
    store.edit(JOB, "k1", "issues", ("rot",), ("wet rot", "split"))
    changed = store.item(JOB, "k1")
    assert changed.issues == ("wet rot", "split")
    assert changed.title == "Fascia: wet rot, split — repair"


def test_a_title_of_the_reviewers_own_stays(store):
    store.edit(JOB, "k1", "title", THREE[0].title, "Rear board gone soft")
    assert store.item(JOB, "k1").title == "Rear board gone soft"


def test_quantities_keep_value_unit_and_words(store):
    measured = (Quantity((2.5, 3), "ft", "length", "two and a half to three", WordRange(1, 6), True),)
    store.edit(JOB, "k1", "quantities", (), measured)
    assert store.item(JOB, "k1").quantities == measured


def test_an_edit_against_an_outdated_value_is_refused_and_both_values_are_shown(store):
    store.edit(JOB, "k1", "location", "front porch", "rear")
    with pytest.raises(StaleEditError) as told:
        store.edit(JOB, "k1", "location", "front porch", "hall")
    assert (told.value.expected, told.value.found, told.value.number) == ("front porch", "rear", 1)
    assert store.item(JOB, "k1").location == "rear"


def test_a_value_that_a_field_cannot_hold_is_refused_and_nothing_is_written(store):
    with pytest.raises(InputError):
        store.edit(JOB, "k1", "certainty", "stated", "perhaps")
    with pytest.raises(InputError):
        store.edit(JOB, "k1", "confidence", 0.8, 1.0)
    assert store.edits(JOB) == ()


def test_dropping_keeps_the_item_with_its_reason_until_it_is_taken_back(store):
    store.drop(JOB, "k2", "the roofer does it", "M")
    assert store.item(JOB, "k2").review == "dropped"
    assert store.item(JOB, "k2").why_dropped == "the roofer does it"
    assert store.job(JOB).items == 2
    store.undrop(JOB, "k2")
    assert store.item(JOB, "k2") == THREE[1]


def test_merging_joins_words_measures_and_quotes_in_order_of_time(store):
    store.merge(JOB, "k3", ["k1"])
    one = store.item(JOB, "k3")
    assert keys(store.items(JOB)) == ["k2", "k3"]
    assert one.issues == ("crack", "rot")
    assert [q.span.start_ms for q in one.quotes] == [10_000, 30_000]
    assert one.title == "Stair tread: crack, rot — repair"


def test_merging_keeps_the_pictures_that_were_asked_for(store):
    """An item that is merged into another takes along what was said to the list about it."""
    asked = WantedPicture("0" * 64, 12_000, "take a picture here")
    merged = apply_edits((THREE[0], replace(THREE[1], wanted_pictures=(asked,))), (Edit("merge", "k1", new=["k2"]),))
    assert [i.wanted_pictures for i in merged] == [(asked,)]


def test_an_item_cannot_be_merged_with_itself_or_with_one_that_is_gone(store):
    with pytest.raises(InputError):
        store.merge(JOB, "k1", ["k1"])
    with pytest.raises(UnknownItemError):
        store.merge(JOB, "k1", ["k9"])


def test_a_wanted_picture_goes_with_the_half_that_was_talked_about(store):
    """ "Take a picture here" was said after the second of two quotes; the other wish after the first."""
    first, second = said("the fascia has rot", 10_000), said("the gutter leaks", 30_000)
    early, late = (WantedPicture(SHA, at_ms, "take a picture here") for at_ms in (13_500, 33_500))
    store.save_list(JOB, punch_list(item(1, "fascia", quotes=(first, second), wanted_pictures=(early, late))))
    old, new = store.split(JOB, "k1", quotes=[1], fields={"element": "gutter"})
    assert (old.wanted_pictures, new.wanted_pictures) == ((early,), (late,))


def test_a_wanted_picture_stays_where_both_halves_have_its_quote(store):
    wanted = WantedPicture(SHA, 13_500, "take a picture here")
    store.save_list(JOB, punch_list(item(1, "fascia", wanted_pictures=(wanted,))))
    old, new = store.split(JOB, "k1", fields={"element": "gutter"})
    assert (old.wanted_pictures, new.wanted_pictures) == ((wanted,), ())


def test_splitting_gives_a_new_number_and_takes_its_quotes_along(store):
    store.merge(JOB, "k1", ["k2"])
    store.split(JOB, "k1", quotes=[1], fields={"element": "gutter", "issues": ("leak",)})
    one, two, _ = store.items(JOB)
    assert (one.key, one.number, len(one.quotes)) == ("k1", 1, 1)
    assert (two.number, two.element, two.title) == (4, "gutter", "Gutter: leak — repair")
    assert two.quotes == THREE[1].quotes


def test_a_number_that_was_given_is_never_given_again(store):
    store.add_item(JOB, {"title": "Sweep the drive"})
    store.merge(JOB, "k1", [store.item(JOB, 4).key])
    store.add_item(JOB, {"title": "Paint the gate"})
    assert [i.number for i in store.items(JOB)] == [1, 2, 3, 5]


def test_an_item_moves_and_keeps_its_number(store):
    store.move(JOB, "k3", "")
    assert keys(store.items(JOB)) == ["k3", "k1", "k2"]
    store.move(JOB, "k3", "k1")
    assert keys(store.items(JOB)) == ["k1", "k3", "k2"]
    assert store.item(JOB, "k3").number == 3


def test_an_item_of_the_reviewers_own_is_kept_and_titled(store):
    store.add_item(JOB, {"element": "gate", "issues": ("latch missing",), "location": "side path"}, "M")
    added = store.items(JOB)[-1]
    assert (added.title, added.review, added.by, added.location) == ("Gate: latch missing", "kept", "M", "side path")
    with pytest.raises(InputError):
        store.add_item(JOB, {"location": "hall"})


def test_notes_and_states_are_set(store):
    store.note(JOB, "k1", "ladder needed")
    store.set_state(JOB, "k1", "done")
    assert (store.item(JOB, "k1").note, store.item(JOB, "k1").state) == ("ladder needed", "done")


def test_undo_and_redo_walk_back_and_forth_until_a_new_change(store):
    store.keep(JOB, "k1")
    store.drop(JOB, "k2")
    store.undo(JOB)
    assert store.item(JOB, "k2").review == "unreviewed"
    store.redo(JOB)
    assert store.item(JOB, "k2").review == "dropped"
    store.undo(JOB)
    store.note(JOB, "k3", "new")
    with pytest.raises(NothingToUndoError):
        store.redo(JOB)


def test_changes_made_together_are_taken_back_and_brought_back_by_one_step(store):
    store.keep(JOB, "k2")
    with store.together():
        store.edit(JOB, "k1", "element", "fascia", "soffit")
        store.edit(JOB, "k1", "location", "front porch", "rear porch")
        store.keep(JOB, "k1")
    changed = store.items(JOB)
    store.undo(JOB)
    assert store.items(JOB) == (THREE[0], replace(THREE[1], review="kept"), THREE[2])
    store.redo(JOB)
    assert store.items(JOB) == changed
    assert [e.kind for e in store.edits(JOB)] == ["keep", "set", "set", "keep", "undo", "redo"]


def test_of_changes_made_together_all_are_kept_or_none(store):
    def press():
        with store.together():
            store.keep(JOB, "k2")
            store.edit(JOB, "k1", "element", "gutter", "soffit")

    with pytest.raises(StaleEditError):
        press()
    assert store.items(JOB) == THREE
    assert store.edits(JOB) == ()
    store.keep(JOB, "k2")
    store.keep(JOB, "k3")
    store.undo(JOB)
    assert [i.review for i in store.items(JOB)] == ["unreviewed", "kept", "unreviewed"]


@given(st.lists(st.integers(1, 4), max_size=6), st.integers(0, 6), st.integers(0, 6))
def test_undo_and_redo_go_by_presses(sizes, back, forth):
    """Presses of one to four changes each; edits written before presses were kept have each a time of their own."""
    presses = [[Edit("keep", f"k{n}", at=str(press)) for n in range(size)] for press, size in enumerate(sizes)]
    made = [edit for press in presses for edit in press]
    left = max(0, len(presses) - back)
    undone = [Edit("undo", at=f"u{n}") for n in range(min(back, len(presses)))]
    redone = [Edit("redo", at=f"r{n}") for n in range(min(forth, len(undone)))]
    assert effective([*made, *undone]) == tuple(edit for press in presses[:left] for edit in press)
    assert effective([*made, *undone, *redone]) == tuple(edit for press in presses[: left + len(redone)] for edit in press)


def test_two_threads_are_not_taken_for_one_that_changes_together(store):
    """While one thread makes its changes together, another waits, and its change stays one of its own."""
    waiting = threading.Thread(target=lambda: store.keep(JOB, "k3"))
    with store.together():
        store.keep(JOB, "k1")
        waiting.start()
        store.keep(JOB, "k2")
    waiting.join()
    store.undo(JOB)
    assert [i.review for i in store.items(JOB)] == ["kept", "kept", "unreviewed"]


def test_undo_of_everything_gives_the_list_as_it_was_read(store):
    store.merge(JOB, "k1", ["k2"])
    store.split(JOB, "k1", [0])
    store.move(JOB, "k3", "")
    for _ in range(3):
        store.undo(JOB)
    assert store.items(JOB) == THREE
    with pytest.raises(NothingToUndoError):
        store.undo(JOB)


def test_every_change_is_a_row_and_says_who_and_when(store):
    store.keep(JOB, "k1", "M")
    store.undo(JOB, "N")
    first, second = store.edits(JOB)
    assert (first.kind, first.key, first.who, second.kind, second.who) == ("keep", "k1", "M", "undo", "N")
    assert first.at < second.at


def test_two_people_at_once_lose_nothing(store):
    """Each thread has its own connection; every one of their notes is a row."""

    def work(name):
        for n in range(10):
            store.note(JOB, "k1", f"{name}{n}", name)

    workers = [threading.Thread(target=work, args=(name,)) for name in "abc"]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert len(store.edits(JOB, "k1")) == 30
    with open_store(store.folder) as again:
        assert again.items(JOB) == store.items(JOB)


MOVES = st.sampled_from(["keep", "drop", "note", "move", "merge", "split", "add", "undo", "redo", "set"])
KEYS = st.sampled_from(["k1", "k2", "k3", "k9"])


@st.composite
def edits(draw):
    kind, key, other = draw(MOVES), draw(KEYS), draw(KEYS)
    new = {
        "note": draw(st.text(max_size=5)),
        "set": draw(st.lists(st.text(max_size=5), max_size=2)),
        "move": other,
        "merge": [other],
        "split": {"key": "s", "number": 8, "quotes": [0], "fields": {"element": "sill"}},
        "add": {"number": 9, "fields": {"title": "T"}},
    }.get(kind, "")
    return Edit(kind, "a" if kind == "add" else key, {"note": "note", "set": "issues"}.get(kind, ""), None, new)


@given(st.lists(edits(), max_size=12))
def test_any_edits_can_be_applied_and_undone_again(made):
    """Also edits of items that are not there: reading again may have lost them."""
    apply_edits(THREE, made)
    back = [*made, *(Edit("undo") for _ in effective(made))]
    assert apply_edits(THREE, back) == THREE


@given(st.lists(edits(), max_size=12))
def test_edits_never_invent_or_lose_a_quote(made):
    quotes = {q for i in THREE for q in i.quotes}
    assert {q for i in apply_edits(THREE, made) for q in i.quotes} == quotes


def test_the_sample_items_have_quotes_of_their_own():
    assert item(1, "sill").quotes == (said("the sill has rot", 10_000),)


@given(st.lists(edits(), max_size=8))
@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_the_rows_that_search_reads_are_always_the_current_items(store, made):
    """Whatever was changed, step by step: the rows hold every item that is not dropped, as it is now."""
    calls = {
        "keep": lambda e: store.keep(JOB, e.key),
        "drop": lambda e: store.drop(JOB, e.key),
        "note": lambda e: store.note(JOB, e.key, e.new),
        "move": lambda e: store.move(JOB, e.key, e.new),
        "merge": lambda e: store.merge(JOB, e.key, e.new),
        "split": lambda e: store.split(JOB, e.key, [0], {"element": "sill"}),
        "add": lambda e: store.add_item(JOB, {"title": "T"}),
        "undo": lambda e: store.undo(JOB),
        "redo": lambda e: store.redo(JOB),
    }
    for edit in made:
        with contextlib.suppress(Memo2listError):
            calls.get(edit.kind, calls["keep"])(edit)
        rows = {loads(Item, r["json"]) for r in store.db.rows("SELECT json FROM items")}
        assert rows == {i for i in store.items(JOB) if i.review != "dropped"}
