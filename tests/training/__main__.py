"""`python -m tests.training prepare OUT`: the labelled walkthroughs as pairs to tune on, and the command that tunes.

    prepare OUT [--walks FOLDER] [--base BASE.gguf] [--passes 12] [--add FILE.json ...]

OUT receives train.jsonl (one {"prompt", "answer"} a line in the order of training), ask.jsonl (the
windows of tests/walks/check, which nothing is tuned on) and data.json (digests and counts of what it
was made from). Preparing takes two minutes on one core and needs neither a GPU nor PyTorch; tuning needs both.
"""

import argparse
import hashlib
import json
import pathlib
import random
import sys
from collections.abc import Iterable

from memo2list.reading.deep.windows import prompt, windows
from memo2list.vocabulary.lexicon import load_lexicon
from tests.training import samples
from tests.training.misheard import misheard as misheard_terms
from tests.training.spelling import spelling

WALKS = pathlib.Path(__file__).parent.parent / "walks"
PASSES = 12


def digest(paths: Iterable[pathlib.Path]) -> str:
    """SHA-256 over names and contents, in order of name."""
    whole = hashlib.sha256()
    for path in sorted(paths, key=lambda p: p.name):
        whole.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return whole.hexdigest()


def asked(docs: Iterable[dict]) -> list[dict[str, str]]:
    """The prompts of whole walkthroughs, cut as they are cut when a recording is read."""
    out = []
    for doc in docs:
        told = samples.talk(doc, samples.PLAIN, random.Random(0))
        out += [{"id": f"{doc['id']}:{n}", "prompt": prompt(told.rows, w)} for n, w in enumerate(windows(told.rows))]
    return out


def write_lines(path: pathlib.Path, rows: Iterable[dict[str, str]]) -> int:
    lines = [json.dumps(row, ensure_ascii=False) for row in rows]
    path.write_text("".join(line + "\n" for line in lines), encoding="utf-8")
    return len(lines)


def prepare(out: pathlib.Path, walks: pathlib.Path = WALKS, passes: int = PASSES, more: Iterable[pathlib.Path] = ()) -> dict:
    """Write the three files; the note of what they were made from is given back. ValueError if there is no walkthrough."""
    learnt = [*sorted((walks / "training").glob("*.json")), *sorted((walks / "scenes").glob("*.json")), *more]
    if not learnt:
        raise ValueError(f"{walks} holds no walkthroughs: training/*.json and scenes/*.json are looked for.")
    checked = sorted((walks / "check").glob("*.json"))
    misheard = misheard_terms(load_lexicon().entries)
    docs = list(samples.documents(learnt))
    hearing = samples.Hearing(misheard, spelling(docs))
    out.mkdir(parents=True, exist_ok=True)
    pairs = ({"prompt": asks, "answer": says} for asks, says in samples.samples(docs, passes, hearing))
    note = {
        "data_sha256": digest(learnt),
        "files": len(learnt),
        "documents": len(docs),
        "passes": passes,
        "misheard_terms": len(misheard),
        "pairs": write_lines(out / "train.jsonl", pairs),
        "check_sha256": digest(checked),
        "asked": write_lines(out / "ask.jsonl", asked(samples.documents(checked))),
    }
    (out / "data.json").write_text(json.dumps(note, indent=1) + "\n", encoding="utf-8")
    return note


def command(out: pathlib.Path, base: str) -> str:
    made = f"--train {out / 'train.jsonl'} --ask {out / 'ask.jsonl'} --data {out / 'data.json'}"
    return f"python -m tests.training.train {base} {out / 'adapter'} {made}"


def main(argv: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.training", description=__doc__.splitlines()[0])
    parser.add_argument("what", choices=["prepare"])
    parser.add_argument("out", type=pathlib.Path)
    parser.add_argument("--walks", type=pathlib.Path, default=WALKS)
    parser.add_argument("--base", default="BASE.gguf")
    parser.add_argument("--passes", type=int, default=PASSES)
    parser.add_argument("--add", type=pathlib.Path, nargs="*", default=[], help="walkthroughs of your own (memo2list walks save)")
    args = parser.parse_args(argv)
    try:
        note = prepare(args.out, args.walks, args.passes, args.add)
    except (OSError, ValueError) as error:
        print(error, file=sys.stderr)
        return 1
    print(f"{note['pairs']} pairs of {note['documents']} walkthroughs and scenes in {args.out}; data {note['data_sha256'][:16]}")
    print(f"Now, on a machine with a GPU and PyTorch, transformers and peft:\n  {command(args.out, args.base)}")
    print("then put its adapter*.npz and note.json into memo2list/reading/deep/adapter_files.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
