"""Tune the base model on (prompt, answer) pairs and answer prompts it has not seen. Wants one GPU and PyTorch.

    python -m tests.training.train BASE.gguf OUT --train TRAIN.jsonl [--ask ASK.jsonl] [--data DATA.json] [--rate R] [--rank 16]
    torchrun --nproc-per-node 2 -m tests.training.train …      # the same on two GPUs, which share each batch

TRAIN holds one {"prompt", "answer"} a line in the order of training; ASK one {"id", "prompt"} a line.
OUT receives the adapter (int8), its note, and answers.json. Activations are rounded to int8 while
training, row by row, because that is how the model runs on a user's machine. An answer in answers.json is
a list of rows: [text, geometric mean of its tokens' probabilities, the least of them].
"""

import argparse
import hashlib
import json
import math
import os
import pathlib
import time

import torch
import torch.distributed as together
from peft import LoraConfig, get_peft_model

from memo2list.reading.deep import adapter as adapters
from tests.training import base_model
from tests.training.answering import PAD, answers, encode, round_inputs, rows

MOST_AT_ONCE = 12_000  # tokens whose activations are held for the gradient; 60 GB


def batches(data: list, size: int) -> list[list]:
    """Batches in order, each sorted out of a pool of neighbours so that little is padded."""
    out = []
    for k in range(0, len(data), size * 8):
        pool = sorted(data[k : k + size * 8], key=lambda pair: len(pair[0]) + len(pair[1]))
        group = [pool[i : i + size] for i in range(0, len(pool), size)]
        torch.manual_seed(k)
        out += [group[i] for i in torch.randperm(len(group)).tolist()]
    return out


def portions(batch: list, most: int = MOST_AT_ONCE) -> list[list]:
    """A batch in portions whose padded size is at most `most` tokens, so that their gradients fit in memory."""
    out: list[list] = []
    for pair in sorted(batch, key=lambda pair: len(pair[0]) + len(pair[1])):
        size = len(pair[0]) + len(pair[1])
        if out and size * (len(out[-1]) + 1) <= most:
            out[-1].append(pair)
        else:
            out.append([pair])
    return out


def rank_and_size() -> tuple[int, int]:
    return (together.get_rank(), together.get_world_size()) if together.is_initialized() else (0, 1)


def share(batch: list, rank: int, size: int) -> list:
    """This GPU's part of a batch: pairs of like length on all of them."""
    return sorted(batch, key=lambda pair: len(pair[0]) + len(pair[1]))[rank::size]


def summed(weights: list, loss: float) -> float:
    """Gradients and loss summed over all GPUs."""
    if not together.is_initialized():
        return loss
    flat = torch.cat([(w.grad if w.grad is not None else torch.zeros_like(w)).reshape(-1) for w in weights])
    flat = torch.cat([flat, flat.new_tensor([loss])])
    together.all_reduce(flat)
    at = 0
    for w in weights:
        w.grad = flat[at : at + w.numel()].view_as(w).clone()
        at += w.numel()
    return flat[-1].item()


def loss_of(model, batch: list, pad: int) -> torch.Tensor:
    """The summed loss over all tokens of the answers."""
    longest = max(len(h) + len(a) for h, a in batch)
    ids = torch.full((len(batch), longest), pad)
    mask = torch.zeros_like(ids)
    wanted = torch.zeros_like(ids, dtype=torch.bool)
    for n, (head, answer) in enumerate(batch):
        ids[n, : len(head) + len(answer)] = torch.tensor(head + answer)
        mask[n, : len(head) + len(answer)] = 1
        wanted[n, len(head) - 1 : len(head) + len(answer) - 1] = True
    ids, mask, wanted = ids.cuda(), mask.cuda(), wanted.cuda()
    with torch.autocast("cuda", torch.bfloat16):
        inner = model.base_model.model
        hidden = inner.model(input_ids=ids, attention_mask=mask).last_hidden_state
        logits = inner.lm_head(hidden[wanted])
    target = ids.roll(-1, 1)[wanted]
    return torch.nn.functional.cross_entropy(logits.float(), target, label_smoothing=0.02, reduction="sum")


