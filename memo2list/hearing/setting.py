"""What the talk is about: the terms and trades in use, which decide how readily a term is believed."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from memo2list.hearing.listening import LONGEST, Terms, plain
from memo2list.hearing.recogniser import Heard

IN_USE = 1.0  # less is asked of a term of a trade in use, or heard elsewhere in this recording; more of others
HEARD_SURELY = 0.8
# Talk of so many words with so few terms among them is not about a property: so have one in twenty of 798 stretches of 60 words
# of training walkthroughs, and all 181 of everyday talk (tests/benchmarks/everyday_lines.py).
ENOUGH_WORDS, FEW_TERMS = 60, 0.02
OFF_TOPIC = 3.0  # more is asked of any term there


@dataclass(frozen=True, slots=True)
class Setting:
    """What the talk is about: terms heard surely elsewhere or belonging to the job, and the packs in use."""

    words: frozenset[str] = frozenset()
    packs: frozenset[str] = frozenset()
    pack_of: Mapping[str, str] = field(default_factory=dict)
    off_topic: bool = False  # hardly any term in all the talk

    def favours(self, term: str) -> float:
        """How much less is asked of a term of this job, or of a pack in use; negative (more) for terms of other packs."""
        if self.off_topic:
            return -OFF_TOPIC
        if term in self.words:
            return IN_USE
        if not self.packs or term not in self.pack_of:
            return 0.0
        return IN_USE / 2 if self.pack_of[term] in self.packs else -IN_USE / 2


NOWHERE = Setting()


def setting_of(hearings: Iterable[Heard], terms: Terms, own: Iterable[str] = ()) -> Setting:
    """The setting of a chunk: its terms heard surely and the packs of at least two of them, and `own` words of the job."""
    heard: set[str] = set()
    said = covered = 0
    for words in (h.words for h in hearings):
        in_term = [False] * len(words)
        for length in range(1, LONGEST + 1):
            for start in range(len(words) - length + 1):
                span = words[start : start + length]
                text = plain(" ".join(w.text for w in span))
                if text in terms.texts and min(w.probability for w in span) >= HEARD_SURELY:
                    heard.add(text)
                    in_term[start : start + length] = [True] * length
        said, covered = said + len(words), covered + sum(in_term)
    counts = Counter(terms.pack_of[t] for t in heard if t in terms.pack_of)
    packs = frozenset(p for p, times in counts.items() if times >= 2) | {"common"} if counts else frozenset[str]()
    own_words = {plain(piece) for text in own for piece in (text, *text.split())} - {""}
    off_topic = said >= ENOUGH_WORDS and covered < FEW_TERMS * said
    return Setting(frozenset(heard) | own_words, packs, terms.pack_of, off_topic)
