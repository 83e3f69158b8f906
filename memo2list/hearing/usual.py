"""Words that sound like one that is usual in its place: "the white fur" may be "the white fir", "slabs dropped" "slab's dropped".

These are proposals only; the second hearing weighs them against the sound, as it does with terms.
"""

import math
from collections.abc import Sequence

from memo2list.hearing.listening import Near, Term
from memo2list.hearing.site_talk import SiteTalk, spoken
from memo2list.hearing.sounds import sound_key
from memo2list.records import Word

LEAST_GAIN, MOST_GAIN = 0.5, 8.0  # natural logarithm; less says nothing, more only that a word was never counted
WORTH_ASKING = -1.0  # gain and doubt together, see `proposals`


def proposals(words: Sequence[Word], talk: SiteTalk) -> list[tuple[int, Near]]:
    """Numbers of words with the usual word that would fit better, at most one each.

    The surer a word was heard, the more the other must gain: the recogniser leaves it at most what it does not give to its own.
    """
    said = said_by(words)
    found = []
    for at, word in enumerate(said):
        if not word or not word[0].isalpha():
            continue
        sure = min(max(words[at].probability, 1e-4), 1 - 1e-4)
        doubt = math.log((1 - sure) / sure)
        gains = [(min(MOST_GAIN, talk.gain(said, at, at + 1, [other])), other) for other in talk.alike(word)]
        gain, other = max(gains, default=(0.0, ""))
        if gain >= LEAST_GAIN and gain + 2 * doubt >= WORTH_ASKING:
            found.append((at, Near(Term(other, sound_key(other)), 0.0, usual=gain, is_term=False)))
    return found


def said_by(words: Sequence[Word]) -> list[str]:
    """One plain word for each; "" for what is none or several ("two-by-ten")."""
    parts = (spoken(w.text) for w in words)
    return [p[0] if len(p) == 1 else "" for p in parts]
