# `make demo` and `make test` are all a newcomer needs; the rest is for those who change things.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.installed

.PHONY: demo test lint types fast bench soak train-reader clean

$(STAMP): pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[models,deep,test]'
	@touch $@

demo: $(STAMP)
	$(BIN)/memo2list demo

lint: $(STAMP)
	$(BIN)/ruff format --check memo2list tests
	$(BIN)/ruff check memo2list tests

types: $(STAMP)
	$(BIN)/mypy

test: lint types
	$(BIN)/python -m pytest -m "not soak"

fast: $(STAMP)  # while working: no model, no browser
	$(BIN)/python -m pytest -m "not soak and not model and not browser"

bench: $(STAMP)
	$(BIN)/python -m tests.benchmarks

soak: $(STAMP)
	$(BIN)/python -m pytest -m soak

train-reader: $(STAMP)  # writes the data, then says the command that tunes (GPU and PyTorch)
	$(BIN)/python -m tests.training prepare out/training

clean:
	rm -rf $(VENV) build dist .mypy_cache .pytest_cache .ruff_cache
