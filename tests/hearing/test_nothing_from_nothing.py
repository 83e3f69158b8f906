"""What was not said is not written; what was said is not lost without a flag."""

import numpy as np
import pytest

from memo2list.hearing.coverage import part_of, uncovered
from memo2list.hearing.ears import Ears
from memo2list.hearing.invented import loops, without_invented
from memo2list.hearing.recogniser import Heard, Stretch
from memo2list.hearing.replay import ReplayRecogniser
from memo2list.records import Word
from memo2list.timing import TimeSpan


def heard(text, probability=0.9, score=-0.2, ms=400, voiced=None):
    words = tuple(Word(w, TimeSpan(n * ms, n * ms + ms // 2), probability) for n, w in enumerate(text.split()))
    end = ms * len(words)
    return Heard(Stretch(TimeSpan(0, end), np.zeros(end * 16, np.float32), (TimeSpan(0, voiced or end),)), words, score)


def text_of(changed):
    return " ".join(w.text for w in changed.heard.words)


def test_a_loop_is_kept_once_and_flagged():
    changed = without_invented(heard("and then " + "the gate is loose " * 6 + "so"))
    assert text_of(changed) == "and then the gate is loose so"
    assert changed.doubts[0].flag.code == "repeated"


@pytest.mark.parametrize("text", ["no no no leave it", "tic tic tic every other one", "very very very very loose"])
def test_people_repeat_themselves(text):
    assert loops(heard(text).words) == []


def test_a_stock_sentence_in_a_short_noise_is_left_out_and_flagged():
    changed = without_invented(heard("Thank you.", 0.5))
    assert text_of(changed) == ""
    assert [d.flag.code for d in changed.doubts] == ["invented"]


def test_thanks_inside_talk_stay():
    assert text_of(without_invented(heard("thank you and the gate sticks"))) == "thank you and the gate sticks"


def test_voice_without_words_is_found():
    one = heard("the gate", voiced=800)
    stretch = Stretch(TimeSpan(0, 6000), np.zeros(96_000, np.float32), (TimeSpan(0, 6000),))
    (gap,) = uncovered(Heard(stretch, one.words))
    assert gap.end_ms == 6000
    assert gap.start_ms < 1500


def test_a_part_of_a_stretch_has_the_sound_of_its_time():
    stretch = Stretch(TimeSpan(10_000, 12_000), np.arange(32_000, dtype=np.float32), (TimeSpan(10_000, 12_000),))
    part = part_of(stretch, TimeSpan(10_500, 11_000))
    assert part.samples[0] == 8000
    assert len(part.samples) == 8000
    assert part.voiced_ms == 500


class Forgetful(ReplayRecogniser):
    """Hears only the first second of any stretch, with full confidence."""

    def hear(self, stretches):
        return [
            Heard(h.stretch, tuple(w for w in h.words if w.span.start_ms < h.stretch.span.start_ms + 1000))
            for h in super().hear(stretches)
        ]


WORDS = [Word(f"w{n}", TimeSpan(n * 500, n * 500 + 400)) for n in range(12)]
STRETCH = Stretch(TimeSpan(0, 6000), np.zeros(96_000, np.float32), (TimeSpan(0, 6000),))


def test_what_the_recogniser_skipped_is_flagged_when_a_second_try_does_not_find_it():
    (result,) = Ears(Forgetful(WORDS)).hear_stretches([STRETCH])
    assert any(d.flag.code == "not-understood" for d in result.doubts)


def test_what_the_recogniser_skipped_once_is_heard_at_the_second_try():
    class SkipsOnce(Forgetful):
        first = True

        def hear(self, stretches):
            skip, self.first = self.first, False
            return super().hear(stretches) if skip else ReplayRecogniser.hear(self, stretches)

    (result,) = Ears(SkipsOnce(WORDS)).hear_stretches([STRETCH])
    assert result.heard.words == tuple(WORDS)
    assert result.doubts == ()


def noises():
    rng = np.random.default_rng(3)
    t = np.arange(16_000 * 12) / 16_000
    white = rng.standard_normal(len(t))
    rumble = np.cumsum(white)
    rumble = (rumble - np.convolve(rumble, np.ones(4000) / 4000, "same")) / np.std(rumble)
    compressor = np.sign(np.sin(2 * np.pi * 47 * t)) * (1 + 0.3 * np.sin(2 * np.pi * 3 * t)) + 0.2 * white
    chords = sum(np.sin(2 * np.pi * f * t) * (np.sin(2 * np.pi * 0.5 * t) > 0) for f in (220, 277, 330))
    passing = white * np.exp(-(((t - 6) / 2) ** 2))
    return {"silence": 0 * t, "hiss": white, "wind": rumble, "compressor": compressor, "music": chords, "traffic": passing}


@pytest.mark.model
@pytest.mark.parametrize("name", ["silence", "hiss", "wind", "compressor", "music", "traffic"])
@pytest.mark.parametrize("model", ["base", "tiny.en"])
def test_noise_has_no_words(name, model):
    from memo2list.hearing.whisper import WhisperRecogniser
    from memo2list.weights import find_speech_weights

    noise = noises()[name]
    samples = (0.3 * noise / max(1e-9, np.abs(noise).max())).astype(np.float32)
    chunk = Ears(WhisperRecogniser(find_speech_weights(model), model)).hear(samples)
    assert [w.text for w in chunk.words] == []
