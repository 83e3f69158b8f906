"""How much of the trade's talk the lexicon finds, and what it finds where there is none.

    python -m tests.benchmarks.vocabulary [--reference FOLDER] [--misses]

Reads `vocabulary.csv` (terms) and `soundalikes.csv` (mis-hearings) from the reference folder, `../shared/reference`
beside the checkout by default; says so and stops if it is missing. Prints recall of terms in three carrier sentences,
recall of mis-hearings in a fitting sentence, everyday lines that trigger a mis-hearing, and words a second.
"""

import argparse
import csv
import sys
import time
from pathlib import Path

from memo2list.vocabulary.entries import Match
from memo2list.vocabulary.lexicon import Lexicon, load_lexicon
from memo2list.vocabulary.tokens import split_form
from tests.benchmarks.everyday_lines import everyday_lines

DEFAULT = Path(__file__).resolve().parent.parent.parent.parent / "shared" / "reference"
# what the talk is about: doubtful words ("leader", "light") need a sentence of their trade
TALK = {
    "roof edge & drainage": "gutter", "roofing": "shingles", "cladding": "clapboard", "trim": "casing",
    "paint and coatings": "paint",
    "porches/decks/stairs/rails": "baluster", "doors": "deadbolt", "windows": "sash", "masonry & chimney": "brick",
    "concrete & paving": "pavers", "fences/gates": "fence", "site & plants": "shrub", "interior walls & ceilings": "drywall",
    "floors": "hardwood floor", "cabinets/counters": "kitchen cabinet", "bath/plumbing": "faucet", "electrical": "outlet",
    "hvac terminals": "furnace", "fire/life safety": "smoke alarm", "pests & moisture": "mold",
}  # fmt: skip
CARRIERS = {
    "element": (
        "Now the {term} here, past the {talk}.",
        "By the {talk} there's that {term}, it's original.",
        "Next thing is the {term} and then the {talk}.",
    ),
    "problem": (
        "The gutter is {term} I'm afraid, and the paint on the deck too.",
        "That door has {term} on it, same as the wall.",
        "By the window and the drain there's {term} again.",
    ),
    "action": (
        "We'd {term} that door and the wall for you.",
        "I want you to {term} the shrub and the trim by the roof.",
        "Let's just {term} it at the gutter, and the drain.",
    ),
    "material": (
        "I'd do the wall in {term} if you like.",
        "That window would want {term} and new paint on it.",
        "Ask them for {term} for the deck.",
    ),
    "place": ("Okay, {term} now.", "We are looking at the {term} of the house.", "There's one more thing, {term}, by the wall."),
}
# relations ("beside", "above") are read with the words they join, and decisions about the list are cues
RELATIONS = {"vertical position", "horizontal position"}
DECISIONS = {"hold", "schedule"}
KINDS = {
    "element": "element",
    "defect": "problem",
    "action": "action",
    "material": "material",
    "finish": "material",
    "location": "place",
}
FITTING = "Next to the {hint} you can see the {heard} is loose."


def read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def covers(match: Match, sentence: list[str], term: str) -> bool:
    """Whether the match accounts for the term's words (all, or its last word for a two-part name)."""
    said = [t for w in sentence[match.start : match.stop] for t in split_form(w)]
    return set(split_form(term)) <= set(said)


def term_recall(lexicon: Lexicon, rows: list[dict[str, str]]) -> tuple[float, list[str]]:
    """Terms found as the right kind in a carrier sentence; cues, measures and relations are not entries and are left out."""
    tried, missed = 0, []
    for row in rows:
        kind = KINDS.get(row["kind"])
        if row["canonical"] in RELATIONS:
            continue
        for carrier in CARRIERS.get(kind or "", ()):
            sentence = carrier.format(term=row["term"], talk=TALK.get(row["group"], "gutter")).split()
            tried += 1
            if not found_in(lexicon, sentence, row, kind):
                missed.append(f"{kind}: {row['term']} < {' '.join(sentence)}")
    return 1 - len(missed) / tried, missed


