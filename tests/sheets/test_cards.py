"""Cards: what stands on which version, how small it may be, and that nothing is clipped."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from example_sheets import LONG_NAME, LONG_WORD
from pypdf import PdfReader

from firstpush.core.errors import OutOfRangeError
from firstpush.core.exercises.loader import exercise_named
from firstpush.core.kit.kit_file import load_kit
from firstpush.core.kit.venue_file import load_venue
from firstpush.core.notices import Notice
from firstpush.core.people.athlete_file import load_athlete
from firstpush.core.setup.circumstances import Circumstances, circumstances
from firstpush.demo import demo_file
from firstpush.sheets.cards import CardDeck, cards_pdf, make_cards, write_cards
from firstpush.sheets.content import BAND_CHECK, Version

VERSIONS: tuple[Version, ...] = ("athlete", "practitioner")
MILLIMETRE = 72 / 25.4
LEAST_PT = 8
"""Nothing is smaller than this on a card."""


def case(*, with_bands: bool = True) -> Circumstances:
    """Return the demo's athlete, cupboard and hall."""
    kit = load_kit(demo_file("kit"))
    return circumstances(
        load_athlete(demo_file("athlete")),
        kit if with_bands else replace(kit, bands=()),
        load_venue(demo_file("venue")),
    )


@cache
def deck() -> CardDeck:
    """Return two cards: a band with different set-ups of the sides, and a ball without a band."""
    exercises = [exercise_named(name) for name in ("external_rotation_90", "ball_circles")]
    return make_cards(case(), exercises, program_version="0.1.0", checksum="3f2a9c41", workers=1)


def long_deck() -> CardDeck:
    """Return the deck with words of German length everywhere."""
    words = f"{LONG_WORD} am Mehrzweckhallensprossenwandpfosten"
    return replace(
        deck(),
        athlete_name=LONG_NAME,
        venue_name="Mehrzwecksporthallenbetriebsgesellschaft am Hafenbecken, Halle 3",
        cards=tuple(
            replace(
                card,
                title=f"{card.title} {words}",
                dose_large="12 × 120 s a side",
                dose_small=f"{card.dose_small} {words}",
                facts=tuple(replace(fact, value=f"{fact.value}, {words}") for fact in card.facts),
                numbers=tuple(replace(fact, value=f"{fact.value}, {words}") for fact in card.numbers),
                cue=f"{card.cue} {words}.",
                why=f"{card.why} {words}." * 4,
                notices=card.notices
                + (Notice(id="long-words", level="caution", what=words, do=f"Read {words} to the end"),),
            )
            for card in deck().cards
        ),
    )


def reader(pdf: bytes) -> PdfReader:
    """Open the file."""
    return PdfReader(io.BytesIO(pdf))


def plain(text: str) -> str:
    """Take line ends, hyphens at line ends and unbreakable spaces out, so that a sentence is found where it wraps."""
    return re.sub(r"\s+", " ", text.replace("\xad", "").replace("\u2010\n", ""))


@cache
def pages(version: Version) -> list[str]:
    """Return the words of each page."""
    return [plain(page.extract_text()) for page in reader(cards_pdf(deck(), version=version)).pages]


@pytest.mark.parametrize("version", VERSIONS)
def test_cards_are_tagged_a6_pages(version: Version) -> None:
    """The file says that it is PDF/UA-1, and every page is A6 across: 148 × 105 mm (ISO 216, from memory)."""
    found = reader(cards_pdf(deck(), version=version))
    # ISO 14289-1, section 5: pdfuaid:part is 1 (from memory).
    assert re.search(rb"pdfuaid:part(=\"1\"|>1<)", found.root_object["/Metadata"].get_object().get_data())
    assert found.root_object["/Lang"] == "en-GB"
    assert found.metadata is not None
    assert str(found.metadata.title).endswith("for Runa Velde")
    for page in found.pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
            (148 * MILLIMETRE, 105 * MILLIMETRE), abs=0.01
        )


def test_the_athlete_has_one_page_an_exercise() -> None:
    """Each card is one page with its own title, dose, cue, and none of another."""
    assert len(pages("athlete")) == len(deck().cards)
    for page, card in zip(pages("athlete"), deck().cards, strict=True):
        for said in (card.title, card.dose_large, card.cue):
            assert said in page
        for other in deck().cards:
            if other is not card:
                assert other.title not in page


