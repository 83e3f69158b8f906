"""A job read again: decisions stay, and the report says what is new, gone and changed."""

from dataclasses import replace

from memo2list.store.again import match_again
from tests.store.conftest import JOB, THREE, item, punch_list


def test_the_same_list_again_changes_nothing(store):
    store.keep(JOB, "k1")
    report = store.save_list(JOB, punch_list(*THREE))
    assert (report.new, report.gone, report.changed, set(report.same)) == ((), (), (), {"k1", "k2", "k3"})
    assert store.item(JOB, "k1").review == "kept"


def test_a_new_item_gets_the_next_number_and_a_gone_one_is_reported(store):
    report = store.save_list(JOB, punch_list(THREE[0], THREE[2], item(4, "gate", key="k4")))
    assert (report.new, report.gone) == (("k4",), ("k2",))
    assert [(i.key, i.number) for i in store.items(JOB)] == [("k1", 1), ("k3", 3), ("k4", 4)]


def test_an_item_read_with_another_place_is_the_same_item_and_keeps_its_decision(store):
    store.keep(JOB, "k2")
    moved = replace(THREE[1], key="other", location="rear")
    report = store.save_list(JOB, punch_list(THREE[0], moved, THREE[2]))
    assert report.changed == ("k2",)
    assert (store.item(JOB, "k2").location, store.item(JOB, "k2").review) == ("rear", "kept")


def test_what_somebody_changed_by_hand_stays_changed(store):
    store.edit(JOB, "k2", "location", "front porch", "carport")
    store.save_list(JOB, punch_list(THREE[0], replace(THREE[1], location="rear"), THREE[2]))
    assert store.item(JOB, "k2").location == "carport"


def test_an_item_worked_on_that_reading_no_longer_finds_is_kept_with_a_flag(store):
    store.note(JOB, "k2", "ladder")
    report = store.save_list(JOB, punch_list(THREE[0], THREE[2]))
    assert report.kept == ("k2",)
    assert "gone" in [f.code for f in store.item(JOB, "k2").flags]


def test_a_dropped_item_that_comes_back_is_still_dropped(store):
    store.drop(JOB, "k2")
    store.save_list(JOB, punch_list(THREE[0]))
    store.save_list(JOB, punch_list(*THREE))
    assert store.item(JOB, "k2").review == "dropped"


def test_each_old_item_answers_for_one_new_item_only():
    twins = [item(1, "sill", key="a"), item(1, "sill", key="b")]
    assert match_again([item(1, "sill", key="old")], twins) == {"a": "old"}
