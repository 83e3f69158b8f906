"""The commands that look after the lexicon."""

import pytest
from click.testing import CliRunner

from memo2list.command_line.lexicon import lexicon


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.setenv("MEMO2LIST_LEXICON", str(tmp_path))
    return lambda *words, **more: CliRunner().invoke(lexicon, list(words), **more)


def test_check_says_that_the_shipped_lexicon_is_in_order(run):
    result = run("check")
    assert result.exit_code == 0
    assert "in order" in result.output


def test_check_names_a_fault_and_leaves_with_one(run, tmp_path):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "elements.toml").write_text('[cupola]\nform = ["lantern"]\n')
    result = run("check")
    assert result.exit_code == 1
    assert "mine/elements.toml:1" in result.output


def test_sample_shows_inflections_and_mishearings(run):
    result = run("sample", "soffit")
    assert "soffits" in result.output
    assert "soft fit" in result.output


def test_try_says_what_was_matched_and_why(run):
    result = run("try", "the fascia might be rotten")
    assert "fascia" in result.output
    assert "hedge" in result.output


def test_add_asks_and_writes_to_the_users_pack(run, tmp_path):
    result = run("add", input="element\nbird stop\neave closure\n\nmine\n")
    assert result.exit_code == 0, result.output
    assert (tmp_path / "mine" / "elements.toml").read_text() == '["bird stop"]\nforms = ["eave closure"]\n'
