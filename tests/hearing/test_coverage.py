"""A recogniser that loses speech: what it lost is heard another way, and what stays lost is flagged."""

import numpy as np
import pytest

from memo2list.hearing.ears import Ears
from memo2list.hearing.recogniser import Heard, Stretch
from memo2list.hearing.replay import ReplayRecogniser
from memo2list.records import Word
from memo2list.timing import TimeSpan

SAID = tuple(Word(f"word{n}", TimeSpan(n * 500, n * 500 + 400), 0.9) for n in range(40))  # 20 s without a pause
STRETCH = Stretch(TimeSpan(0, 20_000), np.zeros(320_000, np.float32), (TimeSpan(0, 20_000),))


class Losing(ReplayRecogniser):
    """Loses the words of a span when it hears a whole stretch; hears short parts and slowly as asked to."""

    def __init__(self, lost: TimeSpan, parts: bool, slowly: bool):
        super().__init__(SAID)
        self.lost, self.parts, self.slowly, self.asked_slowly = lost, parts, slowly, 0

    def hear(self, stretches):
        whole = super().hear(stretches)
        return [h if self.parts and h.stretch.span.duration_ms < 10_000 else self._without(h) for h in whole]

    def hear_slowly(self, heard):
        self.asked_slowly += 1
        return super().hear([heard.stretch])[0] if self.slowly else heard

    def _without(self, heard):
        return Heard(heard.stretch, tuple(w for w in heard.words if not self.lost.overlaps(w.span)))


def heard_by(recogniser):
    (found,) = Ears(recogniser).hear_stretches([STRETCH])
    return [w.text for w in found.heard.words], [d.flag for d in found.doubts]


@pytest.mark.parametrize("lost", [TimeSpan(6000, 8000), TimeSpan(12_000, 20_000), TimeSpan(0, 20_000)])
def test_what_stays_lost_is_flagged_with_its_time(lost):
    words, flags = heard_by(Losing(lost, parts=False, slowly=False))
    assert len(words) < len(SAID)
    (flag,) = flags
    assert flag.code == "not-understood"
    assert f"{lost.start_ms // 60_000}:{lost.start_ms // 1000 % 60:02d}" in flag.reason


def test_a_short_loss_is_heard_by_itself():
    recogniser = Losing(TimeSpan(6000, 8000), parts=True, slowly=False)
    words, flags = heard_by(recogniser)
    assert words == [w.text for w in SAID]
    assert flags == []
    assert recogniser.asked_slowly == 0


def test_where_much_is_lost_the_stretch_is_heard_slowly():
    recogniser = Losing(TimeSpan(6000, 12_000), parts=False, slowly=True)
    words, flags = heard_by(recogniser)
    assert words == [w.text for w in SAID]
    assert flags == []
    assert recogniser.asked_slowly == 1


def test_a_skipped_phrase_too_short_to_flag_is_still_tried_again():
    words, _ = heard_by(Losing(TimeSpan(6000, 7200), parts=True, slowly=False))
    assert words == [w.text for w in SAID]


def test_nothing_is_heard_again_where_nothing_is_lost():
    recogniser = Losing(TimeSpan(20_000, 20_000), parts=True, slowly=True)
    assert heard_by(recogniser) == ([w.text for w in SAID], [])
    assert recogniser.asked_slowly == 0


@pytest.mark.model
@pytest.mark.parametrize("slow_way", [True, False], ids=["with the slow way", "without"])
def test_with_the_real_model_nothing_is_lost_unseen_when_the_fast_way_stops_early(monkeypatch, slow_way):
    """The fast way is made to stop after a third of its tokens: the words come back, or a flag covers what is missing."""
    from pathlib import Path

    from memo2list.hearing import media
    from memo2list.hearing.stretches import cut
    from memo2list.hearing.whisper import WhisperRecogniser
    from memo2list.weights import find_speech_weights

    sound = np.concatenate(list(media.sound(Path(__file__).parents[2] / "demo_audio" / "walk.opus")))[: 45 * media.RATE]
    recogniser = WhisperRecogniser(find_speech_weights("tiny.en"), "tiny.en")
    stretches = cut(sound)
    whole = [len(c.heard.words) for c in Ears(recogniser).hear_stretches(stretches)]
    decode = recogniser._decode

    def stopping(encoded, prompts, **more):
        return [(tokens[: len(tokens) // 3], score, silent) for tokens, score, silent in decode(encoded, prompts, **more)]

    monkeypatch.setattr(recogniser, "_decode", stopping)
    if not slow_way:
        monkeypatch.setattr(recogniser, "hear_slowly", lambda heard: heard)
    found = Ears(recogniser).hear_stretches(stretches)
    words, flags = [len(c.heard.words) for c in found], [d.flag.code for c in found for d in c.doubts]
    if slow_way:
        assert sum(words) >= 0.9 * sum(whole)
    else:
        assert sum(words) < 0.9 * sum(whole)
        assert all("not-understood" in {d.flag.code for d in c.doubts} for c, n in zip(found, whole, strict=True) if n > 20), (
            flags
        )
