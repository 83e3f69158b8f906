"""`memo2list walks save`: what was reviewed comes back as a walkthrough the trainer can read."""

import json
import random

import pytest
from click.testing import CliRunner

from memo2list.command_line import main
from memo2list.reading.deep.notation import parse
from memo2list.reading.deep.windows import Window
from memo2list.store import open_store
from tests.training import samples

TALK = """\
[0:01] A: Okay, we are at the front porch.
[0:04] A: The bottom rail is rotten, about six feet of it, replace it.
[0:12] B: And the gutter is leaking, replace it.
[0:20] A: No rot in the soffit.
"""
MORE = """\
[0:01] A: Okay, we are in the kitchen.
[0:04] A: The faucet is leaking, replace the faucet.
"""


@pytest.fixture
def porch(run, tmp_path):
    (tmp_path / "walk.txt").write_text(TALK)
    assert run("add", "Porch job", tmp_path / "walk.txt", "--customer", "K. Holm", "--reader", "quick").exit_code == 0
    return run


@pytest.fixture
def store(tmp_path):
    with open_store(tmp_path / "store") as found:
        yield found


def saved(run):
    result = run("walks", "save", "porch job")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_the_talk_is_in_it_word_for_word(porch, store):
    doc = saved(porch)
    (transcript,) = store.transcripts("porch job")
    told = samples.talk(doc, samples.PLAIN, random.Random(1))
    assert [w.text for w in told.transcript.words] == [w.text for w in transcript.words]
    assert [t["speaker"] for t in doc["turns"]] == ["A", "B", "A"]


def test_the_trainer_makes_rows_of_its_items(porch, store):
    doc = saved(porch)
    told = samples.talk(doc, samples.PLAIN, random.Random(1))
    rows, bad = parse(samples.answer(doc, told, Window(0, 0, len(told.rows), len(told.rows))))
    assert bad == ()
    assert len(rows) == len(doc["items"]) == len(store.items("porch job"))
    (rail,) = [r for r in rows if "rail" in r.element]
    assert (rail.place, [(a.value, a.unit) for a in rail.amounts]) == ("front porch", [(6, "ft")])
    assert "rotten" in " ".join(told.rows[n - 1].text for n in rail.lines)


def test_corrections_are_in_it(porch, store):
    (key,) = [i.key for i in store.items("porch job") if "rail" in i.element]
    store.edit("porch job", key, "location", "front porch", "porch steps")
    (rail,) = [i for i in saved(porch)["items"] if "rail" in i["element"][0]]
    assert rail["location"] == ["porch steps"]


def test_dropped_items_are_left_out(porch, store):
    (key,) = [i.key for i in store.items("porch job") if i.element == "gutter"]
    store.drop("porch job", key)
    assert not [i for i in saved(porch)["items"] if "gutter" in i["element"]]


def test_what_was_set_aside_is_a_trap_in_the_turns_it_was_said(porch, store):
    aside = [s for s in store.set_aside("porch job") if s.why != "doubtful"]
    traps = saved(porch)["traps"]
    assert [(t["why"], t["element"]) for t in traps] == [(s.why, [s.element]) for s in aside]
    assert "negated" in {t["why"] for t in traps}
    assert all(3 in t["turns"] for t in traps if t["why"] == "negated")  # "No rot in the soffit." is said there


def test_it_has_the_fields_that_the_walkthroughs_have(porch):
    doc = saved(porch)
    assert set(doc) == {"id", "title", "style", "setting", "speakers", "turns", "items", "traps"}
    fields = {
        "id",
        "kind",
        "element",
        "issue",
        "action",
        "location",
        "quantity",
        "material",
        "certainty",
        "by",
        "safety",
        "turns",
    }
    assert all(set(item) == fields for item in doc["items"])
    assert [t["n"] for t in doc["turns"]] == list(range(1, len(doc["turns"]) + 1))


def test_customer_and_address_are_not_in_it(porch):
    assert "Holm" not in json.dumps(saved(porch))


def test_each_recording_is_a_scene_of_its_own(porch, tmp_path):
    (tmp_path / "more.txt").write_text(MORE)
    assert porch("add", "Porch job", tmp_path / "more.txt", "--reader", "quick").exit_code == 0
    (tmp_path / "saved.json").write_text(json.dumps(saved(porch)))
    first, second = samples.documents([tmp_path / "saved.json"])
    assert [i["element"][0] for i in second["items"]] == ["faucet"]
    assert "faucet" not in json.dumps(first)


def test_a_file_is_not_replaced_unasked(porch, tmp_path):
    out = tmp_path / "walk.json"
    assert porch("walks", "save", "porch job", "-o", out).exit_code == 0
    assert json.loads(out.read_text())["title"] == "Porch job"
    assert porch("walks", "save", "porch job", "-o", out).exit_code == 1
    assert porch("walks", "save", "porch job", "-o", out, "--force").exit_code == 0


def test_items_nobody_reviewed_are_counted_out_loud(porch, store):
    assert "items were not reviewed" in porch("walks", "save", "porch job").stderr
    for item in store.items("porch job"):
        store.keep("porch job", item.key)
    assert "not reviewed" not in porch("walks", "save", "porch job").stderr


def test_help_says_that_nothing_is_sent_anywhere(run):
    assert "Nothing is sent anywhere" in CliRunner().invoke(main, ["walks", "save", "--help"]).output


def test_a_job_that_is_not_there_is_one_line(run):
    result = run("walks", "save", "nowhere")
    assert (result.exit_code, "nowhere" in result.stderr) == (1, True)
