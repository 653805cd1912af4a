"""The page of one exercise of a session: what holds for all rows once, the rest in few words, and nothing lost."""

from __future__ import annotations

import copy
import html
import re
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from club_people import ClubPeople
from django.urls import reverse
from made_sessions import Made, made_session
from session_pages import change, page

from conftest import Visit
from firstpush.core.notices import LEVELS, SUPPORT_ADDED, Notice
from firstpush.core.session.consequences import Consequence, ExchangeOption, Options
from firstpush.web.sessions.making import planned_of

if TYPE_CHECKING:
    from collections.abc import Sequence

EXERCISE = "low_row"


@pytest.fixture
def unknown(people: ClubPeople) -> Made:
    """Make a session of somebody whose arms and trunk nobody has looked at: nearly every exercise has cautions."""
    document = copy.deepcopy(people.runa.document)
    document["function"] = {"trunk": {}, "left": {}, "right": {}}
    people.runa.save_document(document, by=people.owner)
    return made_session(people, keep=(EXERCISE,))


@pytest.fixture
def made(people: ClubPeople) -> Made:
    """Make a session with a low row."""
    return made_session(people, keep=(EXERCISE,))


def options_of(made: Made, exercise: str = EXERCISE) -> tuple[tuple[Notice, ...], tuple[ExchangeOption, ...]]:
    """Return the notices of an exercise that is there now, and what core offers in its place."""
    planned = planned_of(made.newest)
    (now,) = (each.candidate.notices for each in planned.session.items if each.candidate.id == exercise)
    return now, Options(planned).of(exercise).exchanges


def rows_in(shown: str) -> dict[str, str]:
    """Return the rows of the page as they are read, by the exercise they bring in."""
    found = re.findall(r'<tr role="row"><th role="rowheader".*?</tr>', shown, flags=re.DOTALL)
    named = ((re.search(r'name="into" value="([^"]*)"', row), row) for row in found)
    return {name[1]: read(row) for name, row in named if name}


def read(marked: str) -> str:
    """Return the words of a piece of a page."""
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", marked)).split())


def unfolded(marked: str) -> str:
    """Return a piece of a page without what stands folded; the words of a fold stay."""
    return re.sub(r"<details[^>]*>\s*(<summary>.*?</summary>).*?</details>", r"\1", marked, flags=re.DOTALL)


def test_no_caution_and_no_loss_of_an_exchange_is_left_out(unknown: Made, visit: Visit) -> None:
    """Whatever core tells of an exercise in its place and not of the one that is there stands in its row in full."""
    now, options = options_of(unknown)
    rows = rows_in(page(visit("owner"), "plan_item", id_=unknown.plan.pk, slug=EXERCISE))
    assert list(rows) == [each.into.candidate.id for each in options]
    told = {each.what for each in now} | {each.subject for each in now if each.id == SUPPORT_ADDED}
    looked = 0
    for option in options:
        row = rows[option.into.candidate.id].casefold()
        assert option.consequence.loses.casefold() in row
        for notice in option.notices:
            if notice.level != "note" and not told & {notice.what, notice.subject}:
                # The side is told where one arm only has it.
                said = re.sub(r"\b(left|right|either) ", "", (notice.subject or notice.what).casefold())
                assert said in re.sub(r"\b(left|right|either) ", "", row), notice
                assert (notice.short or notice.do).casefold() in row, "what to do about it, or why it is put on"
                looked += 1
    assert looked > len(options), "somebody unknown has cautions in nearly every exercise"


def test_what_all_rows_cost_stands_once_above_them(unknown: Made, visit: Visit) -> None:
    """Outside the folds a loss that most rows share is told once, and so is a caution that every row has."""
    shared = 0
    for item in planned_of(unknown.newest).session.items:
        _, options = options_of(unknown, item.candidate.id)
        if not options:
            continue
        shown = page(visit("owner"), "plan_item", id_=unknown.plan.pk, slug=item.candidate.id)
        table = unfolded(shown[shown.index("In place of it") :].partition("</table>")[0])
        said = read(table)
        rows = options[: table.count('role="rowheader"')]
        # Where the rest moves, what is lost is not said of the row, but what comes of it.
        losses = ["" if each.consequence.moves_others else each.consequence.loses for each in rows]
        common = max(losses, key=losses.count)
        if not common or losses.count(common) <= len(losses) / 2:
            continue
        shared += 1
        assert said.casefold().count(common.casefold()) == 1, item.candidate.id
        above = re.search(r'<p class="costs-all">(.*?)</p>', table, flags=re.DOTALL)
        assert above
        assert common.casefold() in read(above[1]).casefold()
        for subject in re.findall(r"not known: ([^.]*)\.", read(above[1])):
            assert said.count(subject) == 1
    assert shared, "in a whole session some exercise has exchanges that lose the same"


