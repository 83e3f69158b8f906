"""The tuned language model, running on CTranslate2: prompts in, answers with the probability of each row out."""

import math
import weakref
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

HEAD, FOOT, END = "<|im_start|>user\n", "<|im_end|>\n<|im_start|>assistant\n", "<|im_end|>"
LONGEST_ANSWER = 420  # tokens; about nineteen rows
TOGETHER = 4  # windows decoded as one batch: weights are read from memory once for all of them


@dataclass(frozen=True, slots=True)
class RowText:
    """One line of an answer, and how sure the model was of it (geometric mean over its tokens, and the least sure one)."""

    text: str
    mean: float
    least: float


class Answerer(Protocol):
    """What the deep reader asks of a model; tests hand in a small one."""

    def answer(self, prompts: Sequence[str]) -> list[tuple[RowText, ...]]: ...


class Model:
    """A converted model folder, loaded; `threads` are all cores unless said."""

    def __init__(self, folder: Path, threads: int = 0):
        import ctranslate2
        from tokenizers import Tokenizer

        self._tokenizer = Tokenizer.from_file(str(folder / "tokenizer.json"))
        self._generators = [
            ctranslate2.Generator(str(folder), device="cpu", compute_type="int8", inter_threads=1, intra_threads=threads or 0)
        ]
        # its threads must end before the interpreter does: a model still there at exit aborts the process
        weakref.finalize(self, self._generators.clear)

    def tokens(self, prompt: str) -> list[str]:
        encoded: list[str] = self._tokenizer.encode(HEAD + prompt + FOOT).tokens
        return encoded

    def answer(self, prompts: Sequence[str]) -> list[tuple[RowText, ...]]:
        """Answers in the order of the prompts; prompts of like length are decoded together."""
        encoded = [self.tokens(p) for p in prompts]
        order = sorted(range(len(prompts)), key=lambda n: len(encoded[n]))
        out: list[tuple[RowText, ...]] = [()] * len(prompts)
        for k in range(0, len(order), TOGETHER):
            group = order[k : k + TOGETHER]
            for n, rows in zip(group, self._batch([encoded[n] for n in group]), strict=True):
                out[n] = rows
        return out

    def _batch(self, starts: list[list[str]]) -> list[tuple[RowText, ...]]:
        steps: list[list[tuple[int, float]]] = [[] for _ in starts]

        def note(step: Any) -> bool:
            steps[step.batch_id].append((step.token_id, step.log_prob or 0.0))
            return False

        results = self._generators[0].generate_batch(
            starts,
            max_length=LONGEST_ANSWER,
            sampling_topk=1,
            end_token=END,
            include_prompt_in_result=False,
            return_scores=True,
            callback=note,
        )
        return [self._rows(result.sequences_ids[0], made) for result, made in zip(results, steps, strict=True)]

    def _rows(self, ids: list[int], made: list[tuple[int, float]]) -> tuple[RowText, ...]:
        """Split an answer at its line ends. The callback may also have seen prompt tokens: the answer is its tail."""
        logs = [log for _, log in made][-len(ids) - 1 :] if len(made) > len(ids) else [log for _, log in made]
        rows: list[RowText] = []
        held: list[int] = []
        sure: list[float] = []
        for position, token in enumerate(ids):
            held.append(token)
            sure.append(logs[position] if position < len(logs) else 0.0)
            if "\n" in self._tokenizer.decode([token]):
                rows.append(row_text(self._tokenizer.decode(held), sure))
                held, sure = [], []
        if held:
            rows.append(row_text(self._tokenizer.decode(held), sure))
        return tuple(rows)


def row_text(text: str, logs: Sequence[float]) -> RowText:
    return RowText(text.strip(), math.exp(sum(logs) / len(logs)), math.exp(min(logs)))
