"""One lexicon for all tests of the room, and small ones made in a folder."""

import pytest

from memo2list.vocabulary.lexicon import load_lexicon


@pytest.fixture(scope="session")
def lexicon(tmp_path_factory):
    empty = tmp_path_factory.mktemp("own")
    return load_lexicon(user_folder=empty, cache=tmp_path_factory.mktemp("cache"))


@pytest.fixture
def own_pack(tmp_path):
    """Writes a user's pack: `own_pack(pack, elements="…")` gives the user's folder."""

    def write(pack: str = "mine", **files: str):
        folder = tmp_path / "own" / pack
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in files.items():
            (folder / f"{name}.toml").write_text(text, encoding="utf-8")
        return tmp_path / "own"

    return write
