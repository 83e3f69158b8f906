"""What is known about each passage before findings are made: its words, mentions, cues, quantities and exchange."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from memo2list.reading.assertions import PlacedCue, find_cues
from memo2list.reading.mentions import Known, find_mentions
from memo2list.reading.quantities import read_quantities
from memo2list.reading.words import plain_words
from memo2list.records import Passage, Quantity, Transcript, WordRange
from memo2list.vocabulary.entries import Matcher


@dataclass(frozen=True, slots=True)
class Stage:
    """One passage with everything found in it."""

    passage: Passage
    said: tuple[str, ...]  # plain words
    known: tuple[Known, ...]
    cues: tuple[PlacedCue, ...]
    quantities: tuple[Quantity, ...]
    sizes: tuple[Quantity, ...]
    elements: tuple[Known, ...]
    claims: tuple[Known, ...]  # problems and actions

    @property
    def words(self) -> WordRange:
        return self.passage.words

    @property
    def number(self) -> int:
        return self.passage.number

    @property
    def speaker(self) -> str | None:
        return self.passage.speaker

    def of_kind(self, *kinds: str) -> tuple[Known, ...]:
        return tuple(k for k in self.known if k.kind in kinds)

    def cue_categories(self) -> frozenset[str]:
        return frozenset(c.category for c in self.cues)


def look(transcript: Transcript, passage: Passage, lexicon: Matcher) -> Stage:
    words = transcript.words[passage.words.first : passage.words.stop]
    quantities, sizes = read_quantities([w.text for w in words], passage.words.first)
    known = find_mentions(transcript, passage.words, lexicon)
    return Stage(
        passage,
        tuple(plain_words(words)),
        known,
        find_cues(transcript, passage.words, lexicon),
        quantities,
        sizes,
        tuple(k for k in known if k.kind == "element"),
        tuple(k for k in known if k.kind in ("problem", "action")),
    )


def with_known(stage: Stage, more: Sequence[Known]) -> Stage:
    """The passage with further mentions in their order."""
    known = tuple(sorted((*stage.known, *more), key=lambda k: (k.words.first, k.words.stop)))
    elements, claims = (k for k in known if k.kind == "element"), (k for k in known if k.kind in ("problem", "action"))
    return replace(stage, known=known, elements=tuple(elements), claims=tuple(claims))
