"""Reading as a whole: a pure function whose records point to words that exist."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from memo2list.reading import read
from memo2list.records import WordRange

WORDS = st.sampled_from(
    "the gutter is rotten. no it's fine, replace that? yes six feet kitchen if paint door I don't new".split()
)


def statuses(reading, claim):
    return {f.assertion.status for f in reading.findings for m in (*f.problems, *f.actions) if m.entry == claim}


def test_a_problem_finds_its_element(said, lexicon):
    found = read(said("A: Okay, back of the house.", "A: The fascia is rotten, about six feet of it."), lexicon).findings
    best = max(found, key=lambda f: next(p.value for p in f.parts if p.name == "judgement"))
    assert (best.element.entry, best.problems[0].entry) == ("fascia", "rot")


def test_a_measure_goes_to_its_finding(said, lexicon):
    found = read(said("A: The fascia is rotten, about six feet of it."), lexicon).findings
    assert [(q.value, q.unit) for f in found for q in f.quantities] == [(6, "ft")]


def test_a_negated_problem_is_set_aside_with_its_cue(said, lexicon):
    reading = read(said("A: There's no rot in the soffit at all."), lexicon)
    assert statuses(reading, "rot") <= {"negated"}


def test_every_finding_tells_its_steps(said, lexicon):
    for finding in read(said("A: The fascia is rotten."), lexicon).findings:
        assert any("passage" in step for step in finding.steps)
        assert any("status" in step for step in finding.steps)


def test_an_empty_recording_is_flagged_and_gives_nothing(said, lexicon):
    reading = read(said(), lexicon)
    assert (reading.findings, [f.code for f in reading.flags]) == ((), ["no-words"])


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.lists(WORDS, min_size=1, max_size=30), max_size=5))
def test_whatever_is_said_every_range_lies_inside_the_talk(said, lexicon, turns):
    transcript = said(*("AB"[n % 2] + ": " + " ".join(t) for n, t in enumerate(turns)))
    reading = read(transcript, lexicon)
    everything = WordRange(0, len(transcript.words))
    for finding in reading.findings:
        for words in (finding.words, *finding.evidence, *(q.words for q in finding.quantities)):
            assert everything.first <= words.first <= words.stop <= everything.stop


def test_reading_twice_gives_the_same(said, lexicon):
    transcript = said("A: The fascia is rotten.", "B: Replace it then.")
    assert read(transcript, lexicon) == read(transcript, lexicon)
