"""Arriving in the demo without a password: once, for some minutes, and nowhere but in the demo on its own computer."""

from __future__ import annotations

import ssl
import subprocess
import sys
import threading
import urllib.error
import urllib.request
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from club_people import ClubPeople
from django.test import Client
from served import filled, serving
from test_serve import certificate_for

from conftest import Visit
from firstpush.web.club import arrival

LOGIN = "/account/login/"
USED_UP = "That address is used up, too old or not whole: log in with a name and a password from the terminal"


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.now_s = 1000.0

    def __call__(self) -> float:
        """Tell the time [s]."""
        return self.now_s


@pytest.fixture
def clock() -> Clock:
    """Return the clock of what is offered."""
    return Clock()


@pytest.fixture
def offered(monkeypatch: pytest.MonkeyPatch, people: ClubPeople, clock: Clock) -> arrival.Arrival:
    """Offer the owner of the club to arrive, as the demo does when it starts."""
    way_in = arrival.Arrival("owner", clock=clock)
    monkeypatch.setattr(arrival, "_offered", way_in)
    return way_in


def address(token: str) -> str:
    """Return the address with `token` in it."""
    return f"/arrive/{token}/"


def who_is_in(client: Client) -> str | None:
    """Return the id of the account that `client` is logged in as."""
    return client.session.get("_auth_user_id")


def is_sent_to_the_login(client: Client, token: str) -> bool:
    """Whether `token` opens nothing, and the log-in page says what to do."""
    response = client.get(address(token))
    assert (response.status_code, response.url) == (302, LOGIN)
    assert USED_UP in client.get(LOGIN).content.decode()
    return who_is_in(client) is None


def test_it_lets_the_owner_in_once(people: ClubPeople, offered: arrival.Arrival) -> None:
    """The first to come is the owner and on the training day; the next finds the log-in page."""
    token = offered.token
    first, second = Client(), Client()
    response = first.get(address(token))
    assert (response.status_code, response.url) == (302, "/")
    assert who_is_in(first) == str(people.owner.pk)
    assert first.get("/club/").status_code == 200, "what only an owner may see"
    assert is_sent_to_the_login(second, token)


def test_whoever_is_in_and_goes_there_again_stays_in(people: ClubPeople, offered: arrival.Arrival) -> None:
    """A tab that is opened anew leads to the training day, not to a reproach."""
    token = offered.token
    client = Client()
    client.get(address(token))
    client.get("/")
    assert client.get(address(token)).url == "/"
    assert who_is_in(client) == str(people.owner.pk)
    assert USED_UP not in client.get("/").content.decode()


def test_nothing_of_the_answer_is_kept_or_told_on(offered: arrival.Arrival) -> None:
    """No cache keeps it and no other page hears where one came from, whether it opens or not."""
    token = offered.token
    for response in (Client().get(address("wrong")), Client().get(address(token)), Client().get(address(token))):
        assert response["Referrer-Policy"] == "no-referrer"
        assert response["Cache-Control"] == "no-store"


def test_it_is_gone_after_ten_minutes(offered: arrival.Arrival, clock: Clock) -> None:
    """Ten minutes after the start it opens nothing, and going back in time brings nothing back."""
    token = offered.token
    clock.now_s += 10 * 60
    assert is_sent_to_the_login(Client(), token)
    clock.now_s -= 10 * 60
    assert is_sent_to_the_login(Client(), token)


def test_a_second_before_it_still_opens(people: ClubPeople, offered: arrival.Arrival, clock: Clock) -> None:
    """The limit is where it is said to be."""
    clock.now_s += 10 * 60 - 1
    client = Client()
    client.get(address(offered.token))
    assert who_is_in(client) == str(people.owner.pk)


def test_a_wrong_one_opens_nothing_and_five_close_it(people: ClubPeople, offered: arrival.Arrival) -> None:
    """Four wrong tries leave it open, the fifth closes it for good, even for the right one."""
    token = offered.token
    wrong = ("x", token[:-1], token + "x", token.swapcase())
    for each in wrong:
        assert is_sent_to_the_login(Client(), each)
    assert offered.token == token, "still open"
    assert is_sent_to_the_login(Client(), "Ungekürzt-é")
    assert is_sent_to_the_login(Client(), token)


def test_of_many_at_the_same_time_one_is_let_in(clock: Clock) -> None:
    """Two browsers that ask in the same moment are not both the owner."""
    way_in = arrival.Arrival("owner", clock=clock)
    token, let_in = way_in.token, []
    together = threading.Barrier(20)

    def ask() -> None:
        together.wait()
        let_in.append(way_in.use(token))

    asking = [threading.Thread(target=ask) for _ in range(20)]
    for each in asking:
        each.start()
    for each in asking:
        each.join()
    assert sorted(let_in) == [False] * 19 + [True]