def test_where_the_rest_moves_the_row_says_what_comes_of_it(unknown: Made, visit: Visit) -> None:
    """What is looked up for such a row is what the session has once it is taken, and no loss is said of the row."""
    client = visit("owner")
    item, option = next(
        (item.candidate.id, option)
        for item in planned_of(unknown.newest).session.items
        for option in options_of(unknown, item.candidate.id)[1][:3]
        if option.consequence.moves_others and option.consequence.loses
    )
    into = option.into.candidate.id
    row = rows_in(page(client, "plan_item", id_=unknown.plan.pk, slug=item))[into]
    assert "See what else changes" in row
    assert f"With the rest as it is, {option.consequence.loses}" in row
    asked = reverse("what_makes_way", args=[unknown.plan.pk, item])
    told = read(client.get(asked, {"into": into, "dose": option.into.dose.name}).content.decode()).casefold()
    before = {each["exercise"]: each for each in unknown.newest.document["items"]}
    answer = change(client, unknown.plan, change="exchange", exercise=item, into=into, dose=option.into.dose.name)
    assert answer.status_code == 302
    after = {each["exercise"]: each for each in unknown.newest.document["items"]}
    differ = [each for each in set(before) ^ set(after) if each not in (item, into)]
    differ += [each for each in set(before) & set(after) if before[each]["dose"]["name"] != after[each]["dose"]["name"]]
    for each in differ:
        assert (after.get(each) or before[each])["title"].casefold() in told, told
    assert ("all others stay as they are" in told) == (not differ)


def caution(id_: str, what: str) -> Notice:
    """Return a caution made up for a table."""
    return Notice(id=id_, level="caution", what=what, do="Look", about="X")


def offered(options: Sequence[ExchangeOption], told: Sequence[tuple[str, tuple[Notice, ...]]]) -> list[ExchangeOption]:
    """Return real options with a loss and notices made up."""
    return [
        replace(
            option,
            into=replace(option.into, candidate=replace(option.into.candidate, notices=notices)),
            consequence=Consequence(longer_s=0, over_s=0, loses=loses),
        )
        for option, (loses, notices) in zip(options, told, strict=False)
    ]


SKIN, GIVES, HEAVY = (caution(each, each) for each in ("skin", "gives", "heavy"))


@pytest.mark.parametrize(
    ("told", "above", "by_all", "each_loses", "each_short"),
    [
        ([("a", (SKIN,)), ("a", (SKIN,)), ("a", (SKIN,))], ("a", "skin"), True, ["", "", ""], ["", "", ""]),
        (
            [("a", (SKIN,)), ("a", (SKIN, HEAVY)), ("b", ())],
            ("a", ""),
            False,
            ["", "", "b"],
            ["skin", "skin; heavy", ""],
        ),
        ([("a", (SKIN,)), ("b", (SKIN, GIVES)), ("", (SKIN,))], ("", "skin"), False, ["a", "b", ""], ["", "gives", ""]),
        ([("a", ()), ("a", ()), ("", ())], ("a", ""), False, ["", "", "nothing"], ["", "", ""]),
        ([("a", (SKIN,))], ("", ""), True, ["a"], ["skin"]),
    ],
)
def test_rows_tell_only_what_differs(
    told: list[tuple[str, tuple[Notice, ...]]],
    above: tuple[str, str],
    by_all: bool,
    each_loses: list[str],
    each_short: list[str],
    unknown: Made,
) -> None:
    """By hand: a loss of more than half, and the cautions of all, stand above; every row has all of it in full."""
    from firstpush.web.sessions.exchange_rows import exchange_tables

    _, options = options_of(unknown)
    (table,) = exchange_tables(offered(options, told), now=(), load_of=lambda id_: "")

    def words(short: tuple[tuple[str, str], ...]) -> str:
        return "; ".join(said for _, said in short)

    assert (table.loses, words(table.short)) == above
    assert table.by_all is by_all
    assert [row.loses for row in table.rows] == each_loses
    assert [words(row.short) for row in table.rows] == each_short
    assert [{each.id for each in row.cautions} for row in table.rows] == [
        {n.id for n in notices} for _, notices in told
    ]


