"""How well speakers are told apart, on walkthroughs whose turns and times are known.

    python -m tests.benchmarks.speakers FOLDER [SOUND] [--only a01,b01.noisy] [--heard MODEL] [--noise DB] [--details]

FOLDER holds NAME.json (who says what), SOUND (default: FOLDER/audio, else FOLDER) NAME.wav or NAME.opus (or NAME.noisy.opus);
NAME.times.json (turn → [start, end] in seconds) lies in either. Words are spread evenly over each turn, or with --heard
heard by a speech model and given the speaker of the turn in which their middle lies. --noise adds site-like noise (rumble, hum,
taps) at that ratio. Labels are matched with speakers as suits them best; "open" are recordings left without speakers.
"""

import argparse
import itertools
import json
import pathlib
import sys
import time
from collections import Counter

import numpy as np

from memo2list.hearing import media
from memo2list.hearing.speakers import who
from memo2list.hearing.voices import voices_in
from memo2list.records import Word
from memo2list.timing import TimeSpan

SOUNDS = (".wav", ".opus", ".flac")


def said_words(walk, times):
    """(word, speaker) of each word of a walkthrough, spread over its turn by length."""
    for turn in walk["turns"]:
        start, end = times[str(turn["n"])]
        texts = turn["text"].split()
        edges = np.cumsum([0, *(len(t) + 1 for t in texts)])
        at = [round(1000 * (start + (end - start) * e / edges[-1])) for e in edges]
        yield from ((Word(t, TimeSpan(a, b)), turn["speaker"]) for t, a, b in zip(texts, at, at[1:], strict=False))


def heard_words(path, walk, times, recogniser, lexicon):
    """(word, speaker) of each word heard; a word between two turns goes to the nearer one."""
    from memo2list.hearing import hear

    spans = [(*(1000 * s for s in times[str(t["n"])]), t["speaker"]) for t in walk["turns"]]
    for word in hear(path, recogniser=recogniser, lexicon=lexicon).words:
        middle = (word.span.start_ms + word.span.end_ms) / 2
        yield word, min(spans, key=lambda s: max(s[0] - middle, middle - s[1], 0))[2]


def best_match(labels, truth):
    """The speaker each label stands for: the pairing that gives most words right."""
    pairs = Counter(zip(labels, truth, strict=True))
    names, speakers = sorted({x for x in labels if x}), sorted(set(truth))
    padded = [*speakers, *([None] * len(names))]
    return max(
        (dict(zip(names, p, strict=False)) for p in itertools.permutations(padded, len(names))),
        key=lambda m: sum(pairs[n, s] for n, s in m.items()),
    )


def changes(labels):
    return [n for n in range(1, len(labels)) if labels[n] != labels[n - 1]]


def score(labels, truth):
    """Words right, words, voices found and said, true changes met within one word, true changes, changes found."""
    match = best_match(labels, truth)
    right = sum(match.get(found) == true for found, true in zip(labels, truth, strict=True))
    met = sum(any(abs(f - t) <= 1 for f in changes(labels)) for t in changes(truth))
    return right, len(truth), len(set(labels) - {None}), len(set(truth)), met, len(changes(truth)), len(changes(labels))


