"""How well a word's time is met, on real human speech with published alignments.

    python -m tests.benchmarks.hearing_times [FOLDER] [--models base,tiny.en]

FOLDER (default tests/outside/data/librivox, see the README there) holds readings, each with a JSON file of word times.
Those times were made by a recogniser, not by hand. Only words heard as written are compared.
"""

import argparse
import json
import pathlib
import re
import statistics
import sys

from tests.benchmarks.hearing_scores import normal

HERE = pathlib.Path(__file__).parents[1] / "outside" / "data" / "librivox"
NEAR_MS = 250
TITLES = {"mister": "mr", "missus": "mrs"}


def readings(folder: pathlib.Path) -> list[pathlib.Path]:
    """Recordings of the folder that have a JSON of word times beside them."""
    return sorted(f for f in folder.iterdir() if f.suffix in (".wav", ".flac") and f.with_suffix(".json").exists())


def published(path: pathlib.Path) -> list[tuple[str, int, int]]:
    """(word, start, end in milliseconds) of each word of one alignment, without silences and marks of pronunciation."""
    words = json.loads(path.read_text(encoding="utf-8"))["w"]
    named = ((re.sub(r"\(\d+\)$", "", w["t"]).lower(), w) for w in words)
    return [(TITLES.get(t, t), round(1000 * w["b"]), round(1000 * (w["b"] + w["d"]))) for t, w in named if t[0] not in "<["]


def heard(path: pathlib.Path, recogniser) -> list[tuple[str, int, int]]:
    from memo2list.hearing import hear

    found = []
    for word in hear(path, recogniser=recogniser, bias=False).words:
        found += [(text, word.span.start_ms, word.span.end_ms) for text in normal(word.text)[:1]]
    return found


def paired(one, other):
    """Words both have, in order."""
    import jiwer

    for chunk in jiwer.process_words(" ".join(w for w, *_ in one), " ".join(w for w, *_ in other)).alignments[0]:
        if chunk.type == "equal":
            yield from zip(
                one[chunk.ref_start_idx : chunk.ref_end_idx], other[chunk.hyp_start_idx : chunk.hyp_end_idx], strict=True
            )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", nargs="?", type=pathlib.Path, default=HERE)
    parser.add_argument("--models", default="base,tiny.en")
    args = parser.parse_args()
    files = readings(args.folder)
    if not files:
        sys.exit(f"{args.folder} has no recordings with a JSON of word times beside them.")
    for model in args.models.split(","):
        report(model, files)


def report(model: str, files: list[pathlib.Path]) -> None:
    import jiwer

    from memo2list.hearing.whisper import WhisperRecogniser
    from memo2list.weights import find_speech_weights

    recogniser = WhisperRecogniser(find_speech_weights(model), model)
    starts, ends, said, got = [], [], [], []
    for path in files:
        one, other = published(path.with_suffix(".json")), heard(path, recogniser)
        said.append(" ".join(w for w, *_ in one))
        got.append(" ".join(w for w, *_ in other))
        for (_, start, end), (_, first, last) in paired(one, other):
            starts.append(first - start)
            ends.append(last - end)
    for name, gaps in (("start", starts), ("end", ends)):
        off = [abs(g) for g in gaps]
        near = sum(o <= NEAR_MS for o in off) / len(off)
        print(
            f"{model:8} {name:5} of {len(gaps)} words: median off {statistics.median(off):.0f} ms "
            f"(mean {statistics.mean(gaps):+.0f}), "
            f"within {NEAR_MS} ms {near:.1%}, worst {max(off)} ms"
        )
    print(f"{model:8} word error rate {jiwer.wer(said, got):.1%}")


if __name__ == "__main__":
    main()
