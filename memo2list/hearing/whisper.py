"""Hears with Whisper on CTranslate2. The only module that imports faster-whisper's model.

Several stretches are decoded as one batch and each keeps its encoding, so that a second hearing, or the
question how likely other words are, costs no second pass of the encoder. What keeps the decoder from losing
speech is the manner of talk it is shown beforehand (`MANNER`); words are timed by the attention, so no time
stamps are decoded.
"""

import hashlib
import math
import os
import zlib
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from memo2list.hearing.coverage import spoken_end
from memo2list.hearing.recogniser import Heard, Stretch
from memo2list.hearing.site_talk import AVERAGE, site_talk, spoken
from memo2list.records import Word
from memo2list.timing import TimeSpan

if TYPE_CHECKING:
    import numpy as np

FRAMES = 3000  # of 10 ms in the model's window
TOKEN_MS = 20  # one position of the encoder
# How late a model's attention is against published word times (median and mean of 67 words, tests/benchmarks/hearing_times.py)
LATE_MS = {"tiny.en": 100, "base": -60}
MOST_TOKENS = 224  # for a stretch of 28 s; only a loop needs more
HOTWORD_TOKENS = 100
SQUEEZE = 2.4  # text that zlib shrinks more than this repeats itself (the limit Whisper's authors use)
POOR = -1.0  # mean log probability below which a hearing is tried again (same source)
NO_SPEECH = 0.6
LEAST_VOICED_MS, LEAST_RATE = 3000, 1.8  # words a second of voice; people say two to four
# Said to the decoder beforehand, as if it had just been heard: talk as it is on a walk, with fillers and broken-off words,
# so that it writes such talk down to its end instead of tidying it away.
MANNER = (
    " Okay, so, um, the soffit and the fascia, they're, uh, they're rotted. Yeah. And the baluster, the newel post, it's loose."
    " No, no, the flashing's fine. I mean, um, the jamb, the door jamb."
)
# The same with the trade words most frequent in the training walkthroughs (tests/walks/training) that Whisper spells out of
# pieces. Models of English alone gain by it; the others leave words out after so long a text.
MANNER_OF_ENGLISH_ONLY = (
    " Okay, so, um, the soffit and the fascia, they're, uh, they're rotted. Yeah. And the balusters, the handrail, the treads,"
    " that's loose, so, so two by tens. The joists, the joist hangers, the ledger. No, no, the flashing's fine. I mean, um, the"
    " gutter, the downspout, the siding, the sill. Uh, grout's gone, re-caulk it. GFCI's dead, the P-trap, the faucet. Drywall,"
    " baseboard, the, the threshold. Okay."
)
LIKE_LENGTH = 0.95  # a hearing that much shorter than the first left something out
USUAL = 0.3  # what usual talk counts beside the sound, in choosing between whole hearings of a stretch
LEAKED = 6  # so many words in a row as in the text above were not heard but copied


