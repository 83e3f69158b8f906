"""Changes asked for by the page, over its real routes and forms without script."""

import html
import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.errors import InputError
from memo2list.review_page import fields
from memo2list.store.edits import effective, plain
from tests.review_page.conftest import FOUR, JOB, SHA


def change(client, **form):
    return client.post("/change", data={"key": "k1", **form})


def was(client, key):
    """The hidden values of the form as the page shows it."""
    found = re.search(r'name="was" value="(\{[^"]*)"', client.get(f"/opened/{key}").text)
    return html.unescape(found.group(1))


def test_keep_without_script_goes_back_to_the_list(client, store):
    answer = change(client, do="keep", was="unreviewed")
    assert answer.status_code == 303
    assert store.item(JOB, "k1").review == "kept"


def test_who_made_a_change_is_written(client, store):
    change(client, do="keep")
    assert store.edits(JOB)[-1].who == "Ada"


def test_drop_keeps_the_reason(client, store):
    change(client, do="drop", why="said twice")
    assert store.item(JOB, "k1").why_dropped == "said twice"


def test_only_fields_that_were_changed_are_edited(client, store):
    shown = was(client, "k1")
    texts = {n: fields.text_of(n, v) for n, v in fields.values_of(store.item(JOB, "k1")).items()}
    change(client, do="fields", **{"was": shown, **texts, "issues": "rot, peeling"})
    edits = store.edits(JOB)
    assert [e.field for e in edits] == ["issues"]
    assert store.item(JOB, "k1").title == "Fascia: rot, peeling — repair"


@pytest.mark.parametrize(
    "form",
    [
        {"do": "fields", "element": "soffit", "issues": "decay", "location": "rear porch", "and_keep": "yes"},
        {"do": "keep-many", "keys": ["k1", "k2", "k3"]},
        {"do": "drop-many", "keys": ["k1", "k2", "k3"], "why": "said twice"},
        {"do": "place", "keys": ["k1", "k2", "k3"], "place": "cellar"},
        {"do": "state", "state": "done", "note": "painted on Monday"},
    ],
    ids=lambda form: form["do"],
)
def test_one_press_is_one_undo(client, store, form):
    change(client, **({"was": was(client, "k1")} if form["do"] == "fields" else {}), **form)
    assert len(store.edits(JOB)) > 1
    change(client, do="undo")
    assert store.items(JOB) == FOUR
    assert effective(store.edits(JOB)) == ()


def test_a_measure_that_was_not_touched_keeps_the_words_it_was_said_in(client, store):
    change(client, do="fields", was=was(client, "k1"), quantities="about 12 ft; 3")
    first, second = store.item(JOB, "k1").quantities
    assert first == FOUR[0].quantities[0]
    assert (second.value, second.unit) == (3, "ea")


def test_an_outdated_edit_is_refused_with_both_values(client, store):
    shown = was(client, "k1")
    store.edit(JOB, "k1", "location", "front porch", "side porch", "Ben")
    answer = change(client, do="fields", was=shown, location="back porch")
    assert answer.status_code == 409
    for text in ("front porch", "side porch", "back porch", "Ben"):
        assert text in answer.text
    assert store.item(JOB, "k1").location == "side porch"


def test_an_outdated_form_changes_none_of_its_fields(client, store):
    shown = was(client, "k1")
    store.edit(JOB, "k1", "location", "front porch", "side porch", "Ben")
    change(client, do="fields", was=shown, location="back porch", note="look again")
    assert store.item(JOB, "k1").note == ""


def test_take_mine_repeats_the_change_against_the_value_of_now(client, store):
    shown = was(client, "k1")
    store.edit(JOB, "k1", "location", "front porch", "side porch", "Ben")
    refused = change(client, do="fields", was=shown, location="back porch").text
    again = {name: html.unescape(value) for name, value in re.findall(r'name="([a-z]+)" value="([^"]*)"', refused)}
    assert client.post("/change", data=again).status_code == 303
    assert store.item(JOB, "k1").location == "back porch"


def test_a_decision_on_an_outdated_decision_is_refused(client, store):
    store.drop(JOB, "k1", "not ours", "Ben")
    assert change(client, do="keep", was="unreviewed").status_code == 409
    assert store.item(JOB, "k1").review == "dropped"


def test_one_place_for_many(client, store):
    client.post("/change", data={"do": "place", "keys": ["k1", "k3"], "place": "garage"})
    assert [store.item(JOB, k).location for k in ("k1", "k3")] == ["garage", "garage"]


def test_merge_gathers_the_quotes(client, store):
    client.post("/change", data={"do": "merge", "key": "k1", "keys": ["k2"]})
    assert len(store.item(JOB, "k1").quotes) == 2
    assert [i.key for i in store.items(JOB)] == ["k1", "k3", "k4"]


