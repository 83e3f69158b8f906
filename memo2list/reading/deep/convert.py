"""Base model and adapter → a folder CTranslate2 can run, once, into the cache.

Layer by layer: each matrix is dequantised, corrected by the adapter, and rounded to int8 before the
next one is touched, so that the conversion never holds the whole model in floating point.
"""

import hashlib
import json
import os
import shutil
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np

from memo2list.reading.deep.adapter import Adapter, Array

SPLIT = r"(?i:'s|'t|'re|'ve|'m|'ll|'d)|[^\r\n\p{L}\p{N}]?\p{L}+|\p{N}| ?[^\s\p{L}\p{N}]+[\r\n]*|\s*[\r\n]+|\s+(?!\S)|\s+"
END = "<|im_end|>"
CONTROL_TOKENS = ("<|endoftext|>", "<|im_start|>", END)
KEPT = 64_000  # tokens kept of the base's vocabulary, in its own order: the rarer ones are spelt with shorter ones (2 % of words)
BLOCK = 4096  # rows rounded at a time, to keep memory low
SMALLEST = 1e-12  # rows without a larger value are zero: their step could not be inverted
FORM = 3  # raise when the converted folder's form changes


def adapter_digest(adapter: Path) -> str:
    """SHA-256 over the adapter's files: a new adapter asks for a new conversion."""
    digest = hashlib.sha256(str(FORM).encode())
    for path in sorted(adapter.glob("adapter*.npz")):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def converted(base: Path, adapter: Path, cache: Path) -> Path:
    """The folder with the converted model, made if it is not there yet; whole or not at all."""
    target = cache / f"reader-{adapter_digest(adapter)[:16]}"
    if (target / "model.bin").exists():
        return target
    cache.mkdir(parents=True, exist_ok=True)
    sweep(cache)
    work = Path(tempfile.mkdtemp(prefix=".reader-", dir=cache))
    try:
        convert(base, Adapter(adapter), work)
        put_in_place(work, target)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return target


def sweep(cache: Path) -> None:
    """Removes what a conversion that was killed left behind more than a day ago."""
    for left in cache.glob(".reader-*"):
        if left.stat().st_mtime < time.time() - 86_400:
            shutil.rmtree(left, ignore_errors=True)


def put_in_place(work: Path, target: Path) -> None:
    """The finished folder under its name; one that another process finished meanwhile is as good."""
    try:
        os.replace(work, target)
    except OSError:
        if not (target / "model.bin").exists():
            raise


def convert(base: Path, adapter: Adapter, out: Path) -> None:
    from ctranslate2.specs import common_spec, transformer_spec
    from gguf import GGUFReader

    reader = GGUFReader(str(base))
    source = Source(reader, adapter)
    spec = transformer_spec.TransformerDecoderModelSpec.from_config(
        source.field("qwen2.block_count"),
        source.field("qwen2.attention.head_count"),
        activation=common_spec.Activation.SWISH,
        pre_norm=True,
        ffn_glu=True,
        rms_norm=True,
        rotary_dim=0,
        rotary_interleave=False,
        rotary_base=source.field("qwen2.rope.freq_base"),
        num_heads_kv=source.field("qwen2.attention.head_count_kv"),
    )
    fill(spec.decoder, source)
    tokens = source.tokens()
    spec.register_vocabulary(tokens)
    spec.config.bos_token = spec.config.unk_token = tokens[0]
    spec.config.eos_token = END
    spec.config.layer_norm_epsilon = source.field("qwen2.attention.layer_norm_rms_epsilon")
    spec.validate()
    spec.optimize()
    spec.save(str(out))
    tokenizer(source).save(str(out / "tokenizer.json"))
    (out / "made_from.json").write_text(json.dumps({"adapter": adapter.note}, indent=1), encoding="utf-8")


