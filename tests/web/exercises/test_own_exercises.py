"""The club's own exercises: copied, changed, checked, taken back, withdrawn, taken in and handed over."""

from __future__ import annotations

import html

import pytest
from club_people import ClubPeople
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from form_content import sent_by

from conftest import Visit
from firstpush.core.exercises.loader import library
from firstpush.web.exercises.library import club_library
from firstpush.web.exercises.models import OwnExercise
from firstpush.web.exercises.own import copied, text_of_library

CHANGE = "/exercises/own/own_low_row/change/"
PAGE = "/exercises/own/own_low_row/"


@pytest.fixture
def own(people: ClubPeople) -> OwnExercise:
    """Return a copy of the low row, not saved since."""
    made = copied(text_of_library("low_row"), title="Low row", slug="low_row", club=people.club)
    made.save_text(made.text, accepted=False, by=people.colleague)
    return made


def send(client: Client, *, do: str, url: str = CHANGE, **changed: str):  # type: ignore[no-untyped-def]
    """Open the form, change fields, and press a button."""
    content = sent_by(client.get(CHANGE).content.decode())
    return client.post(url, content | {key: [value] for key, value in changed.items()} | {"do": [do]})


def test_a_copy_is_like_its_original_and_not_in_use_yet(people: ClubPeople, visit: Visit) -> None:
    """Another title and name, everything else alike, remarks of the file too; its form opens."""
    colleague = visit("colleague")
    response = colleague.post("/exercises/low_row/copy/")
    assert response["Location"] == CHANGE
    made = OwnExercise.objects.get(club=people.club, slug="own_low_row")
    assert made.title == f"{library()['low_row'].title} (own)"
    assert [
        a for a, b in zip(made.text.split("\n"), text_of_library("low_row").split("\n"), strict=True) if a != b
    ] == ['title = "Low row (own)"']
    assert "own_low_row" not in club_library(people.club)
    assert colleague.get(CHANGE).status_code == 200
    assert colleague.post(f"{PAGE.replace('own/', '')}copy/")["Location"] == "/exercises/own/own_low_row_2/change/"


def test_a_good_change_is_accepted_and_joins_the_library(people: ClubPeople, visit: Visit, own: OwnExercise) -> None:
    """The checks find nothing: sessions may use it; the version says who and why."""
    response = send(visit("colleague"), do="save", why="slower", **{"doses[0].repetitions": "9"})
    assert response["Location"] == PAGE
    own.refresh_from_db()
    assert own.accepted
    assert club_library(people.club)["own_low_row"].doses[0].repetitions == 9
    newest = own.versions.order_by("-number").first()
    assert newest is not None
    assert (newest.number, newest.why, newest.made_by) == (2, "slower", people.colleague)
    assert "In use" in visit("assistant").get(PAGE).content.decode()


def test_a_wrong_exercise_is_kept_and_not_used(people: ClubPeople, visit: Visit, own: OwnExercise) -> None:
    """An elbow beyond its range can be read, and is refused by the checks with the reason beside it."""
    response = send(visit("owner"), do="save", **{"poses[1].both.elbow_deg": "170"})
    assert response.status_code == 302
    page = html.unescape(visit("owner").get(PAGE).content.decode())
    # Elbow flexion: 0 to 150 degrees, core/tables/joint_limits.csv.
    assert "elbow flexion is 170°, allowed 0 to 150°" in page
    assert "Not in use" in page
    assert "own_low_row" not in club_library(people.club)


def test_checking_says_what_is_wrong_and_keeps_nothing(visit: Visit, own: OwnExercise) -> None:
    """The button Check shows the findings beside the drawing; no version is added."""
    page = html.unescape(send(visit("owner"), do="check", **{"poses[1].both.elbow_deg": "170"}).content.decode())
    assert "allowed 0 to 150°" in page
    assert 'value="170"' in page
    assert "find nothing wrong" in send(visit("owner"), do="check").content.decode()
    assert own.version == 1


def test_an_invalid_form_keeps_what_was_typed_and_says_why(visit: Visit, own: OwnExercise) -> None:
    """Every fault stands beside its field, everything typed is still there, and nothing is saved."""
    response = send(
        visit("owner"),
        do="save",
        title="Pier row",
        cue="",
        **{"poses[0].both.elbow_deg": "bent", "doses[0].sets": "2.5", "poses[0].both.shoulder.elevation_deg": "900"},
    )
    assert response.status_code == 422
    page = html.unescape(response.content.decode())
    for kept in ('value="Pier row"', 'value="bent"', 'value="2.5"', 'value="900"'):
        assert kept in page
    assert page.count('aria-invalid="true"') == 4
    assert '"bent" is not a number' in page
    assert "Not saved" in page
    assert own.version == 1


