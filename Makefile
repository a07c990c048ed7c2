# `make chat` opens the chat in this terminal, `make test` runs every check. Both build what they need in .venv first.
#
#   PYTHON=python3.12           the Python to build with; else the newest one found, 3.11 or later
#   ARGS='--as tove'            more arguments for the chat, the tests or the measurements
#   WORKERS=4                   how many processes run the tests
#   UPGRADE=--upgrade           let `make constraints` take newer versions

BIN = .venv/bin
WORKERS ?= 3

help:
	@echo "make chat         open the chat in this terminal, with its log in SQLite"
	@echo "make test         run every check: format, lint, types, contracts, tests"
	@echo "make bench        measure, in ratios; ARGS names some of the measurements"
	@echo "make soak         kill the program a hundred times on each way in, over 2,000 messages, and count"
	@echo "make format       put the code into its one format"
	@echo "make map          write the map of DEVELOPERS.md from the modules' first lines"
	@echo "make constraints  work out deploy/constraints.txt again"

chat:
	@sh deploy/environment.sh chat
	@exec $(BIN)/rackside chat $(ARGS)

test:
	@sh deploy/environment.sh test
	@sh deploy/homeserver.sh || { echo "make test: WITHOUT the tests of the Matrix front end, which need that homeserver" >&2; \
		test -z "$(CI)"; }
	@echo "1 of 5, format: ruff format --check"
	@$(BIN)/ruff format --check .
	@echo "2 of 5, lint: ruff check"
	@$(BIN)/ruff check .
	@echo "3 of 5, types: mypy"
	@$(BIN)/mypy
	@echo "4 of 5, contracts: lint-imports"
	@$(BIN)/lint-imports
	@echo "5 of 5, tests: pytest, in $(WORKERS) processes"
	@$(BIN)/python -m pytest -n $(WORKERS) $(ARGS)

bench:
	@sh deploy/environment.sh test
	@$(BIN)/python -m tests.bench $(ARGS)

soak:
	@sh deploy/environment.sh test
	@STORM_KILLS=100 STORM_MESSAGES=2000 $(BIN)/python -m pytest -p no:xdist tests/bot/telegram/test_storm.py $(ARGS)

format:
	@sh deploy/environment.sh test
	@$(BIN)/ruff format .
	@$(BIN)/ruff check --fix .

map:
	@sh deploy/environment.sh test
	@$(BIN)/python -m tests.write_map

# uv is asked for here only, so it is no part of what the checks install.
constraints:
	@sh deploy/environment.sh test
	@test -x $(BIN)/uv || { echo "installing uv, which works the versions out"; $(BIN)/python -m pip install --quiet uv; }
	@echo "working out deploy/constraints.txt for Python 3.11 and later"
	@$(BIN)/uv pip compile pyproject.toml --quiet --universal --python-version 3.11 --all-extras --no-header --no-annotate \
		--no-emit-index-url $(UPGRADE) --output-file deploy/constraints.txt

.PHONY: help chat test bench soak format map constraints
