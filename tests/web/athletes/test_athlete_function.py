"""Function by taps: the answers become the document, and the drawings show the range that an answer means."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
from club_people import ClubPeople
from django.urls import reverse
from sent_form import values_of

from conftest import Visit
from firstpush.core.body.posture import external_rotation
from firstpush.web.athletes.function_figures import ASKED, MOVEMENTS, _scene_of, draw_function


def sent(people: ClubPeople, visit: Visit, **change: Any) -> Any:
    """Return the answer to the page as it is shown, with `change`."""
    url = reverse("edit_function", kwargs={"id_": people.runa.pk})
    data = values_of(visit("owner").get(url).content.decode()) | change
    response = visit("owner").post(url, data)
    people.runa.refresh_from_db()
    return response


def figure_of(page: str, movement: str) -> str:
    """Return the step of the drawing shown for a movement."""
    found = re.search(rf'src="/athletes/function/{movement}/(\w+)\.svg', page)
    assert found, f"no drawing of {movement}"
    return found[1]


def test_taps_become_the_document(people: ClubPeople, visit: Visit) -> None:
    """Words, grades and angles stand in the document as the file has them; unknown takes the key out."""
    change = {
        "function.trunk.forward": "partly",
        "function.trunk.turn": "",
        "function.left.grip": "weak",
        "function.left.elbow_extension": "3",
        "active_range_deg.left.elevation": "120",
        "active_range_deg.right.elevation": "full",
        "active_range_deg.right.elevation:deg": "",
    }
    assert sent(people, visit, **change).status_code == 302
    document = people.runa.document
    assert document["function"]["trunk"] == {"forward": "partly", "lean_left": "partly", "lean_right": "partly"}
    assert (document["function"]["left"]["grip"], document["function"]["left"]["elbow_extension"]) == ("weak", 3)
    assert document["active_range_deg"]["left"]["elevation"] == 120
    assert document["active_range_deg"]["right"] == {"elevation": "full", "external_rotation": 75}
    arm = people.runa.athlete().left
    assert arm.elevation == pytest.approx(np.radians(120))


def test_an_angle_between_the_taps_is_typed(people: ClubPeople, visit: Visit) -> None:
    """A measured angle goes in with a decimal comma, and comes back under "measured"."""
    change = {"active_range_deg.left.elevation": "measured", "active_range_deg.left.elevation:deg": "132,5"}
    assert sent(people, visit, **change).status_code == 302
    assert people.runa.document["active_range_deg"]["left"]["elevation"] == 132.5
    shown = values_of(visit("owner").get(reverse("edit_function", kwargs={"id_": people.runa.pk})).content.decode())
    assert shown["active_range_deg.left.elevation"] == "measured"
    assert shown["active_range_deg.left.elevation:deg"] == "132.5"


@pytest.mark.parametrize(
    ("tapped", "typed", "says"),
    [
        ("measured", "", "No angle is given"),
        ("measured", "wide", "This is not a number"),
        ("measured", "300", "300 degrees is out of range"),
        ("120", "133", "133° is typed and another answer tapped"),
        ("", "133", "133° is typed and another answer tapped"),
    ],
)
def test_an_angle_that_cannot_be(tapped: str, typed: str, says: str, people: ClubPeople, visit: Visit) -> None:
    """The page comes back with the reason and with what was typed; nothing is saved."""
    key = "active_range_deg.left.elevation"
    response = sent(people, visit, **{key: tapped, f"{key}:deg": typed})
    assert response.status_code == 422
    page = response.content.decode()
    assert says in page
    assert values_of(page)[f"{key}:deg"] == typed
    assert people.runa.version == 1


def test_the_drawing_shows_the_answer_that_is_stored(people: ClubPeople, visit: Visit) -> None:
    """Without script too: the server draws what is known, and what is asked where nothing is."""
    url = reverse("edit_function", kwargs={"id_": people.runa.pk})
    page = visit("owner").get(url).content.decode()
    assert figure_of(page, "trunk-forward") == "6", "yes: the whole way"
    assert figure_of(page, "trunk-turn") == "3", "partly: half of it"
    assert figure_of(page, "right-elevation") == str(165 // 15)
    assert figure_of(page, "right-external-rotation") == str((75 + 90) // 15)
    sent(people, visit, **{"function.trunk.forward": ""})
    assert figure_of(visit("owner").get(url).content.decode(), "trunk-forward") == ASKED


@pytest.mark.parametrize("side", ["left", "right"])
def test_each_step_of_a_range_is_fifteen_degrees(side: Any) -> None:
    """From the drawn body itself: the upper arm against the plumb line, the forearm about the upper arm."""
    scene, _ = _scene_of(f"{side}-elevation")
    arm = scene.skeleton.arms[side]
    along = arm.elbow - arm.shoulder
    lifted = np.degrees(np.arccos(-along[:, 2] / np.linalg.norm(along, axis=1)))
    assert lifted == pytest.approx(15.0 * np.arange(13), abs=1.5)
    scene, _ = _scene_of(f"{side}-external-rotation")
    bones = scene.skeleton
    turned = np.swapaxes(bones.thorax_frame, -1, -2) @ bones.arms[side].humerus_frame
    assert np.degrees(external_rotation(turned, side)) == pytest.approx(-90.0 + 15.0 * np.arange(13), abs=1.5)


def test_left_and_right_are_mirror_images() -> None:
    """Lean and turn go to the side that they are named by."""
    for name in ("trunk-lean-left", "trunk-lean-right"):
        scene, _ = _scene_of(name)
        way = scene.skeleton.head[-1, 1] - scene.skeleton.head[0, 1]
        assert (way > 0) == name.endswith("left"), "left is the positive side of the world"
    left, right = (_scene_of(f"trunk-lean-{side}")[0].skeleton.head for side in ("left", "right"))
    assert left * (1, -1, 1) == pytest.approx(right)


@pytest.mark.parametrize("movement", [name for name in MOVEMENTS if not name.startswith("left")])
def test_the_steps_of_a_movement_differ(movement: str) -> None:
    """Rest, full range and what is asked are three drawings, each well-formed."""
    steps = MOVEMENTS[movement][0].steps
    drawn = [draw_function(movement, step) for step in (0, steps, ASKED)]
    for each in drawn:
        assert ElementTree.fromstring(each).tag.endswith("svg")
    different = 2 if movement.endswith("grip") else 3  # a grip is asked with what it holds, without a way
    assert len(set(drawn)) == different


@pytest.mark.parametrize("step", ["13", "-1", "one", "99999"])
@pytest.mark.usefixtures("people")
def test_a_step_that_is_not_there_is_not_found(step: str, visit: Visit) -> None:
    """An elevation has twelve steps."""
    client = visit("owner")
    assert client.get(f"/athletes/function/right-elevation/{step}.svg").status_code == 404
    assert client.get("/athletes/function/right-knee/1.svg").status_code == 404
    assert client.get("/athletes/function/right-elevation/12.svg?v=1").status_code == 200
