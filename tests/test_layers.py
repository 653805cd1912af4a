"""Imports go one way: cli and web → sheets → core, and inside core from people to session.

Asked in two ways: a fresh interpreter imports the modules and tells what came along, and the source is read for what
each module names.
"""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import firstpush

PACKAGE = Path(firstpush.__file__).parent
CORE = PACKAGE / "core"

ORDER = (
    "people",
    "kit",
    "courses",
    "exercises",
    "body",
    "setup",
    "figure",
    "session",
    "programme",
    "squad",
    "progress",
    "checks",
)
"""Folders of core from left to right; each may import from itself and from what stands left of it."""
GROUND = ("errors", "measured", "notices", "tables", "toml_file", "toml_reader", "words")
"""What every folder of core may import."""
NOT_IN_CORE = (
    "click",
    "django",
    "typst",
    "firstpush.cli",
    "firstpush.web",
    "firstpush.sheets",
    "firstpush.demo",
    "random",
    "urllib",
)
NOT_AT_THE_START = ("numpy", "scipy", "ortools", "shapely", "typst", "django", "cheroot", "firstpush.web")


def modules_of(folder: Path) -> Iterator[tuple[str, Path]]:
    """Yield the dotted name and file of every module below `folder`."""
    for path in sorted(folder.rglob("*.py")):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        yield ".".join(parts[:-1] if parts[-1] == "__init__" else parts), path


def loaded_after(*modules: str) -> set[str]:
    """Return what a fresh interpreter has in `sys.modules` after importing `modules`."""
    code = (
        "import importlib, json, sys\n"
        f"for name in {list(modules)!r}: importlib.import_module(name)\n"
        "print(json.dumps(sorted(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(json.loads(done.stdout))


def named_in(path: Path) -> set[str]:
    """Return the dotted names of what a file imports, inside functions too."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: a relative import hides from where it comes"
            found.add(node.module or "")
    return found


def test_core_brings_no_web_paper_or_command_line() -> None:
    """Importing every module of core loads none of what stands after it."""
    names = [name for name, _ in modules_of(CORE)]
    assert len(names) > 50, "core was not found"
    loaded = loaded_after(*names)
    for unwanted in NOT_IN_CORE[:-2]:
        assert unwanted not in loaded, f"core loads {unwanted}"


CORE_MODULES = list(modules_of(CORE))


@pytest.mark.parametrize(("name", "path"), CORE_MODULES, ids=[name for name, _ in CORE_MODULES])
def test_core_names_nothing_that_stands_after_it(name: str, path: Path) -> None:
    """Not even inside a function does core import web, paper, command line, network or chance."""
    for imported in named_in(path):
        for unwanted in NOT_IN_CORE:
            assert imported != unwanted, f"{name} imports {imported}"
            assert not imported.startswith(f"{unwanted}."), f"{name} imports {imported}"


@pytest.mark.parametrize("folder", [path.name for path in sorted(CORE.iterdir()) if (path / "__init__.py").is_file()])
def test_a_folder_of_core_imports_only_from_its_left(folder: str) -> None:
    """people, kit, exercises, body, setup, figure, session: data goes one way."""
    if folder == "tables":
        allowed: set[str] = {"errors", "measured"}
    else:
        assert folder in ORDER, f"core/{folder} has no place in the order: {', '.join(ORDER)}"
        allowed = {*GROUND, *ORDER[: ORDER.index(folder) + 1]}
    for name, path in modules_of(CORE / folder):
        for imported in named_in(path):
            if imported.startswith("firstpush.core."):
                place = imported.split(".")[2]
                assert place in allowed, f"{name} imports {imported}, which stands to its right"


def test_sheets_know_nothing_of_the_command_line() -> None:
    """The paper imports neither the commands nor the web application that ask for it."""
    for name, path in modules_of(PACKAGE / "sheets"):
        assert not {each for each in named_in(path) if each.startswith(("firstpush.cli", "firstpush.web"))}, name


def test_the_web_application_knows_nothing_of_the_command_line() -> None:
    """Web and command line stand side by side: commands start the application, never the other way round."""
    for name, path in modules_of(PACKAGE / "web"):
        assert not {each for each in named_in(path) if each.startswith("firstpush.cli")}, name


def test_the_command_line_starts_light() -> None:
    """`firstpush --help` loads no library that a command needs only when it runs."""
    loaded = loaded_after("firstpush.cli")
    assert "click" in loaded
    assert not loaded & set(NOT_AT_THE_START)


def test_solver_and_shapes_are_loaded_only_when_needed() -> None:
    """Reading the files and searching set-ups needs neither OR-Tools nor Shapely nor Typst."""
    loaded = loaded_after(
        "firstpush.core.setup.search", "firstpush.core.kit.kit_file", "firstpush.core.session.compose"
    )
    assert not loaded & {"ortools", "shapely", "typst"}