def test_no_two_are_alike() -> None:
    """Each has 32 bytes by chance: 43 letters of base64 without filling (RFC 4648, 32 * 8 / 6 rounded up)."""
    tokens = {arrival.Arrival("owner").token for _ in range(100)}
    assert len(tokens) == 100
    assert {len(each) for each in tokens} == {-(-32 * 8 // 6)}


@pytest.mark.parametrize("method", ["head", "post", "put", "options"])
def test_only_going_there_uses_it_up(method: str, people: ClubPeople, offered: arrival.Arrival) -> None:
    """What looks whether the page is there is refused, logs nobody in, and leaves it as it is."""
    client = Client()
    assert getattr(client, method)(address(offered.token)).status_code == 405
    assert who_is_in(client) is None
    client.get(address(offered.token))
    assert who_is_in(client) == str(people.owner.pk)


@pytest.mark.parametrize("before", ["anonymous", "owner", "assistant"])
def test_the_session_gets_another_key(before: str, people: ClubPeople, visit: Visit, offered: arrival.Arrival) -> None:
    """Whoever knew the key of the session before does not have the owner's; the old one opens nothing any more."""
    client = visit(before)
    session = client.session
    session["left"] = "here"
    session.save()
    client.cookies["firstpush_session"] = old = session.session_key
    client.get(address(offered.token))
    assert who_is_in(client) == str(people.owner.pk)
    assert client.session.session_key != old
    with_the_old = Client()
    with_the_old.cookies["firstpush_session"] = old
    assert with_the_old.get("/").url.startswith(LOGIN)


def test_it_lasts_as_long_as_a_login_with_a_password(people: ClubPeople, offered: arrival.Arrival) -> None:
    """The cookie is the one of any login: same age, out of reach of scripts and other sites."""
    people.colleague.set_password("salt wind over the pier")
    people.colleague.save()
    usual = Client().post(LOGIN, {"login": "colleague", "password": "salt wind over the pier"})
    arrived = Client().get(address(offered.token))
    one, other = (each.cookies["firstpush_session"] for each in (usual, arrived))
    for name in ("max-age", "httponly", "samesite", "path", "secure"):
        assert one[name] == other[name], name


def test_a_second_step_is_still_asked_for(people: ClubPeople, offered: arrival.Arrival) -> None:
    """It stands for the password and not for the code of the app."""
    from allauth.mfa.totp.internal.auth import TOTP, generate_totp_secret

    TOTP.activate(people.owner, generate_totp_secret())
    client = Client()
    assert client.get(address(offered.token)).url == "/account/second-step/authenticate/"
    assert who_is_in(client) is None


def test_an_account_that_was_closed_is_not_let_in(people: ClubPeople, offered: arrival.Arrival) -> None:
    """Withdrawn is withdrawn."""
    people.owner.is_active = False
    people.owner.save()
    client = Client()
    assert client.get(address(offered.token)).status_code == 302
    assert client.get("/").url.startswith(LOGIN)


def test_the_database_never_holds_it(offered: arrival.Arrival) -> None:
    """Neither wrong tries nor the login leave it in any column of any table; the login itself is noted."""
    from django.db import connection

    token = offered.token
    for each in ("wrong-wrong-wrong", token, token):
        Client().get(address(each))
    with connection.cursor() as cursor:
        kept = {}
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')
            kept[table] = repr(cursor.fetchall())
    assert [table for table, rows in kept.items() if token in rows or "wrong-wrong" in rows] == []
    assert f"'{LOGIN}'" in kept["axes_accesslog"]


def found(url: str, trusted: ssl.SSLContext | None = None) -> tuple[int, str]:
    """Return status and path of the page at which `url` ends."""
    try:
        with urllib.request.urlopen(url, timeout=20, context=trusted) as page:
            return page.status, urlsplit(page.url).path
    except urllib.error.HTTPError as error:
        with error:
            return error.code, urlsplit(error.url).path


def test_served_for_a_real_club_there_is_no_such_address(tmp_path: Path) -> None:
    """`firstpush serve` prints none, and answers as for any address that is not there."""
    filled(tmp_path / "club")
    with serving(tmp_path / "club") as served:
        assert found(f"{served.url}arrive/abc/") == (404, "/arrive/abc/")
        served.process.terminate()
        printed, said = served.process.communicate(timeout=20)
    assert "arrive" not in served.printed + printed
    assert "Not Found: /arrive/.../" in said


START = """
import sys
from pathlib import Path
from firstpush.web.serve import start
folder, address, certificate, key = sys.argv[1:]
start(Path(folder), address=address, port=0, open_browser=False, certificate=Path(certificate), key=Path(key),
      arrive_as="owner")
"""


@pytest.mark.parametrize(("host", "is_offered"), [("0.0.0.0", False), ("127.0.0.1", True)])
def test_where_others_reach_the_server_it_is_not_offered(host: str, is_offered: bool, tmp_path: Path) -> None:
    """Even asked to, it opens only on an address that nobody but this computer reaches."""
    filled(tmp_path / "club")
    files = certificate_for(tmp_path, "localhost")
    process = subprocess.Popen(
        [sys.executable, "-c", START, str(tmp_path / "club"), host, *map(str, files)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    try:
        ready = process.stdout.readline()
        # On a network comes the code for a first account, on this computer alone the way in.
        after = process.stdout.readline()
        assert "Firstpush is ready: https://" in ready
        assert ("/arrive/" in after) == is_offered
        url = f"{ready.split()[-1]}arrive/abc/"
        trusted = ssl.create_default_context(cafile=str(files[0]))
        assert found(url, trusted) == ((200, LOGIN) if is_offered else (404, "/arrive/abc/"))
    finally:
        process.terminate()
        printed, _ = process.communicate(timeout=20)
    assert "/arrive/" not in printed