class Source:
    """Matrices of the base by name, dequantised and corrected."""

    def __init__(self, reader: Any, adapter: Adapter | None = None):
        self._reader = reader
        self._tensors = {t.name: t for t in reader.tensors}
        self._adapter = adapter

    def field(self, key: str) -> Any:
        return self._reader.fields[key].contents()

    def tokens(self) -> list[str]:
        """The tokens kept: a byte-level vocabulary is built up merge by merge, so its beginning stands on its own."""
        whole = list(self.field("tokenizer.ggml.tokens"))
        return [whole[n] for n in self.kept()]

    def kept(self) -> list[int]:
        """Where the tokens kept stand in the base's tables."""
        whole = list(self.field("tokenizer.ggml.tokens"))
        control = [whole.index(token) for token in CONTROL_TOKENS]
        return [*(n for n in range(min(KEPT, len(whole))) if n not in control), *control]

    def __contains__(self, name: str) -> bool:
        return name in self._tensors

    def values(self, name: str) -> Array:
        from gguf.quants import dequantize

        tensor = self._tensors[name]
        values: Array = dequantize(tensor.data, tensor.tensor_type).astype(np.float32)
        delta = self._adapter.delta(name.removesuffix(".weight")) if self._adapter and name.endswith(".weight") else None
        return values if delta is None else values + delta


def fill(decoder: Any, source: Source) -> None:
    decoder.scale_embeddings = False
    # one table serves both ends (the base ties them; the file keeps the output's copy at higher precision)
    put(decoder.projection, source.values("output.weight" if "output.weight" in source else "token_embd.weight")[source.kept()])
    decoder.embeddings.weight, decoder.embeddings.weight_scale = decoder.projection.weight, decoder.projection.weight_scale
    decoder.layer_norm.gamma = source.values("output_norm.weight")
    for number, layer in enumerate(decoder.layer):
        fill_layer(layer, source, f"blk.{number}.")


def fill_layer(layer: Any, source: Source, name: str) -> None:
    layer.self_attention.layer_norm.gamma = source.values(name + "attn_norm.weight")
    layer.ffn.layer_norm.gamma = source.values(name + "ffn_norm.weight")
    query_key_value = layer.self_attention.linear[0]
    put(query_key_value, np.concatenate([source.values(f"{name}attn_{x}.weight") for x in "qkv"]))
    query_key_value.bias = np.concatenate([source.values(f"{name}attn_{x}.bias") for x in "qkv"])
    put(layer.self_attention.linear[1], source.values(name + "attn_output.weight"))
    put(layer.ffn.linear_0, source.values(name + "ffn_gate.weight"))
    put(layer.ffn.linear_0_noact, source.values(name + "ffn_up.weight"))
    put(layer.ffn.linear_1, source.values(name + "ffn_down.weight"))


def put(spec: Any, matrix: Array) -> None:
    """Rounded to int8 row by row as CTranslate2 does: `weight * 1 / weight_scale` is the matrix again."""
    rounded, scale = np.empty(matrix.shape, np.int8), np.empty(len(matrix), np.float32)
    for start in range(0, len(matrix), BLOCK):
        rows = matrix[start : start + BLOCK]
        largest = np.abs(rows).max(axis=1)
        largest[largest < SMALLEST] = 127.0
        scale[start : start + BLOCK] = 127.0 / largest
        rounded[start : start + BLOCK] = np.rint(rows * (127.0 / largest)[:, None])
    spec.weight, spec.weight_scale = rounded, scale


def tokenizer(source: Source) -> Any:
    """The base's tokenizer (byte-level BPE) over the tokens kept, from the tables in its file."""
    from tokenizers import Regex, Tokenizer, decoders, models, pre_tokenizers

    vocabulary = {token: n for n, token in enumerate(source.tokens())}
    merges = [(a, b) for a, b in (m.split(" ") for m in source.field("tokenizer.ggml.merges")) if a + b in vocabulary]
    made = Tokenizer(models.BPE(vocab=vocabulary, merges=merges))
    cut = pre_tokenizers.Split(Regex(SPLIT), "isolated")
    made.pre_tokenizer = pre_tokenizers.Sequence([cut, pre_tokenizers.ByteLevel(add_prefix_space=False, use_regex=False)])
    made.decoder = decoders.ByteLevel()
    made.add_special_tokens(list(CONTROL_TOKENS))
    return made