def test_the_practitioner_has_the_same_page_and_the_numbers_overleaf() -> None:
    """Printed on both sides, front and back of one exercise are one card."""
    found = pages("practitioner")
    assert len(found) == 2 * len(deck().cards)
    for at, card in enumerate(deck().cards):
        front, back = found[2 * at], found[2 * at + 1]
        assert front == pages("athlete")[at]
        assert back.startswith(card.title)
        for fact in card.numbers:
            assert plain(fact.value) in back
        assert f"{card.why}" in back
        assert "; ".join(card.watch_for)[1:] in back
        for levers in (card.easier, card.harder):
            assert levers[1:] in back
        for notice in card.notices:
            assert f"{notice.what}. {notice.do}. {notice.id}" in back


def test_the_athlete_sees_no_moment_and_the_practitioner_where_the_target_comes_from() -> None:
    """N·m stands on the practitioner's copy alone, with its range and the test it is taken from."""
    assert "N·m" not in " ".join(pages("athlete"))
    back = pages("practitioner")[1]
    for one in deck().document["made"][0]["setups"]:
        assert plain(one["peak_load_nm"]["words"]) in back
        assert plain(one["target"]["words"]) in back


def test_both_sides_are_told_where_they_differ() -> None:
    """The distances of right and left stand on the card, each with its side, as the set-ups have them."""
    setups = deck().document["made"][0]["setups"]
    distances = {one["side"]: one["band"]["distance_m"] for one in setups}
    assert distances["left"] != distances["right"], "the demo's sides differ in strength and range"
    for side, distance in distances.items():
        assert f"{side} {distance:.2f} m" in pages("athlete")[0]
    assert "Right side, then left · right drawn" in pages("athlete")[0]


def test_stop_rules_are_on_every_card_and_the_band_check_where_there_is_a_band() -> None:
    """A card stands alone: nobody reads the stop rules elsewhere."""
    for page, card in zip(pages("athlete"), deck().cards, strict=True):
        assert len(card.stop_rules) == 2
        for rule in card.stop_rules:
            assert rule in page
        # Runa: an injury at T10, no limit of her own, usually 1 of 10 at the front of the right shoulder.
        assert "at pain over 2 of 10 (right shoulder front: over 1)" in page
        assert ("a band tears" in page) is card.with_band
        assert (BAND_CHECK in page) is card.with_band
    assert [card.with_band for card in deck().cards] == [True, False]


def test_cautions_reach_the_athlete_and_notes_do_not() -> None:
    """What is grave is said to the person it is about; what is good to know stays with the practitioner."""
    told = tuple(
        Notice(id=f"told-{level}", level=level, what=f"something of level {level}", do="Do what follows")
        for level in ("stop", "caution", "note")
    )
    card = replace(deck().cards[0], notices=told)
    (page,) = reader(cards_pdf(replace(deck(), cards=(card,)), version="athlete")).pages
    words = plain(page.extract_text())
    assert "Stop: something of level stop. Do what follows." in words
    assert "Caution: something of level caution. Do what follows." in words
    assert "level note" not in words


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("make", [deck, long_deck])
def test_nothing_is_lettered_smaller_than_eight_points(make, version: Version) -> None:
    """Words, numbers and the lettering inside the drawings: 8 pt at least."""
    sizes: list[float] = []

    def note(text: str, current: list[float], text_matrix: list[float], _font: object, size: float) -> None:
        if text.strip():
            scales = [(each[0] ** 2 + each[1] ** 2) ** 0.5 for each in (current, text_matrix)]
            sizes.append(abs(size) * scales[0] * scales[1])

    for page in reader(cards_pdf(make(), version=version)).pages:
        page.extract_text(visitor_text=note)
    assert len(sizes) > 20
    # Half a hundredth for rounding in the file.
    assert min(sizes) >= LEAST_PT - 0.005


