"""Answers of the tuned model on a GPU, computed as a user's processor computes them. Wants one GPU and PyTorch.

    python -m tests.training.answering BASE.gguf ADAPTER_FOLDER ASK.jsonl ANSWERS.json

ASK holds one {"id", "prompt"} a line. Matrices are rounded to int8 row by row as `convert.put` does, activations
row by row as int8 inference does; the rest is 32-bit. ANSWERS maps an id to rows:
[text, geometric mean of its tokens' probabilities, the least of them].
"""

import argparse
import json
import pathlib
from collections.abc import Iterable

import torch

from memo2list.reading.deep.adapter import Adapter
from memo2list.reading.deep.model import END, FOOT, HEAD, row_text
from tests.training import base_model

PAD = "<|endoftext|>"


class Rounded(torch.autograd.Function):
    """Round each row of activations to 255 steps, as int8 inference does; gradients pass unchanged."""

    @staticmethod
    def forward(ctx, x):
        step = x.abs().amax(-1, keepdim=True).clamp_min(1e-6) / 127
        return (x / step).round() * step

    @staticmethod
    def backward(ctx, grad):
        return grad


def round_inputs(modules: Iterable[torch.nn.Module]) -> None:
    for module in modules:
        module.register_forward_pre_hook(lambda _, args: (Rounded.apply(args[0]), *args[1:]))


def rows(path: pathlib.Path) -> list[dict]:
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def encode(tok, row: dict) -> tuple[list[int], list[int]]:
    head = tok.encode(HEAD + row["prompt"] + FOOT).ids
    return head, tok.encode(row["answer"] + END).ids if "answer" in row else []


@torch.no_grad()
def answers(model, tok, asked: list[dict], size: int = 40, exact: bool = False) -> dict[str, list]:
    """Rows by the prompt's id; `exact` computes in 32 bits."""
    stop, pad = tok.token_to_id(END), tok.token_to_id(PAD)
    order = sorted(asked, key=lambda row: -len(row["prompt"]))
    out = {}
    for k in range(0, len(order), size):
        group = order[k : k + size]
        heads = [encode(tok, {"prompt": row["prompt"]})[0] for row in group]
        longest = max(map(len, heads))
        ids = torch.tensor([[pad] * (longest - len(h)) + h for h in heads]).cuda()
        mask = torch.tensor([[0] * (longest - len(h)) + [1] * len(h) for h in heads]).cuda()
        with torch.autocast("cuda", torch.bfloat16, enabled=not exact):
            made = model.generate(
                input_ids=ids, attention_mask=mask, max_new_tokens=420, do_sample=False, eos_token_id=stop, pad_token_id=pad
            )
        for row, head, ids_of in zip(group, heads, made, strict=True):
            new = ids_of[longest:].tolist()
            new = new[: new.index(stop)] if stop in new else new
            out[row["id"]] = answer_rows(tok, new, sureness(model, head, new, exact)) if new else []
    return out


def sureness(model, head: list[int], new: list[int], exact: bool) -> list[float]:
    """The logarithm of the probability of each token of an answer."""
    ids = torch.tensor([head + new]).cuda()
    with torch.autocast("cuda", torch.bfloat16, enabled=not exact):
        logits = model(input_ids=ids).logits[0, len(head) - 1 : -1]
    logs = torch.log_softmax(logits.float(), -1)
    return logs.gather(1, torch.tensor(new).cuda()[:, None])[:, 0].tolist()


def answer_rows(tok, new: list[int], logs: list[float]) -> list[tuple[str, float, float]]:
    rows, first = [], 0
    for n, token in enumerate(new):
        if "\n" in tok.decode([token]) or n == len(new) - 1:
            row = row_text(tok.decode(new[first : n + 1]), logs[first : n + 1])
            rows.append((row.text, round(row.mean, 4), round(row.least, 4)))
            first = n + 1
    return rows


def rounded_weights(model, adapter: Adapter) -> None:
    """Base and adapter made one, and every matrix rounded to 255 steps a row."""
    for name, module in model.named_modules():
        if isinstance(module, torch.nn.Linear | torch.nn.Embedding):
            weight = module.weight.data.float()
            delta = adapter.delta(base_model.short_name(name)) if "layers." in name else None
            if delta is not None:
                weight += torch.from_numpy(delta).to(weight.device)
            step = weight.abs().amax(1, keepdim=True).clamp_min(1e-12) / 127
            module.weight.data = (weight / step).round() * step


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name in ("base", "adapter", "ask", "out"):
        parser.add_argument(name, type=pathlib.Path)
    args = parser.parse_args()
    model, tok = base_model.load(str(args.base))
    model = model.float().eval()
    rounded_weights(model, Adapter(args.adapter))
    round_inputs(module for module in model.modules() if isinstance(module, torch.nn.Linear))
    args.out.write_text(json.dumps(answers(model, tok, rows(args.ask), exact=True)))


if __name__ == "__main__":
    main()