class WhisperRecogniser:
    """Whisper in int8, one worker a core. Loading takes about a second; keep one for the whole run."""

    def __init__(self, folder: Path, model: str, workers: int | None = None, batch: int = 4, beam: int = 3):
        from faster_whisper import WhisperModel
        from faster_whisper.tokenizer import Tokenizer

        self.name = f"whisper {model} int8"
        self.workers = workers or cores()
        self.batch, self.beam = batch, beam
        self.spelling = hashlib.sha256((folder / "tokenizer.json").read_bytes()).hexdigest()
        self._late_ms = LATE_MS.get(model, 0)
        self._whole: Any = WhisperModel(
            str(folder), device="cpu", compute_type="int8", cpu_threads=1, num_workers=self.workers, local_files_only=True
        )
        self._model: Any = self._whole.model
        self._tokens: Any = Tokenizer(self._whole.hf_tokenizer, self._model.is_multilingual, task="transcribe", language="en")
        self._talk = site_talk()
        self._manner = MANNER if self._model.is_multilingual else MANNER_OF_ENGLISH_ONLY
        self._plain: list[int] = [*self._tokens.sot_sequence, self._tokens.no_timestamps]
        self._start: list[int] = [self._tokens.sot_prev, *self._tokens.encode(self._manner), *self._plain]

    def hear(self, stretches: Sequence[Stretch]) -> list[Heard]:
        import numpy as np

        if not stretches:
            return []
        encoded = self._encode(stretches)
        texts = self._decode(encoded, [self._start] * len(stretches))
        kept = np.asarray(encoded)
        heard = []
        for number, (stretch, (tokens, score, no_speech)) in enumerate(zip(stretches, texts, strict=True)):
            own = kept[number : number + 1].copy()
            if self._thin(tokens, stretch):
                tokens, score = self._fullest(own, stretch, tokens, score)
            if self._poor(tokens, score):
                tokens, score = self._try_harder(own, tokens, score)
            if self._leaked(tokens):
                tokens, score, no_speech = self._decode(_view(own), [self._plain])[0]
            if no_speech > NO_SPEECH and score < POOR:
                tokens = []
            heard.append(Heard(stretch, self._words(own, tokens, stretch), score, own))
        return heard

    def _thin(self, tokens: list[int], stretch: Stretch) -> bool:
        """Far fewer words than the voice would hold: the decoder skipped some."""
        words = len(_letters(self._tokens.decode(tokens)))
        return stretch.voiced_ms >= LEAST_VOICED_MS and words * 1000 < LEAST_RATE * stretch.voiced_ms

    def _fullest(self, kept: "np.ndarray", stretch: Stretch, tokens: list[int], score: float) -> tuple[list[int], float]:
        """The fullest hearing, no loop and no copy, of those with other texts shown beforehand: seldom do two skip the same.

        The first that is full enough ends the search.
        """
        best = (tokens, score)
        texts = ([self._tokens.sot_prev, *self._tokens.encode(m), *self._plain] for m in (MANNER, MANNER_OF_ENGLISH_ONLY))
        for start in (s for s in (self._plain, *texts) if s != self._start):
            other = self._decode(_view(kept), [start])[0][:2]
            if len(other[0]) > len(best[0]) and not self._poor(*other) and not self._leaked(other[0]):
                best = other
            if not self._thin(best[0], stretch):
                break
        return best

    def _leaked(self, tokens: list[int]) -> bool:
        """Whether the hearing is a copy of the text it was shown."""
        said = _letters(self._tokens.decode([t for t in tokens if t < self._tokens.eot]))
        shown = f" {' '.join(_letters(self._manner))} "
        return any(f" {' '.join(said[n : n + LEAKED])} " in shown for n in range(len(said) - LEAKED + 1))

    def hear_slowly(self, heard: Heard) -> Heard:
        """By faster-whisper's own way: time stamps are decoded, and it goes on from the last one until the sound ends."""
        options = {"language": "en", "beam_size": 5, "condition_on_previous_text": False}
        segments, _ = self._whole.transcribe(heard.stretch.samples, **options)
        text = " ".join(s.text.strip() for s in segments)
        tokens = self._tokens.encode(" " + text)[:MOST_TOKENS] if text else []
        return replace(heard, words=self._words(heard.kept, tokens, heard.stretch))

    def hear_again(self, heard: Heard, hotwords: Sequence[str]) -> Heard:
        prompt = [*self._naming(hotwords), *self._plain]
        tokens, score, _ = self._decode(_view(heard.kept), [prompt])[0]
        return Heard(heard.stretch, self._words(heard.kept, tokens, heard.stretch), score, heard.kept)

    def likelihoods(self, heard: Heard, readings: Sequence[Sequence[str]], hotwords: Sequence[str] = ()) -> list[list[float]]:
        import numpy as np

        spelled = [[self._tokens.encode(" " + w) for w in words] for words in readings]
        texts = [[t for tokens in reading for t in tokens] for reading in spelled]
        results = self._align(np.repeat(heard.kept, len(readings), axis=0), texts, heard.stretch, self._naming(hotwords))
        return [_sums(r.text_token_probs, [len(t) for t in reading]) for r, reading in zip(results, spelled, strict=True)]

    def is_common(self, word: str) -> bool:
        return len(self._tokens.encode(" " + word.lower())) == 1

    def _naming(self, hotwords: Sequence[str]) -> list[int]:
        """What goes before the decoder's start so that it expects these words."""
        return [self._tokens.sot_prev, *self._tokens.encode(" " + ", ".join(hotwords))[:HOTWORD_TOKENS]] if hotwords else []

    def _encode(self, stretches: Sequence[Stretch]) -> Any:
        import numpy as np

        return self._model.encode(_view(np.stack([self._features(s) for s in stretches])))

    def _features(self, stretch: Stretch) -> "np.ndarray":
        import numpy as np

        found = self._whole.feature_extractor(stretch.samples)[:, :FRAMES]
        return np.pad(found, ((0, 0), (0, FRAMES - found.shape[1]))).astype(np.float32)

    def _decode(self, encoded: Any, prompts: list[list[int]], **more: Any) -> list[tuple[list[int], float, float]]:
        """Tokens, mean log probability and probability of no speech for each prompt."""
        options = {"beam_size": self.beam, **more}
        results = self._model.generate(
            encoded,
            prompts,
            **options,
            num_hypotheses=options["beam_size"],
            max_length=max(len(p) for p in prompts) + MOST_TOKENS,
            return_scores=True,
            return_no_speech_prob=True,
            suppress_blank=True,
            suppress_tokens=[-1],
        )
        best = (self._best(r.sequences_ids, r.scores) for r in results)
        return [
            (tokens, score * len(tokens) / (len(tokens) + 1), r.no_speech_prob)
            for r, (tokens, score) in zip(results, best, strict=True)
        ]

    def _best(self, found: list[list[int]], scores: list[float]) -> tuple[list[int], float]:
        """Of hearings of like length the one that is likely by sound and usual in its words; scores are means over tokens."""
        full = [(t, s) for t, s in zip(found, scores, strict=True) if len(t) >= LIKE_LENGTH * len(found[0])]

        def worth(one: tuple[list[int], float]) -> float:
            words = spoken(self._tokens.decode([t for t in one[0] if t < self._tokens.eot]))
            return one[1] * len(one[0]) + USUAL * (self._talk.log_probability(words) + AVERAGE * len(words))

        return max(full, key=worth) if len(full) > 1 else (found[0], scores[0])

    def _poor(self, tokens: list[int], score: float) -> bool:
        text = self._tokens.decode(tokens).encode()
        return score < POOR or len(text) / max(1, len(zlib.compress(text))) > SQUEEZE

    def _try_harder(self, kept: "np.ndarray", tokens: list[int], score: float) -> tuple[list[int], float]:
        """A wider search that may not repeat itself; kept if it is better or the first one was a loop."""
        again, better, _ = self._decode(_view(kept), [self._plain], beam_size=5, no_repeat_ngram_size=4)[0]
        looped = self._poor(tokens, 0.0)
        return (again, better) if better > score or (looped and not self._poor(again, 0.0)) else (tokens, score)

    def _align(self, kept: "np.ndarray", texts: list[list[int]], stretch: Stretch, before: Sequence[int] = ()) -> Any:
        frames = min(FRAMES, len(stretch.samples) // 160)
        return self._model.align(_view(kept), [*before, *self._tokens.sot_sequence], texts, frames, median_filter_width=7)

    def _words(self, kept: "np.ndarray", tokens: list[int], stretch: Stretch) -> tuple[Word, ...]:
        import numpy as np

        text = [t for t in tokens if t < self._tokens.eot]
        if not text:
            return ()
        result = self._align(kept, [text], stretch)[0]
        pieces, piece_tokens = self._tokens.split_to_word_tokens([*text, self._tokens.eot])
        indices = np.array(list(result.alignments))
        jumps = np.concatenate([[True], np.diff(indices[:, 0]) > 0])
        times = np.maximum(0, indices[jumps, 1] * TOKEN_MS - self._late_ms)
        words, at = [], 0
        for piece, own in zip(pieces[:-1], piece_tokens[:-1], strict=True):
            stop = at + len(own)
            probability = float(np.mean(result.text_token_probs[at:stop]))
            words.append((piece, int(times[min(at, len(times) - 1)]), int(times[min(stop, len(times) - 1)]), probability))
            at = stop
        return _merged(words, stretch.span)


def _letters(text: str) -> list[str]:
    return "".join(c if c.isalnum() or c == "'" else " " for c in text.lower()).split()


def _sums(probabilities: Sequence[float], lengths: Sequence[int]) -> list[float]:
    """Log probabilities of words out of the probabilities of their pieces."""
    logs = [math.log(max(p, 1e-9)) for p in probabilities]
    found, at = [], 0
    for length in lengths:
        found.append(sum(logs[at : at + length]))
        at += length
    return found


def _merged(pieces: list[tuple[str, int, int, float]], span: TimeSpan) -> tuple[Word, ...]:
    """Words out of the recogniser's pieces: a piece that begins without a space belongs to the word before it."""
    joined: list[tuple[str, int, int, list[float]]] = []
    for text, start, end, probability in pieces:
        if joined and not text.startswith(" "):
            before, first, _, probabilities = joined[-1]
            spoken = any(c.isalnum() for c in text)
            joined[-1] = (
                before + text,
                first,
                end if spoken else joined[-1][2],
                [*probabilities, *([probability] if spoken else [])],
            )
        else:
            joined.append((text, start, end, [probability]))
    words = []
    for text, start, end, probabilities in joined:
        if any(c.isalnum() for c in text):
            first = min(span.start_ms + start, span.end_ms)
            last = min(max(first, span.start_ms + end), max(first, span.end_ms))
            word = Word(text.strip(), TimeSpan(first, last), round(sum(probabilities) / len(probabilities), 4))
            words.append(replace(word, span=TimeSpan(first, spoken_end(word))))
    return tuple(words)


def _view(array: "np.ndarray") -> Any:
    import ctranslate2
    import numpy as np

    return ctranslate2.StorageView.from_array(np.ascontiguousarray(array))


def cores() -> int:
    """Cores this process may use."""
    return max(1, len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1)
