"""The stages of listing, joined: gather findings into items, word them, and keep apart what is not listed."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from memo2list.judging import load_judge
from memo2list.listing.cautions import cautions
from memo2list.listing.confidence import chance_of, confidence, parts_of
from memo2list.listing.details import AS_FOUND, Details, details
from memo2list.listing.flagging import flags
from memo2list.listing.hazards import hazards
from memo2list.listing.keys import base_key, numbered
from memo2list.listing.merging import Group, gather
from memo2list.listing.questions import questions
from memo2list.listing.remedies import adopt_remedies
from memo2list.listing.similarity import judgement
from memo2list.listing.wording import heard, kind_of, location, names, quotes, speakers, title
from memo2list.records import DOUBTFUL, LISTED, STATUS_OF, Certainty, Finding, Item, PunchList, Quantity, Reading, SetAside
from memo2list.vocabulary.entries import Entry, EntryKind, Matcher
from memo2list.vocabulary.tokens import split_word

MOST_STEPS = 40
NEARBY = 8  # words an element may stand before a claim to be the one that names the item
LISTED_FROM = 0.35  # chance of a whole item from which it is listed; plain statements without a remedy lie just above
DANGER_FROM = 0.3  # the same for a matter of safety


def list_items(readings: Sequence[Reading], lexicon: Matcher) -> PunchList:
    """The list of one or more recordings in order; a pure function of its arguments."""
    listed = [(n, f) for n, r in enumerate(readings) for f in in_order(r.findings) if f.assertion.listed and f.element]
    gathered = gather([pair for pair in listed if pair[1].reader == "quick"], lexicon)
    chances = chance_of(load_judge("items"), [g.findings for g in gathered])
    worth = worth_listing(readings, gathered, chances, lexicon)
    groups = [(g, c) for g, c, listed_too in zip(gathered, chances, worth, strict=True) if listed_too]
    doubtful = [(g, c) for g, c, listed_too in zip(gathered, chances, worth, strict=True) if not listed_too]
    groups += [(Group(n, [f]), own_chance(f)) for n, f in listed if f.reader == "deep"]  # whole items already
    for recording, reading in enumerate(readings):
        adopt_remedies(reading, [g for g, _ in groups if g.recording == recording])
    unsafe = hazards([(g.findings, said_in(readings[g.recording], g.findings)) for g, _ in groups], lexicon)
    items = [
        replace(make_item(readings[g.recording], g, c, lexicon, told), safety=hurts)
        for (g, c), hurts, told in zip(groups, unsafe, details_of(readings, [g for g, _ in groups], lexicon), strict=True)
    ]
    keys = numbered([item.key for item in items])
    numbered_items = tuple(replace(i, number=n, key=k) for n, (i, k) in enumerate(zip(items, keys, strict=True), 1))
    return PunchList(
        tuple(r.transcript.recording for r in readings),
        numbered_items,
        tuple(s for n, r in enumerate(readings) for s in put_aside(n, r, groups, doubtful)),
        tuple(dict.fromkeys(flag for r in readings for flag in r.flags)),
    )


def worth_listing(readings: Sequence[Reading], groups: Sequence[Group], chances: Sequence[float], lexicon: Matcher) -> list[bool]:
    """Likely items, and dangers that are nearly as likely: one passed over costs more than a line to look at."""
    close = [g for g, c in zip(groups, chances, strict=True) if DANGER_FROM <= c < LISTED_FROM]
    unsafe = iter(hazards([(g.findings, said_in(readings[g.recording], g.findings)) for g in close], lexicon))
    return [c >= LISTED_FROM or (c >= DANGER_FROM and next(unsafe)) for c in chances]


def said_in(reading: Reading, findings: Sequence[Finding]) -> list[str]:
    """The plain words of the passages behind an item, each passage once."""
    ranges = dict.fromkeys(r for f in findings for r in (f.evidence or (f.words,)))
    words = [w.text for r in ranges for w in reading.transcript.words[r.first : r.stop]]
    return [token for word in words for token in split_word(word)]


def own_chance(finding: Finding) -> float:
    """How sure the deep reader was of a row; listing/agreement.py weighs it against the quick reader's view."""
    return next((p.value for p in finding.parts if p.name == "deep"), 0.5)


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    return sorted(findings, key=lambda f: (f.words.first, f.words.stop))


def details_of(readings: Sequence[Reading], groups: Sequence[Group], lexicon: Matcher) -> list[Details]:
    """Place and measures of each group of the quick reader; the deep reader tells its own."""
    out = [AS_FOUND] * len(groups)
    for recording, reading in enumerate(readings):
        own = [n for n, g in enumerate(groups) if g.recording == recording and g.findings[0].reader == "quick"]
        for n, told in zip(own, details(reading, [groups[n].findings for n in own], lexicon), strict=True):
            out[n] = told
    return out


