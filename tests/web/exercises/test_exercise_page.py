"""The page of an exercise shows what its file says, and for an athlete what core computes."""

from __future__ import annotations

import html

import pytest
from club_people import ClubPeople

from conftest import Visit
from firstpush.core.exercises.loader import library
from firstpush.core.session.prepare import prepare, ranged
from firstpush.web.exercises.chosen import ForWhom


def test_a_page_says_everything_that_the_file_says(people: ClubPeople, visit: Visit) -> None:
    """Cue, faults to watch, cautions with what to do, sources with how they are known, and both steps."""
    exercise = library()["high_row"]
    page = html.unescape(visit("assistant").get("/exercises/high_row/").content.decode())
    said = [exercise.cue, exercise.summary, "/moving.svg", "nobody in particular"]
    said += [part for each in exercise.cautions for part in (each.why, each.do)]
    said += [part for each in exercise.evidence for part in (each.source, each.known)]
    said += [library()[exercise.easier_exercise or ""].title, library()[exercise.harder_exercise or ""].title]
    for words in said:
        assert words in page
    for words in (*exercise.watch_for, *(each.says for each in exercise.evidence)):
        assert words[1:] in page, "with a capital letter"


def test_for_an_athlete_the_set_up_is_the_one_that_core_finds(people: ClubPeople, visit: Visit) -> None:
    """Mark, height, distance, pull, load with its range and where the wanted load comes from."""
    case = ForWhom(athlete=people.runa, kit=people.kit, venue=people.venue).case()
    row = library()["low_row"]
    setup = next(iter(ranged(prepare(case, [row]), [row.id]).setups.values()))
    url = f"/exercises/low_row/?athlete={people.runa.pk}"
    page = html.unescape(visit("owner").get(url).content.decode())
    band = setup.band
    assert band is not None and setup.target is not None and setup.pull is not None
    for value in (band.slack_length, band.height, band.distance):
        assert f"{value:.2f} <span" in page
    for words in (
        str(setup.peak),
        setup.target.words,
        setup.pull.range_words,
        f"Set up for {people.runa}",
        "curve.svg",
    ):
        assert words in page
    for notice in setup.notices:
        assert notice.do[1:] in page


def test_each_side_can_be_looked_at(people: ClubPeople, visit: Visit) -> None:
    """What is done one side after the other has both sides, and every drawing is of the side that is shown."""
    url = f"/exercises/external_rotation_side/?athlete={people.runa.pk}"
    owner = visit("owner")
    right, left = (html.unescape(owner.get(url + side).content.decode()) for side in ("", "&side=left"))
    assert "right side" in right
    assert "left side" in left
    assert left.count("side=left") >= 3
    assert "right side" in owner.get(url + "&side=up").content.decode()


def test_what_cannot_be_done_says_why(people: ClubPeople, visit: Visit) -> None:
    """Without a post and a band there is no set-up, and the page gives core's reason."""
    people.kit.save_document({"name": "Empty"}, by=None)
    url = f"/exercises/seated_row/?athlete={people.runa.pk}"
    page = html.unescape(visit("owner").get(url).content.decode())
    case = ForWhom(athlete=people.runa, kit=people.kit, venue=people.venue).case()
    reason = prepare(case, [library()["seated_row"]]).left_out[0].reason
    assert reason in page
    assert "curve.svg" not in page


def test_a_curve_is_drawn_only_where_a_load_is_stated(people: ClubPeople, visit: Visit) -> None:
    """A stretch states none."""
    owner = visit("owner")
    assert b"curve.svg" not in owner.get("/exercises/chest_stretch_post/").content
    assert owner.get("/figures/chest_stretch_post/curve.svg").status_code == 404
    assert b"N\xc2\xb7m" in owner.get("/figures/low_row/curve.svg").content


@pytest.mark.parametrize("slug", ["no_such", "pier_row"])
def test_an_unknown_exercise_is_not_found(slug: str, people: ClubPeople, visit: Visit) -> None:
    """What has no page is told as 404."""
    assert visit("owner").get(f"/exercises/{slug}/").status_code == 404


def test_an_own_exercise_is_found_under_its_name_too(people: ClubPeople, visit: Visit) -> None:
    """A link from a session leads to the own page, for the own club only."""
    assert visit("owner").get("/exercises/pier-row/")["Location"].startswith("/exercises/own/pier-row/")
    assert visit("stranger").get("/exercises/pier-row/").status_code == 404