@pytest.mark.parametrize("version", VERSIONS)
def test_long_words_are_printed_whole(version: Version) -> None:
    """Title, dose, every fact and the cue of both cards end with the long word: it is there as often."""
    letters = re.sub(
        r"[\s\-\xad\u2010]",
        "",
        "".join(page.extract_text() for page in reader(cards_pdf(long_deck(), version=version)).pages),
    )
    assert LONG_NAME.replace(" ", "").replace("-", "") in letters
    expected = sum(1 + 1 + len(card.facts) + 1 + 2 for card in deck().cards)
    if version == "practitioner":
        # Title again, numbers, four times in the reasons, and the caution's two overleaf too.
        expected += sum(1 + len(card.numbers) + 4 + 2 for card in deck().cards)
    assert letters.count(LONG_WORD) == expected


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext (poppler) measures where words stand")
@pytest.mark.parametrize("make", [deck, long_deck])
@pytest.mark.parametrize("version", VERSIONS)
def test_no_word_leaves_the_page_or_stands_on_another(make, version: Version, tmp_path: Path) -> None:
    """A printer leaves 4 mm at each edge empty: all words stay inside."""
    (tmp_path / "cards.pdf").write_bytes(cards_pdf(make(), version=version))
    run = subprocess.run(
        ["pdftotext", "-bbox", str(tmp_path / "cards.pdf"), "-"], capture_output=True, text=True, check=True
    )
    for page in run.stdout.split("<page ")[1:]:
        found = re.findall(r'<word xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*)</word>', page)
        boxes = [(*map(float, numbers), word) for *numbers, word in found]
        for x_min, y_min, x_max, y_max, word in boxes:
            assert 4 * MILLIMETRE <= x_min < x_max <= (148 - 4) * MILLIMETRE, word
            # A fifth of a text box above the letters and below them is empty: it is made for accents and long tails.
            empty = 0.2 * (y_max - y_min)
            assert 4 * MILLIMETRE <= y_min + empty < y_max - empty <= (105 - 4) * MILLIMETRE, word
        # Text boxes count ascender and descender, so neighbours on two lines overlap a little: look at their middles.
        for at, (x_min, y_min, x_max, y_max, word) in enumerate(boxes):
            for a, b, c, d, other in boxes[at + 1 :]:
                apart = abs((y_min + y_max) - (b + d)) / 2
                beside = min(x_max, c) - max(x_min, a)
                assert beside < 1 or apart > 0.45 * min(y_max - y_min, d - b), f"{word!r} on {other!r}"


def test_an_exercise_without_a_set_up_has_no_card_and_a_reason() -> None:
    """Without a band no row is set up; the ball needs none."""
    exercises = [exercise_named(name) for name in ("seated_row", "ball_circles")]
    made = make_cards(case(with_bands=False), exercises, program_version="0.1.0", checksum="0", workers=1)
    assert [card.exercise for card in made.cards] == ["ball_circles"]
    assert [left.title for left in made.not_made] == ["Seated row"]
    assert "band" in made.not_made[0].reason
    assert [each["exercise"] for each in made.document["not_made"]] == ["seated_row"]
    with pytest.raises(OutOfRangeError, match="no card can be made for Runa Velde"):
        cards_pdf(replace(made, cards=()), version="athlete")


def test_a_card_does_not_depend_on_the_others() -> None:
    """Alone or in a deck, an exercise has the same card."""
    alone = make_cards(
        case(), [exercise_named("ball_circles")], program_version="0.1.0", checksum="3f2a9c41", workers=1
    )
    assert alone.cards == deck().cards[1:]


def test_same_deck_gives_the_same_bytes() -> None:
    """The same deck gives the same bytes, and another name others."""
    assert cards_pdf(deck(), version="athlete") == cards_pdf(deck(), version="athlete")
    assert cards_pdf(deck(), version="athlete") != cards_pdf(replace(deck(), athlete_name="Ola"), version="athlete")


def test_both_versions_are_written_or_none(tmp_path: Path) -> None:
    """A letter that no font has stops the whole deck before a file is there."""
    unprintable = replace(deck(), athlete_name="Runa \U0001e6c0")
    with pytest.raises(OutOfRangeError, match="install such a font"):
        write_cards(unprintable, tmp_path / "out")
    assert not (tmp_path / "out").exists()
    written = write_cards(deck(), tmp_path / "out")
    assert [path.name for path in written] == ["cards.pdf", "cards_practitioner.pdf"]
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["cards.pdf", "cards_practitioner.pdf"]