def make_item(reading: Reading, group: Group, chance: float, lexicon: Matcher, told: Details = AS_FOUND) -> Item:
    findings = group.findings
    element = main_element(findings)
    issues, actions = names(m for f in findings for m in f.problems), names(m for f in findings for m in f.actions)
    place = told.location or location(findings)
    sums = quantities(findings) if told.quantities is None else told.quantities
    materials = tuple(dict.fromkeys(m.said or m.entry for f in findings for m in f.materials))
    entries = entries_of(findings, lexicon)
    parts = parts_of(reading.transcript, findings, chance)
    if told.place:
        parts = (*(p for p in parts if p.name != "place"), told.place)
    sure = confidence(parts)
    problems = tuple(m.entry for f in findings for m in f.problems)
    deeds = tuple(m.entry for f in findings for m in f.actions)
    claim = problems[0] if problems else deeds[0] if deeds else ""
    return Item(
        number=0,
        key=base_key(reading.transcript.recording.sha256, element, claim, place),
        kind="verify" if any(f.to_verify for f in findings) else kind_of(problems, [lexicon.entry("action", d) for d in deeds]),
        title=title(element, problems, deeds),
        element=element,
        heard=heard(findings),
        issues=issues,
        actions=actions,
        location=place,
        quantities=sums,
        materials=materials,
        certainty=certainty(findings),
        safety=any(f.safety for f in findings),
        by=speakers(findings),
        quotes=quotes(reading, findings),
        questions=questions(entries, sums, materials, place),
        cautions=cautions(getattr(lexicon, "cautions", ()), entries, element, problems, deeds),
        flags=flags(findings, reading.transcript.doubts, place, sums, sure),
        confidence=sure,
        parts=parts,
        steps=(*told.steps, *(s for f in findings for s in f.steps))[:MOST_STEPS],
    )


def main_element(findings: Sequence[Finding]) -> str:
    """The element said in the same passage as what is wrong with it, of several the likeliest."""
    named = [(f.element.words.first - f.words.first >= -NEARBY, judgement(f), f.element.entry) for f in findings if f.element]
    return max(named)[2] if named else ""


def entries_of(findings: Sequence[Finding], lexicon: Matcher) -> list[Entry | None]:
    kinds: list[tuple[EntryKind, str]] = []
    for f in findings:
        kinds += [("element", f.element.entry)] if f.element else []
        kinds += [("problem", m.entry) for m in f.problems] + [("action", m.entry) for m in f.actions]
    return [lexicon.entry(kind, name) for kind, name in dict.fromkeys(kinds)]


def quantities(findings: Sequence[Finding]) -> tuple[Quantity, ...]:
    """Quantities of all findings, the same value and unit once."""
    return tuple({(q.value, q.unit): q for f in findings for q in f.quantities}.values())


def certainty(findings: Sequence[Finding]) -> Certainty:
    """The firmest word spoken about it, but a remedy alone does not settle a hedged problem."""
    telling = [f for f in findings if f.problems] or list(findings)
    statuses = {f.assertion.status for f in telling}
    return "stated" if "stated" in statuses else "conditional" if "conditional" in statuses else "possible"


def put_aside(
    number: int, reading: Reading, groups: Sequence[tuple[Group, float]], doubtful: Sequence[tuple[Group, float]]
) -> Iterable[SetAside]:
    """What is not listed: findings with a reason against them, and items that are too doubtful, in order of time.

    What was listed from the same passage under another element is not repeated here.
    """
    listed = {
        (f.passage, m.entry) for g, _ in groups if g.recording == number for f in g.findings for m in (*f.problems, *f.actions)
    }
    found = [[f] for f in reading.findings if not f.assertion.listed]
    found += [g.findings for g, _ in doubtful if g.recording == number]
    for findings in sorted(found, key=lambda group: group[0].words.first):
        claimed = {(f.passage, m.entry) for f in findings for m in (*f.problems, *f.actions)}
        if not claimed & listed:
            yield set_aside(reading, findings)


def set_aside(reading: Reading, findings: Sequence[Finding]) -> SetAside:
    first = findings[0]
    why, because = reason(findings)
    return SetAside(
        why,
        first.element.entry if first.element else "",
        names(m for f in findings for m in f.problems),
        names(m for f in findings for m in f.actions),
        quotes(reading, findings),
        because,
        tuple(s for f in findings for s in f.steps)[:MOST_STEPS],
    )


def reason(findings: Sequence[Finding]) -> tuple[str, str]:
    """Why findings are set aside, and the cue's words: the reader's status, else the strongest cue, else the doubt."""
    cues = [c for f in findings for c in f.assertion.because]
    first = findings[0].assertion
    if not first.listed:
        return first.status, first.because[0].phrase if first.because else ""
    for category, why in STATUS_OF:
        telling = [c for c in cues if c.category == category and why not in LISTED]
        if telling:
            return why, telling[0].phrase
    return DOUBTFUL, ""
