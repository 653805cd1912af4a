"""A session as one file: all modules in one script, nothing from elsewhere; and its entries coming back as a file."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import re
from collections import Counter

import pytest
from club_people import ClubPeople
from court_texts import OTHER_RUN, id_of, text
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from conftest import Visit
from firstpush.web.errors import WebError
from firstpush.web.oncourt.entries import file_of, texts_of_file
from firstpush.web.oncourt.models import CourtEntry, SetAside
from firstpush.web.oncourt.one_file import joined, modules_in, one_file_html, top_names
from firstpush.web.oncourt.shell import FOLDER, STATIC
from firstpush.web.sessions.models import PlanVersion

SMALL = {
    "start.js": 'import { twice } from "./b.js";\nimport {\n  one,\n} from "./c.js";\n\n'
    "globalThis.found = twice(one);\n",
    "b.js": 'import { one } from "./c.js";\nexport function twice(number) {\n  return number * 2 + one - one;\n}\n',
    "c.js": "export const one = 1;\nexport class Three {}\n",
    "unused.js": "export const one = 7;\n",
}


def test_modules_stand_after_what_they_import() -> None:
    """Worked out by hand: c, then b, then start; what nobody imports stays out, and no import or export is left."""
    script = joined(SMALL)
    assert [script.index(f"// {name}") for name in ("c.js", "b.js", "start.js")] == sorted(
        script.index(f"// {name}") for name in ("b.js", "c.js", "start.js")
    )
    assert "unused" not in script
    assert not re.search(r"^(import|export)", script, re.MULTILINE)
    assert "globalThis.found = twice(one);" in script


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"b.js": 'import { one } from "./c.js";\nexport function twice() {}\nconst Three = 3;\n'}, "“Three” stands"),
        ({"c.js": 'import { twice } from "./b.js";\nexport const one = 1;\n'}, "import each other"),
        ({"start.js": 'import { no } from "./missing.js";\n'}, "missing.js is not there"),
        ({"start.js": 'import whole from "./c.js";\n'}, "has “import whole"),
        ({"start.js": 'import { one as two } from "./c.js";\n'}, "renames"),
        ({"c.js": "export default 3;\n"}, "has “export default"),
        ({"c.js": "export const one = '</script>';\n"}, "end its script"),
    ],
)
def test_what_cannot_be_joined_is_told(change: dict[str, str], says: str) -> None:
    """One sentence with what is allowed."""
    with pytest.raises(WebError, match=re.escape(says)):
        joined(SMALL | change)


def test_names_at_the_top_are_each_there_once() -> None:
    """The modules of the page, worker left out, share one scope in the file."""
    counted = Counter(name for module in modules_in(STATIC / FOLDER).values() for name in top_names(module))
    assert [name for name, count in counted.items() if count > 1] == []


def test_the_page_itself_can_be_joined() -> None:
    """The file runs one script, that of the hash in its policy; nothing is fetched, and the package ends nothing."""
    package = json.dumps({"title": "</script><script>alert(1)</script>\u2028"})
    made = one_file_html(package)
    script = re.search(r'<script type="module">(.*?)</script>', made, re.DOTALL)
    assert script
    digest = base64.b64encode(hashlib.sha256(script[1].encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in html.unescape(made)
    held = re.search(r'<script type="application/json" id="court-package">(.*?)</script>', made, re.DOTALL)
    assert held
    assert json.loads(held[1]) == json.loads(package)
    assert made.count("</script>") == 2
    assert not re.search(r"(src|href)=", made.split("<body>")[0])
    assert "url(" not in made.split("</style>")[0]
    assert not re.search(r"\bimport\s*\(|import\.meta", script[1]), "what the file system does not give"


def test_the_file_runs_in_a_browser(people: ClubPeople, browser: object, tmp_path: object) -> None:
    """Opened from the file system it starts and has no fault to tell."""
    from pathlib import Path

    from playwright.sync_api import Browser

    assert isinstance(browser, Browser) and isinstance(tmp_path, Path)
    path = tmp_path / "session.html"
    package = {
        "format": "firstpush court 1",
        "plan": 1,
        "version": 1,
        "checksum": "ab",
        "athlete": {"id": 1, "name": "Runa Velde", "number": 7},
        "title": "Session before training",
        "kind": "before training",
        "minutes": 8,
        "total_s": 400,
        "made_at": "2026-03-02T12:00:00+00:00",
        "before": {"questions": [], "pains": []},
        "pain": {"places": [], "feelings": [], "answers": [], "tables": {"": {}}},
        "cards": [],
        "notices": [],
        "items": [],
    }
    path.write_text(one_file_html(json.dumps(package)), encoding="utf-8")
    page = browser.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(path.as_uri())
    page.get_by_text("Runa Velde").first.wait_for(timeout=10_000)
    page.close()
    assert said == []


# Entries back as a file


@pytest.fixture
def version(people: ClubPeople) -> PlanVersion:
    """Return the version of Runa's session."""
    found = people.plan.newest
    assert found is not None
    return found


