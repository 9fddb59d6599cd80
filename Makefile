# One verb for each habit. `make` is lint and test; `make ci` is what CI runs.
PYTHON ?= python3
BIN := .venv/bin
RUN := .venv/.installed
DEV := .venv/.installed-dev

.PHONY: all lint format test slow bench check docs docs-check demo ci clean
.DEFAULT_GOAL := all

all: lint test

.venv:
	$(PYTHON) -m venv .venv

# Packages are pinned with their hashes; the project itself is installed in place.
$(RUN): requirements.lock pyproject.toml | .venv
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps -e .
	touch $@

$(DEV): $(RUN) requirements-dev.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements-dev.lock
	touch $@

demo: $(RUN)
	$(BIN)/firstbounce demo

lint: $(DEV)
	$(BIN)/ruff format --check src tests benchmarks
	$(BIN)/ruff check src tests benchmarks
	$(BIN)/mypy
	$(BIN)/lint-imports

format: $(DEV)
	$(BIN)/ruff format src tests benchmarks
	$(BIN)/ruff check --fix src tests benchmarks

test: $(DEV)
	$(BIN)/pytest -m "not slow"

slow: $(DEV)
	$(BIN)/pytest -m slow

bench: $(DEV)
	$(BIN)/python -m benchmarks

check: $(RUN)
	$(BIN)/firstbounce check

clean:
	rm -rf .venv .pytest_cache .mypy_cache .ruff_cache demo-output
