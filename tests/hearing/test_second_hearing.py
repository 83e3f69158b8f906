"""A term takes the place of doubtful words on evidence; never because it would fit."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from memo2list.hearing.doubtful import regions
from memo2list.hearing.listening import Terms, plain
from memo2list.hearing.recogniser import Heard, Stretch
from memo2list.hearing.replay import ReplayRecogniser
from memo2list.hearing.second_hearing import listen_again
from memo2list.hearing.setting import NOWHERE, setting_of
from memo2list.hearing.site_talk import SiteTalk
from memo2list.hearing.sounds import distance, sound_key
from memo2list.records import Word, WordRange
from memo2list.timing import TimeSpan
from tests.benchmarks.fit_site_talk import counted

TERMS = Terms(
    ["soffit", "baluster", "balusters", "newel", "fascia"],
    misheard=[("new will", "newel"), ("saw fit", "soffit")],
    known=["rot", "gate"],
)
COMMON = frozenset(["the", "saw", "fit", "is", "gate", "new", "will", "loose", "rot", "and"])


def heard(text, probability=0.5):
    words = tuple(Word(w, TimeSpan(n * 400, n * 400 + 300), probability) for n, w in enumerate(text.split()))
    return Heard(Stretch(TimeSpan(0, 400 * len(words)), np.zeros(0, np.float32)), words)


def again(text, likely, probability=0.5):
    return listen_again(heard(text, probability), ReplayRecogniser((), likely, COMMON), TERMS)


def said(changed):
    return " ".join(w.text for w in changed.heard.words)


def test_a_term_the_sound_makes_likelier_takes_the_place_of_a_misspelling():
    changed = again("The ballisters, loose", lambda w: -1.0 if w == "balusters" else -4.0 if w == "ballisters" else -0.1)
    assert said(changed) == "The balusters, loose"
    (doubt,) = changed.doubts
    assert (doubt.flag.code, doubt.other, doubt.words) == ("heard-twice", "ballisters,", WordRange(1, 2))


def test_two_words_become_one_and_the_time_stays():
    changed = again("the Saw fit. is rot", lambda w: -1.0 if w == "soffit" else -4.0)
    assert said(changed) == "the Soffit. is rot"
    assert changed.heard.words[1].span == TimeSpan(400, 1100)


def test_a_term_that_fits_but_is_unlikely_changes_nothing():
    changed = again("The ballisters loose", lambda w: -30.0 if w == "balusters" else -1.0)
    assert said(changed) == "The ballisters loose"
    assert changed.doubts == ()


def test_an_even_match_keeps_what_was_heard_and_flags_the_other():
    changed = again("the saw fit is rot", lambda w: -2.0 if w == "soffit" else -1.0)
    assert said(changed) == "the saw fit is rot"
    assert [(d.flag.code, d.other) for d in changed.doubts] == [("could-be", "soffit")]


def test_known_mishearings_are_asked_about():
    assert said(again("the new will is loose", lambda w: -0.5 if w == "newel" else -3.0)) == "the newel is loose"


def test_everyday_words_heard_surely_are_not_questioned():
    assert regions(heard("the saw fit is rot", 0.99).words, TERMS, COMMON.__contains__) == []


def test_a_term_heard_well_is_not_questioned():
    assert regions(heard("the soffit is rot", 0.9).words, TERMS, COMMON.__contains__) == []


words = st.lists(st.sampled_from(["the", "saw", "fit", "ballister", "newle", "rot", "gate", "facia", "and"]), max_size=25)


@given(words, st.floats(-20, 0), st.floats(-20, 0))
def test_time_order_and_coverage_survive_whatever_wins(texts, for_terms, for_others):
    before = heard(" ".join(texts))
    recogniser = ReplayRecogniser((), lambda w: for_terms if w in TERMS.texts else for_others, COMMON)
    changed = listen_again(before, recogniser, TERMS)
    starts = [w.span.start_ms for w in changed.heard.words]
    assert starts == sorted(starts)
    assert all(d.words.stop <= len(changed.heard.words) for d in changed.doubts)
    if before.words:
        assert changed.heard.words[0].span.start_ms == before.words[0].span.start_ms
        assert changed.heard.words[-1].span.end_ms == before.words[-1].span.end_ms


@given(st.text("ABCEFIKLMNOPRSTUXZ", max_size=12), st.text("ABCEFIKLMNOPRSTUXZ", max_size=12))
def test_sound_distance_is_symmetric_and_zero_for_the_same(one, other):
    assert abs(distance(one, other, 99) - distance(other, one, 99)) < 1e-9
    assert distance(one, one) == 0


@given(st.text(max_size=30))
def test_any_word_has_a_key_of_letters(word):
    assert all(c.isascii() and c.isupper() for c in sound_key(plain(word)))


def asked(text, probability=0.5, setting=NOWHERE):
    return [r.near[0].term.text for r in regions(heard(text, probability).words, TERMS, COMMON.__contains__, setting)]


def test_everyday_words_that_only_sound_like_a_term_are_not_questioned():
    everyday = frozenset(["the", "new", "well"]).__contains__
    assert regions(heard("the new well", 0.3).words, Terms(["newel"]), everyday) == []
    assert regions(heard("the newle", 0.3).words, Terms(["newel"]), everyday) != []


def test_a_rare_word_heard_surely_is_not_questioned():
    assert asked("the ballisters", 0.95) == []


def test_a_little_word_or_a_figure_beside_it_is_no_part_of_a_term():
    (region,) = regions(heard("the ballisters, 10, and").words, TERMS, COMMON.__contains__)
    assert (region.near[0].term.text, region.words) == ("balusters", WordRange(1, 2))


def test_terms_of_a_trade_in_use_and_of_the_job_are_believed_more_readily():
    packs = {"soffit": "roof_edge", "fascia": "roof_edge", "newel": "decks_stairs", "baluster": "decks_stairs"}
    terms = Terms(list(packs), pack_of=packs)
    setting = setting_of([heard("the soffit and the fascia", 0.9)], terms, own=["Baluster"])
    assert setting.favours("soffit") == setting.favours("baluster") > 0 > setting.favours("newel")
    assert setting_of([heard("the gate")], terms).favours("newel") == 0


TALK = SiteTalk(
    counted(
        [
            line.split()
            for line in ["new fir is soft", "the fir is rotten", "the slab's dropped", "the slab's loose", "two slabs"] * 4
        ]
    )
)
ALIKE = Terms(["fir", "single"], known=["shingle"], misheard=[("fur", "fir")])


def with_talk(text, likely, talk, probability=0.9):
    one = heard(text, probability)
    return listen_again(one, ReplayRecogniser((), likely, COMMON | {"fur", "slabs", "third", "split"}), ALIKE, talk=talk)


def test_an_article_is_spoken_and_no_part_of_a_term():
    terms = Terms(["tile boards"])
    assert regions(heard("till the boards are up").words, terms, lambda w: True, talk=None) == []
    words = heard("till the boards").words
    assert not any(len(r.words) == 3 for r in regions(words, terms, lambda w: False))


def test_in_talk_without_any_term_more_is_asked():
    """The flu is no flue where nobody talks of a house; where they do, it may be."""
    terms = Terms(["flue", "gutter", "fascia"], misheard=[("flu", "flue")])
    everyday = "my sister had the flu and we watched a film " * 10
    site = "the gutter and the fascia and the flu on the roof " * 10

    def decided(text):
        one = heard(text, 0.9)
        likely = ReplayRecogniser((), lambda w: -1.0 if w == "flue" else -3.0, frozenset(text.split()))
        return said(listen_again(one, likely, terms, setting_of([one], terms)))

    assert "flue" not in decided(everyday)
    assert "flue" in decided(site)


def test_usual_talk_tips_the_balance_between_words_that_sound_the_same():
    def even(word):
        return -1.0

    assert said(with_talk("the fur is soft", even, None)) == "the fur is soft"
    assert said(with_talk("the fur is soft", even, TALK)) == "the fir is soft"


def test_a_short_form_that_is_usual_takes_the_place_without_a_flag():
    changed = with_talk("the slabs dropped", lambda w: -1.0, TALK)
    assert said(changed) == "the slab's dropped"
    assert changed.doubts == ()


def test_the_sound_can_overrule_usual_talk():
    changed = with_talk("the slabs dropped", lambda w: -9.0 if w == "slab's" else -0.1, TALK)
    assert said(changed) == "the slabs dropped"
    assert changed.doubts == ()


def test_a_term_as_heard_does_not_give_way_to_another_as_what_is_no_word_does():
    """A shingle heard with little probability stays one, although a single is a little likelier; "zingle" is no word."""

    def little_more(word):
        return -1.0 if word == "single" else -1.3

    assert said(with_talk("third shingle split", little_more, None, 0.3)) == "third shingle split"
    assert said(with_talk("third zingle split", little_more, None, 0.3)) == "third single split"
