"""Talk that is easy to misread, kept for good; what still fails is marked in cases.toml."""

import pathlib
import tomllib

import pytest

from memo2list.listing import list_items
from memo2list.reading import read

CASES = tomllib.loads(pathlib.Path(__file__).with_name("cases.toml").read_text(encoding="utf-8"))


def speaks_of(item, wanted):
    """True if an item names the element and the issue or action of "element: claim"."""
    element, claim = wanted.split(": ")
    names = (item.element, *item.heard)
    return any(element in n.split() or element == n for n in names) and any(claim in c for c in (*item.issues, *item.actions))


def faults(case, items):
    """What is wrong with a list, in words."""
    found = [f"{w} is not listed" for w in case.get("lists", []) if not any(speaks_of(i, w) for i in items)]
    found += [f"{n} is listed" for n in case.get("never", []) if any(speaks_of(i, n) for i in items)]
    about = [i for i in items if any(speaks_of(i, w) for w in case.get("lists", []))]
    if "certainty" in case and about and about[0].certainty != case["certainty"]:
        found.append(f"it is {about[0].certainty}, not {case['certainty']}")
    measures = [f"{q.value:g} {q.unit}" for i in about for q in i.quantities]
    if "measures" in case and about and measures != case["measures"]:
        found.append(f"it measures {measures}, not {case['measures']}")
    return found


@pytest.mark.parametrize("name", CASES)
def test_hard_case(name, said, lexicon):
    case = CASES[name]
    found = faults(case, list_items([read(said(*case["talk"]), lexicon)], lexicon).items)
    if case.get("fails"):
        assert found, f"{name} comes out right now: take `fails = true` away"
    else:
        assert not found


def test_a_wrong_list_is_seen():
    """The check above must be able to fail."""
    assert faults({"lists": ["soffit: rot"]}, []) == ["soffit: rot is not listed"]
