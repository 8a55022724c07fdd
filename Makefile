# Needs cargo, a C linker and CPython >= 3.10. Everything else is pinned in the lock files and goes
# into .venv; another Python is chosen with `make clean` and then `make PYTHON=/path/to/python ...`.

PYTHON ?= python3
# Random cases that are the same in every run; `make soak` draws fresh ones.
SEED := 1
BIN := .venv/bin
# Folders too, so that a deleted file counts as a change.
WHEEL_SOURCES := Cargo.toml Cargo.lock pyproject.toml README.md LICENSE-MIT LICENSE-APACHE THIRD_PARTY_NOTICES.txt \
	$(shell find src python -name __pycache__ -prune -o -print)

# The binding asks this Python for its ABI, instead of whichever one the machine has.
export PYO3_PYTHON := $(CURDIR)/$(BIN)/python

headline = @printf '\n== %s\n' "$(1)"

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
# One step after the other, also under -j: two cargo runs would only wait for each other's lock.
.NOTPARALLEL:
.PHONY: help demo test lint test-rust test-downstream test-python stubs soak mutants bench lock notices clean

help: ## show this list
	@awk -F ':.*## ' '/^[a-z-]+:.*## / {printf "make %-12s %s\n", $$1, $$2}' Makefile

demo: .venv/wheel-installed ## build, evaluate the example rig, print its verdict, write build/training_rig.html
	$(call headline,The example rig)
	$(BIN)/yokewright evaluate examples/training_rig.toml --report build/training_rig.html
	@printf '\nOpen it in a browser: file://%s\n' '$(CURDIR)/build/training_rig.html'

test: lint test-rust test-downstream test-python ## every check and test, Rust and Python

lint: .venv/lock-installed ## formatting, clippy, ruff, mypy
	$(call headline,Rust formatting)
	cargo fmt --check
	$(call headline,Python formatting and lint)
	$(BIN)/ruff format --check
	$(BIN)/ruff check
	$(call headline,Python types)
	$(BIN)/mypy
	$(call headline,clippy)
	cargo clippy --locked --lib -- -D warnings
	$(call headline,clippy with the Python binding)
	cargo clippy --locked --all-targets --features python -- -D warnings
	$(call headline,Notices of linked crates)
	$(BIN)/python python/notices.py --check

# Without the feature `python`: a test binary cannot link against the stable ABI, which belongs to a
# Python that loads it. The binding is tested from Python. The example runs as `cargo test` has built it.
test-rust: .venv/lock-installed ## Rust tests, documentation and example
	$(call headline,Rust tests)
	PROPTEST_RNG_SEED=$(SEED) cargo test --locked
	$(call headline,Rust documentation)
	RUSTDOCFLAGS='-D warnings' cargo doc --locked --no-deps --all-features
	$(call headline,Rust example)
	cargo run --locked --profile test --example stick_axis