def test_a_caution_of_the_exercise_that_is_there_is_not_new(unknown: Made) -> None:
    """It is left out of the rows; a stop is told as a stop and before the cautions."""
    from firstpush.web.sessions.exchange_rows import exchange_tables

    _, options = options_of(unknown)
    stop = replace(HEAVY, level=LEVELS[-1])
    (table,) = exchange_tables(offered(options, [("a", (SKIN, GIVES, stop))]), now=(SKIN,), load_of=lambda id_: "")
    assert table.rows[0].short == (("stop", "heavy"), ("caution", "gives"))


def test_evidence_and_lesser_numbers_are_folded_and_load_trunk_and_chair_are_not(made: Made, visit: Visit) -> None:
    """The reason stands beside the drawing, what speaks for the exercise behind it; no number is dropped."""
    item = next(each for each in made.newest.document["items"] if each["exercise"] == EXERCISE)
    (words,) = (
        each for each in made.newest.document["sheets"]["practitioner"]["items"] if each["title"] == item["title"]
    )
    shown = page(visit("owner"), "plan_item", id_=made.plan.pk, slug=EXERCISE)
    open_, whole = read(unfolded(shown)).casefold(), read(shown).casefold()
    reason = item["reason"].casefold()
    evidence = words["why"][len(reason) + 1 :].strip().casefold()
    assert reason in open_
    assert evidence and evidence not in open_ and evidence in whole
    for fact in words["numbers"]:
        assert fact["value"].casefold() in whole
        assert (fact["value"].casefold() in open_) is (fact["label"] in ("Load", "Trunk", "Chair holds")), fact


def test_what_cannot_be_moved_says_so_in_a_line_and_why_behind_it(made: Made, visit: Visit) -> None:
    """The first of a session that opens its part: no place is left before it, and nothing may come before it."""
    shown = page(visit("owner"), "plan_item", id_=made.plan.pk, slug=made.ids[0])
    when = shown[shown.index("<h2>When</h2>") : shown.index("<h2>Keep it, or not</h2>")]
    assert "Move it" not in when
    assert read(unfolded(when)) == "When It stays here"
    assert "Not earlier: nothing is left to change places with." in read(when)
    assert "Not later: " in read(when)


def test_a_typed_dose_stands_folded_until_it_is_wrong(made: Made, visit: Visit) -> None:
    """What has to be corrected stands open."""
    client = visit("owner")
    folded = re.search(
        r"<details( open)?><summary>Another dose", page(client, "plan_item", id_=made.plan.pk, slug=EXERCISE)
    )
    assert folded and not folded[1]
    answer = change(client, made.plan, change="dose by hand", exercise=EXERCISE, sets="99", amount="8")
    assert answer.status_code == 422
    assert "<details open><summary>Another dose" in answer.content.decode()


def test_what_else_changes_is_asked_when_a_row_is_opened(made: Made, visit: Visit) -> None:
    """With script by opening it, without by its link: both ask for the same exercise and dose."""
    shown = page(visit("owner"), "plan_item", id_=made.plan.pk, slug=EXERCISE)
    links = re.findall(r'href="([^"]*into=[^"]*)" hx-get="([^"]*)"[^>]*hx-trigger="([^"]*)"', shown)
    assert links
    assert all(link == asked for link, asked, _ in links)
    assert {trigger for _, _, trigger in links} == {"click, toggle from:closest details once"}
    assert visit("owner").get(reverse("plan_item", kwargs={"id_": made.plan.pk, "slug": "no_such"})).status_code == 404
