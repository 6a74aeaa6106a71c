PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
OUT ?= out/demo

.PHONY: demo test check clean

$(BIN)/pitwright-demo.ready: pyproject.toml constraints.txt
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade pip
	$(BIN)/python -m pip install --quiet -c constraints.txt -e ".[step]"
	touch $@

$(BIN)/pitwright-test.ready: pyproject.toml constraints.txt
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade pip
	$(BIN)/python -m pip install --quiet -c constraints.txt -e ".[step,test]"
	touch $@

# Solve the demo job and write its pack; prints where each file is and what it is.
demo: $(BIN)/pitwright-demo.ready
	$(BIN)/pitwright demo --out $(OUT)

# Style, types and the whole test suite.
test: $(BIN)/pitwright-test.ready
	$(BIN)/ruff check src tests benchmarks
	$(BIN)/ruff format --check src tests benchmarks
	$(BIN)/mypy
	$(BIN)/python -m pytest -n 2

clean:
	rm -rf $(VENV) out build dist