test-python: .venv/wheel-installed ## Python stubs, tests and notebooks, against the installed wheel
	$(call headline,Python stubs)
	$(BIN)/python -m mypy.stubtest yokewright --mypy-config-file pyproject.toml \
		--allowlist tests/python/stubtest_allowlist.txt
	$(call headline,Python tests)
	@$(BROWSER) || printf '%s\n' $(NO_BROWSER)
	$(BIN)/pytest
	$(call headline,Notebooks)
	$(BIN)/pytest --nbmake examples/*.ipynb
	@$(BROWSER) || printf '%s\n' $(NO_BROWSER)

# On Debian and its kin it is the package chromium.
BROWSER := command -v chromium > /dev/null || command -v chromium-browser > /dev/null
NO_BROWSER := '' '!! NO CHROMIUM FOUND: the report is NOT looked at in a browser.' '!! Install chromium and run this again.' ''

# A stranger's crate, with a lock file of its own.
test-downstream: ## a crate that builds on this one: its tests
	$(call headline,A crate that builds on this one)
	cargo fmt --check --manifest-path examples/downstream/Cargo.toml
	PROPTEST_RNG_SEED=$(SEED) cargo test --locked --manifest-path examples/downstream/Cargo.toml --target-dir target

stubs: .venv/wheel-installed ## write the docstrings of the wheel into the stubs, which editors read
	$(BIN)/python -I python/write_stub_docs.py
	$(BIN)/ruff format --quiet python/yokewright

soak: ## the property tests with fresh random cases, RUNS times
	$(call headline,Property tests with random cases)
	cargo test --locked --test properties --no-run
	@mkdir -p build
	@for run in $$(seq $(RUNS)); do \
		cargo test --quiet --locked --test properties > build/soak.log 2>&1 \
			|| { cat build/soak.log; echo "run $$run of $(RUNS) failed"; exit 1; }; \
		echo "run $$run of $(RUNS) passed"; \
	done

RUNS ?= 20

# A mutant is a small change on purpose; one that no test notices is missed. The seed is fixed, so that none is caught by chance.
mutants: build/tools/bin/cargo-mutants ## change FILES (e.g. 'src/hall/**') on purpose here and there, and list what no Rust test notices
	$(call headline,Mutants of $(FILES))
	PROPTEST_RNG_SEED=$(SEED) build/tools/bin/cargo-mutants mutants --output build --shard $(SHARD) --timeout 300 --build-timeout 600 \
		$(foreach file,$(FILES),--file '$(file)') --cargo-test-arg --locked --cargo-test-arg --lib --cargo-test-arg --tests

FILES ?= src/axis/** src/hall/** src/rig/** src/feel/** src/linkage/pedals/** src/spring/stock/choice.rs src/linkage/planar/four_bar/limits.rs
# k/n: the k-th of n parts, from 0.
SHARD ?= 0/1

build/tools/bin/cargo-mutants:
	cargo install --locked --root build/tools --version 27.1.0 cargo-mutants

bench: .venv/wheel-installed .venv/bench-installed ## speed: criterion, then side by side with NumPy and Numba
	$(call headline,Rust benchmarks)
	cargo bench --locked
	$(call headline,Side by side from Python)
	$(BIN)/python benches/side_by_side.py
	$(BIN)/python benches/cylinder_side_by_side.py
	YOKEWRIGHT_THREADS=1 $(BIN)/python benches/linkage_side_by_side.py
	$(BIN)/python benches/variations_side_by_side.py
	YOKEWRIGHT_THREADS=1 $(BIN)/python benches/tolerance_side_by_side.py

lock: ## choose the newest versions that fit pyproject.toml and write the lock files
	$(PYTHON) -m venv --clear build/lock
	build/lock/bin/pip install --quiet uv==0.13.9
	$(call headline,Lock files)
	$(LOCK) --upgrade --group dev pyproject.toml --output-file requirements-dev.txt
	$(LOCK) --upgrade --group bench --constraint requirements-dev.txt --output-file requirements-bench.txt

notices: ## write the licences of the Rust crates that are linked into the wheel, after a change of Cargo.lock
	$(PYTHON) python/notices.py

LOCK = UV_PYTHON_DOWNLOADS=never UV_CUSTOM_COMPILE_COMMAND='make lock' build/lock/bin/uv pip compile \
	--quiet --universal --python-version 3.10 --no-annotate

clean: ## remove all that the other targets made
	cargo clean
	rm -rf .venv build .mypy_cache .pytest_cache .ruff_cache

.venv/lock-installed: requirements-dev.txt
	$(call headline,Virtual environment)
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 10))' || { \
		echo "'$(PYTHON)' is not a CPython >= 3.10; name one: make PYTHON=/path/to/python ..." >&2; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || { \
		echo "'$(PYTHON)' lacks venv; on Debian and its kin it is the package python3-venv" >&2; exit 1; }
	$(PYTHON) -m venv --clear .venv
	$(BIN)/pip install --quiet --disable-pip-version-check --requirement requirements-dev.txt
	@touch $@

.venv/bench-installed: requirements-bench.txt .venv/lock-installed
	$(call headline,What the benchmarks compare with)
	$(BIN)/pip install --quiet --disable-pip-version-check --requirement requirements-bench.txt
	@touch $@

.venv/wheel-installed: $(WHEEL_SOURCES) .venv/lock-installed
	$(call headline,Wheel)
	@rm -rf build/wheels
	$(BIN)/maturin build --release --locked --interpreter $(PYO3_PYTHON) --out build/wheels
	$(BIN)/pip install --quiet --disable-pip-version-check --force-reinstall --no-deps build/wheels/*.whl
	$(BIN)/pip check
	@touch $@
