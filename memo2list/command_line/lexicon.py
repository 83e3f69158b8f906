"""Commands that look after the lexicon: check it, sample an entry, try a sentence, add an entry of one's own."""

import sys

import click

KINDS = ("element", "problem", "action", "material", "place")


@click.group()
def lexicon() -> None:
    """Check the lexicon, see what it understands, and add words of your own."""


@lexicon.command()
@click.option("--counts", is_flag=True, help="Also show how many entries each pack has.")
def check(counts: bool) -> None:
    """Look through all packs, shipped and your own, and name each fault with its file, line and remedy."""
    from memo2list.vocabulary.checking import check_packs
    from memo2list.vocabulary.packs import own_folder, pack_folders, shipped_folder

    own = pack_folders(own_folder())
    problems = check_packs(pack_folders(shipped_folder()), own)
    if counts:
        show_counts()
    for problem in problems:
        click.echo(str(problem))
    click.echo(f"{len(problems)} fault{'s' * (len(problems) != 1)} in the lexicon." if problems else "The lexicon is in order.")
    sys.exit(1 if problems else 0)


def show_counts() -> None:
    from collections import Counter

    from memo2list.vocabulary.lexicon import load_lexicon

    counted: Counter[tuple[str, str]] = Counter((e.pack, str(e.kind)) for e in load_lexicon().entries)
    packs = sorted({pack for pack, _ in counted})
    click.echo(f"{'pack':18}" + "".join(f"{kind:>10}" for kind in KINDS))
    for pack in packs:
        click.echo(f"{pack:18}" + "".join(f"{counted[pack, kind]:>10}" for kind in KINDS))
    click.echo(f"{'all':18}" + "".join(f"{sum(n for (_, k), n in counted.items() if k == kind):>10}" for kind in KINDS))


@lexicon.command()
@click.argument("entry")
@click.option("--kind", type=click.Choice(KINDS), help="Only the entry of this kind.")
def sample(entry: str, kind: str | None) -> None:
    """Show the phrases by which ENTRY is found, with its inflections, descriptions and known mis-hearings."""
    from memo2list.vocabulary.lexicon import load_lexicon

    loaded = load_lexicon()
    found = [e for e in loaded.entries if e.name == entry.lower() and kind in (None, e.kind)]
    if not found:
        raise unknown(entry, [e.name for e in loaded.entries if kind in (None, e.kind)])
    for one in found:
        click.echo(f"{one.name} ({one.kind}, {one.source})")
        for form, how in loaded.forms_of(one):
            click.echo(f"  {how:12} {form}")


def unknown(name: str, names: list[str]) -> Exception:
    from difflib import get_close_matches

    from memo2list.errors import InputError

    near = get_close_matches(name.lower(), names, 3)
    hint = f"Did you mean {' or '.join(map(repr, near))}?" if near else "`memo2list lexicon try` shows what a sentence holds."
    return InputError(name, "is no entry of the lexicon.", hint)


@lexicon.command("try")
@click.argument("sentence")
def try_(sentence: str) -> None:
    """Show what is matched in SENTENCE, by which form and how, and which cues it holds."""
    from memo2list.vocabulary.lexicon import load_lexicon

    loaded, words = load_lexicon(), sentence.split()
    for match in loaded.find(words):
        said = " ".join(words[match.start : match.stop])
        why = f'{match.how} of "{match.form}"' + (f", likeness {match.score:.2f}" if match.score < 0.9 else "")
        click.echo(f"{match.entry.kind:9} {match.entry.name:24} {said!r}: {why} ({match.entry.source})")
    for start, stop, cue in loaded.cues(words):
        click.echo(f"{'cue':9} {cue.category:24} {' '.join(words[start:stop])!r}: {cue.direction}, {cue.reach} words")


@lexicon.command()
@click.option("--kind", type=click.Choice(KINDS), prompt="What is it", help="What it is.")
@click.option("--name", prompt="The plainest trade word for it, singular", help="Its name.")
@click.option(
    "--forms", prompt="Other ways to say it, with commas between (may be empty)", default="", help="Other forms, with commas."
)
@click.option(
    "--said", prompt="Descriptions, with semicolons between (may be empty)", default="", help="Descriptions, with semicolons."
)
@click.option("--pack", prompt="Which of your packs", default="mine", show_default=True, help="Your own pack it goes into.")
def add(kind: str, name: str, forms: str, said: str, pack: str) -> None:
    """Ask for a new entry and write it to a pack of your own; shipped packs are never changed."""
    from memo2list.vocabulary.adding import add_entry
    from memo2list.vocabulary.checking import check_packs
    from memo2list.vocabulary.packs import own_folder, pack_folders, shipped_folder

    values = {"forms": parts(forms, ","), "said": parts(said, ";")}
    path = add_entry(own_folder(), pack, kind, name, values)  # type: ignore[arg-type]
    click.echo(f"Written to {path}.")
    for problem in check_packs(pack_folders(shipped_folder()), pack_folders(own_folder())):
        if problem.where.startswith(f"{pack}/"):
            click.echo(f"Look at this: {problem}")


def parts(text: str, mark: str) -> list[str]:
    return [part.strip() for part in text.split(mark) if part.strip()]
