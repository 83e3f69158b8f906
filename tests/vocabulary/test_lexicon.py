"""What the whole lexicon finds in talk."""

import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.errors import InputError
from memo2list.vocabulary import cache
from memo2list.vocabulary.lexicon import load_lexicon


def found(lexicon, sentence):
    return {(m.entry.kind, m.entry.name) for m in lexicon.find(sentence.split())}


def test_a_phrasal_verb_is_found_with_its_object_inside(lexicon):
    words = "take those old gutters down".split()
    match = next(m for m in lexicon.find(words) if m.entry.name == "remove")
    assert match.inner == ((0, 1), (4, 5))


def test_a_form_does_not_cross_a_comma(lexicon):
    assert ("element", "door frame") not in found(lexicon, "the front door, frame it as you like")


def test_the_longer_form_of_one_entry_stands_alone(lexicon):
    matches = [m for m in lexicon.find("the fascia board is split".split()) if m.entry.name == "fascia"]
    assert [(m.start, m.stop) for m in matches] == [(1, 3)]


def test_matches_of_different_entries_may_overlap(lexicon):
    assert {("element", "storm door"), ("element", "door")} <= found(lexicon, "that storm door")


@pytest.mark.parametrize("sentence", ["the light is lovely in the morning", "he was the leader of the band", "a drop of milk"])
def test_an_everyday_word_is_no_element_without_its_trade(lexicon, sentence):
    assert not any(kind == "element" for kind, _ in found(lexicon, sentence))


def test_a_doubtful_word_is_an_element_in_its_trade(lexicon):
    assert ("element", "downspout") in found(lexicon, "run a leader out past the gutter")


def test_a_known_mishearing_is_taken_back_near_its_trade(lexicon):
    match = next(m for m in lexicon.find("paint the saw fit and the gutter".split()) if m.entry.name == "soffit")
    assert match.how == "sound-alike"


def test_a_known_mishearing_is_left_alone_in_everyday_talk(lexicon):
    assert ("element", "soffit") not in found(lexicon, "the old saw fit in my bag")


def test_an_odd_word_is_compared_with_the_trade_being_talked_about(lexicon):
    match = next(m for m in lexicon.find("that downspoutt by the gutter".split()) if m.entry.name == "downspout")
    assert match.how in ("fuzzy", "sound-alike")


def test_an_odd_word_is_left_alone_in_everyday_talk(lexicon):
    assert not found(lexicon, "we had downspoutt for supper")


def test_a_doubted_word_is_compared_by_sound(lexicon):
    words = "the ballaster and the railing".split()
    sure, unsure = [0.9] * 5, [0.9, 0.2, 0.9, 0.9, 0.9]
    assert any(m.entry.name == "baluster" for m in lexicon.find(words, unsure))
    assert len(lexicon.find(words, unsure)) >= len(lexicon.find(words, sure))


def test_a_cue_inside_a_problem_is_no_cue(lexicon):
    assert not [c for _, _, c in lexicon.cues("the door doesn't latch".split()) if c.category == "negation"]


@pytest.mark.parametrize(
    ("sentence", "category"),
    [
        ("no rot up here", "negation"),
        ("the gutters are all fine", "negation"),
        ("it might be rotten", "hedge"),
        ("if it's rotten replace it", "condition"),
        ("you always want to prime the ends", "general"),
        ("they replaced that last year", "done"),
        ("the roofer is doing that", "by-others"),
        ("leave it, I can live with it", "declined"),
        ("scratch that", "taken-back"),
        ("I had a lady with the same trouble", "elsewhere"),
        ("do you want it painted", "question"),
        ("about twelve feet", "approximate"),
        ("same thing on this side", "same"),
    ],
)
def test_everyday_phrasings_are_cues(lexicon, sentence, category):
    assert category in {cue.category for _, _, cue in lexicon.cues(sentence.split())}


@pytest.mark.parametrize("sentence", ["no problem, I'll do it", "no wonder it leaks", "why don't we replace it"])
def test_a_false_cue_hides_the_negation_it_holds(lexicon, sentence):
    assert "negation" not in {cue.category for _, _, cue in lexicon.cues(sentence.split())}


def test_an_entry_is_found_by_kind_and_name(lexicon):
    assert lexicon.entry("element", "Fascia").uniformat == "B2010"
    assert lexicon.entry("problem", "fascia") is None


def test_a_pack_that_does_not_exist_is_named_with_those_that_do(tmp_path):
    with pytest.raises(InputError, match="roof_edge"):
        load_lexicon(packs=["rof"], user_folder=tmp_path, cache=tmp_path)


def test_only_the_packs_asked_for_are_used(tmp_path):
    small = load_lexicon(packs=["doors"], user_folder=tmp_path / "none", cache=tmp_path / "cache")
    assert {e.pack for e in small.entries} == {"common", "doors"}


def test_the_cache_gives_the_same_lexicon(tmp_path):
    first = load_lexicon(packs=["doors"], user_folder=tmp_path / "none", cache=tmp_path / "cache")
    again = load_lexicon(packs=["doors"], user_folder=tmp_path / "none", cache=tmp_path / "cache")
    assert first.entries == again.entries
    words = "the hinges on that storm door rub when it closes".split()
    assert first.find(words) == again.find(words)


def test_a_cache_that_was_spoiled_is_made_again(tmp_path):
    load_lexicon(packs=["doors"], user_folder=tmp_path / "none", cache=tmp_path / "cache")
    for path in (tmp_path / "cache").glob("*.json"):
        path.write_text("{")
    assert load_lexicon(packs=["doors"], user_folder=tmp_path / "none", cache=tmp_path / "cache").entry("element", "door")


def test_a_cache_folder_that_cannot_be_written_is_no_trouble(tmp_path):
    (tmp_path / "file").write_text("")
    assert load_lexicon(packs=["doors"], user_folder=tmp_path / "none", cache=tmp_path / "file" / "cache").entries


TALK = "the fascia gutter door rot doesn't latch take down out no if maybe water sits light, there. push my thumb in".split()


@given(st.lists(st.sampled_from(TALK), max_size=14))
def test_matches_lie_in_the_words_and_are_ordered(lexicon, words):
    matches = lexicon.find(words, [0.4] * len(words))
    assert all(0 <= m.start < m.stop <= len(words) for m in matches)
    assert [(m.start, -m.stop) for m in matches] == sorted((m.start, -m.stop) for m in matches)
    assert all(m.start <= a < b <= m.stop for m in matches for a, b in m.inner)
    assert all(0 <= a < b <= len(words) for a, b, _ in lexicon.cues(words))


def test_the_compiled_form_is_written_without_a_call_for_every_form(tmp_path):
    calls = []
    sys.setprofile(lambda frame, event, argument: calls.append(event) if event == "call" else None)
    try:
        cache.keep(tmp_path, "k", {"forms": {str(n): ["a form", n] for n in range(5_000)}})
    finally:
        sys.setprofile(None)
    assert len(calls) < 1_000
    assert cache.load(tmp_path, "k")["forms"]["4999"] == ["a form", 4999]
