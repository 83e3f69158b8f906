"""How fast reading and listing are, and whether the time grows in a straight line: one and eight hours of talk.

    python -m tests.benchmarks.speed [PATH …]

Walkthroughs are put one after the other until the talk is long enough (2.7 words a second of talk).
"""

import argparse
import pathlib
import time
from collections.abc import Sequence

from memo2list.listing import list_items
from memo2list.reading import read
from memo2list.records import Recording, Transcript, Turn, Word, WordRange
from memo2list.timing import TimeSpan
from memo2list.vocabulary.lexicon import Lexicon, load_lexicon
from tests.benchmarks.reading import DEFAULT
from tests.benchmarks.walks import WORDS_PER_SECOND, load, transcript


def endless(parts: Sequence[Transcript], words_wanted: int) -> Transcript:
    """The parts one after the other, over and over, until there are words enough."""
    words: list[Word] = []
    turns: list[Turn] = []
    now = 0
    while len(words) < words_wanted:
        for part in parts:
            if len(words) >= words_wanted:
                break
            offset = len(words)
            words += [Word(w.text, TimeSpan(w.span.start_ms + now, w.span.end_ms + now), w.probability) for w in part.words]
            turns += [Turn(WordRange(t.words.first + offset, t.words.stop + offset), t.speaker) for t in part.turns]
            now = words[-1].span.end_ms
    return Transcript(Recording("long.vtt", "0", now, "", "transcript"), tuple(words), tuple(turns))


def seconds(talk: Transcript, lexicon: Lexicon) -> float:
    """Processor time of reading and listing, so that other work on the machine does not count."""
    began = time.process_time()
    list_items([read(talk, lexicon)], lexicon)
    return time.process_time() - began


def main(argv: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("paths", nargs="*", type=pathlib.Path, default=[DEFAULT, DEFAULT / "more"])
    args = parser.parse_args(argv)
    lexicon, parts = load_lexicon(), [transcript(w) for w in load(args.paths)]
    seconds(parts[0], lexicon)
    for hours in (1, 8):
        talk = endless(parts, round(hours * 3600 * WORDS_PER_SECOND))
        took = seconds(talk, lexicon)
        rate = len(talk.words) / took
        print(f"{hours} h of talk, {len(talk.words)} words: {took:.1f} s of processor time, {rate:.0f} words a second")


if __name__ == "__main__":
    main()
