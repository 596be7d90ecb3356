# Two commands do everything: `make demo` and `make test`.  `make` alone lists the rest.
PYTHON ?= $(shell command -v python3.11 || command -v python3)
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/pip --disable-pip-version-check -q

.PHONY: help setup demo test check published bench docs lock clean

help:            ## list these commands
	@grep -E '^[a-z]+: .*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/'

$(VENV)/.run: requirements.txt pyproject.toml
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	@echo "Setting up: the libraries Skimwright needs (about half a minute the first time) ..."
	@$(PIP) install --require-hashes -r requirements.txt 2>&1 | grep -v "is ignored" || true
	@$(BIN)/python -c "import numpy, scipy, numba, shapely, starlette" || { echo "The libraries could not be installed; the lines above say why."; exit 1; }
	@$(PIP) install --no-deps --no-build-isolation -e . 2>&1 | grep -v "is ignored" || true
	@test -x $(BIN)/skimwright
	@touch $@

$(VENV)/.dev: requirements-dev.txt $(VENV)/.run
	@echo "Setting up: the libraries the checks need ..."
	@$(PIP) install --require-hashes -r requirements-dev.txt 2>&1 | grep -v "is ignored" || true
	@$(BIN)/python -c "import pytest, hypothesis, mypy, playwright" || { echo "The libraries could not be installed; the lines above say why."; exit 1; }
	@touch $@

setup: $(VENV)/.run   ## make .venv with the program in it (quick the second time)

demo: setup      ## set up, then walk the demonstration season into ./demo-season
	@$(BIN)/skimwright demo demo-season --progress

check: $(VENV)/.dev   ## style, types, arrows between the rooms
	@$(BIN)/ruff check src tests bench
	@$(BIN)/mypy
	@$(BIN)/lint-imports --no-logo 2>/dev/null || $(BIN)/lint-imports

$(VENV)/.browser: $(VENV)/.dev
	@command -v chromium >/dev/null || { test "$$(id -u)" = 0 && command -v apt-get >/dev/null && \
	  echo "Setting up: Debian's Chromium, for the tests in a browser ..." && \
	  { apt-get update -qq; DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium; } >/dev/null 2>&1; } || true
	@command -v chromium >/dev/null || echo "No chromium here: the tests in a browser are skipped. Install it to run them."
	@touch $@

test: check $(VENV)/.browser   ## set up, then run every check and test
	@$(BIN)/python -m pytest

published: $(VENV)/.dev   ## only the comparisons with printed values
	@$(BIN)/python -m pytest tests/published

bench: $(VENV)/.dev   ## measure speed and size, printed as ratios of one run
	@$(BIN)/python -m bench

docs: $(VENV)/.dev   ## make the made pages and pictures of docs/ anew
	@$(BIN)/python docs/build.py
	@$(BIN)/skimwright forecast --boat 11 --season src/skimwright/demo_season --out docs/pictures --plain

lock:            ## make the hashed requirement files anew (needs uv on the path)
	@for f in requirements requirements-dev; do uv pip compile -q --generate-hashes --no-header --no-annotate --python-version 3.11 $$f.in -o $$f.txt; done

clean:           ## remove what these commands made
	@rm -rf $(VENV) demo-season .pytest_cache .mypy_cache .ruff_cache .import_linter_cache .hypothesis
	@find . -name __pycache__ -type d -prune -exec rm -rf {} +
