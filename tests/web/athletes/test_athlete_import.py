"""Taking in a list: whatever a table program wrote, with faults beside their rows, saved only when it is accepted."""

from __future__ import annotations

from typing import Any

import pytest
from club_people import ClubPeople
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from sent_form import values_of

from conftest import Visit
from firstpush.web.athletes.csv_list import COLUMNS, decoded, read_list, sample
from firstpush.web.athletes.models import AthleteRecord

URL = "/athletes/list/"
GOOD = "name;number;mass_kg;arm_span_m;latex\nÅse Bølgen;4;58,5;1,66;tolerated\n"
MIXED = (
    GOOD
    + "Tore Klippe;5;580;1,70;tolerated\n"
    + "Åse Bølgen;6;60;1,70;\n"
    + ";7;60;1,70;maybe\n"
    + "Liv Naust;x;60;;\n"
)


def looked_at(visit: Visit, text: str, **more: Any) -> Any:
    """Return the answer to a list that is only looked at."""
    return visit("colleague").post(URL, {"text": text, **more})


def names() -> set[str]:
    """Return who is in the database beside the people of the club."""
    return set(AthleteRecord.objects.exclude(name__in=("Runa Velde", "Jon Brage")).values_list("name", flat=True))


@pytest.mark.usefixtures("people")
def test_looking_saves_nothing(visit: Visit) -> None:
    """The rows are shown, and a button that saves them."""
    response = looked_at(visit, GOOD)
    assert response.status_code == 200
    page = response.content.decode()
    assert "1 of 1 can be saved" in page
    assert "58.5 kg" in page
    assert names() == set()


def test_accepted_rows_are_athletes(people: ClubPeople, visit: Visit) -> None:
    """What is sent by the button is the list that was looked at; the document is the athlete's file."""
    page = looked_at(visit, GOOD).content.decode()
    text = values_of(page)["text"]
    response = visit("colleague").post(URL, {"text": text[0] if isinstance(text, list) else text, "save": "1"})
    assert response.url == reverse("athletes")
    record = AthleteRecord.objects.get(name="Åse Bølgen")
    assert record.document == {
        "name": "Åse Bølgen",
        "mass_kg": 58.5,
        "arm_span_m": 1.66,
        "health": {"latex": "tolerated"},
        "chairs": [{"kind": "court"}],
    }
    assert (record.number, record.club, record.versions.get().made_by) == (4, people.club, people.colleague)


@pytest.mark.usefixtures("people")
def test_good_rows_are_saved_and_faulty_ones_stay(visit: Visit) -> None:
    """Each fault stands in its row with what is allowed; after saving, the four others are left to be corrected."""
    page = looked_at(visit, MIXED).content.decode()
    assert "1 of 5 can be saved" in page
    for words in (
        "<strong>mass_kg:</strong> 580 kg is out of range (did you mean 58?)",
        "Allowed: 10 to 250 kg",
        "<strong>name:</strong> Åse Bølgen is in the club or in this list already",
        "<strong>name:</strong> A name is missing",
        "<strong>latex:</strong> &quot;maybe&quot; is not known",
        "<strong>number:</strong> This is not a number",
        "<strong>arm_span_m:</strong> A size is missing",
    ):
        assert words in page.replace("&#x27;", "'"), words
    after = visit("colleague").post(URL, {"text": MIXED, "save": "1"})
    assert names() == {"Åse Bølgen"}
    left = after.context["text"]
    assert left.splitlines()[0] == GOOD.splitlines()[0]
    assert len(left.splitlines()) == 1 + 4
    assert "Tore Klippe;5;580;1,70;tolerated" in left
    corrected = left.replace("580", "58").replace("Liv Naust;x;60;;", "Liv Naust;8;60;1,61;")
    visit("colleague").post(URL, {"text": corrected, "save": "1"})
    assert names() == {"Åse Bølgen", "Tore Klippe", "Liv Naust"}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("separator", [";", ",", "\t"])
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_any_usual_encoding_and_separator(encoding: str, separator: str, ends: str) -> None:
    """A table program writes what its country writes; a comma between cells comes with decimal points."""
    text = GOOD.replace(",", ".").replace(";", separator).replace("\n", ends)
    found = read_list(decoded(text.encode(encoding)))
    assert [row.document["name"] for row in found.good] == ["Åse Bølgen"]
    assert found.good[0].document["arm_span_m"] == 1.66
    assert found.separator == separator


