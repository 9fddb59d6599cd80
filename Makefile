# One verb for each habit. `make` is lint and test; `make ci` is what CI runs.
PYTHON ?= python3
BIN := .venv/bin
RUN := .venv/.installed
DEV := .venv/.installed-dev
CLIPS := .venv/.installed-clips

.PHONY: all lint format test slow browser screenshots run bench bench-quick check docs gallery lock demo ci clean system model bodies
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

# What the tests of clips need beside packages. Without it (no network) those tests are skipped, in CI they fail.
$(CLIPS): $(DEV)
	-$(MAKE) --no-print-directory model bodies && touch $@

# The landmark model, once for this user, as any user of `watch` gets it.
model: $(DEV)
	$(BIN)/firstbounce watch --install-model

# The CC0 bodies from which the tests make clips of known swings, once for this user.
bodies: $(DEV)
	cd tests/technique && $(CURDIR)/$(BIN)/python -m render.body_data

# Browser, PDF tools, database server, fonts: only on Debian, needs root.
system:
	.ci/system

demo: $(RUN)
	$(BIN)/firstbounce demo

lint: $(DEV)
	$(BIN)/ruff format --check src tests benchmarks scripts docs/gallery
	$(BIN)/ruff check src tests benchmarks scripts docs/gallery
	$(BIN)/mypy
	$(BIN)/lint-imports

format: $(DEV)
	$(BIN)/ruff format src tests benchmarks scripts docs/gallery
	$(BIN)/ruff check --fix src tests benchmarks scripts docs/gallery

test: $(DEV) $(CLIPS)
	$(BIN)/pytest -m "not slow" -n 2 --dist loadfile

slow: $(DEV) $(CLIPS)
	$(BIN)/pytest -m slow

# Chromium against a server on loopback: a lesson, the outbox with every cut, axe-core; minutes.
browser: $(DEV)
	$(BIN)/pytest -m browser

# Every page at 360 x 640 and 1280 x 800, into screenshots/, for a person to look at.
screenshots: $(DEV)
	$(BIN)/python scripts/screenshots.py

# The pages with invented players, on this machine.
run: $(RUN)
	$(BIN)/firstbounce serve --demo

# The gates: each prints its figures with the machine they came from and fails when a gate is missed.
bench: $(DEV)
	$(BIN)/python -m benchmarks

bench-quick: $(DEV)
	$(BIN)/python -m benchmarks --quick

# Pages that are generated; tests hold them to the code.
docs: $(DEV)
	$(BIN)/python scripts/write_docs.py

gallery: $(DEV)
	for page in docs/gallery/*.py; do $(BIN)/python $$page gallery || exit 1; done

# New pins: the files hold names, versions and hashes, never the address of a package host.
lock: $(DEV)
	$(BIN)/python -m pip install --quiet uv
	$(BIN)/uv pip compile --quiet --universal --generate-hashes pyproject.toml -o requirements.lock
	$(BIN)/uv pip compile --quiet --universal --generate-hashes --group dev --extra video --extra postgres pyproject.toml -c requirements.lock -o requirements-dev.lock

# What CI runs.
ci: lint test demo gallery

check: $(RUN)
	$(BIN)/firstbounce check

clean:
	rm -rf .venv .pytest_cache .mypy_cache .ruff_cache demo-output
