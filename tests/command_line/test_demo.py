"""The demo, with the real model: what a newcomer sees first."""

import json

import jsonschema
import pytest
from click.testing import CliRunner

from memo2list.command_line import main
from memo2list.exports import EXPORTERS
from memo2list.exports.contract import list_schema


@pytest.mark.model
def test_demo_hears_the_walkthrough_and_writes_its_list_in_every_format(tmp_path):
    result = CliRunner().invoke(main, ["demo", "-o", str(tmp_path / "out")])
    assert result.exit_code == 0, result.output
    written = {p.suffix for p in (tmp_path / "out").iterdir()}
    assert written == {e.suffix for e in EXPORTERS.values()}
    made = json.loads((tmp_path / "out" / "list.json").read_text(encoding="utf-8"))
    jsonschema.validate(made, list_schema())
    assert len(made["items"]) >= 10
    assert made["set_aside"]
    assert all(i["quotes"] and i["quotes"][0]["end"] > i["quotes"][0]["start"] for i in made["items"])


def test_demo_without_its_recording_says_what_to_do(monkeypatch, tmp_path):
    monkeypatch.setattr("memo2list.command_line.demo.FOLDER", tmp_path)
    result = CliRunner().invoke(main, ["demo", "-o", str(tmp_path / "out")])
    assert result.exit_code == 1
    assert "memo2list extract FILE" in result.stderr
