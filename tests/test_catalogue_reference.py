"""docs/reference/catalogue.md is what the library says now, and says all of it."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

import firstpush

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "reference" / "catalogue.md"
LIBRARY = sorted((Path(firstpush.__file__).parent / "core" / "exercises" / "library").glob("*.toml"))


def written(path: Path) -> dict[str, Any]:
    """Return what stands in an exercise's file, read without the loader."""
    return tomllib.loads(path.read_text(encoding="utf-8"))


def chapter(title: str) -> str:
    """Return what the page says about one exercise."""
    return PAGE.read_text(encoding="utf-8").split(f"\n### {title}\n")[1].split("\n### ")[0].split("\n## ")[0]


def test_the_page_is_fresh() -> None:
    """An exercise that was changed after the page was made is found here."""
    done = subprocess.run(
        [sys.executable, str(ROOT / "scripts" / "make_catalogue_reference.py"), "--check"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr


def test_every_exercise_has_one_chapter_and_one_row() -> None:
    """No more and no fewer than there are files."""
    text = PAGE.read_text(encoding="utf-8")
    titles = Counter(written(path)["title"] for path in LIBRARY)
    assert Counter(re.findall(r"^### (.+)$", text, re.M)) == titles
    assert Counter(re.findall(r"^\| \[(.+?)\]\(#", text, re.M)) == titles
    assert f"\n{len(LIBRARY)} exercises.\n" in text


@pytest.mark.parametrize("path", LIBRARY, ids=lambda path: path.stem)
def test_a_chapter_tells_what_the_file_says(path: Path) -> None:
    """Aims, doses, every caution with its effect, all evidence with how it is known."""
    file = written(path)
    said = chapter(file["title"])
    assert f"`{path.stem}`" in said
    for aim in file["aims"]:
        assert aim in said
    for dose in file["doses"]:
        sets = f"{dose['sets']} set{'s' if dose['sets'] > 1 else ''}"
        amount = f"{dose['repetitions']} repetitions" if "repetitions" in dose else f"{dose['seconds']:g} s"
        assert f"- {dose['name']}: {sets} of {amount}" in said
    for caution in file.get("cautions", []):
        effect = {"exclude": "left out", "care": "with care"}[caution["effect"]]
        if "doses" in caution:
            effect += f", only {' or '.join(caution['doses'])}"
        if caution.get("one_arm_instead"):
            effect += "; one arm with care"
        assert f"| {caution['condition']} | {effect} | {caution['why']} | {caution['do']} |" in said
    for one in file.get("evidence", []):
        assert f"{one['says'][1:]} ({one['source']}; *{one['known']}*)." in said
    if "elevation_deg" in file.get("needs", {}):
        assert f"arm lifted to {file['needs']['elevation_deg']:g}°" in said
    if "start_load" in file:
        assert f"{file['start_load']['first_nm']:g} N·m, never above {file['start_load']['largest_nm']:g} N·m" in said


def test_steps_to_other_exercises_lead_to_a_heading() -> None:
    """Every link inside the page has its heading."""
    text = PAGE.read_text(encoding="utf-8")
    anchors = {
        re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in re.findall(r"^#+ (.+)$", text, re.M)
    }
    links = set(re.findall(r"\]\(#([^)]+)\)", text))
    assert len(links) >= len(LIBRARY)
    assert links <= anchors
