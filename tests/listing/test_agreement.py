"""Two readings made one list: what both say counts more, what one says is marked, what few believe is set aside."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.listing.agreement import QUICK_ALONE, both, pair
from memo2list.records import Flag, Item, Part, PunchList, Quantity, Quote, Recording, SetAside, WordRange
from memo2list.timing import TimeSpan

WALK = Recording("walk.wav", "a" * 64, 60_000, "")


def quote(at, stop=None):
    words = WordRange(at, stop or at + 10)
    return Quote(WALK.sha256, words, TimeSpan(words.first * 300, words.stop * 300), "as said")


def item(number, at=0, element="gate", issues=("sag",), actions=(), confidence=0.5, key="", **more):
    return Item(
        number=number,
        key=key or f"{element}-{number}",
        kind="problem",
        title=element,
        element=element,
        heard=(element,),
        issues=tuple(issues),
        actions=tuple(actions),
        location=more.pop("location", None),
        quantities=more.pop("quantities", ()),
        materials=(),
        certainty="stated",
        safety=False,
        by="A",
        quotes=(quote(at),),
        confidence=confidence,
        **more,
    )


def listed(*items, aside=(), flags=()):
    return PunchList((WALK,), items, tuple(aside), tuple(flags))


def codes(found):
    return {flag.code for flag in found.flags}


def test_agreement_raises_the_confidence():
    (agreed,) = both(listed(item(1)), listed(item(1))).items
    (alone,) = both(listed(), listed(item(1))).items
    assert agreed.confidence > alone.confidence
    assert not codes(agreed)


def test_the_surer_the_quick_reader_the_surer_the_item():
    weak, strong = (both(listed(item(1, confidence=c)), listed(item(1))).items[0] for c in (0.45, 0.95))
    assert weak.confidence < strong.confidence


def test_the_confidence_says_what_it_rests_on():
    (agreed,) = both(listed(item(1, confidence=0.7)), listed(item(1, parts=(Part("agreement", 0.1),)))).items
    (part,) = [p for p in agreed.parts if p.name == "agreement"]
    assert (part.value, "0.70" in part.because) == (0.7, True)


def test_a_row_the_model_was_sure_of_is_more_confident():
    (sure,) = both(listed(), listed(item(1, parts=(Part("deep", 0.99), Part("least", 0.9))))).items
    (unsure,) = both(listed(), listed(item(1, parts=(Part("deep", 0.7), Part("least", 0.1))))).items
    assert sure.confidence > unsure.confidence


def test_differing_issues_raise_a_flag_that_gives_both_views():
    (one,) = both(listed(item(1, issues=["rot"])), listed(item(1, issues=["sag"]))).items
    (flag,) = one.flags
    assert flag.code == "two-views"
    assert "sag" in flag.reason
    assert "rot" in flag.reason


def test_an_issue_in_other_endings_is_no_other_view():
    (one,) = both(listed(item(1, issues=["rotted"])), listed(item(1, issues=["rot", "rotted out"]))).items
    assert "two-views" not in codes(one)


def test_what_only_the_deep_reader_lists_is_listed_and_marked():
    (one,) = both(listed(), listed(item(1))).items
    assert codes(one) == {"one-reader"}


def test_what_only_the_quick_reader_is_sure_of_is_listed_and_marked():
    (one,) = both(listed(item(1, confidence=QUICK_ALONE)), listed()).items
    assert codes(one) == {"one-reader"}


def test_what_only_the_quick_reader_half_believes_is_set_aside_as_doubtful():
    merged = both(listed(item(1, confidence=QUICK_ALONE - 0.01)), listed())
    assert merged.items == ()
    (aside,) = merged.set_aside
    assert (aside.why, aside.element, aside.issues) == ("doubtful", "gate", ("sag",))
    assert aside.quotes == (quote(0),)


def test_a_claim_a_deep_item_makes_already_is_not_set_aside():
    quick = listed(item(1, confidence=0.6), item(2, confidence=0.4))
    merged = both(quick, listed(item(1)))
    assert (len(merged.items), merged.set_aside) == (1, ())


def test_the_same_thing_elsewhere_in_the_talk_is_another_item():
    merged = both(listed(item(1, at=500, confidence=0.95)), listed(item(1, at=0)))
    assert [codes(i) for i in merged.items] == [{"one-reader"}, {"one-reader"}]


def test_what_the_quick_reader_adds_is_kept():
    quick = item(1, actions=["rehang"], location="side yard")
    (one,) = both(listed(quick), listed(item(1))).items
    assert (one.actions, one.location) == (("rehang",), "side yard")


def test_the_deep_readers_place_and_measure_stand():
    quick = item(1, location="yard", quantities=(Quantity(9, "ft", "length", "nine feet", WordRange(0, 1)),))
    (one,) = both(listed(quick), listed(item(1, location="side yard"))).items
    assert (one.location, one.quantities) == ("side yard", ())


def test_what_the_quick_reader_set_aside_stays_aside_unless_it_is_listed():
    aside = SetAside("negated", "gate", ("sag",), (), (quote(0),))
    other = SetAside("negated", "fence", ("rot",), (), (quote(0),))
    assert both(listed(aside=[aside, other]), listed(item(1))).set_aside == (other,)


def test_flags_of_both_readers_are_kept_once():
    quick, deep = listed(flags=[Flag("a", "x"), Flag("b", "y")]), listed(flags=[Flag("b", "y")])
    assert [f.code for f in both(quick, deep).flags] == ["a", "b"]


def test_items_come_in_the_order_told_and_are_numbered_from_one():
    merged = both(
        listed(item(1, at=50, element="latch", confidence=QUICK_ALONE)), listed(item(1, at=90, element="post"), item(2, at=0))
    )
    assert [(i.number, i.element) for i in merged.items] == [(1, "gate"), (2, "latch"), (3, "post")]


@pytest.mark.parametrize("quick_at", [0, 500])
def test_one_key_of_both_readers_stays_unique(quick_at):
    merged = both(listed(item(1, at=quick_at, confidence=0.95, key="k")), listed(item(1, key="k"), item(2, at=20, key="k")))
    keys = [i.key for i in merged.items]
    assert len(set(keys)) == len(keys)


ELEMENTS = st.sampled_from(["gate", "latch", "fence post", "post"])
DRAFTS = st.tuples(
    st.integers(0, 60), ELEMENTS, st.sampled_from(["sag", "rot"]), st.floats(0, 1), st.sampled_from(["k", "k-2", "m"])
)
LISTS = st.lists(DRAFTS, max_size=6).map(
    lambda drafts: listed(
        *(item(n, at, element, (issue,), confidence=sure, key=key) for n, (at, element, issue, sure, key) in enumerate(drafts, 1))
    )
)


@given(LISTS, LISTS)
def test_every_deep_item_is_listed_and_no_quick_item_is_lost_without_a_trace(quick, deep):
    merged = both(quick, deep)
    assert len(merged.items) >= len(deep.items)
    assert all(0 < i.confidence <= 1 for i in merged.items if "only the quick" not in str(i.flags))
    for one in quick.items:
        told = [x for x in (*merged.items, *merged.set_aside) for q in x.quotes if q.words.overlaps(one.quotes[0].words)]
        assert told


@given(LISTS, LISTS)
def test_keys_and_numbers_are_unique_whatever_is_merged(quick, deep):
    merged = both(quick, deep)
    assert len({i.key for i in merged.items}) == len(merged.items)
    assert [i.number for i in merged.items] == list(range(1, len(merged.items) + 1))


@given(LISTS, LISTS)
def test_no_quick_item_confirms_two_deep_ones(quick, deep):
    partners = [n for n in pair(quick.items, deep.items).values() if n is not None]
    assert len(set(partners)) == len(partners)


def placed(number, location, sure):
    return item(number, location=location, parts=(Part("place", sure, "weighed"),))


def test_a_likely_room_of_the_quick_reader_is_told_after_the_deep_readers_spot():
    (found,) = both(listed(placed(1, "sill, laundry room", 0.9)), listed(item(1, location="window"))).items
    assert found.location == "window, laundry room"


def test_an_unlikely_room_is_not_told():
    (found,) = both(listed(placed(1, "sill, laundry room", 0.4)), listed(item(1, location="window"))).items
    assert found.location == "window"


def test_a_room_the_deep_reader_tells_itself_is_not_told_twice():
    (found,) = both(listed(placed(1, "laundry room", 0.9)), listed(item(1, location="laundry room, window"))).items
    assert found.location == "laundry room, window"
