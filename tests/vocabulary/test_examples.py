"""Each pack brings its own example sentences."""

import tomllib

import pytest

from memo2list.vocabulary.entries import EntryKind
from memo2list.vocabulary.packs import pack_folders, shipped_folder

EXAMPLES = [
    pytest.param(example, id=f"{folder.name}-{number}")
    for folder in pack_folders(shipped_folder())
    for number, example in enumerate(tomllib.loads((folder / "examples.toml").read_text(encoding="utf-8"))["example"])
]


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_is_read_as_its_pack_says(lexicon, example):
    found = {(m.entry.kind, m.entry.name) for m in lexicon.find(example["text"].split())}
    for kind in EntryKind.__args__:
        assert {(kind, name) for name in example.get(kind, ())} <= found
    assert not {name for _, name in found} & set(example.get("nothing", ()))


def test_every_pack_says_what_it_is_called():
    for folder in pack_folders(shipped_folder()):
        assert tomllib.loads((folder / "pack.toml").read_text(encoding="utf-8"))["title"]
