# Everything a person, a hook and .ci/run need; `make` alone lists the targets.
PYTHON ?= python3
BIN := .venv/bin
SYSTEM := libgl1 libglib2.0-0 libfontconfig1 libdbus-1-3 libxcb-icccm4 libxcb-image0 \
	libxcb-keysyms1 libxcb-render-util0 libxcb-shape0 libxcb-xinerama0 libxcb-xkb1 \
	libxkbcommon-x11-0 xvfb xauth poppler-utils
export XDG_RUNTIME_DIR ?= $(CURDIR)/build/runtime
unexport PYTHONDONTWRITEBYTECODE

.PHONY: help setup system demo test check fix bench soak shots window clean

help: ## list the targets
	@grep -hE '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:[^#]*## /\t/' | expand -t 10

setup: .venv/ready ## make .venv with everything in it

.venv/ready: pyproject.toml requirements.txt
	test -x $(BIN)/python || $(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	mkdir -p build/runtime && chmod 700 build/runtime
	touch $@

system: ## install the Debian packages that the window needs, or say which are missing
	@missing=""; for p in $(SYSTEM); do \
	  dpkg-query -W -f='$${Status}' $$p 2>/dev/null | grep -q 'ok installed' || missing="$$missing $$p"; done; \
	if [ -z "$$missing" ]; then exit 0; fi; \
	if ! command -v apt-get >/dev/null; then echo "Please install:$$missing"; exit 0; fi; \
	if [ "$$(id -u)" = 0 ]; then sudo=""; elif sudo -n true 2>/dev/null; then sudo="sudo"; \
	else echo "Missing system packages; please install:$$missing"; exit 0; fi; \
	$$sudo apt-get update -qq && $$sudo env DEBIAN_FRONTEND=noninteractive \
	  apt-get install -y -qq --no-install-recommends $$missing >/dev/null

demo: setup ## run the main job on the sample property; results in build/demo
	$(BIN)/funnelfinder demo build/demo

test: setup system check ## formatter, linter, types, floors, then all tests
	mkdir -p build/runtime && chmod 700 build/runtime
	$(BIN)/python -m pytest -n 2 --dist worksteal
	$(BIN)/python -m pytest -m alone tests/whole_job

check: setup ## formatter, linter, strict types, floors
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports

fix: setup ## format and mend what the linter can
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

bench: setup ## our times beside the peers', in one run
	$(BIN)/python -m bench
	$(BIN)/python -m bench.stands

soak: setup system ## the tests that take longer than the suite may
	$(BIN)/python -m pytest -m soak

shots: setup system ## pictures of every screen, in build/shots
	$(BIN)/python -m pytest -m shots tests/ui

window: setup system ## the window, with the sample property open
	$(BIN)/python -m ui --sample

clean: ## remove what was built
	rm -rf .venv build dist *.egg-info .mypy_cache .ruff_cache .pytest_cache