def test_the_drawing_follows_the_form(visit: Visit, own: OwnExercise) -> None:
    """The drawing of what is typed comes as SVG, with the band; it changes with a pose, and nothing is saved."""
    owner, url = visit("owner"), f"{PAGE}preview/"
    before = send(owner, do="show", url=url)
    after = send(owner, do="show", url=url, **{"poses[1].both.elbow_deg": "60"})
    assert before["Content-Type"] == after["Content-Type"] == "image/svg+xml"
    assert before.content != after.content
    assert b"The band runs from" in before.content
    assert (
        b"cannot be set up"
        in send(
            owner, do="show", url=url, **{"band.height_window_m[0]": "2.2", "band.height_window_m[1]": "2.3"}
        ).content
    )
    wrong = send(owner, do="show", url=url, **{"poses[1].both.elbow_deg": "much"})
    assert (wrong.status_code, wrong["Content-Type"]) == (422, "text/plain; charset=utf-8")
    assert wrong.content.decode().startswith('Poses 2, both, elbow bent: "much" is not a number.')
    assert own.version == 1


def test_without_script_show_brings_the_drawing_with_the_page(visit: Visit, own: OwnExercise) -> None:
    """The button loads the page again with the changed drawing in it, and the fields of a new form of a pose."""
    page = send(visit("owner"), do="show", **{"poses[0].both:posed": "forward or back"}).content.decode()
    assert "<svg" in page
    assert 'name="poses[0].both.shoulder.flexion_deg"' in page
    assert 'name="poses[2].name"' in send(visit("owner"), do="add:poses").content.decode()
    assert own.version == 1


def test_two_who_change_at_once_do_not_write_over_each_other(
    people: ClubPeople, visit: Visit, own: OwnExercise
) -> None:
    """The later one is told, and keeps what was typed."""
    content = sent_by(visit("owner").get(CHANGE).content.decode())
    send(visit("colleague"), do="save", title="First")
    late = visit("owner").post(CHANGE, content | {"title": ["Second"], "do": ["save"]})
    assert late.status_code == 422
    page = late.content.decode()
    assert "changed by somebody else meanwhile" in page
    assert 'value="Second"' in page
    own.refresh_from_db()
    assert own.title == "First"


def test_an_earlier_version_can_be_taken_back(visit: Visit, own: OwnExercise) -> None:
    """It becomes the newest; the one between stays."""
    owner = visit("owner")
    send(owner, do="save", title="Another")
    assert owner.post(f"{PAGE}take-back/", {"number": "1"}).status_code == 302
    own.refresh_from_db()
    assert own.title == "Low row (own)"
    assert [each.number for each in own.versions.all()] == [1, 2, 3]
    assert own.accepted, "the checks were asked of it"
    for number in ("9", "x", "", "-1", "9" * 30):
        assert owner.post(f"{PAGE}take-back/", {"number": number}).status_code == 404


def test_withdrawing_is_undone_by_putting_back(people: ClubPeople, visit: Visit, own: OwnExercise) -> None:
    """Withdrawn, it is in no new session; put back, it is again."""
    owner = visit("owner")
    send(owner, do="save")
    assert "own_low_row" in club_library(people.club)
    owner.post(f"{PAGE}withdraw/")
    assert "own_low_row" not in club_library(people.club)
    assert "Withdrawn on" in owner.get(PAGE).content.decode()
    owner.post(f"{PAGE}put-back/")
    assert "own_low_row" in club_library(people.club)


def test_a_file_comes_out_as_it_went_in(people: ClubPeople, visit: Visit) -> None:
    """Taken in and handed over again, no byte differs, remarks included; the checks decide about its use."""
    text = "# by the pier\n" + text_of_library("low_row").replace('"Low row"', '"Pier row"')
    owner = visit("owner")
    file = SimpleUploadedFile("pier.toml", text.encode())
    response = owner.post("/exercises/from-file/", {"slug": "pier_row", "file": file, "text": ""})
    assert response["Location"] == "/exercises/own/pier_row/"
    handed = owner.get("/exercises/pier_row/file/")
    assert handed.content.decode() == text
    assert 'filename="pier_row.toml"' in handed["Content-Disposition"]
    assert "pier_row" in club_library(people.club)
    assert visit("stranger").get("/exercises/pier_row/file/").status_code == 404


