"""What is corrected once is read right the next time."""

import pytest

from memo2list.errors import InputError
from memo2list.pipeline import list_transcripts
from memo2list.review_page.learning import remember
from memo2list.vocabulary.lexicon import load_lexicon
from tests.review_page.conftest import JOB

SECOND_WALK = "[0:01] Okay, front porch.\n[0:04] The drip batten is rotten, replace it.\n[0:09] The gutter leaks at the corner.\n"


def elements(tmp_path, lexicon):
    path = tmp_path / "walk.txt"
    path.write_text(SECOND_WALK)
    from memo2list.hearing import hear

    return [i.element for i in list_transcripts([hear(path, lexicon=lexicon)], lexicon, "quick").items]


@pytest.fixture
def own(tmp_path):
    return tmp_path / "own"


def lexicon_with(own, tmp_path):
    return load_lexicon(user_folder=own, cache=tmp_path / "cache")


def test_the_second_walk_is_read_better_than_the_first(own, tmp_path):
    first = elements(tmp_path, lexicon_with(own, tmp_path))
    remember(own, lexicon_with(own, tmp_path), "element", "drip batten", "fascia")
    second = elements(tmp_path, lexicon_with(own, tmp_path))
    assert "fascia" not in first
    assert "fascia" in second


def test_the_shipped_forms_of_the_word_stay(own, tmp_path):
    before = lexicon_with(own, tmp_path).entry("element", "fascia")
    remember(own, lexicon_with(own, tmp_path), "element", "drip batten", "fascia")
    after = lexicon_with(own, tmp_path).entry("element", "fascia")
    assert set(after.forms) == {*before.forms, "drip batten"}
    assert (after.trade, after.cautions, after.needs) == (before.trade, before.cautions, before.needs)


def test_two_words_for_one_thing_are_both_kept(own, tmp_path):
    for said in ("drip batten", "nose board"):
        remember(own, lexicon_with(own, tmp_path), "element", said, "fascia")
    assert {"drip batten", "nose board"} <= set(lexicon_with(own, tmp_path).entry("element", "fascia").forms)


def test_a_word_the_lexicon_lacks_becomes_an_entry(own, tmp_path):
    remember(own, lexicon_with(own, tmp_path), "element", "wobble stop", "glimmer bracket")
    assert lexicon_with(own, tmp_path).entry("element", "glimmer bracket") is not None
    assert not [p for p in lexicon_with(own, tmp_path).problems if "learned" in p.where]


@pytest.mark.parametrize(("said", "meant"), [("", "fascia"), ("x", "fascia"), ("fascia", "fascia"), ("][", "fascia")])
def test_what_cannot_be_a_word_is_refused(own, tmp_path, said, meant):
    with pytest.raises(InputError):
        remember(own, lexicon_with(own, tmp_path), "element", said, meant)


def test_the_page_remembers(client, desk):
    client.post("/change", data={"do": "remember", "key": "k1", "kind": "element", "said": "Drip Batten!", "meant": "fascia"})
    assert "drip batten" in desk.lexicon.entry("element", "fascia").forms


def test_a_corrected_element_is_offered_with_the_word_that_was_heard(client, store):
    store.edit(JOB, "k2", "element", "gutter", "downspout", "Ada")
    page = client.get("/opened/k2").text
    assert "<details open><summary>When I say" in page
    assert 'name="said" value="gutter"' in page
    assert 'name="meant" value="downspout"' in page
