"""Fitted judges: trees and weights, each telling its reasons."""

import pytest

from memo2list.judging import Weights, judge_from

STUMP = {"features": ["apart"], "base": 0.0, "trees": [[[0, 5.0, 1, 2, 0.0], [-1, 0, 0, 0, 2.0], [-1, 0, 0, 0, -2.0]]]}


def test_a_tree_answers_by_its_question():
    near, far = judge_from(STUMP).chances([{"apart": 1.0}, {"apart": 9.0}])
    assert near > 0.8 > 0.2 > far


def test_a_feature_that_is_not_named_is_nought():
    judge = judge_from(STUMP)
    assert judge.chances([{}]) == judge.chances([{"apart": 0.0}])


def test_reasons_name_the_feature_that_weighed():
    assert judge_from(STUMP).reasons([{"apart": 1.0}]) == [("apart 1: +2.00",)]


def test_a_calibration_turns_a_chance_into_the_share_that_was_right():
    judge = judge_from(STUMP | {"calibration": [[0.0, 0.1], [1.0, 0.5]]})
    assert judge.chances([{"apart": 9.0}])[0] == pytest.approx(0.1 + 0.4 * judge_from(STUMP).chances([{"apart": 9.0}])[0])


def test_weights_add_up_the_facts_that_are_there():
    assert Weights(-1.0, {"before scrape": 0.5, "own will": 0.25}).score(["before scrape", "unheard of"]) == -0.5


def test_weights_tell_the_heaviest_facts_first():
    weights = Weights(0.0, {"a": 0.1, "b": -0.9})
    assert weights.reasons(["a", "b", "c"]) == ('"b": -0.90', '"a": +0.10')
