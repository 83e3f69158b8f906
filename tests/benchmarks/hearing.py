"""How well and how fast we hear, beside plain faster-whisper in the same run.

    python -m tests.benchmarks.hearing [FOLDER] [--models base,tiny.en] [--only a01,b01.noisy] [--modes plain,ours] [--details]
        [--keep FOLDER] [--again]

FOLDER holds walkthroughs with their sound in audio/ (default ../shared/walkthroughs). Modes:
plain    faster-whisper's defaults: beam 5, no voice detection, no bias, four threads
batched  faster-whisper's own batched pipeline, eight at a time
first    ours without a second hearing
ours     ours, all of it
--keep writes what was heard into a folder; with --again it is taken from there, for scoring by another lexicon or scorer.
Wall times mean something only on an otherwise idle machine; CPU time beside them is steadier.
"""

import argparse
import json
import pathlib
import resource
import sys
import time
from collections import defaultdict

from tests.benchmarks.hearing_scores import normal, said_in, score


def plain(folder):
    from faster_whisper import WhisperModel

    model = WhisperModel(str(folder), device="cpu", compute_type="int8")
    return lambda path: " ".join(s.text for s in model.transcribe(str(path), word_timestamps=True)[0])


def batched(folder):
    from faster_whisper import BatchedInferencePipeline, WhisperModel

    model = BatchedInferencePipeline(WhisperModel(str(folder), device="cpu", compute_type="int8"))
    return lambda path: " ".join(s.text for s in model.transcribe(str(path), batch_size=8, word_timestamps=True)[0])


def ours(folder, lexicon, bias=True):
    from memo2list.hearing import hear
    from memo2list.hearing.whisper import WhisperRecogniser

    recogniser = WhisperRecogniser(folder, folder.name)
    return lambda path: " ".join(
        w.text for w in hear(path, lexicon=lexicon, recogniser=recogniser, bias=bias, speakers=False).words
    )


def way(mode, folder, lexicon):
    if mode in ("ours", "first"):
        return ours(folder, lexicon, bias=mode == "ours")
    return {"plain": plain, "batched": batched}[mode](folder)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", nargs="?", type=pathlib.Path, default=pathlib.Path("../shared/walkthroughs"))
    parser.add_argument("--models", default="base,tiny.en")
    parser.add_argument("--modes", default="plain,ours")
    parser.add_argument("--only", default="")
    parser.add_argument("--details", action="store_true")
    parser.add_argument("--keep", type=pathlib.Path)
    parser.add_argument("--again", action="store_true")
    args = parser.parse_args()
    files = sorted((args.folder / "audio").glob("*.opus"))
    if not files:
        sys.exit(f"{args.folder}/audio has no recordings; name a folder of walkthroughs with their sound.")
    only = set(filter(None, args.only.split(",")))
    measure([f for f in files if not only or f.stem in only], args)


def measure(files, args) -> None:
    from memo2list.hearing import media
    from memo2list.vocabulary.lexicon import load_lexicon
    from memo2list.weights import find_speech_weights

    lexicon = load_lexicon()
    for model in args.models.split(","):
        modes = args.modes.split(",")
        ways = {mode: None if args.again else way(mode, find_speech_weights(model), lexicon) for mode in modes}
        sums = defaultdict(lambda: defaultdict(float))
        print(f"\n{model}\nrecording      mode        WER strict    S    D    I  missed  planted  x real  cpu s")
        for path in files:
            said, seconds = said_in(args.folder / f"{path.name.split('.')[0]}.json"), (media.probe(path).duration_ms or 0) / 1000
            for mode, listen in ways.items():
                kept = args.keep / f"{path.stem}.{model}.{mode}.json" if args.keep else None
                if args.again and not kept.exists():
                    continue
                text, wall, cpu = json.loads(kept.read_text()) if args.again else timed(listen, path)
                if kept:
                    kept.parent.mkdir(parents=True, exist_ok=True)
                    kept.write_text(json.dumps([text, wall, cpu]))
                one = score(said, normal(text), lexicon)
                report(path.stem, mode, one, seconds / wall, cpu, args.details)
                add(sums[mode], one, seconds, wall, cpu)
        for mode, total in sums.items():
            summary(mode, total)
    print(f"\npeak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB, all modes in one process")


def timed(listen, path):
    """What was heard, with seconds by the clock and of processor time."""
    wall, cpu = time.monotonic(), time.process_time()
    text = listen(path)
    return text, time.monotonic() - wall, time.process_time() - cpu


def report(name, mode, one, speed, cpu, details) -> None:
    print(
        f"{name:14} {mode:8} {one.error_rate:6.2%} {one.strict:6.2%} {one.substitutions:4} {one.deletions:4} {one.insertions:4} "
        f"{len(one.missed):3}/{one.terms:3} {len(one.planted):8} {speed:7.1f} {cpu:6.0f}",
        flush=True,
    )
    if details:
        print("   missed ", one.missed, "\n   planted", one.planted)


def add(total, one, seconds, wall, cpu) -> None:
    errors = one.substitutions + one.deletions + one.insertions
    values = {"errors": errors, "words": one.words, "deletions": one.deletions, "missed": len(one.missed), "terms": one.terms}
    for key, value in (values | {"planted": len(one.planted), "seconds": seconds, "wall": wall, "cpu": cpu}).items():
        total[key] += value


def summary(mode, total) -> None:
    print(
        f"all {mode:8} WER {total['errors'] / total['words']:.2%}, deletions {total['deletions']:.0f}, "
        f"missed {total['missed']:.0f} of {total['terms']:.0f} terms, "
        f"planted {1000 * total['planted'] / total['words']:.2f} per 1000 words, "
        f"{total['seconds'] / total['wall']:.1f}x real time, {total['cpu']:.0f} s of CPU"
    )


if __name__ == "__main__":
    main()