def given(name: str, content: str) -> SimpleUploadedFile:
    """Return a file as a form sends it."""
    return SimpleUploadedFile(name, content.encode(), content_type="application/json")


def test_files_come_back_and_say_what_was_new(version: PlanVersion, people: ClubPeople, visit: Visit) -> None:
    """Two files with one entry in both, one conflict: two new, one known, one set aside; again: three known."""
    url = reverse("court_back")
    one, two = text(version, 1), text(version, 2)
    files = [given("a.json", file_of([one, two])), given("b.json", file_of([one, text(version, 2, words="other")]))]
    page = visit("assistant").post(url, {"chosen": files}).content.decode()
    assert re.findall(r"<dt>([a-z ]+)</dt><dd>(\d+)</dd>", page) == [
        ("new at home", "2"),
        ("known already", "0"),
        ("set aside", "1"),
    ]
    assert set(CourtEntry.objects.values_list("text", "came_by")) == {(one, "file"), (two, "file")}
    assert SetAside.objects.count() == 1
    page = visit("assistant").post(url, {"chosen": [given("a.json", file_of([one, two]))]}).content.decode()
    assert "Everything in it was at home already" in page
    assert SetAside.objects.count() == 1


def test_more_than_one_sending_of_entries_fits_in_a_file(version: PlanVersion, visit: Visit) -> None:
    """450 entries of one run come in."""
    content = file_of(text(version, number) for number in range(1, 451))
    visit("owner").post(reverse("court_back"), {"chosen": [given("a.json", content)]})
    assert CourtEntry.objects.count() == 450


@pytest.mark.parametrize("content", ["", "[]", "{}", '{"format": "firstpush entries 2", "entries": []}', "\x00"])
def test_what_is_no_file_of_entries_is_named(content: str, version: PlanVersion, visit: Visit) -> None:
    """The file is named with the reason, and of the others nothing was taken: they can be sent together again."""
    files = [given("good.json", file_of([text(version)])), given("odd.json", content)]
    response = visit("owner").post(reverse("court_back"), {"chosen": files})
    assert response.status_code == 422
    page = html.unescape(response.content.decode())
    assert "odd.json" in page or not content
    assert not CourtEntry.objects.exists()


def test_an_athlete_gives_back_the_own_file_only(version: PlanVersion, people: ClubPeople, visit: Visit) -> None:
    """A team mate's entries in it are refused."""
    of_jon = people.plan_of_jon.newest
    assert of_jon is not None
    content = file_of([text(version), text(of_jon, run=OTHER_RUN)])
    page = visit("athlete").post(reverse("court_back"), {"chosen": [given("a.json", content)]}).content.decode()
    assert [str(pk) for pk in CourtEntry.objects.values_list("pk", flat=True)] == [id_of(text(version))]
    assert "may not do" in page


def test_a_file_reads_as_it_was_written(version: PlanVersion) -> None:
    """Every letter of every entry."""
    texts = [text(version, 1), text(version, 2, words='“ü”\n\u2028 \\ "')]
    assert texts_of_file(file_of(texts).encode()) == texts
