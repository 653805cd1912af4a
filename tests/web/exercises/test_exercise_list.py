"""The list of exercises says what core says: what can be done here, and why the rest cannot."""

from __future__ import annotations

import html
import re

import pytest
from club_people import ClubPeople, demo_document

from conftest import Visit
from firstpush.core.exercises.loader import library
from firstpush.core.session.prepare import prepare
from firstpush.web.exercises.chosen import ForWhom
from firstpush.web.exercises.library import club_library
from firstpush.web.exercises.possible import verdicts


def titles(page: str) -> list[str]:
    """Return the titles of the plates of a page."""
    return [html.unescape(each) for each in re.findall(r'<h3><a class="row-link" href="[^"]*">([^<]*)</a>', page)]


def test_everybody_of_the_club_who_reads_sees_every_exercise_once(people: ClubPeople, visit: Visit) -> None:
    """All of the library, each with its drawing."""
    for who in ("owner", "colleague", "assistant"):
        page = visit(who).get("/exercises/").content.decode()
        assert sorted(titles(page)) == sorted(each.title for each in library().values())
        assert page.count("/card.svg?") == len(library())


@pytest.mark.parametrize(
    ("query", "kept"),
    [
        ("part=court", lambda each: each.part == "court"),
        ("aim=external+rotation", lambda each: "external rotation" in each.aims),
        ("part=strength&aim=pushing", lambda each: each.part == "strength" and "pushing" in each.aims),
        ("part=nonsense&aim=nonsense", lambda each: True),
    ],
)
def test_part_and_aim_choose(query: str, kept, people: ClubPeople, visit: Visit) -> None:  # type: ignore[no-untyped-def]
    """Only what belongs to the part and trains the aim is shown; an unknown word chooses nothing out."""
    page = visit("owner").get(f"/exercises/?{query}").content.decode()
    assert sorted(titles(page)) == sorted(each.title for each in library().values() if kept(each))
    if not titles(page):
        assert "Choose another aim" in page


def test_for_an_athlete_the_reasons_are_those_of_core(people: ClubPeople, visit: Visit) -> None:
    """Each exercise that core leaves out stands with core's own sentence; the others with band and distance."""
    whom = ForWhom(athlete=people.runa, kit=people.kit, venue=people.venue)
    page = html.unescape(visit("owner").get(f"/exercises/?athlete={people.runa.pk}").content.decode())
    refused = {
        each.exercise.id: each.reason for one in library().values() for each in prepare(whom.case(), [one]).left_out
    }
    assert refused, "the demo athlete cannot do everything"
    for reason in refused.values():
        assert reason in page
    assert f"{people.runa}, {people.kit}, in {people.venue}" in page
    assert re.search(r"\d\.\d\d m, (tyre|footplate|rear)", page), "distances of the set-ups"


def test_only_what_can_be_done(people: ClubPeople, visit: Visit) -> None:
    """Asked for, what cannot be done is left away; the count says how many there are."""
    owner, query = visit("owner"), f"/exercises/?athlete={people.runa.pk}&show=possible"
    page = html.unescape(owner.get(query).content.decode())
    whom = ForWhom(athlete=people.runa, kit=people.kit, venue=people.venue)
    possible = [id_ for id_, each in verdicts(library(), whom).items() if each.state == "possible"]
    assert sorted(titles(page)) == sorted(library()[id_].title for id_ in possible)
    assert f"{len(possible)} of {len(library())}" in page


def test_without_bands_every_band_exercise_says_so(people: ClubPeople, visit: Visit) -> None:
    """An empty cupboard: what needs a band is not possible, and no band is the reason."""
    people.kit.save_document({"name": "Empty"}, by=None)
    found = verdicts(library(), ForWhom(athlete=people.runa, kit=people.kit, venue=people.venue))
    with_band = [each for each in library().values() if each.band is not None]
    assert {found[each.id].state for each in with_band} == {"not here"}
    assert any("no band" in found[each.id].reason for each in with_band)


def test_a_verdict_is_kept_until_something_changes(people: ClubPeople, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second asking searches nothing; a heavier athlete is searched anew."""
    from firstpush.web.exercises import possible

    asked = []
    real = possible.verdict
    monkeypatch.setattr(possible, "verdict", lambda *given: asked.append(given[0].id) or real(*given))
    few = {id_: library()[id_] for id_ in ("chin_tuck", "low_row")}
    whom = ForWhom(athlete=people.jon, kit=people.kit, venue=people.venue)
    first = verdicts(few, whom)
    assert verdicts(few, ForWhom(athlete=people.jon, kit=people.kit, venue=people.venue)) == first
    assert len(asked) == len(few)
    people.jon.save_document(demo_document("athlete") | {"mass_kg": 91.0}, by=None)
    verdicts(few, ForWhom(athlete=people.jon, kit=people.kit, venue=people.venue))
    assert len(asked) == 2 * len(few)


def test_another_clubs_athlete_kit_and_venue_are_not_there(people: ClubPeople, visit: Visit) -> None:
    """Whatever is named of another club is told as not found."""
    for name, record in (("athlete", people.runa), ("kit", people.kit), ("venue", people.venue)):
        assert visit("stranger").get(f"/exercises/?{name}={record.pk}").status_code == 404
        assert visit("owner").get(f"/exercises/?{name}={record.pk}&part=court").status_code == 200
        assert visit("owner").get(f"/exercises/?{name}=999999").status_code == 404
    assert visit("owner").get("/exercises/?athlete=one").status_code == 404


def test_what_only_shows_takes_no_post(people: ClubPeople, visit: Visit) -> None:
    """List, page, drawing and file are read, not written."""
    owner = visit("owner")
    for url in ("/exercises/", "/exercises/low_row/", "/figures/low_row/card.svg", "/exercises/low_row/file/"):
        assert owner.post(url).status_code == 405


def test_the_library_of_a_club_holds_what_it_has_accepted(people: ClubPeople) -> None:
    """Accepted own exercises join; refused, withdrawn, unreadable ones and those of other clubs do not."""
    from firstpush.web.exercises.models import OwnExercise
    from firstpush.web.exercises.own import text_of_library

    text = text_of_library("low_row")
    for slug, accepted, club in (
        ("mine", True, people.club),
        ("refused", False, people.club),
        ("withdrawn", True, people.club),
        ("theirs", True, people.stranger.membership.club),
        ("low_row", True, people.club),
    ):
        OwnExercise(club=club, slug=slug).save_text(text, accepted=accepted, by=None)
    OwnExercise.objects.get(slug="withdrawn").withdraw()
    OwnExercise(club=people.club, slug="broken").save_text("title = 3", accepted=True, by=None)
    found = club_library(people.club)
    assert set(found) - set(library()) == {"mine"}
    assert found["low_row"] is library()["low_row"], "the library's own exercise is not replaced"
    assert found["mine"].poses == library()["low_row"].poses
