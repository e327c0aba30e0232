# Strokebook: `make` lists the tasks. Each task sets up what it needs.
PYTHON ?= python3
VENV := .venv
PY := $(VENV)/bin/python
RUN := $(PY) -m
PORT ?= 8000
INSTALL := $(PY) -m pip install --quiet --disable-pip-version-check --require-hashes
CHROMIUM_PATH = $$($(PY) tests/browser/chromium.py)
BROWSE = @chromium=$(CHROMIUM_PATH) && export CHROMIUM="$$chromium" && $(RUN) pytest --numprocesses auto --dist loadfile tests/browser

.DEFAULT_GOAL := help
.PHONY: help serve build test unit evidence runtime browser same bench audit advisories handbook check format lock clean

help: ## list the tasks
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "make %-10s %s\n", $$1, $$2 }' Makefile

serve: $(VENV)/.site ## build the site and serve it on this machine (PORT=8000)
	@$(RUN) site_src serve --port $(PORT)

build: $(VENV)/.site ## build the site into site/
	@$(RUN) site_src build

test: check unit runtime ## everything that must hold
	$(BROWSE)

unit: $(VENV)/.test ## the fast loop: unit tests and evidence, offline
	$(RUN) pytest --numprocesses auto tests/unit tests/evidence

evidence: $(VENV)/.test ## the checks against published sources and libraries alone
	$(RUN) pytest tests/evidence

runtime: $(VENV)/.test ## the browser's Python, packed and run under Node
	@$(RUN) site_src pack
	$(RUN) pytest --numprocesses auto tests/runtime

browser: $(VENV)/.test ## the built site in Chromium
	@$(RUN) site_src build
	$(BROWSE)

same: $(VENV)/.test ## 200 inputs for each calculator: the same numbers under Node and in Chromium
	@$(RUN) site_src build
	@chromium=$(CHROMIUM_PATH) && export CHROMIUM="$$chromium" SAME_CASES=200 && \
	  $(RUN) pytest --numprocesses auto tests/runtime/test_parity.py tests/browser/test_same.py

bench: $(VENV)/.test ## measure the built site and write docs/evidence/speed.md
	@$(RUN) site_src build
	@chromium=$(CHROMIUM_PATH) && export CHROMIUM="$$chromium" && $(RUN) site_src bench

audit: $(VENV)/.test ## a page audit of the built site, written into docs/evidence/quality.md
	@$(RUN) site_src build
	@chromium=$(CHROMIUM_PATH) && export CHROMIUM="$$chromium" && $(RUN) site_src audit

advisories: $(VENV)/.test ## what is known against the locked packages
	@$(PY) -m pip install --quiet --disable-pip-version-check pip-audit
	$(RUN) pip_audit --no-deps --disable-pip --requirement tests/requirements.lock
	@$(RUN) site_src advisories

handbook: $(VENV)/.test ## the whole handbook as handbook.pdf
	@$(RUN) site_src build
	@chromium=$(CHROMIUM_PATH) && export CHROMIUM="$$chromium" && $(RUN) site_src handbook

check: $(VENV)/.test ## format, lint, types, scripts and a strict build
	$(RUN) ruff format --check .
	$(RUN) ruff check .
	$(RUN) mypy
	@$(RUN) site_src scripts
	@$(RUN) site_src text
	@$(RUN) site_src build
	@$(RUN) site_src html

format: $(VENV)/.test ## put the sources into the common format
	$(RUN) ruff format .
	$(RUN) ruff check --fix .

lock: $(VENV)/.site ## choose versions anew (needs uv, which it installs)
	@$(PY) -m pip install --quiet --disable-pip-version-check uv
	$(PY) -m uv pip compile --quiet --upgrade $(LOCK) --extra site -o site_src/requirements.lock
	$(PY) -m uv pip compile --quiet --upgrade $(LOCK) --extra site --extra test \
	  --constraints site_src/requirements.lock -o tests/requirements.lock
	@$(RUN) site_src lock
	@for version in $(OTHER_NUMPY); do echo "numpy==$$version" | $(PY) -m uv pip compile --quiet --universal \
	  --generate-hashes --no-emit-index-url --no-header - -o tests/runtime/numpy-$$version.lock; done

OTHER_NUMPY = 2.0.2 2.4.6 # the oldest that is supported, and the newest
LOCK = pyproject.toml --universal --python-version 3.11 --generate-hashes \
  --no-emit-index-url --no-annotate --no-header

clean: ## remove all that was made or fetched
	rm -rf $(VENV) .cache site .mypy_cache .ruff_cache .pytest_cache .hypothesis

# A stamp is written last, so that an interrupted step is done again. An install
# that was cut short can leave half a package behind: then start from nothing.
ifneq ($(wildcard $(VENV)/.unfinished),)
$(info The last set-up was interrupted: $(VENV) is made anew.)
$(shell rm -rf $(VENV))
endif

$(VENV)/.made:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || \
	  { echo "Strokebook needs Python 3.11 or newer; name one, as in: make serve PYTHON=python3.12"; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || \
	  { echo "This Python has no venv module; on Debian or Ubuntu: apt install python3-venv"; exit 1; }
	@rm -rf $(VENV) && $(PYTHON) -m venv $(VENV) && touch $@

$(VENV)/.site: site_src/requirements.lock $(VENV)/.made
	@echo "Installing what the site needs into $(VENV)"
	@touch $(VENV)/.unfinished && $(INSTALL) -r $< && rm $(VENV)/.unfinished && touch $@

$(VENV)/.test: tests/requirements.lock $(VENV)/.site
	@echo "Installing what the tests need into $(VENV)"
	@touch $(VENV)/.unfinished && $(INSTALL) -r $< && rm $(VENV)/.unfinished && touch $@
