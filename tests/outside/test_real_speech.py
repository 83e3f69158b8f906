"""A human voice, checked against word times published with it (data/librivox/README.md): what is heard, and when."""

import statistics

import pytest

from tests.benchmarks.hearing_times import HERE, heard, paired, published, readings

MOST_WRONG = 0.15  # a share of the words; 5.6 % were measured with either model
MOST_OFF_MS = 100  # at the median; 42 ms (base) and 40 ms (tiny.en) were measured


@pytest.mark.model
@pytest.mark.parametrize("model", ["base", "tiny.en"])
def test_a_reader_is_understood_and_word_times_are_met(model):
    import jiwer

    from memo2list.hearing.whisper import WhisperRecogniser
    from memo2list.weights import find_speech_weights

    recogniser = WhisperRecogniser(find_speech_weights(model), model)
    said, got, off = [], [], []
    for path in readings(HERE):
        one, other = published(path.with_suffix(".json")), heard(path, recogniser)
        said.append(" ".join(w for w, *_ in one))
        got.append(" ".join(w for w, *_ in other))
        off += [abs(first - start) for (_, start, _), (_, first, _) in paired(one, other)]
    assert sum(len(s.split()) for s in said) == 71
    assert jiwer.wer(said, got) <= MOST_WRONG
    assert statistics.median(off) < MOST_OFF_MS