def test_a_quoted_cell_may_hold_the_separator_and_a_line_end() -> None:
    """As table programs write it; the line told is that of the text."""
    found = read_list('name,sport,mass_kg,arm_span_m\n"Naust, Liv","wheelchair\nbadminton",60,1.61\nX,y,6000,1.6\n')
    assert found.rows[0].document["name"] == "Naust, Liv"
    assert [row.good for row in found.rows] == [True, False]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "There is nothing in it"),
        (";;;\n\n", "There is nothing in it"),
        ("mass_kg;arm_span_m\n60;1.6\n", "There is no column name."),
        ("name;mass;arm_span_m\nX;60;1.6\n", "There is no column mass. Did you mean mass_kg?"),
        ("name;name;mass_kg\nX;Y;60\n", "The column name stands twice"),
        ("name;mass_kg\n" + "X;60\n" * 501, "501 rows are too many"),
    ],
)
def test_a_list_that_is_none(text: str, says: str) -> None:
    """No row is read, and what would do is told."""
    found = read_list(text)
    assert found.rows == ()
    assert any(says in fault for fault in found.faults), found.faults


def test_every_cell_ends_in_the_document() -> None:
    """One value under every column arrives where core reads it; none is lost on the way."""
    cells = {
        "name": "Liv Naust", "number": "9", "sport": "wheelchair badminton", "born": "1999", "sex": "female",
        "mass_kg": "60", "arm_span_m": "1.7", "stature_m": "1.7", "missing_limbs": "left foot + right foot",
        "upper_arm_m": "0.30", "forearm_m": "0.24", "hand_m": "0.08", "sitting_shoulder_height_m": "0.56",
        "shoulder_width_m": "0.36", "trunk_forward": "yes", "trunk_turn": "partly", "trunk_lean_left": "no",
        "trunk_lean_right": "no", "spasticity": "some", "spinal_level": "t10", "completeness": "A",
        "usual_systolic_mmhg": "110", "conditions": "Shunt + epilepsy", "latex": "avoid", "chair": "daily",
        "pain_place": "shoulder front", "pain_side": "left", "pain_usual": "1", "pain_now": "2",
        "pain_limit": "3",
    }  # fmt: skip
    for side in ("left", "right"):
        cells |= {f"{side}_grip": "full", f"{side}_feeling": "full", f"{side}_elbow_extension": "5"}
        cells |= {f"{side}_wrist_extension": "4", f"{side}_elevation_deg": "full"}
        cells |= {f"{side}_external_rotation_deg": "75"}
    assert set(cells) == set(COLUMNS), "every column is tried"
    (row,) = read_list(";".join(cells) + "\n" + ";".join(cells.values()) + "\n").rows
    assert row.faults == ()
    document = row.document
    assert document["missing_limbs"] == ["left foot", "right foot"]
    assert document["health"]["spinal_level"] == "T10"
    assert document["health"]["conditions"] == ["shunt", "epilepsy"]
    assert document["health"]["pain"] == [{"place": "shoulder front", "side": "left", "usual": 1, "now": 2}]
    assert document["function"]["trunk"] == {"forward": "yes", "turn": "partly", "lean_left": "no", "lean_right": "no"}
    assert document["active_range_deg"]["left"] == {"elevation": "full", "external_rotation": 75}
    assert document["chairs"] == [{"kind": "daily"}]
    assert document["health"]["pain_limit"] == 3
    assert row.number == 9


def test_too_many_cells_are_told() -> None:
    """A decimal comma in a list with commas between moves everything: it is told and nothing is guessed."""
    (row,) = read_list("name,mass_kg,arm_span_m\nLiv Naust,60,1,61\n").rows
    assert any("1 cells too many: 61" in sentence for _, sentence in row.faults)


def test_the_sample_is_a_list_that_can_be_saved(people: ClubPeople, visit: Visit) -> None:
    """What is handed over to begin from has no fault, apart from names that are taken."""
    response = visit("owner").get(reverse("import_sample"))
    assert response["Content-Disposition"] == 'attachment; filename="athletes.csv"'
    found = read_list(decoded(response.content))
    assert found.faults == ()
    assert len(found.good) == len(found.rows) == 3
    assert read_list(sample(), taken=[people.runa.name]).good == found.good[1:]


@pytest.mark.usefixtures("people")
def test_a_file_is_read_before_the_text(visit: Visit) -> None:
    """A file that was chosen counts; without either the page says what would do."""
    file = SimpleUploadedFile("list.csv", GOOD.encode("cp1252"))
    assert "Åse Bølgen" in looked_at(visit, "", file=file).content.decode()
    response = looked_at(visit, "")
    assert response.status_code == 422
    assert "There is no list" in response.content.decode()
    large = SimpleUploadedFile("film.csv", b"x" * 1_000_001)
    assert "larger than 1 MB" in looked_at(visit, "", file=large).content.decode()


@pytest.mark.usefixtures("people")
def test_a_name_of_another_club_is_not_told(visit: Visit) -> None:
    """The stranger's club has its own names: who is in ours is not seen from there."""
    text = "name;mass_kg;arm_span_m\nRuna Velde;60;1.7\n"
    assert "1 of 1 can be saved" in visit("stranger").post(URL, {"text": text}).content.decode()
    assert "0 of 1 can be saved" in visit("owner").post(URL, {"text": text}).content.decode()
