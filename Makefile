# `make check` is what .ci/run calls too: the same at home and there.
.PHONY: check format lint types test docs bench pictures

check: format lint types docs test

format:
	uv run ruff format --check .

lint:
	uv run ruff check .

types:
	uv run mypy

# Tests run against the built wheel, so that a file left out of the wheel fails here and not at a user's.
test:
	uv run --isolated --no-editable pytest tests --pyargs firstpush

docs:
	uv run python scripts/make_reference.py --check

bench:
	uv run python -m benchmarks

pictures:
	uv run python scripts/make_pictures.py
