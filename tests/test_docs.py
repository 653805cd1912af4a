"""The documentation says what the program does: it is compared with the code, so that neither can drift away."""

from __future__ import annotations

import ast
import importlib
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import get_args

import pytest

import firstpush
from firstpush.cli import commands
from firstpush.core.notices import Level
from firstpush.core.toml_reader import Allowed

PACKAGE = Path(firstpush.__file__).parent
ROOT = Path(__file__).resolve().parent.parent
DOCS = ROOT / "docs"
PAGES = [ROOT / name for name in ("README.md", "CONTRIBUTING.md", "CHANGELOG.md")] + sorted(DOCS.rglob("*.md"))
RUN = "pip install uv && uv run firstpush demo"
TEST = "pip install uv && uv run pytest"


def code_blocks(path: Path) -> str:
    """Return what stands between fences."""
    return "\n".join(re.findall(r"^```\w*\n(.*?)^```", path.read_text(encoding="utf-8"), re.S | re.M))


def prose(path: Path) -> str:
    """Return a page without what stands between fences."""
    return re.sub(r"^```\w*\n.*?^```", "", path.read_text(encoding="utf-8"), flags=re.S | re.M)


def test_generated_pages_are_fresh() -> None:
    """docs/reference/commands.md and tables.md are what the code gives now."""
    done = subprocess.run(
        [sys.executable, str(ROOT / "scripts" / "make_reference.py"), "--check"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr


def test_pages_show_what_their_commands_print() -> None:
    """The first session and the files of the README are run as they stand there; the output shown is theirs."""
    done = subprocess.run(
        [sys.executable, str(ROOT / "scripts" / "run_docs.py"), "--check"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


def test_the_first_session_has_the_words_of_the_pages() -> None:
    """Each word in italics stands in the application, where only a unit or a number is added to it."""
    text = prose(DOCS / "first-session.md")
    words = set(re.findall(r"(?<!\*)\*([^*\n]+)\*(?!\*)", text)) - {"italics"}
    assert len(words) > 50, "the words in italics were not found"
    files = [path for folder in ("web", "sheets", "core") for path in (PACKAGE / folder).rglob("*.*")]
    source = " ".join(path.read_text(encoding="utf-8") for path in files if path.suffix in {".html", ".py"})
    missing = [each for each in words if re.sub(r"(, kg|, m| \d+)$", "", each) not in source]
    assert not missing


def test_the_readme_has_the_two_commands_that_are_run_in_the_checks() -> None:
    """A reader copies them, and .ci/run runs the second as it stands there."""
    readme = code_blocks(ROOT / "README.md").splitlines()
    assert RUN in readme
    assert TEST in readme
    assert TEST in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_every_command_is_described_and_used_in_the_docs() -> None:
    """No command is left to be found by chance."""
    described = (DOCS / "reference" / "commands.md").read_text(encoding="utf-8")
    used = "\n".join(code_blocks(page) for page in PAGES if page.name != "commands.md")
    for name in commands.commands:
        assert f"## firstpush {name}\n" in described
        assert f"firstpush {name}" in used, f"no page shows firstpush {name}"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_links_lead_somewhere(page: Path) -> None:
    """Every link to a file of the repository, and every picture, is there."""
    for target in re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", prose(page)):
        if not target.startswith(("http:", "https:", "mailto:")):
            assert (page.parent / target).exists(), f"{target} is not there"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_docs_belittle_nobody(page: Path) -> None:
    """What is easy for one is not for another: the words that say otherwise stay out."""
    # "Just below shoulder height" is a place and stays.
    found = re.findall(r"\b(simply|just(?! before| below| above| after)|easily|obviously)\b", prose(page), re.I)
    assert not found, f"{page.name}: {found}"


def notices_in_source() -> dict[str, set[str]]:
    """Return the levels of every notice id that the source makes."""
    found: dict[str, set[str]] = {}
    for path in PACKAGE.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        named = {
            target.id: each.value
            for each in tree.body
            if isinstance(each, ast.Assign)
            for target in each.targets
            if isinstance(target, ast.Name)
        }
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call):
                continue
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            given = {each.arg: each.value for each in node.keywords}
            if called == "Notice":
                id_, level = given.get("id"), given.get("level")
            elif called == "_notice":
                id_, level = (*node.args, None, None)[:2]
            else:
                continue
            if isinstance(id_, ast.Name) and id_.id in named:
                id_ = named[id_.id]
            if isinstance(id_, ast.Constant):
                assert isinstance(level, ast.Constant), f"{path}: the level of {id_.value} does not stand beside it"
                found.setdefault(str(id_.value), set()).add(str(level.value))
    rules = tomllib.loads((PACKAGE / "core" / "people" / "health_rules.toml").read_text(encoding="utf-8"))
    for rule in rules["rules"]:
        found.setdefault(rule["id"], set()).add(rule["level"])
    before = tomllib.loads((PACKAGE / "core" / "people" / "before_start.toml").read_text(encoding="utf-8"))
    for answer in (answer for question in before["questions"] for answer in question["answers"]):
        if "notice" in answer:
            found.setdefault(answer["notice"], set()).add(answer["level"])
    return found


def test_every_notice_stands_in_the_reference_with_its_level() -> None:
    """docs/reference/notices.md lists each id that the source can make, and none that it cannot."""
    page = (DOCS / "reference" / "notices.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `([a-z0-9-]+)` \| (\w+) \| (.+) \| (.+) \|$", page, re.M)
    described = {id_: level for id_, level, _, _ in rows}
    assert len(described) == len(rows), "an id stands there twice"
    made = notices_in_source()
    assert len(made) > 30, "the notices of the source were not found"
    assert set(described) - set(made) == set(), "described, but never made"
    assert set(made) - set(described) == set(), "made, but not described"
    for id_, levels in made.items():
        assert levels == {described[id_]}, f"{id_} has the level {levels} in the source"
        assert levels <= set(get_args(Level))


LOADERS = {
    "Athlete file": ("firstpush.core.people.athlete_file", "firstpush.core.people.chair_file"),
    "Kit file": ("firstpush.core.kit.kit_file",),
    "Venue file": ("firstpush.core.kit.venue_file",),
}
READING = {
    "boolean",
    "integer",
    "names",
    "number",
    "number_or_word",
    "numbers",
    "one_of",
    "tables",
    "tables_or_none",
    "text",
}
READING |= {f"needed_{each}" for each in READING}


def keys_read(module_name: str) -> list[tuple[str, object]]:
    """Return each key that a loader reads, with what it allows: an `Allowed`, a tuple of words, or None."""
    module = importlib.import_module(module_name)
    found: list[tuple[str, object]] = []
    tree = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        if isinstance(node.func, ast.Attribute) and node.func.attr in READING:
            key, *more = node.args
        elif isinstance(node.func, ast.Name) and node.func.id == "_read_range":
            _, key, *more = node.args
        else:
            continue
        allowed = getattr(module, more[0].id, None) if more and isinstance(more[0], ast.Name) else None
        if isinstance(key, ast.Constant):
            found.append((str(key.value), allowed))
    return found


@pytest.mark.parametrize("chapter", LOADERS)
def test_every_key_of_an_input_file_is_described_with_what_it_allows(chapter: str) -> None:
    """Each key that a loader reads has a row in its chapter, and the row has the range or the words of the loader."""
    page = (DOCS / "reference" / "input-files.md").read_text(encoding="utf-8")
    text = page.split(f"## {chapter}\n")[1].split("\n## ")[0]
    rows = re.findall(r"^\| `(\w+)` \|(.+)$", text, re.M)
    keys = [found for module in LOADERS[chapter] for found in keys_read(module)]
    assert len(keys) > 8, "the keys of the loader were not found"
    lists = {"bands", "balls", "cuffs", "posts", "strength", "chairs"}
    for key, allowed in keys:
        described = [row for name, row in rows if name == key]
        if key in lists:
            assert f"[[{key}]]" in text, f"the list {key} has no part of its own"
            continue
        assert described, f"{key} is not described"
        if isinstance(allowed, Allowed):
            assert any(str(allowed) in row for row in described), f"{key}: {allowed} is not what the page says"
        elif isinstance(allowed, tuple) and key != "missing_limbs":
            assert any(all(str(word) in row for word in allowed) for row in described), f"{key}: a word is missing"


def test_every_described_key_is_one_that_a_loader_reads() -> None:
    """The reference promises no key that would be refused."""
    page = (DOCS / "reference" / "input-files.md").read_text(encoding="utf-8")
    described = set(re.findall(r"^\| `(\w+)` \|", page, re.M))
    read = {key for modules in LOADERS.values() for module in modules for key, _ in keys_read(module)}
    assert described - read == set()
