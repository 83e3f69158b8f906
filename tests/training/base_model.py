"""The base model from its GGUF file into transformers, for training only (users need neither this nor PyTorch)."""

import numpy as np
import torch
from gguf import GGUFReader
from gguf.quants import dequantize
from tokenizers import Tokenizer
from transformers import Qwen2Config, Qwen2ForCausalLM
from transformers.models.qwen2.modeling_qwen2 import Qwen2RotaryEmbedding

from memo2list.reading.deep.convert import Source, tokenizer

PARTS = {
    "attn_norm": "input_layernorm",
    "ffn_norm": "post_attention_layernorm",
    "attn_q": "self_attn.q_proj",
    "attn_k": "self_attn.k_proj",
    "attn_v": "self_attn.v_proj",
    "attn_output": "self_attn.o_proj",
    "ffn_gate": "mlp.gate_proj",
    "ffn_up": "mlp.up_proj",
    "ffn_down": "mlp.down_proj",
}
WHOLE = {
    "token_embd.weight": "model.embed_tokens.weight",
    "output_norm.weight": "model.norm.weight",
    "output.weight": "lm_head.weight",
}
BACK = {name: part for part, name in PARTS.items()}


def load(path: str, device: str = "cuda") -> tuple[Qwen2ForCausalLM, Tokenizer]:
    reader = GGUFReader(path)
    source = Source(reader)
    field, kept = source.field, source.kept()
    config = Qwen2Config(
        vocab_size=len(kept),
        hidden_size=field("qwen2.embedding_length"),
        intermediate_size=field("qwen2.feed_forward_length"),
        num_hidden_layers=field("qwen2.block_count"),
        num_attention_heads=field("qwen2.attention.head_count"),
        num_key_value_heads=field("qwen2.attention.head_count_kv"),
        max_position_embeddings=8192,
        rms_norm_eps=field("qwen2.attention.layer_norm_rms_epsilon"),
        rope_theta=field("qwen2.rope.freq_base"),
        tie_word_embeddings=False,
    )
    state = {}
    for tensor in reader.tensors:
        values = torch.from_numpy(np.ascontiguousarray(dequantize(tensor.data, tensor.tensor_type)))
        values = values[kept] if tensor.name in ("token_embd.weight", "output.weight") else values
        state[full_name(tensor.name)] = values.to(torch.bfloat16).to(device)
    state.setdefault("lm_head.weight", state["model.embed_tokens.weight"])
    with torch.device("meta"):
        model = Qwen2ForCausalLM(config)
    model = model.to_empty(device=device).to(torch.bfloat16)
    missing, unexpected = model.load_state_dict(state, strict=False)
    if unexpected or any("inv_freq" not in name for name in missing):
        raise ValueError(f"the base model's matrices do not fit: missing {missing}, unexpected {unexpected}")
    model.model.rotary_emb = Qwen2RotaryEmbedding(config).to(device)  # its buffers were made on the meta device
    return model, tokenizer(source)


def full_name(name: str) -> str:
    if name in WHOLE:
        return WHOLE[name]
    _, layer, part, kind = name.split(".")
    return f"model.layers.{layer}.{PARTS[part]}.{kind}"


def short_name(module: str) -> str:
    """`"…model.layers.3.self_attn.q_proj"` → `"blk.3.attn_q"`."""
    layer, rest = module.split("layers.")[1].split(".", 1)
    return f"blk.{layer}.{BACK[rest]}"