def site_noise(count, rng, rate=media.RATE):
    """Wind-like rumble with gusts, a hum of 120 Hz and taps, of deviation 1."""
    spectrum, hertz = np.fft.rfft(rng.standard_normal(count)), np.fft.rfftfreq(count, 1 / rate)
    noise = np.fft.irfft(spectrum / np.maximum(hertz, 20) ** 0.9, count)
    points = np.arange(0, count + rate, rate)
    noise = noise / noise.std() * (0.4 + np.interp(np.arange(count), points, rng.random(len(points))))
    noise += 0.15 * np.sin(2 * np.pi * 120 * np.arange(count) / rate)
    for at in rng.integers(0, max(1, count - 800), size=count // (6 * rate)):
        noise[at : at + 800] += 4 * rng.standard_normal(len(noise[at : at + 800])) * np.exp(-np.arange(800) / 90)
    return noise / noise.std()


def sound_of(path, noise_db):
    samples = np.concatenate(list(media.sound(path)))
    if noise_db is None:
        return samples
    noise = site_noise(len(samples), np.random.default_rng(len(samples)))
    noisy = samples + noise * samples.std() / 10 ** (noise_db / 20)
    return (0.9 * noisy / np.abs(noisy).max()).astype(np.float32)


def recordings(folder, sounds, only):
    for path in sorted(p for p in sounds.iterdir() if p.suffix in SOUNDS):
        stem = path.name.split(".")[0]
        times = next((f / f"{stem}.times.json" for f in (folder, sounds) if (f / f"{stem}.times.json").is_file()), None)
        if times and (folder / f"{stem}.json").is_file() and (not only or path.stem in only):
            yield path, json.loads((folder / f"{stem}.json").read_text(encoding="utf-8")), json.loads(times.read_text())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("sounds", nargs="?", type=pathlib.Path)
    parser.add_argument("--only", default="")
    parser.add_argument("--heard", default="")
    parser.add_argument("--noise", type=float)
    parser.add_argument("--details", action="store_true")
    args = parser.parse_args()
    sounds = args.sounds or (args.folder / "audio" if (args.folder / "audio").is_dir() else args.folder)
    found = list(recordings(args.folder, sounds, set(filter(None, args.only.split(",")))))
    if not found:
        sys.exit(f"{sounds} has no recordings with walkthroughs in {args.folder}.")
    report(found, args)


def report(found, args) -> None:
    recogniser = lexicon = None
    if args.heard:
        from memo2list.hearing.whisper import WhisperRecogniser
        from memo2list.vocabulary.lexicon import load_lexicon
        from memo2list.weights import find_speech_weights

        recogniser, lexicon = WhisperRecogniser(find_speech_weights(args.heard), args.heard), load_lexicon()
    groups: dict[str, list[tuple[int, ...]]] = {"clean": [], "noisy": []}
    cpu = seconds = 0.0
    print("recording        right  voices said  changes met  found")
    for path, walk, times in found:
        pairs = list(heard_words(path, walk, times, recogniser, lexicon) if recogniser else said_words(walk, times))
        words, truth = [w for w, _ in pairs], [s for _, s in pairs]
        samples = sound_of(path, args.noise)
        began = time.process_time()
        labels = who(words, [voices_in(samples, words)])
        cpu, seconds = cpu + time.process_time() - began, seconds + len(samples) / media.RATE
        one = score(labels, truth)
        groups["noisy" if ".noisy" in path.name or args.noise is not None else "clean"].append(one)
        print(f"{path.stem:14} {one[0] / one[1]:7.2%} {one[2]:6} {one[3]:4} {one[4]:8}/{one[5]:3} {one[6]:6}", flush=True)
        if args.details:
            wrong = [n for n, (a, b) in enumerate(zip(labels, truth, strict=True)) if best_match(labels, truth).get(a) != b]
            print("   wrong:", " ".join(words[n].text for n in wrong)[:300])
    for name, rows in groups.items():
        summary(name, rows)
    print(f"{1000 * cpu / (seconds / 60):.0f} ms of processor time for each minute of sound")


def summary(name, rows) -> None:
    if not rows:
        return
    right, words, met, there = (sum(r[n] for r in rows) for n in (0, 1, 4, 5))
    alone = [r for r in rows if r[3] == 1]
    print(
        f"{name}: {right / words:.2%} of {words} words right (worst {min(r[0] / r[1] for r in rows):.2%}), "
        f"voices counted right {sum(r[2] == r[3] for r in rows)} of {len(rows)}, open {sum(r[2] == 0 for r in rows)}, "
        f"one voice kept one {sum(r[2] == 1 for r in alone)} of {len(alone)}, "
        f"changes met within a word {met / max(1, there):.1%} of {there}, found {sum(r[6] for r in rows)}"
    )


if __name__ == "__main__":
    main()
