"""Hears one chunk of sound: first hearing, what it left out, second hearing, and what was never said taken out."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from memo2list.hearing.chunks import Chunk
from memo2list.hearing.coverage import LEAST_AGAIN_MS, MUCH_MS, NEAR_REACH_MS, part_of, uncovered, with_words
from memo2list.hearing.invented import without_invented
from memo2list.hearing.listening import Terms
from memo2list.hearing.recogniser import Heard, Recogniser, Stretch
from memo2list.hearing.second_hearing import Changed, listen_again
from memo2list.hearing.setting import NOWHERE, Setting, setting_of
from memo2list.hearing.site_talk import SiteTalk
from memo2list.hearing.stretches import cut
from memo2list.records import Flag, StretchFlag, Word, WordRange
from memo2list.timing import short_clock

FirstHeard = tuple[Heard, list[StretchFlag]]  # a hearing, and where a voice was not understood


@dataclass(frozen=True, slots=True)
class Ears:
    """A recogniser and the terms it should listen for (None: no second hearing)."""

    recogniser: Recogniser
    terms: Terms | None = None
    own_words: tuple[str, ...] = ()  # of the job: names of places, materials heard in other recordings
    talk: SiteTalk | None = None  # what is usually said; None: only terms are weighed

    def hear(self, samples: "np.ndarray", offset: int = 0, reached: Callable[[int], None] = lambda ms: None) -> Chunk:
        """The words of a chunk that begins at sample `offset`; `reached` is told how many of its milliseconds are done."""
        results = self.hear_stretches(cut(samples, offset), reached)
        words: list[Word] = []
        doubts: list[StretchFlag] = []
        for one in results:
            doubts += [replace(d, words=WordRange(d.words.first + len(words), d.words.stop + len(words))) for d in one.doubts]
            words += one.heard.words
        return Chunk(offset, offset + len(samples), tuple(words), tuple(doubts))

    def hear_stretches(self, stretches: Sequence[Stretch], reached: Callable[[int], None] = lambda ms: None) -> list[Changed]:
        """Hears stretches side by side in batches of like length, the longest first so that the workers finish together."""
        order = sorted(range(len(stretches)), key=lambda n: -stretches[n].span.duration_ms)
        size = max(1, min(self.recogniser.batch, -(-len(order) // self.recogniser.workers)))
        batches = [order[n : n + size] for n in range(0, len(order), size)]
        first: dict[int, FirstHeard] = {}
        with ThreadPoolExecutor(self.recogniser.workers) as pool:
            waiting = {pool.submit(self._hear_batch, [stretches[n] for n in batch]): batch for batch in batches}
            try:
                for future in as_completed(waiting):
                    first |= zip(waiting[future], future.result(), strict=True)
                    reached(sum(heard.stretch.span.duration_ms for heard, _ in first.values()))
                setting = setting_of((h for h, _ in first.values()), self.terms, self.own_words) if self.terms else NOWHERE
                return list(pool.map(lambda n: self._finish(*first.pop(n), setting), range(len(stretches))))
            except BaseException:
                pool.shutdown(cancel_futures=True)
                raise

    def _hear_batch(self, stretches: Sequence[Stretch]) -> list[FirstHeard]:
        return [self._complete(self._whole(heard)) for heard in self.recogniser.hear(stretches)]

    def _whole(self, heard: Heard) -> Heard:
        """The hearing, or a slow one where much was left out and the slow one tells more."""
        lost = sum(s.duration_ms for s in uncovered(heard, LEAST_AGAIN_MS, NEAR_REACH_MS))
        again = self.recogniser.hear_slowly(heard) if lost >= MUCH_MS else heard
        return max(heard, again, key=lambda h: len(h.words))

    def _complete(self, heard: Heard) -> FirstHeard:
        """Hears by itself every voiced span that may have lost its words; what surely stays without words is flagged."""
        gaps = uncovered(heard, LEAST_AGAIN_MS, NEAR_REACH_MS)
        for span, again in zip(
            gaps, self.recogniser.hear([part_of(heard.stretch, s) for s in gaps]) if gaps else (), strict=True
        ):
            heard = with_words(heard, span, again)
        doubts = []
        for span in uncovered(heard):
            at = sum(w.span.start_ms < span.start_ms for w in heard.words)
            reason = f"a voice from {short_clock(span.start_ms)} to {short_clock(span.end_ms)} was not understood"
            doubts.append(StretchFlag(WordRange(at, at), Flag("not-understood", reason)))
        return heard, doubts

    def _finish(self, heard: Heard, doubts: list[StretchFlag], setting: Setting) -> Changed:
        """Takes out what was never said, then weighs doubtful words against terms."""
        sober = without_invented(heard)
        if sober.heard.words != heard.words:
            doubts = list(sober.doubts)  # the numbers of the others no longer hold, and their stretch is flagged anyway
        changed = Changed(sober.heard, ())
        if self.terms:
            changed = listen_again(sober.heard, self.recogniser, self.terms, setting, self.talk)
        extra = len(changed.heard.words) - len(sober.heard.words)
        if extra and doubts:
            doubts = [_moved(d, sober.heard, changed.heard) for d in doubts]
        return Changed(replace(changed.heard, kept=None), (*changed.doubts, *doubts))


def _moved(doubt: StretchFlag, before: Heard, after: Heard) -> StretchFlag:
    """The doubt at the same time in changed words."""
    if doubt.words.first >= len(before.words):
        return replace(doubt, words=WordRange(len(after.words), len(after.words)))
    said_ms = before.words[doubt.words.first].span.start_ms
    at = sum(w.span.start_ms < said_ms for w in after.words)
    return replace(doubt, words=WordRange(at, min(len(after.words), at + len(doubt.words))))


if TYPE_CHECKING:
    import numpy as np
