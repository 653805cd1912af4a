"""Drawings are made once, kept, and shown only inside their club."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from club_people import ClubPeople
from django.conf import LazySettings
from django.urls import reverse

from conftest import Visit
from firstpush.core.exercises.loader import library
from firstpush.web import figures
from firstpush.web.figures import content_key, drop_oldest, figure_url, kept


@pytest.fixture(autouse=True)
def data_folder(settings: LazySettings, tmp_path: Path) -> Path:
    """Return a data folder of the test's own."""
    settings.FOLDER = tmp_path
    return tmp_path


class Drawn:
    """Counts how often it was drawn."""

    def __init__(self, svg: str = "<svg/>") -> None:
        self.times, self.svg = 0, svg
        self.begun, self.may_end = threading.Event(), threading.Event()
        self.may_end.set()

    def __call__(self) -> str:
        self.times += 1
        self.begun.set()
        assert self.may_end.wait(10), "the test lets the drawing end"
        return self.svg


def test_the_same_content_is_drawn_once_and_other_content_anew() -> None:
    """A second request takes what is kept; a change of the content is drawn again."""
    drawn, other = Drawn("<svg>å</svg>"), Drawn("<svg>other</svg>")
    assert [kept(content_key("a", 1.5), drawn) for _ in range(3)] == ["<svg>å</svg>"] * 3
    assert drawn.times == 1
    assert kept(content_key("a", 1.6), other) == "<svg>other</svg>"
    assert (drawn.times, other.times) == (1, 1)


def test_two_requests_at_once_draw_once() -> None:
    """While one request draws, others for the same wait and take what it made."""
    drawn = Drawn()
    drawn.may_end.clear()
    found: list[str] = []
    threads = [threading.Thread(target=lambda: found.append(kept(content_key("same"), drawn))) for _ in range(5)]
    for thread in threads:
        thread.start()
    assert drawn.begun.wait(10)
    drawn.may_end.set()
    for thread in threads:
        thread.join(10)
    assert (drawn.times, found) == (1, ["<svg/>"] * 5)
    assert not figures._ASKED, "no lock is kept for what is done"


def test_a_drawing_that_fails_is_tried_again() -> None:
    """A failure is told, keeps nothing and locks nobody out."""

    def fails() -> str:
        raise RuntimeError("no pose")

    with pytest.raises(RuntimeError, match="no pose"):
        kept(content_key("fails"), fails)
    assert kept(content_key("fails"), Drawn()) == "<svg/>"


def test_the_cache_may_be_deleted_cut_short_or_unwritable(data_folder: Path) -> None:
    """Whatever happens to the files, the drawing comes."""
    key, drawn = content_key("b"), Drawn()
    kept(key, drawn)
    (path,) = (data_folder / "cache").rglob("*.gz")
    path.write_bytes(path.read_bytes()[:12])
    assert kept(key, drawn) == "<svg/>"
    assert drawn.times == 2, "half a file counts as none"
    path.unlink()
    path.parent.rmdir()
    path.parent.write_text("a file where the folder should be")
    assert kept(key, drawn) == "<svg/>"
    assert drawn.times == 3


def test_the_oldest_files_go_first(data_folder: Path) -> None:
    """A cache that has grown too large loses what was written longest ago."""
    import os

    for age, name in enumerate("abc"):
        kept(content_key(name), Drawn(f"<svg>{name}</svg>"))
        path = data_folder / "cache" / "figures" / "nobody" / f"{content_key(name)}.gz"
        os.utime(path, (1000 - age, 1000 - age))
    size = path.stat().st_size
    drop_oldest(2 * size)
    assert [(data_folder / "cache" / "figures" / "nobody" / f"{content_key(name)}.gz").exists() for name in "abc"] == [
        True,
        True,
        False,
    ]