def test_a_file_with_faults_comes_back_with_their_lines(people: ClubPeople, visit: Visit) -> None:
    """All faults at once, each with its line; the text and the name are still there, and nothing is kept."""
    lines = text_of_library("low_row").split("\n")
    first, number = (next(i for i, line in enumerate(lines) if line.startswith(key)) for key in ("title", "loads"))
    lines[first], lines[number] = 'title = ""', 'loads = "retracting"'
    owner, text = visit("owner"), "\n".join(lines)
    response = owner.post(
        "/exercises/from-file/", {"slug": "pier_two", "file": SimpleUploadedFile("pier.toml", text.encode())}
    )
    assert response.status_code == 422
    page = html.unescape(response.content.decode())
    assert f"Line {first + 1}, title" in page
    assert f"Line {number + 1}, loads" in page
    assert 'loads = "retracting"' in page
    assert 'value="pier_two"' in page
    assert not OwnExercise.objects.filter(slug="pier_two").exists()


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"slug": "low_row", "text": "title = 1"}, "is taken"),
        ({"slug": "Pier Row", "text": "title = 1"}, "no short name"),
        ({"slug": "pier_three", "text": "  "}, "There is no text"),
        ({"slug": "pier_three", "text": "title = "}, "Line 1"),
        ({"slug": "pier_three", "file": SimpleUploadedFile("a.toml", b"\xff\xfe")}, "not UTF-8"),
    ],
)
def test_what_cannot_be_taken_in_is_told(given: dict[str, object], said: str, people: ClubPeople, visit: Visit) -> None:
    """The reason stands beside the field."""
    response = visit("owner").post("/exercises/from-file/", given)
    assert response.status_code == 422
    assert said in html.unescape(response.content.decode())


def test_a_text_is_changed_word_by_word(visit: Visit, own: OwnExercise) -> None:
    """Remarks stay; with a fault the text comes back; a text that cannot be read is corrected here."""
    owner, url = visit("owner"), f"{PAGE}text/"
    text = own.text + "\n# seen on the pier\n"
    assert owner.post(url, {"text": text, "based_on": "1", "why": "remark"}).status_code == 302
    own.refresh_from_db()
    assert own.text == text
    wrong = owner.post(url, {"text": text + "\nnot toml", "based_on": "2"})
    assert wrong.status_code == 422
    assert "not toml" in wrong.content.decode()
    late = owner.post(url, {"text": text + "\n", "based_on": "1"})
    assert late.status_code == 422
    assert "somebody else" in late.content.decode()
    assert own.version == 2


def test_what_cannot_be_read_is_shown_with_its_faults(people: ClubPeople, visit: Visit) -> None:
    """The page of such an exercise says what is wrong; its form leads to the text."""
    page = visit("owner").get("/exercises/own/pier-row/").content.decode()
    assert "cannot be read" in page
    assert "title: it is missing" in page
    assert visit("owner").get("/exercises/own/pier-row/change/")["Location"] == "/exercises/own/pier-row/text/"


@pytest.mark.parametrize("path", ["", "change/", "text/"])
def test_of_another_club_nothing_is_there(path: str, visit: Visit, own: OwnExercise) -> None:
    """The stranger finds nothing; the assistant reads, and does not write."""
    assert visit("stranger").get(PAGE + path).status_code == 404
    assert visit("assistant").get(PAGE + path).status_code == (200 if not path else 403)
    assert visit("colleague").get(PAGE + path).status_code == 200


@pytest.mark.parametrize("path", ["preview/", "take-back/", "withdraw/", "put-back/"])
def test_what_changes_something_takes_no_get(path: str, visit: Visit, own: OwnExercise) -> None:
    """Following a link changes nothing."""
    assert visit("owner").get(PAGE + path).status_code == 405
    assert visit("assistant").post(PAGE + path).status_code == 403
    assert visit("stranger").post(PAGE + path).status_code == 404


def test_a_tampered_form_falls_back_to_what_is_stored(visit: Visit, own: OwnExercise) -> None:
    """What a form was made from is signed: something else in its place is not read."""
    content = sent_by(visit("owner").get(CHANGE).content.decode()) | {"document": ["W10:forged:forged"]}
    response = visit("owner").post(f"{PAGE}preview/", content)
    assert response.status_code == 200