def test_undo_and_redo_of_a_merge(client, store):
    client.post("/change", data={"do": "merge", "key": "k1", "keys": ["k2"]})
    change(client, do="undo")
    assert len(store.items(JOB)) == 4
    change(client, do="redo")
    assert len(store.items(JOB)) == 3


def test_split_by_what_differs(client, store):
    change(client, do="split", element="soffit")
    assert [i.element for i in store.items(JOB)][:2] == ["fascia", "soffit"]


def test_move_stays_within_the_place(client, store):
    change(client, do="move", way="down")
    assert [i.key for i in store.items(JOB)] == ["k2", "k1", "k3", "k4"]
    change(client, do="move", way="down")
    assert [i.key for i in store.items(JOB)] == ["k2", "k1", "k3", "k4"]


def test_talk_set_aside_becomes_an_item_with_its_quote(client, store):
    mark = re.search(r'name="mark" value="([^"]*)"', client.get("/aside").text).group(1)
    client.post("/change", data={"do": "lift", "number": "0", "mark": mark})
    new = store.items(JOB)[-1]
    assert (new.element, new.issues, new.location) == ("soffit", ("rot",), "back")
    assert new.quotes[0].text == "the soffit it is fine"


def test_a_stretch_of_the_transcript_becomes_an_item(client, store):
    client.post("/change", data={"do": "talk", "recording": SHA, "first": "10", "last": "15"})
    new = store.items(JOB)[-1]
    assert new.quotes[0].text == "the gutter leaks at the corner"
    assert new.element == "gutter"


def test_a_stretch_that_is_not_there_is_told(client, store):
    answer = client.post(
        "/change", data={"do": "talk", "recording": SHA, "first": "10", "last": "9999"}, headers={"x-memo2list": "lines"}
    )
    assert answer.status_code == 422
    assert len(store.items(JOB)) == 4


def test_close_out_has_a_date_and_a_note(client, store):
    change(client, do="state", state="done", note="new board, primed")
    assert store.item(JOB, "k1").state == "done"
    assert store.item(JOB, "k1").note == "new board, primed"
    assert re.search(r"Done \d{4}-\d\d-\d\d", client.get("/").text)


def test_an_own_line_is_added(client, store):
    client.post("/change", data={"do": "add", "element": "smoke alarm", "actions": "install", "quantities": "2"})
    assert store.items(JOB)[-1].title == "Smoke alarm — install"


def test_the_script_gets_only_the_lines_that_changed(client):
    answer = client.post("/change", data={"do": "keep", "key": "k2", "since": "0"}, headers={"x-memo2list": "lines"}).json()
    assert list(answer["lines"]) == ["k2"]
    assert not answer["reload"]


def test_two_reviewers_lose_nothing(client, store):
    """One edits the note while the other changes the place: both stay, and the page of each hears of the other."""
    since = client.get("/news?since=0").json()["edit"]
    store.edit(JOB, "k1", "location", "front porch", "side porch", "Ben")
    client.post("/change", data={"do": "fields", "key": "k1", "was": json.dumps({"note": ""}), "note": "bring a ladder"})
    item = store.item(JOB, "k1")
    assert (item.location, item.note) == ("side porch", "bring a ladder")
    assert client.get(f"/news?since={since}").json()["reload"]


@pytest.mark.parametrize(
    "form", [{"do": "nonsense"}, {"do": "keep", "key": "none"}, {"do": "fields", "was": "x"}, {"do": "talk", "first": "x"}]
)
def test_what_cannot_be_is_told_and_changes_nothing(client, store, form):
    assert client.post("/change", data=form, headers={"x-memo2list": "lines"}).status_code == 422
    assert store.edits(JOB) == ()


@given(
    st.lists(
        st.text(st.characters(exclude_characters=",", exclude_categories=("Cs", "Cc", "Zs", "Zl", "Zp")), min_size=1), max_size=4
    )
)
def test_a_list_of_words_comes_back_as_it_was_shown(words):
    value = tuple(dict.fromkeys(words))
    assert fields.value_of("issues", fields.text_of("issues", value), value) == value


@given(st.floats(0, 9999).map(lambda x: round(x * 8) / 8), st.sampled_from(["ft", "in", "m", "sq ft", "ea"]))
def test_a_measure_typed_as_it_is_shown_means_the_same(value, unit):
    from memo2list.exports import phrasing
    from memo2list.records import Quantity, WordRange

    shown = phrasing.quantity(Quantity(value, unit, "count", "", WordRange(0, 0)))
    typed = fields.measure(shown)
    assert (typed.value, typed.unit) == (pytest.approx(value, abs=0.0006), unit)


@pytest.mark.parametrize("text", ["twelve", "12 parsecs", "", "ft", "1/0 ft"])
def test_what_is_no_measure_is_refused(text):
    with pytest.raises(InputError):
        fields.measure(text)


def test_the_form_says_every_field(client, store):
    shown = json.loads(was(client, "k1"))
    assert shown == {name: plain(value) for name, value in fields.values_of(store.item(JOB, "k1")).items()}
