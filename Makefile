# Every command a contributor needs; `make help` lists them.
# They all run in .venv, which is made on first use and made anew when pyproject.toml changes.

VENV := .venv
BIN := $(VENV)/bin
PYTHON ?= $(shell for p in python3 python3.14 python3.13 python3.12 python3.11; do \
	if "$$p" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; \
	then echo "$$p"; break; fi; done)
WORKERS ?= $(shell getconf _NPROCESSORS_ONLN 2>/dev/null || echo 1)

# How long `make fuzz` searches with each of its two kinds of input.
SECONDS ?= 300

# Random jobs on which `make judge` holds the proof against the judge, and the first one's seed.
N ?= 300
SEED ?= 1

# How long `make judge` and `make windows` run at a time; the same command goes on from there.
# Left out: until all is done. A log takes no rows of another source: name another one then.
MINUTES ?=
LOG ?= judge-out/judge-$(SEED).jsonl

# Of how many disagreements of a sort `make judge` makes the job small, two minutes each; left out:
# three.
SHRINK ?=

# What `make page` opens: a folder of jobs, or one job. Left out: copies of the examples, made on
# first use and free to be changed.
JOBS ?= jobs

PIN := examples/demo-pin
OTHER_BAR := --bar 52 --length 86.5

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help page demo test lint format pytest judge amend windows faults mutants fuzz bench schema wheel clean

help: ## List these commands
	@grep -hE '^[a-z]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/^([a-z]+):.*## /  make \1\t/' | expand -t 16

demo: $(VENV)/installed ## Prove the demo pin with its own bar and with another; leave pictures in out/
	@mkdir -p out
	@echo "The job as written: bar 48, length 83"
	@echo
	@$(BIN)/standclear prove $(PIN) --draw out/demo-pin-clear.png > out/demo-pin-clear.txt; \
	  status=$$?; cat out/demo-pin-clear.txt; \
	  test $$status -eq 0 && grep -q '^clear: ' out/demo-pin-clear.txt \
	  || { echo "demo: expected clear and exit status 0, found status $$status" >&2; exit 1; }
	@echo
	@echo "The bar from the rack: bar 52, length 86.5"
	@echo
	@$(BIN)/standclear prove $(PIN) $(OTHER_BAR) --draw out/demo-pin.png > out/demo-pin.txt; \
	  status=$$?; cat out/demo-pin.txt; \
	  test $$status -eq 1 && grep -q '^contact: ' out/demo-pin.txt \
	  || { echo "demo: expected contact and exit status 1, found status $$status" >&2; exit 1; }
	@$(BIN)/standclear draw $(PIN) -o out/demo-pin-clear.svg
	@$(BIN)/standclear draw $(PIN) $(OTHER_BAR) -o out/demo-pin.svg; test $$? -eq 1
	@echo
	@echo "Both answers came as expected: clear as written, contact with bar 52, length 86.5."
	@echo "See out/demo-pin-clear.png and out/demo-pin.png."

page: $(VENV)/installed ## Open the bench in the browser: make page JOBS=folder
	@if [ "$(JOBS)" = jobs ] && [ ! -d jobs ]; then cp -r examples jobs; fi
	@$(BIN)/standclear page $(JOBS)

test: $(VENV)/dev-installed ## Everything that must pass: lint, types, 300 random jobs, tests
	@$(MAKE) --no-print-directory --keep-going lint judge pytest SHRINK=0

lint: $(VENV)/dev-installed ## Style, layout and types
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

format: $(VENV)/dev-installed ## Lay the code out as the linter wants it
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

pytest: $(VENV)/dev-installed ## The tests alone
	$(BIN)/pytest -n auto --dist worksteal

judge: $(VENV)/dev-installed ## Random jobs, proof against brute force: make judge N=3000 SEED=1
	$(BIN)/python -m judge --n $(N) --seed $(SEED) --workers $(WORKERS) \
	  $(if $(MINUTES),--minutes $(MINUTES) --log $(LOG)) $(if $(SHRINK),--shrink $(SHRINK))

