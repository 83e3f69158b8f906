"""Benchmarks in one call: `python -m tests.benchmarks NAME …`.

walks [FOLDER]   scores the lists of a folder of walkthroughs, from text and from sound, by the folder's own run.py
search           judged queries over made-up jobs; with --speed 10000,100000 also how it grows
exports          a list of 500 items with 100 pictures in every format
"""

import pathlib
import subprocess
import sys
from collections.abc import Sequence

DEFAULT = pathlib.Path("..") / "shared" / "walkthroughs"
COMMAND = f"{sys.executable} -m memo2list extract {{input}} --format json -o {{output}}"


def walks(words: Sequence[str]) -> int:
    """Both tables; further words go to run.py (`--as noisy`, `--only a01,a03`, `--misses`)."""
    folder, further = DEFAULT, list(words)
    if further and not further[0].startswith("-"):
        folder = pathlib.Path(further.pop(0))
    if not (folder / "run.py").is_file():
        print(f"{folder}: there are no walkthroughs with a run.py here; name their folder.", file=sys.stderr)
        return 1
    modes = [further.pop(further.index("--as") + 1)] if "--as" in further else ["text", "sound"]
    further = [w for w in further if w != "--as"]
    code = 0
    for mode in modes:
        print(f"\nFrom {mode}:", flush=True)
        call = [sys.executable, str(folder / "run.py"), str(folder), "--command", COMMAND, "--as", mode, *further]
        code = subprocess.run(call).returncode or code
    return code


def search(words: Sequence[str]) -> int:
    from tests.benchmarks import search as judged

    return judged.main(words)


def exports(words: Sequence[str]) -> int:
    from tests.benchmarks import exports as measured

    return measured.main(words)


BENCHMARKS = {"walks": walks, "search": search, "exports": exports}


def main(words: Sequence[str]) -> int:
    name, *rest = words or ["walks"]
    if name not in BENCHMARKS:
        print(f"{name!r} is no benchmark. Choose one of: {', '.join(BENCHMARKS)}.", file=sys.stderr)
        return 2
    return BENCHMARKS[name](rest)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
