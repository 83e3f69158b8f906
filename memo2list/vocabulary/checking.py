"""Checks what packs say: faults come back as `Problem`s with file, line and remedy; nothing here raises.

Each check is one function over everything read; `CHECKS` is the list of them.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path

from memo2list.errors import Problem
from memo2list.vocabulary.entries import Entry
from memo2list.vocabulary.inflect import VARIANTS
from memo2list.vocabulary.packs import Contents, read_pack
from memo2list.vocabulary.patterns import PatternError, compile_pattern
from memo2list.vocabulary.tokens import split_form

SENSES = {
    "place": ("side", "floor", "room", "outside", "unit", "relative", "spot"),
    "material": ("material", "product", "finish", "colour"),
    "action": ("work", "verify"),
}
NEEDS = ("length", "area", "count", "colour", "profile", "size", "material", "height", "volume")


def check_packs(folders: Sequence[Path], own: Sequence[Path] = ()) -> tuple[Problem, ...]:
    """All faults of the packs in these folders, in the order of the files.

    `own`: the user's packs. They may use a shipped name again, to override it; otherwise they are checked alike.
    """
    shipped, mine = _read(folders), _read(own)
    overridden = {(e.kind, e.name) for e in mine.entries}
    kept = replace(shipped, entries=tuple(e for e in shipped.entries if (e.kind, e.name) not in overridden))
    contents = kept + mine
    found = [*contents.problems]
    for check in CHECKS:
        found.extend(check(contents))
    return tuple(dict.fromkeys(found))


def _read(folders: Sequence[Path]) -> Contents:
    contents = Contents()
    for folder in folders:
        contents += read_pack(folder)
    return contents


def descriptions(contents: Contents) -> Iterable[Problem]:
    """Every description and cue phrase can be read."""
    groups = dict(contents.groups)
    for entry in contents.entries:
        for said in entry.said:
            yield from _pattern(entry.source, f"the description {said!r} of {entry.name!r}", said, groups)
    for cue in contents.cues:
        yield from _pattern("common/cues.toml", f"the {cue.category} phrase {cue.phrase!r}", cue.phrase, groups)


def _pattern(where: str, label: str, text: str, groups: Mapping[str, Sequence[str]]) -> Iterable[Problem]:
    try:
        compile_pattern(text, groups)
    except PatternError as error:
        yield Problem(where, f"{label} cannot be read: {error}", "lexicon/README.md explains the pattern language.")


def duplicates(contents: Contents) -> Iterable[Problem]:
    """A name is used once for a kind; a user's pack may override it, and then only one of them is read here."""
    seen: dict[tuple[str, str], Entry] = {}
    for entry in contents.entries:
        first = seen.setdefault((entry.kind, entry.name), entry)
        if first is not entry:
            yield Problem(
                entry.source, f"{entry.kind} {entry.name!r} is in {first.source} too.", "Keep one and add your forms there."
            )


def references(contents: Contents) -> Iterable[Problem]:
    """What an entry names exists: its parent, its element, its cautions, what it fits."""
    names: dict[str, set[str]] = {}
    for entry in contents.entries:
        names.setdefault(entry.kind, set()).add(entry.name)
    elements = names.get("element", set())
    fitting = elements | {e.pack for e in contents.entries}
    cautions = {rule.name for rule in contents.cautions}
    for entry in contents.entries:
        wanted: list[tuple[str, Sequence[str], set[str]]] = [
            ("part_of", (entry.part_of,), elements),
            ("element", (entry.element,), elements),
            ("kind_of", (entry.kind_of,), names[entry.kind]),
            ("cautions", entry.cautions, cautions),
            ("fits", entry.fits, fitting),
        ]
        for key, values, known in wanted:
            for value in filter(None, values):
                if value not in known:
                    what = f"{key} of {entry.name!r} names {value!r}, which does not exist."
                    yield Problem(entry.source, what, _hint(value, known))
    for rule in contents.cautions:
        for kind, triggers in (("element", rule.elements), ("problem", rule.problems), ("action", rule.actions)):
            for value in triggers:
                if value not in names.get(kind, set()):
                    what = f"caution {rule.name!r} names the {kind} {value!r}, which does not exist."
                    yield Problem("common/cautions.toml", what, _hint(value, names.get(kind, set())))


def _hint(value: str, known: set[str]) -> str:
    near = get_close_matches(value, known, 1)
    return f"Did you mean {near[0]!r}?" if near else "Add it, or name another."


def allowed_values(contents: Contents) -> Iterable[Problem]:
    """`sense` and `needs` hold words the tool knows."""
    for entry in contents.entries:
        senses = SENSES.get(entry.kind, ())
        if entry.sense and entry.sense not in senses:
            what = f"sense {entry.sense!r} of {entry.name!r} is unknown."
            yield Problem(entry.source, what, f"Write one of {', '.join(senses)}." if senses else "Leave it out.")
        for need in entry.needs:
            if need not in NEEDS:
                what = f"needs of {entry.name!r} has {need!r}."
                yield Problem(entry.source, what, f"Write some of {', '.join(NEEDS)}.")


def swallowed(contents: Contents) -> Iterable[Problem]:
    """A form that is another entry's own name would take its mentions away, unless they are related or it is doubtful."""
    names = {(e.kind, split_form(e.name)): e for e in contents.entries}
    for entry in contents.entries:
        for form in dict.fromkeys((*entry.forms, *entry.us, *entry.uk, *entry.slang)):
            other = names.get((entry.kind, split_form(form)))
            if other and other.name != entry.name and form not in entry.doubtful and not related(entry, other):
                what = f"{entry.name!r} has the form {form!r}, which is the name of the entry in {other.source}."
                yield Problem(entry.source, what, "Take the form out, or make one a kind_of or part_of the other.")


def related(a: Entry, b: Entry) -> bool:
    return b.name in (a.kind_of, a.part_of) or a.name in (b.kind_of, b.part_of) or bool(a.kind_of and a.kind_of == b.kind_of)


def needless_forms(contents: Contents) -> Iterable[Problem]:
    """Forms that are derived anyway (plurals, verb forms) only make a pack longer."""
    for entry in contents.entries:
        derived = set(VARIANTS[entry.kind](split_form(entry.name))) if split_form(entry.name) else set()
        for form in entry.forms:
            if split_form(form) in derived and form not in entry.doubtful:
                yield Problem(entry.source, f"{form!r} of {entry.name!r} is found without being listed.", "Take it out.")


Check = Callable[[Contents], Iterable[Problem]]
CHECKS: tuple[Check, ...] = (descriptions, duplicates, references, allowed_values, swallowed, needless_forms)
