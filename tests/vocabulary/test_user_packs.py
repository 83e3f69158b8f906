"""A tradesperson's own words."""

import pytest

from memo2list.errors import InputError
from memo2list.vocabulary.adding import add_entry
from memo2list.vocabulary.checking import check_packs
from memo2list.vocabulary.lexicon import load_lexicon
from memo2list.vocabulary.packs import pack_folders, shipped_folder

# written from lexicon/README.md alone: a pack for bell towers
TOWER_ELEMENTS = """
[cupola]
forms = ["roof lantern"]
["belfry louver"]
part_of = "cupola"
["bell frame"]
[bell]
doubtful = ["bell"]
near = ["tower", "cupola", "frame", "rope"]
[clapper]
["bell rope"]
[weathercock]
forms = ["rooster vane"]
[spire]
["spire light"]
["clock face"]
["clock hand"]
["lightning tape"]
["tower hatch"]
forms = ["trap to the tower"]
["ringing floor"]
["louver blade"]
part_of = "belfry louver"
["pigeon netting"]
"""
TOWER_PROBLEMS = """
["out of balance"]
said = ["bell ~hang (crooked|to one side)", "$wont swing [true|straight]"]
["stopped clock"]
said = ["clock [has] ~stop"]
element = "clock face"
"""
TOWER_ACTIONS = """
[regild]
forms = ["gold leaf"]
[muffle]
"""


def test_a_pack_of_twenty_terms_is_checked_and_used(own_pack, tmp_path):
    own = own_pack("bell_towers", elements=TOWER_ELEMENTS, problems=TOWER_PROBLEMS, actions=TOWER_ACTIONS)
    assert check_packs(pack_folders(shipped_folder()), pack_folders(own)) == ()
    lexicon = load_lexicon(user_folder=own, cache=tmp_path / "cache")
    assert len([e for e in lexicon.entries if e.pack == "bell_towers"]) == 20
    words = "the bell hangs to one side in the roof lantern and the clock has stopped, so regilding the clock hands waits".split()
    found = {m.entry.name for m in lexicon.find(words)}
    assert {"bell", "cupola", "out of balance", "stopped clock", "regild", "clock hand"} <= found


def test_an_entry_of_ones_own_replaces_the_shipped_one(own_pack, tmp_path):
    own = own_pack(elements='[fascia]\nforms = ["eave plank"]\n')
    lexicon = load_lexicon(user_folder=own, cache=tmp_path / "cache")
    assert lexicon.entry("element", "fascia").pack == "mine"
    assert any(m.entry.name == "fascia" for m in lexicon.find("that eave plank".split()))


def test_added_entries_are_found(tmp_path):
    add_entry(tmp_path, "mine", "element", "Bird Stop", {"forms": ["eave closure"], "said": []})
    path = add_entry(tmp_path, "mine", "element", "scupper box", {})
    assert path == tmp_path / "mine" / "elements.toml"
    lexicon = load_lexicon(user_folder=tmp_path, cache=tmp_path / "cache")
    assert any(m.entry.name == "bird stop" for m in lexicon.find("those eave closures".split()))


def test_an_entry_is_not_added_twice(tmp_path):
    add_entry(tmp_path, "mine", "element", "bird stop", {})
    with pytest.raises(InputError, match="already"):
        add_entry(tmp_path, "mine", "element", "bird stop", {})


def test_a_pack_name_cannot_leave_the_folder(tmp_path):
    with pytest.raises(InputError, match="cannot be the name"):
        add_entry(tmp_path, "../elsewhere", "element", "bird stop", {})