def found_in(lexicon: Lexicon, sentence: list[str], row: dict[str, str], kind: str | None) -> bool:
    if any(m.entry.kind == kind and covers(m, sentence, row["term"]) for m in lexicon.find(sentence)):
        return True
    said = set(split_form(row["term"]))
    cues = lexicon.cues(sentence) if row["canonical"] in DECISIONS else []
    return any(said <= {t for w in sentence[a:b] for t in split_form(w)} for a, b, _ in cues)


def is_term(match: Match, term: str) -> bool:
    names = {match.entry.name, *match.entry.forms, *match.entry.us, *match.entry.uk, *match.entry.slang}
    return term.lower() in names or term.lower().rstrip("s") in names


def hearing_recall(lexicon: Lexicon, rows: list[dict[str, str]]) -> tuple[float, list[str]]:
    """Mis-hearings taken for their term where the hinted neighbour is named; terms that are cues or measures are left out."""
    tried, missed = 0, []
    for row in rows:
        if row["context_hint"].split()[:1] != ["near"]:
            continue
        hint = row["context_hint"].removeprefix("near ").split(",")[0].split("(")[0].strip()
        sentence = FITTING.format(hint=hint, heard=row["heard_as"]).split()
        tried += 1
        if not any(is_term(m, row["term"]) for m in lexicon.find(sentence)):
            missed.append(f"{row['term']} < {' '.join(sentence)}")
    return 1 - len(missed) / tried, missed


def false_triggers(lexicon: Lexicon) -> tuple[float, list[str]]:
    lines = everyday_lines()
    wrong = [
        f"{m.entry.name} < {line}" for line in lines for m in lexicon.find(line.split()) if m.how in ("sound-alike", "fuzzy")
    ]
    return len({w.split(" < ")[1] for w in wrong}) / len(lines), wrong


def words_a_second(lexicon: Lexicon) -> float:
    lines = [line.split() for line in everyday_lines()] * 2
    began = time.process_time()
    for words in lines:
        lexicon.find(words)
    return sum(map(len, lines)) / (time.process_time() - began)


def load_times() -> tuple[float, float]:
    """Seconds of processor time for a first load and a load from the cache."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        times = []
        for _ in range(2):
            began = time.process_time()
            load_lexicon(cache=Path(folder))
            times.append(time.process_time() - began)
    return times[0], times[1]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--reference", type=Path, default=DEFAULT)
    parser.add_argument("--misses", action="store_true", help="print what was missed")
    options = parser.parse_args()
    if not (options.reference / "vocabulary.csv").is_file():
        print(f"no reference lists in {options.reference}; give their folder with --reference", file=sys.stderr)
        return 1
    lexicon = load_lexicon()
    terms, terms_missed = term_recall(lexicon, read(options.reference / "vocabulary.csv"))
    heard, heard_missed = hearing_recall(lexicon, read(options.reference / "soundalikes.csv"))
    wrong, wrong_lines = false_triggers(lexicon)
    cold, cached = load_times()
    print(f"terms found in three carrier sentences   {terms:.3f}   (aim 0.97; {len(terms_missed)} missed)")
    print(f"mis-hearings in a fitting sentence       {heard:.3f}   (aim 0.80; {len(heard_missed)} missed)")
    print(f"everyday lines with a false sound-alike  {wrong:.3f}   (at most 0.010)")
    print(f"words a second                           {words_a_second(lexicon):,.0f}   (at least 10,000)")
    print(f"load, cold and cached, seconds           {cold:.2f} {cached:.3f}   (at most 0.50 and 0.050; processor time)")
    if options.misses:
        print("\n".join(["", *terms_missed, "", *heard_missed, "", *wrong_lines]))
    return 0


if __name__ == "__main__":
    sys.exit(main())
