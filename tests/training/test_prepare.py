"""Preparing to tune: walkthroughs become pairs whose answers parse, with the digest of what they were made from."""

import json
import random

import pytest

from memo2list.reading.deep.notation import parse
from tests.training import samples, spelling
from tests.training.__main__ import command, digest, main, prepare


def walkthrough(identity, element):
    return {
        "id": identity,
        "title": "A short walk",
        "style": "dialogue",
        "setting": "",
        "speakers": {"A": {"role": "contractor", "voice": ""}, "B": {"role": "customer", "voice": ""}},
        "turns": [
            {"n": 1, "speaker": "A", "text": "Okay, the side yard.", "pause": 0.4},
            {"n": 2, "speaker": "B", "text": f"The {element} is loose, about six feet of it.", "pause": 0.4},
            {"n": 3, "speaker": "A", "text": "I'd refix that. The paint is fine.", "pause": 0.4},
        ],
        "items": [
            {
                "id": "i1",
                "kind": "problem",
                "element": [element],
                "issue": ["loose"],
                "action": ["refix"],
                "location": ["side yard"],
                "quantity": [{"value": 6, "unit": "ft"}],
                "material": [],
                "certainty": "stated",
                "by": ["A", "B"],
                "safety": True,
                "turns": [2, 3],
            }
        ],
        "traps": [{"turns": [3], "why": "negated", "element": ["paint"], "issue": []}],
    }


@pytest.fixture
def walks(tmp_path):
    for part, identity, element in (("training", "t1", "handrail"), ("scenes", "s1", "gutter"), ("check", "c1", "gate")):
        (tmp_path / "walks" / part).mkdir(parents=True)
        doc = walkthrough(identity, element)
        whole = {"scenes": [doc]} if part == "scenes" else doc
        (tmp_path / "walks" / part / f"{identity}.json").write_text(json.dumps(whole))
    return tmp_path / "walks"


def rows(path):
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


@pytest.fixture
def prepared(walks, tmp_path):
    prepare(tmp_path / "out", walks, passes=6)
    return tmp_path / "out"


def test_every_answer_parses(prepared):
    answers = [row["answer"] for row in rows(prepared / "train.jsonl")]
    assert answers
    assert all(parse(answer)[1] == () for answer in answers)
    assert {row.element for answer in answers for row in parse(answer)[0]} >= {"handrail", "gutter"}


def test_an_answer_tells_all_of_its_item(prepared):
    said = [row["answer"] for row in rows(prepared / "train.jsonl")]
    assert "2-3!|handrail|loose|refix|side yard|6 ft" in said


def test_evidence_points_at_lines_of_its_prompt(prepared):
    for row in rows(prepared / "train.jsonl"):
        shown = len(row["prompt"].splitlines()) - 2
        assert all(0 < n <= shown for found in parse(row["answer"])[0] for n in found.lines)


def test_what_is_asked_is_not_trained_on(prepared):
    assert [row["id"] for row in rows(prepared / "ask.jsonl")] == ["c1:0"]
    assert "gate" not in (prepared / "train.jsonl").read_text()


def test_the_note_counts_and_digests_what_it_was_made_from(prepared, walks):
    note = json.loads((prepared / "data.json").read_text())
    assert (note["files"], note["documents"], note["passes"]) == (2, 2, 6)
    assert note["pairs"] == len(rows(prepared / "train.jsonl"))
    assert note["data_sha256"] == digest([*walks.glob("training/*"), *walks.glob("scenes/*")])


def test_other_data_has_another_digest(prepared, walks):
    before = digest(walks.glob("training/*"))
    (walks / "training" / "t1.json").write_text(json.dumps(walkthrough("t1", "fence")))
    assert digest(walks.glob("training/*")) != before


def test_the_same_data_gives_the_same_pairs(prepared, walks, tmp_path):
    prepare(tmp_path / "again", walks, passes=6)
    assert (tmp_path / "again" / "train.jsonl").read_bytes() == (prepared / "train.jsonl").read_bytes()


def test_walkthroughs_of_ones_own_can_be_added(walks, tmp_path):
    own = tmp_path / "own.json"
    own.write_text(json.dumps(walkthrough("mine", "downspout")))
    assert prepare(tmp_path / "out", walks, passes=1, more=[own])["documents"] == 3
    assert "downspout" in (tmp_path / "out" / "train.jsonl").read_text()


def test_a_term_is_misheard_now_and_then(walks):
    docs = list(samples.documents(walks.glob("training/*.json")))
    told = [asks for asks, _ in samples.samples(docs, 80, samples.Hearing({"handrail": ["hand rail"]}))]
    assert any("hand rail" in text for text in told)
    assert any("handrail" in text for text in told)


@pytest.fixture
def nothing_dropped(monkeypatch):
    monkeypatch.setattr(spelling, "DROPPED", 0.0)


def told_by_voice(slips, seed):
    turns = [("A", "The gate sags a good deal at the far end."), ("A", "It drags."), ("B", "Yes."), ("A", "We rehang it, then.")]
    doc = {"id": "v", "turns": [{"n": n, "speaker": s, "text": t} for n, (s, t) in enumerate(turns, 1)]}
    heard = samples.talk(doc, samples.Guise(heard=True, slips=slips), random.Random(seed)).transcript
    return [(turn.speaker, len(turn.words)) for turn in heard.turns]


def test_voices_without_slips_are_the_turns_joined_by_speaker(nothing_dropped):
    assert told_by_voice(0.0, 1) == [("A", 12), ("B", 1), ("A", 4)]


def test_voices_that_slip_move_a_border_or_lose_a_short_turn(nothing_dropped):
    found = [told_by_voice(1.0, seed) for seed in range(30)]
    assert all(sum(count for _, count in turns) == 17 for turns in found)
    assert {tuple(turns) for turns in found} - {(("A", 12), ("B", 1), ("A", 4))}
    assert [("A", 17)] in found


def test_speakers_told_by_voice_are_named_in_the_order_they_are_first_heard():
    doc = {"id": "v", "turns": [{"n": 1, "speaker": "B", "text": "Hello there."}, {"n": 2, "speaker": "A", "text": "Morning."}]}
    heard = samples.talk(doc, samples.Guise(heard=True), random.Random(1)).transcript
    assert [turn.speaker for turn in heard.turns] == ["A", "B"]


def test_the_command_that_tunes_is_printed(walks, tmp_path, capsys):
    assert main(["prepare", str(tmp_path / "out"), "--walks", str(walks), "--passes", "1", "--base", "base.gguf"]) == 0
    assert command(tmp_path / "out", "base.gguf") in capsys.readouterr().out


def test_a_folder_without_walkthroughs_is_said_so(tmp_path, capsys):
    assert main(["prepare", str(tmp_path / "out"), "--walks", str(tmp_path)]) == 1
    assert "no walkthroughs" in capsys.readouterr().err
