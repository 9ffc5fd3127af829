# One-word commands.  A fresh machine needs Python 3.11 or later with pip, and
# make; everything else is brought by the first command that needs it.
#
#   make demo     plan the demo job into out/demo/, buy for the demo season into out/season/
#   make looks    photograph the invented designs into a look book, out/looks/
#   make test     all tests, with the browser, PDF and database ones where possible
#   make check    format, lint, types, room contracts, generated docs, tidiness
#   make fuzz     hand wrong files, settings and edits to it for some minutes  (MINUTES=2)
#   make mutants  change the code place by place: which change does no test notice?  (EACH=12)
#   make endure   kills, power cuts, full disks, clocks, bad lines, wrong input  (HOURS=1)
#   make format   put the code in shape
#   make words    put new sentences into the books of translations
#   make docs     build the documentation into site/
#   make app      a folder with all in it, Python too, that starts the desk, in out/app/
#   make bench    measure, side by side with named baselines  (QUICK=1: a short run)
#   make lock     pin the dependencies anew  (UPGRADE=--upgrade: take newer ones)
#   make clean    throw away what can be made again

PYTHON  ?= python3
VENV    := .venv
PY      := $(VENV)/bin/python
STAMPS  := $(VENV)/.stamps
WORKERS ?= 2
SEASON  := src/airwright/job/examples/season

# Node, where a rule needs it, is the one inside the environment.
export PATH := $(CURDIR)/$(VENV)/bin:$(PATH)
export PIP_DISABLE_PIP_VERSION_CHECK := 1

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help demo looks test check fuzz mutants endure format docs docs-pages words app bench lock clean setup frontend system

help:
	@sed -n 's/^#   \(make .*\)/\1/p' Makefile

# ---- set-up, each step once ------------------------------------------------

setup: $(STAMPS)/package frontend

$(STAMPS)/venv:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	  echo "Airwright needs Python 3.11 or later; $$($(PYTHON) --version 2>&1) was found." >&2; \
	  echo "Name another one: make PYTHON=/path/to/python3.12 ..." >&2; exit 1; }
	@echo "Setting up: environment"
	@$(PYTHON) -m venv $(VENV) || $(PYTHON) -m virtualenv $(VENV) || { \
	  echo "Python could not make an environment; on Debian: apt-get install python3-venv" >&2; \
	  exit 1; }
	@mkdir -p $(STAMPS) && touch $@

$(STAMPS)/lock: requirements.lock $(STAMPS)/venv
	@echo "Setting up: locked dependencies (once; a few minutes on a slow line)"
	@$(PY) -m pip install -qq --require-hashes -r requirements.lock
	@touch $@

$(STAMPS)/package: pyproject.toml $(STAMPS)/lock
	@$(PY) -m pip install -qq --no-deps --no-build-isolation --editable .
	@touch $@

# The desk's scripts and styles, bundled into the package.
ifneq ($(wildcard frontend/package-lock.json),)
FRONTEND_SOURCES := $(shell find frontend -name node_modules -prune -o -type f -print)

frontend: $(STAMPS)/bundle

$(STAMPS)/modules: frontend/package-lock.json $(STAMPS)/lock
	@echo "Setting up: front-end packages"
	@npm ci --prefix frontend --ignore-scripts --no-audit --no-fund --loglevel=error
	@touch $@

$(STAMPS)/bundle: $(STAMPS)/modules $(FRONTEND_SOURCES)
	@npm run --silent --prefix frontend build
	@touch $@
else
frontend:
endif

# Checkers from the world of JavaScript that only tests use, one folder each.
CHECKERS := $(patsubst tools/%/package-lock.json,$(STAMPS)/checker-%,$(wildcard tools/*/package-lock.json))

$(STAMPS)/checker-%: tools/%/package-lock.json $(STAMPS)/lock
	@echo "Setting up: $* checker"
	@npm ci --prefix tools/$* --ignore-scripts --no-audit --no-fund --loglevel=error && touch $@ \
	  || echo "The $* checker cannot be installed here; the tests that need it skip and say so."

# Debian packages that only tests use.  Where they cannot be installed the
# tests that need them skip and say why.
system:
	@bash tools/system_packages.sh

# ---- use -------------------------------------------------------------------

demo: setup
	@airwright demo --out out/demo
	@airwright buy $(SEASON)/jobs/*.toml --suppliers $(SEASON)/suppliers.toml \
	  --stock $(SEASON)/stock.toml --today 2027-05-03 --out out/season

looks: setup
	@airwright looks --out out/looks

test: setup system $(CHECKERS)
	@mkdir -p out
	@npm run --silent --prefix frontend test
	@$(PY) -m pytest -n $(WORKERS) --validation-out=out/validation.json

check: setup
	@ruff format --check .
	@ruff check .
	@mypy
	@lint-imports --no-cache --no-logo
	@npm run --silent --prefix frontend lint
	@$(PY) -m tools.docs --check
	@$(PY) -m tools.sentences --check
	@$(PY) -m tools.tidy

fuzz: setup
	@$(PY) -m tools.fuzz --minutes $(or $(MINUTES),2) --seed $(or $(SEED),1)

mutants: setup
	@$(PY) -m tools.mutants --each $(or $(EACH),12) --seed $(or $(SEED),9)

endure: setup
	@$(PY) -m tools.endure --hours $(or $(HOURS),1) --seed $(or $(SEED),1)

format: setup
	@ruff format .
	@ruff check --fix .

words: setup
	@$(PY) -m tools.sentences

docs-pages: setup
	@$(PY) -m tools.docs

docs: docs-pages
	@mkdocs build --strict --quiet
	@echo "Built: site/index.html"

app: setup
	@$(PY) -m tools.app --out out/app

bench: setup
	@$(PY) -m bench $(if $(QUICK),--quick)

lock: $(STAMPS)/venv
	@tools/lock.sh $(UPGRADE)

clean:
	rm -rf out site frontend/node_modules tools/*/node_modules src/airwright/desk/static/dist
	rm -rf .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
	rm -f $(STAMPS)/modules $(STAMPS)/bundle $(STAMPS)/checker-*