amend: $(VENV)/dev-installed ## Plant known faults in proven jobs; amending must mend them: make amend N=1000
	@mkdir -p judge-out
	$(BIN)/python -m planted --n $(N) --seed $(SEED) --workers $(WORKERS) --log judge-out/amend-$(SEED).jsonl

windows: N = 500
windows: LOG = judge-out/windows-$(SEED).jsonl
windows: $(VENV)/dev-installed ## Stock windows of random jobs, each edge against replays: make windows N=500
	$(BIN)/python -m judge.windows --n $(N) --seed $(SEED) --workers $(WORKERS) --log $(LOG) \
	  $(if $(MINUTES),--minutes $(MINUTES))

faults: $(VENV)/dev-installed ## Plant known faults in the proof; judge or tests must catch each
	$(BIN)/python -m tests.faults.run

mutants: N = 300
mutants: $(VENV)/dev-installed ## Draw small faults in reading, geometry and proof; tests or judge must see 9 of 10
	@mkdir -p judge-out
	$(BIN)/python -m mutants --n $(N) --seed $(SEED) --workers $(WORKERS) \
	  --minutes $(or $(MINUTES),30) --log judge-out/mutants-$(SEED).jsonl

fuzz: $(VENV)/dev-installed ## Search for input that breaks the tool: make fuzz SECONDS=600
	$(BIN)/python -m pip install --quiet -e '.[fuzz]'
	$(BIN)/python -m fuzz program --seconds $(SECONDS)
	$(BIN)/python -m fuzz job --seconds $(SECONDS)

bench: $(VENV)/dev-installed ## Time proof, tracing, estimates and the page; the first makes benchmarks/RESULTS.md
	$(BIN)/python -m benchmarks > benchmarks/RESULTS.md.new
	mv benchmarks/RESULTS.md.new benchmarks/RESULTS.md
	cat benchmarks/RESULTS.md
	$(BIN)/python -m benchmarks.interpreting
	$(BIN)/python -m benchmarks.estimating
	$(BIN)/python -m benchmarks.dragging

schema: $(VENV)/installed ## Make both JSON Schemas anew from the models
	$(call remake,src/standclear/job/job.schema.json,standclear.job.schema,job_schema)
	$(call remake,src/standclear/report/answer.schema.json,standclear.report.json_answer,schema_text)

# $(1) file, $(2) module, $(3) function that gives its text. Written aside and renamed.
define remake
	PYTHONUTF8=1 $(BIN)/python -c 'from $(2) import $(3); print($(3)(), end="")' > $(1).new
	mv $(1).new $(1)
endef

wheel: $(VENV)/dev-installed ## Build a wheel into out/
	$(BIN)/python -m pip wheel --quiet --no-deps --wheel-dir out .

clean: ## Remove .venv, pictures, caches and what judge and fuzz wrote
	rm -rf $(VENV) out judge-out fuzz-out .pytest_cache .hypothesis .mypy_cache .ruff_cache
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

$(VENV)/installed: pyproject.toml
	@test -n "$(PYTHON)" || { echo "standclear needs Python 3.11 or newer; \
	python3 here is $$(python3 --version 2>&1 || echo missing). \
	Install one, or name it: make PYTHON=/path/to/python3.12" >&2; exit 1; }
	@"$(PYTHON)" -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "standclear needs Python 3.11 or newer; $(PYTHON) is not" >&2; exit 1; }
	@"$(PYTHON)" -c 'import ensurepip, venv' 2>/dev/null \
	  || { echo "$(PYTHON) cannot make a virtual environment; on Debian: apt-get install python3-venv" >&2; exit 1; }
	"$(PYTHON)" -m venv --clear $(VENV)
	$(BIN)/python -m pip install --quiet -e .
	@touch $@

$(VENV)/dev-installed: $(VENV)/installed
	$(BIN)/python -m pip install --quiet -e '.[dev]'
	@touch $@
