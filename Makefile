# Crossfell: `make demo` and `make test` set everything up by themselves.
PY ?= python3
V  := .venv
EXAMPLE ?= examples/02-tideline/tideline.toml

.PHONY: demo studio client test check soak bench browser clean

demo: $(V)/.ok
	@$(V)/bin/crossfell make $(EXAMPLE)

studio: $(V)/.ok
	@$(V)/bin/crossfell studio examples

client:
	cd src/crossfell/studio/web && npm ci --ignore-scripts && npm run build

test: check

check: $(V)/.ok-test browser
	$(V)/bin/ruff format --check src tests bench
	$(V)/bin/ruff check src tests bench
	$(V)/bin/mypy
	$(V)/bin/lint-imports
	$(V)/bin/pytest -n 2 -m "not soak"

soak: $(V)/.ok-test
	$(V)/bin/pytest -m soak

bench: $(V)/.ok-test
	@for f in bench/*.py; do echo "== $$f"; $(V)/bin/python $$f || exit 1; done

$(V)/bin/python:
	$(PY) -m venv $(V)

$(V)/.ok: pyproject.toml constraints.txt hatch_build.py | $(V)/bin/python
	@echo "Setting up (once, about half a minute) …"
	$(V)/bin/python -m pip install -q --disable-pip-version-check -c constraints.txt -e .
	@touch $@

$(V)/.ok-test: pyproject.toml constraints.txt hatch_build.py | $(V)/bin/python
	@echo "Setting up with what the tests need (once, about a minute) …"
	$(V)/bin/python -m pip install -q --disable-pip-version-check -c constraints.txt -e ".[test]"
	@touch $@ $(V)/.ok

browser:
	@if [ -n "$$CHROMIUM" ] || command -v chromium >/dev/null || command -v google-chrome >/dev/null; then :; \
	elif [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
	  echo "Installing Chromium for the browser tests …"; \
	  apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium >/dev/null; \
	else echo "Browser tests need Chromium: run 'sudo apt-get install chromium' or set CHROMIUM=/path/to/chrome" >&2; exit 1; fi

clean:
	rm -rf $(V) build dist
