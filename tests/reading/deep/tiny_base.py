"""A base model of two layers with random weights and the bytes as vocabulary, as a GGUF file; and an adapter for it."""

from pathlib import Path

import numpy as np

from memo2list.reading.deep import adapter

WIDTH, INNER, HEADS, KEY_HEADS, LAYERS = 32, 64, 2, 1, 2
HEAD_WIDTH = WIDTH // HEADS
SHAPES = {  # out, in
    "attn_q": (WIDTH, WIDTH),
    "attn_k": (KEY_HEADS * HEAD_WIDTH, WIDTH),
    "attn_v": (KEY_HEADS * HEAD_WIDTH, WIDTH),
    "attn_output": (WIDTH, WIDTH),
    "ffn_gate": (INNER, WIDTH),
    "ffn_up": (INNER, WIDTH),
    "ffn_down": (WIDTH, INNER),
}
CONTROL = ("<|endoftext|>", "<|im_start|>", "<|im_end|>")


def byte_letters() -> list[str]:
    """The letters that stand for the 256 bytes in byte-level BPE: printable ones for themselves, others from 256 on."""
    plain = [*range(33, 127), *range(161, 173), *range(174, 256)]
    others = iter(range(256, 512))
    return [chr(b) if b in plain else chr(next(others)) for b in range(256)]


def vocabulary() -> list[str]:
    space = byte_letters()[ord(" ")]
    return [*byte_letters(), space + "t", *CONTROL]


def weights(seed: int = 5) -> dict[str, np.ndarray]:
    noise = np.random.default_rng(seed)
    made = {"token_embd.weight": noise.normal(size=(len(vocabulary()), WIDTH)), "output_norm.weight": np.ones(WIDTH)}
    for layer in range(LAYERS):
        name = f"blk.{layer}."
        made |= {f"{name}{part}.weight": noise.normal(scale=0.3, size=shape) for part, shape in SHAPES.items()}
        made |= {f"{name}{part}.bias": noise.normal(scale=0.1, size=SHAPES[part][0]) for part in ("attn_q", "attn_k", "attn_v")}
        made |= {f"{name}{part}.weight": np.ones(WIDTH) for part in ("attn_norm", "ffn_norm")}
    return {name: values.astype(np.float32) for name, values in made.items()}


def write_base(path: Path) -> dict[str, np.ndarray]:
    """Write the file; the matrices in it are given back."""
    from gguf import GGUFWriter, TokenType

    writer = GGUFWriter(str(path), "qwen2")
    writer.add_block_count(LAYERS)
    writer.add_embedding_length(WIDTH)
    writer.add_feed_forward_length(INNER)
    writer.add_head_count(HEADS)
    writer.add_head_count_kv(KEY_HEADS)
    writer.add_rope_freq_base(10_000.0)
    writer.add_layer_norm_rms_eps(1e-6)
    tokens = vocabulary()
    writer.add_token_list(tokens)
    writer.add_token_types([TokenType.CONTROL if t in CONTROL else TokenType.NORMAL for t in tokens])
    writer.add_token_merges([f"{tokens[ord(' ')]} t"])
    made = weights()
    for name, values in made.items():
        writer.add_tensor(name, values)
    writer.write_header_to_file()
    writer.write_kv_data_to_file()
    writer.write_tensors_to_file()
    writer.close()
    return made


def write_adapter(folder: Path, rank: int = 2, size: float = 0.2) -> dict[str, np.ndarray]:
    noise = np.random.default_rng(11)
    made: dict[str, np.ndarray] = {}
    for layer in range(LAYERS):
        for part, (out, inside) in SHAPES.items():
            made[f"blk.{layer}.{part}.A"] = noise.normal(scale=size, size=(rank, inside)).astype(np.float32)
            made[f"blk.{layer}.{part}.B"] = noise.normal(scale=size, size=(out, rank)).astype(np.float32)
    adapter.save(folder, made, 2.0, {"rank": rank})
    return made
