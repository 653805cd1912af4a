# `make check` is what .ci/run calls too: the same at home and there.
# Ten thousand athletes, kits and venues: an answer for each, and no hard rule broken (some twenty minutes).
many:
	FIRSTPUSH_CASES=10000 uv run pytest -n 0 tests/core/setup/test_any_athlete.py -k every_exercise_gives

.PHONY: many check format lint types test docs bench pages pictures

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

# Writes what `docs` and the tests compare: run it when a command, a table or a number has changed on purpose.
pages:
	uv run python scripts/make_reference.py
	uv run python scripts/run_docs.py

# One thread, so that numbers of different machines can be compared.
bench: export OPENBLAS_NUM_THREADS = 1
bench: export OMP_NUM_THREADS = 1
bench:
	uv run python benchmarks/body.py
	uv run python benchmarks/program.py

pictures:
	uv run python scripts/make_pictures.py
