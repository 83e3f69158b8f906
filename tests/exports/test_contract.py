"""The public contract: the shape, against the JSON Schema that ships."""

import json

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.exports.contract import list_schema, plain, to_contract, to_json
from memo2list.records import OfficeQuestion, PunchList, Quantity, WantedPicture, WordRange
from tests.exports.samples import item, quote, sample_list

VALIDATOR = jsonschema.Draft202012Validator(list_schema())


def test_the_schema_is_itself_a_schema():
    jsonschema.Draft202012Validator.check_schema(list_schema())


def test_a_list_with_everything_follows_the_schema():
    VALIDATOR.validate(to_contract(sample_list()))


def steered() -> PunchList:
    """A list that was steered while talking."""
    first = item(1, wanted_pictures=(WantedPicture("0" * 64, 2500, "take a picture here"),))
    return PunchList((), (first,), (), (), (OfficeQuestion("Who supplied the tiles?", (quote("who supplied the tiles", 4000),)),))


def test_what_was_said_to_the_list_follows_the_schema():
    made = to_contract(steered())
    VALIDATOR.validate(made)
    assert (made["questions"][0]["text"], made["questions"][0]["state"]) == ("Who supplied the tiles?", "open")
    assert made["items"][0]["wanted_pictures"][0]["at"] == 2.5


def test_an_empty_list_follows_the_schema():
    VALIDATOR.validate(to_contract(PunchList((), (), ())))


def test_the_schema_refuses_a_list_without_its_items():
    broken = to_contract(sample_list())
    del broken["items"]
    with pytest.raises(jsonschema.ValidationError):
        VALIDATOR.validate(broken)


def test_the_schema_refuses_a_word_it_does_not_know():
    broken = to_contract(sample_list())
    broken["items"][0]["certainty"] = "perhaps"
    with pytest.raises(jsonschema.ValidationError):
        VALIDATOR.validate(broken)


def test_times_are_seconds_and_recordings_are_named():
    first = to_contract(sample_list())["items"][0]["quotes"][0]
    assert first == {
        "recording": "larkfield walk.m4a",
        "start": 12.34,
        "end": 15.2,
        "text": "the fascia board is rotten, about twelve feet of it",
    }


def test_a_range_is_a_pair_and_a_whole_number_has_no_point():
    items = to_contract(sample_list())["items"]
    assert items[2]["quantities"][0]["value"] == [2.5, 3.25]
    assert json.dumps(items[0]["quantities"][0]["value"]) == "12"


def test_dropped_items_are_left_out():
    dropped = PunchList((), (item(1, review="dropped"), item(2)), ())
    assert [i["number"] for i in to_contract(dropped)["items"]] == [2]


@given(st.text(), st.floats(0, 1), st.floats(-1e6, 1e6), st.integers(0, 10**9))
def test_whatever_was_said_comes_through_json_unchanged(text, confidence, value, start):
    measured = Quantity(value, "ft", "length", text, WordRange(0, 1))
    given = PunchList((), (item(1, title=text, confidence=confidence, quantities=(measured,), quotes=(quote(text, start),)),), ())
    back = json.loads(to_json(given).encode("utf-8", "surrogatepass").decode("utf-8", "surrogatepass"))
    VALIDATOR.validate(back)
    assert back["items"][0]["title"] == text
    assert back["items"][0]["quotes"][0]["text"] == text
    assert back["items"][0]["quantities"][0]["value"] == pytest.approx(plain(value))
