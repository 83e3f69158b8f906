"""How good a hearing is: word error rate, deletions, missed and planted terms. The normaliser is all there is in `normal`."""

import json
import pathlib
import re
from dataclasses import dataclass

ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen"
).split()
TENS = "- - twenty thirty forty fifty sixty seventy eighty ninety".split()
FILLERS = re.compile(r"\b(?:h\.?m+|m+h?m+|u+h+m*|u+m+|er|erm|ah)\b\.?")
# short forms, as in the English normaliser published with Whisper (whisper/normalizers/english.py), which writes them out
SHORT = {
    "is": "'s",
    "has": "'s",
    "would": "'d",
    "had": "'d",
    "not": "n't",
    "are": "'re",
    "have": "'ve",
    "will": "'ll",
    "am": "'m",
}
SLURRED = {"gonna": "going to", "gotta": "got to", "wanna": "want to", "woulda": "would have", "coulda": "could have"}
SLURRED |= {
    "shoulda": "should have",
    "lemme": "let me",
    "gimme": "give me",
    "em": "them",
    "alright": "all right",
}  # the last line: ours
# UK and US spellings that the lexicon has no need of
ONE_SPELLING = {"metre": "meter", "metres": "meters", "litre": "liter", "litres": "liters", "licence": "license"}
ONE_SPELLING |= {"licenced": "licensed", "centre": "center", "centres": "centers"}


@dataclass(frozen=True)
class Score:
    """`words` to `insertions` as spoken, writing habits made equal; `strict` is the error rate without that (see `normal`)."""

    strict: float
    words: int
    substitutions: int
    deletions: int
    insertions: int
    terms: int
    missed: tuple[tuple[str, str], ...]  # (term said, what was heard)
    planted: tuple[tuple[str, str], ...]  # (term heard, what was said)

    @property
    def error_rate(self) -> float:
        return (self.substitutions + self.deletions + self.insertions) / self.words


def normal(text: str) -> list[str]:
    """Lower case; digits as words, "$" and "%" too; hyphens and slashes as spaces; "4x4" as "four by four"; no punctuation, no
    fillers. Slurred words are written out ("gonna"), as they often are by recognisers.

    >>> normal("It's $1,200, 4.5 gonna do")
    ["it's", 'one', 'thousand', 'two', 'hundred', 'dollars', 'four', 'point', 'five', 'going', 'to', 'do']
    """
    text = FILLERS.sub(" ", text.lower().replace("’", "'"))
    text = re.sub(r"(\d+)\s*[x×]\s*(\d+)", r"\1 by \2", text).replace("%", " percent ")
    text = re.sub(r"\$(\d[\d.,]*)", r"\1 dollars", re.sub(r"(\d),(\d{3})\b", r"\1\2", text))
    text = re.sub(r"(\d)\.(\d)", r"\1 point \2", text)
    text = re.sub(r"\d+", lambda m: f" {spelled(int(m[0]))} ", re.sub(r"[-–—/]", " ", text))
    words = (w.strip("'") for w in re.sub(r"[^a-z' ]", " ", text).split())
    return " ".join(SLURRED.get(w, w) for w in words).split()


def alike(words: list[str], others: list[str]) -> list[str]:
    """`words` with habits of writing made equal on both sides.

    OK and okay, UK and US spelling, words written as one, short forms ("wall is", "wall's"): where either side has the short one.

    >>> alike(["ok", "deck", "boards"], ["deckboards"])
    ['okay', 'deckboards']
    >>> alike(["it", "is", "not"], ["it's"])
    ["it's", 'not']
    """
    words = [_usual(w) for w in words]
    known, out, at = {*words, *(_usual(w) for w in others)}, [], 0
    while at < len(words):
        pair = words[at : at + 2]
        one = next((w for w in _as_one(pair) if w in known), None)
        out.append(one or words[at])
        at += 2 if one else 1
    return out


def _as_one(pair: list[str]) -> list[str]:
    if len(pair) < 2:
        return []
    return [pair[0] + pair[1], *([pair[0] + SHORT[pair[1]]] if pair[1] in SHORT else [])]


def _usual(word: str) -> str:
    from memo2list.vocabulary.inflect import respelled

    bare, end = (word[:-2], "'s") if word.endswith("'s") else (word, "")
    return "okay" if bare == "ok" else min(t[0] for t in respelled((ONE_SPELLING.get(bare, bare),))) + end


def spelled(number: int) -> str:
    if number < 20:
        return ONES[number]
    for size, name in ((1000, "thousand"), (100, "hundred")):
        if number >= size:
            rest = number % size
            return f"{spelled(number // size)} {name}" + (f" {spelled(rest)}" if rest else "")
    return TENS[number // 10] + (f" {ONES[number % 10]}" if number % 10 else "")


def said_in(walk: pathlib.Path) -> list[str]:
    return normal(" ".join(t["text"] for t in json.loads(walk.read_text(encoding="utf-8"))["turns"]))


def score(said: list[str], heard: list[str], lexicon) -> Score:
    import jiwer

    strict = jiwer.wer(" ".join(said), " ".join(heard))
    said, heard = alike(said, heard), alike(heard, said)
    result = jiwer.process_words(" ".join(said), " ".join(heard))
    pairs = {}
    for chunk in result.alignments[0]:
        if chunk.type == "equal":
            pairs |= zip(
                range(chunk.ref_start_idx, chunk.ref_end_idx), range(chunk.hyp_start_idx, chunk.hyp_end_idx), strict=True
            )
    back = {h: s for s, h in pairs.items()}
    spans = term_spans(said, lexicon)
    return Score(
        strict,
        len(said),
        result.substitutions,
        result.deletions,
        result.insertions,
        len(spans),
        tuple(_lost(said, spans, heard, pairs, lexicon)),
        tuple(_lost(heard, term_spans(heard, lexicon), said, back, lexicon)),
    )


def term_spans(words: list[str], lexicon) -> list[tuple[int, int]]:
    """Where a lexicon form stands, longest forms only."""
    found = {(m.start, m.stop) for m in lexicon.find(words) if m.how in ("exact", "variant") and not m.inner}
    return sorted(s for s in found if not any(o != s and o[0] <= s[0] and s[1] <= o[1] for o in found))


def _lost(words, spans, others, pairs, lexicon):
    """Terms of `words` that do not stand at the same place of `others`, whatever the spaces, possessives, US or UK spelling.

    Another form of the same entry is no loss: "cracked" for "crack" reads as the same problem.
    """
    for start, stop in spans:
        if all(n in pairs for n in range(start, stop)):
            continue
        first = next((pairs[n] + 1 for n in range(start - 1, -1, -1) if n in pairs), 0)
        last = next((pairs[n] for n in range(stop, len(words)) if n in pairs), len(others))
        there = {t for a in range(first, last) for b in range(a, last) for t in _spellings(others[a : b + 1])}
        if not _spellings(words[start:stop]) & there and not _entries(words[start:stop], lexicon) & _entries(
            others[first:last], lexicon
        ):
            yield " ".join(words[start:stop]), " ".join(others[first:last])


def _entries(words: list[str], lexicon) -> set[str]:
    return {m.entry.name for m in lexicon.find(words) if m.how in ("exact", "variant")}


def _spellings(words: list[str]) -> set[str]:
    from memo2list.vocabulary.inflect import respelled

    bare = tuple(w.removesuffix("'s") for w in words)
    return {"".join(t) for t in (bare, *respelled(bare), tuple(w.replace("'", "") for w in words))}
