"""Windows stitched: what two windows tell of one thing is one finding, and different things stay apart."""

from dataclasses import replace

import pytest

from memo2list.reading.deep.stitching import stitch
from memo2list.records import Assertion, Finding, Flag, Mention, Place, Quantity, WordRange


def mention(kind, name, at):
    return Mention(kind, name, WordRange(at, at + 1), said=name)


def finding(at, element="gate", problem="", action="", place="", until=None, **more):
    evidence = WordRange(at, until or at + 10)
    return Finding(
        passage=0,
        words=evidence,
        element=mention("element", element, at),
        problems=(mention("problem", problem, at),) if problem else (),
        actions=(mention("action", action, at),) if action else (),
        assertion=Assertion("stated"),
        place=Place(place, evidence) if place else None,
        evidence=(evidence,),
        reader="deep",
        **more,
    )


def test_the_same_item_of_two_windows_is_listed_once():
    (one,) = stitch([finding(0, problem="sag", until=12), finding(8, problem="sag", action="rehang")])
    assert (one.problems[0].entry, one.actions[0].entry) == ("sag", "rehang")
    assert one.evidence == (WordRange(0, 18),)


def test_a_remedy_told_later_joins_its_problem():
    (one,) = stitch([finding(0, problem="sag", place="side yard"), finding(300, action="rehang", place="side yard")])
    assert one.actions[0].entry == "rehang"
    assert one.evidence == (WordRange(0, 10), WordRange(300, 310))


def test_a_remedy_without_a_place_joins_the_last_such_problem():
    found = stitch(
        [finding(0, problem="sag", place="front"), finding(50, problem="sag", place="back"), finding(90, action="rehang")]
    )
    assert [len(f.actions) for f in found] == [0, 1]


def test_the_same_thing_in_another_place_stays_apart():
    assert len(stitch([finding(0, problem="sag", place="front"), finding(300, action="rehang", place="back")])) == 2
    assert len(stitch([finding(0, problem="sag", place="front"), finding(300, problem="sag", place="back")])) == 2


def test_another_element_in_the_same_words_stays_apart():
    assert len(stitch([finding(0, problem="bent"), finding(0, element="latch", problem="bent")])) == 2


def test_two_problems_of_one_thing_stay_apart():
    assert len(stitch([finding(0, problem="sag"), finding(0, problem="rot")])) == 2


def test_an_element_told_twice_in_other_endings_is_the_same():
    assert len(stitch([finding(0, element="hinge", problem="rust"), finding(0, element="hinges", problem="rust")])) == 1


@pytest.mark.parametrize("kind", ["quantities", "flags"])
def test_nothing_the_second_window_adds_is_lost_or_doubled(kind):
    here = WordRange(0, 1)
    old, new = {
        "quantities": (Quantity(3, "ft", "length", "3 ft", here), Quantity(2, "ea", "count", "2 ea", here)),
        "flags": (Flag("a", "first"), Flag("b", "second")),
    }[kind]
    first = finding(0, problem="sag", **{kind: (old,)})
    (one,) = stitch([first, replace(first, **{kind: (old, new)})])
    assert getattr(one, kind) == (old, new)


def test_danger_told_in_either_window_is_kept():
    (one,) = stitch([finding(0, problem="sag"), finding(0, problem="sag", safety=True)])
    assert one.safety


def test_findings_come_in_the_order_told():
    found = stitch([finding(40, element="latch", problem="bent"), finding(0, problem="sag")])
    assert [f.words.first for f in found] == [0, 40]