def tune(model, data: list, pad: int, args) -> None:
    weights = [p for p in model.parameters() if p.requires_grad]
    plan = batches(data, args.batch)
    total, start, running = len(plan), time.time(), 0.0
    rank, size = rank_and_size()
    tuner = torch.optim.AdamW(weights, lr=args.rate, weight_decay=0.01, betas=(0.9, 0.98))
    curve = torch.optim.lr_scheduler.LambdaLR(
        tuner, lambda s: min(1.0, (s + 1) / 25) * (0.04 + 0.96 * 0.5 * (1 + math.cos(math.pi * s / total)))
    )
    for step, batch in enumerate(plan):
        asked, loss = sum(len(answer) for _, answer in batch), 0.0
        for portion in portions(share(batch, rank, size)):
            part = loss_of(model, portion, pad) / asked
            part.backward()
            loss += part.item()
        loss = summed(weights, loss)
        norm = torch.nn.utils.clip_grad_norm_(weights, 1.0)
        if math.isfinite(loss) and torch.isfinite(norm):
            tuner.step()
            running = loss if step == 0 else 0.97 * running + 0.03 * loss
        else:
            print("skipped step", step, flush=True)
        tuner.zero_grad(set_to_none=True)
        curve.step()
        if step % 25 == 0 and rank == 0:
            print(f"step {step}/{total} loss {running:.4f} {time.time() - start:.0f} s", flush=True)


def corrections(model) -> dict:
    out = {}
    for name, module in model.named_modules():
        if hasattr(module, "lora_A") and "default" in module.lora_A:
            short = base_model.short_name(name)
            out[short + ".A"] = module.lora_A["default"].weight.detach().float().cpu().numpy()
            out[short + ".B"] = module.lora_B["default"].weight.detach().float().cpu().numpy()
    return out


def digest_of(path: str) -> str:
    with open(path, "rb") as source:
        return hashlib.file_digest(source, "sha256").hexdigest()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("base")
    parser.add_argument("out", type=pathlib.Path)
    parser.add_argument("--train", type=pathlib.Path, required=True)
    parser.add_argument("--ask", type=pathlib.Path)
    parser.add_argument("--data", type=pathlib.Path, help="the note that prepare wrote: its digests go into the adapter's note")
    parser.add_argument("--rank", type=int, default=16)
    parser.add_argument("--rate", type=float, default=7e-4)
    parser.add_argument("--batch", type=int, default=16)
    parser.add_argument("--dropout", type=float, default=0.05)
    parser.add_argument("--most", type=int, default=0, help="train on the first N pairs only")
    parser.add_argument("--no-rounding", action="store_true")
    args = parser.parse_args()
    start = time.time()
    if "RANK" in os.environ:
        together.init_process_group("nccl")
        torch.cuda.set_device(together.get_rank())
    rank = rank_and_size()[0]
    torch.manual_seed(1)
    model, tok = base_model.load(args.base)
    linear = ["q_proj", "k_proj", "v_proj", "o_proj", "gate_proj", "up_proj", "down_proj"]
    model = get_peft_model(
        model, LoraConfig(r=args.rank, lora_alpha=2 * args.rank, lora_dropout=args.dropout, target_modules=linear)
    )
    for weight in model.parameters():
        if weight.requires_grad:
            weight.data = weight.data.float()
    if not args.no_rounding:
        round_inputs(module for module in model.modules() if hasattr(module, "lora_A"))
    data = [encode(tok, row) for row in rows(args.train)]
    data = [pair for pair in data if len(pair[0]) + len(pair[1]) < 1600]
    if args.most:
        data = data[: args.most]
    torch.manual_seed(1 + rank)  # dropout differs, the adapter's start does not
    print(f"loaded {time.time() - start:.0f} s; {len(data)} pairs, {sum(len(h) + len(a) for h, a in data)} tokens", flush=True)
    model.train()
    tune(model, data, tok.token_to_id(PAD), args)
    model.eval()
    if rank == 0:
        keep(model, tok, args, len(data), time.time() - start)
    if together.is_initialized():
        together.barrier()
        together.destroy_process_group()


def keep(model, tok, args, pairs: int, seconds: float) -> None:
    """The adapter, its note, and answers where some were asked for."""
    args.out.mkdir(parents=True, exist_ok=True)
    if args.ask:
        (args.out / "answers.json").write_text(json.dumps(answers(model, tok, rows(args.ask)), indent=1))
    note = {
        "rank": args.rank,
        "rate": args.rate,
        "batch": args.batch,
        "seconds": round(seconds),
        "base_sha256": digest_of(args.base),
    }
    note |= (json.loads(args.data.read_text()) if args.data else {}) | {"pairs": pairs}
    adapters.save(args.out, corrections(model), 2.0, note)
    print(f"done {seconds:.0f} s", flush=True)


if __name__ == "__main__":
    main()
