"""Kinds and titles."""

from memo2list.listing.wording import kind_of
from memo2list.vocabulary.entries import Entry

CHECK, REPLACE = Entry("check", "action", "common", sense="verify"), Entry("replace", "action", "common", sense="work")


def test_only_looking_is_to_verify():
    assert kind_of(["rot"], [CHECK]) == "verify"


def test_something_wrong_is_a_problem():
    assert kind_of(["rot"], [REPLACE]) == "problem"


def test_work_without_a_problem_is_work():
    assert kind_of([], [REPLACE]) == "work"
