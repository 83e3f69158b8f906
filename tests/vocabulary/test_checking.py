"""Faults in packs come back with their place and a remedy."""

import pytest

from memo2list.vocabulary.checking import check_packs
from memo2list.vocabulary.packs import pack_folders, shipped_folder


def faults(own):
    return [str(p) for p in check_packs([], pack_folders(own))]


def test_the_shipped_lexicon_is_in_order():
    assert check_packs(pack_folders(shipped_folder())) == ()


@pytest.mark.parametrize(
    ("files", "where", "remedy"),
    [
        ({"elements": '[cupola]\nform = ["roof lantern"]\n'}, "mine/elements.toml:1", "Did you mean 'forms'?"),
        ({"elements": '[dome]\n\n[cupola]\nforms = "roof lantern"\n'}, "mine/elements.toml:3", 'a list, ["like", "this"]'),
        ({"elements": "[Cupola]\n"}, "mine/elements.toml:1", "Write 'cupola'"),
        ({"elements": "[cupola\n"}, "mine/elements.toml", "Correct it"),
        ({"elemnts": "[cupola]\n"}, "mine/elemnts.toml", "Did you mean elements.toml?"),
        ({"elements": '[cupola]\nkind_of = "cupula"\n'}, "mine/elements.toml:1", "Did you mean 'cupola'?"),
        ({"problems": '[tips]\nsaid = ["tips (over"]\n'}, "mine/problems.toml:1", "pattern language"),
        ({"elements": '[cupola]\n\n[dome]\nforms = ["cupola"]\n'}, "mine/elements.toml:3", "Take the form out"),
        ({"elements": '[cupola]\nforms = ["cupolas"]\n'}, "mine/elements.toml:1", "Take it out"),
        ({"places": '[belfry]\nsense = "tower"\n'}, "mine/places.toml:1", "Write one of side"),
        ({"elements": '[cupola]\nneeds = ["luck"]\n'}, "mine/elements.toml:1", "Write some of length"),
        ({"cautions": '[bells]\ntext = "Loud."\n'}, "mine/cautions.toml:1", "names its published source"),
        ({"cues": '[negation]\nphrases = ["nay"]\ndirection = "sideways"\n'}, "mine/cues.toml:1", "Write one of forward"),
    ],
)
def test_a_fault_is_named_with_place_and_remedy(own_pack, files, where, remedy):
    told = faults(own_pack(**files))
    assert any(t.startswith(where) and remedy in t for t in told), told


def test_two_packs_with_one_name_clash(own_pack):
    own_pack("one", elements="[cupola]\n")
    told = faults(own_pack("two", elements="[cupola]\n"))
    assert any("is in one/elements.toml:1 too" in t for t in told)


def test_a_user_pack_may_override_a_shipped_entry(own_pack):
    own = own_pack(elements='[fascia]\nforms = ["eave plank"]\n')
    assert not [p for p in check_packs(pack_folders(shipped_folder()), pack_folders(own)) if p.where.startswith("mine")]