def test_the_address_changes_with_what_is_drawn(people: ClubPeople) -> None:
    """The same content has one address; a changed athlete, another side or kind has another."""
    row = library()["seated_row"]
    before = figure_url(row, athlete=people.runa, kit=people.kit, venue=people.venue)
    assert before == figure_url(row, athlete=people.runa, kit=people.kit, venue=people.venue)
    assert before != figure_url(row, kind="card", athlete=people.runa, kit=people.kit, venue=people.venue)
    assert before != figure_url(row, side="left", athlete=people.runa, kit=people.kit, venue=people.venue)
    people.runa.save_document(people.runa.document | {"mass_kg": 70.0}, by=None)
    assert before != figure_url(row, athlete=people.runa, kit=people.kit, venue=people.venue)


def test_a_band_taken_out_of_use_changes_the_address(people: ClubPeople) -> None:
    """A figure is of the cupboard as it can be used."""
    row = library()["seated_row"]
    before = figure_url(row, athlete=people.runa, kit=people.kit, venue=people.venue)
    band = people.kit.document["bands"][0]["name"]
    people.kit.withdrawals.create(band=band, count=9, day="2026-03-01", reason="torn")
    assert before != figure_url(row, athlete=people.runa, kit=people.kit, venue=people.venue)


@pytest.mark.parametrize(("kind", "holds"), [("still", ">Start<"), ("moving", "@keyframes"), ("card", "<path")])
def test_a_drawing_comes_as_svg_that_may_be_kept(kind: str, holds: str, people: ClubPeople, visit: Visit) -> None:
    """The address that names the content lasts; without that name it is asked for again, and answered "not changed"."""
    owner = visit("owner")
    url = figure_url(library()["low_row"], kind=kind)  # type: ignore[arg-type]
    response = owner.get(url)
    assert (response.status_code, response["Content-Type"]) == (200, "image/svg+xml")
    assert "immutable" in response["Cache-Control"]
    assert "private" in response["Cache-Control"]
    svg = response.content.decode()
    assert svg.startswith("<svg")
    assert holds in svg
    assert "unsafe-inline" not in owner.get("/exercises/")["Content-Security-Policy"]
    plain = owner.get(url.partition("?")[0])
    assert "no-cache" in plain["Cache-Control"]
    assert plain.content == response.content
    again = owner.get(url, headers={"If-None-Match": response["ETag"]})
    assert (again.status_code, again.content) == (304, b"")


def test_a_drawing_is_sent_compressed_to_who_can_read_it(people: ClubPeople, visit: Visit) -> None:
    """The compressed answer holds the same drawing."""
    import gzip

    owner, url = visit("owner"), figure_url(library()["low_row"], kind="card")
    packed = owner.get(url, headers={"Accept-Encoding": "gzip, br"})
    assert packed["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.content) == owner.get(url).content


def test_an_athlete_is_drawn_for_the_own_club_only(people: ClubPeople, visit: Visit, data_folder: Path) -> None:
    """Another club finds nothing, kept or not; the drawings go with the athlete."""
    url = figure_url(library()["low_row"], kind="card", athlete=people.runa, kit=people.kit, venue=people.venue)
    for who in ("owner", "colleague", "assistant"):
        assert visit(who).get(url).status_code == 200
    assert visit("stranger").get(url).status_code == 404
    assert visit("athlete").get(url).status_code == 403
    assert visit("anonymous").get(url).status_code == 302
    folder = data_folder / "cache" / "figures" / f"athlete-{people.runa.pk}"
    assert len(list(folder.glob("*.gz"))) == 1
    visit("owner").post(reverse("erase_athlete", kwargs={"id_": people.runa.pk}), {"name": "Runa Velde"})
    assert not folder.exists()


@pytest.mark.parametrize(
    "url",
    [
        "/figures/no_such/still.svg",
        "/figures/low_row/painted.svg",
        "/figures/low_row/still.svg?athlete=999999",
        "/figures/low_row/still.svg?athlete=x",
        "/figures/low_row/still.svg?kit=" + "9" * 40,
    ],
)
def test_what_is_not_there_is_not_found(url: str, people: ClubPeople, visit: Visit) -> None:
    """Unknown exercises, kinds and ids are told as 404."""
    assert visit("owner").get(url).status_code == 404
