"""From a data folder to the application in a browser, until Ctrl-C or SIGTERM."""

from __future__ import annotations

import ipaddress
import os
import secrets
import signal
import sys
import threading
import webbrowser
from collections.abc import Callable, Sequence
from datetime import datetime
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from firstpush.web.backup import copy_database, holds_data
from firstpush.web.club.arrival import OPEN_MINUTES, offer
from firstpush.web.errors import WebError
from firstpush.web.folder import database_of, held, make_folder

if TYPE_CHECKING:
    from cheroot.wsgi import Server

LOCAL_HOSTS = ("127.0.0.1", "localhost", "[::1]")
THREADS = 8
ENDING_S = 1
"""How long requests under way may take to finish when the server is told to end [s]."""


def start(
    folder: Path,
    *,
    address: str = "127.0.0.1",
    port: int = 8120,
    open_browser: bool = True,
    certificate: Path | None = None,
    key: Path | None = None,
    filled: Callable[[], None] = lambda: None,
    arrive_as: str = "",
) -> None:
    """Serve the application on `folder` until Ctrl-C or SIGTERM.

    Parameters
    ----------
    folder : Path
        Data folder; made where it is missing.
    address : str
        IP address to listen on; any but this computer's own needs a certificate.
    port : int
        0 takes a free one.
    open_browser : bool
        Whether to open the address in a browser.
    certificate, key : Path, optional
        PEM files; with them it is served by https, under the names of the certificate.
    filled : callable, optional
        Called when the database is ready, before anybody can look at it.
    arrive_as : str, optional
        Name of an account that is let in once without a password, by an address that is opened and printed; only
        where nobody but this computer can reach it.

    Raises
    ------
    WebError
        When the address, the port, the certificate or the folder does not do.
    """
    https = _checked(address, certificate=certificate, key=key)
    names = _names(address, certificate=certificate)
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    with held(folder):
        first_code = "" if _is_local(address) else secrets.token_hex(4)
        prepare_folder(folder, hosts=names, https=https, first_code=first_code)
        filled()
        from firstpush.web.wsgi import application

        server = _bound(application, address=address, port=port, certificate=certificate, key=key)
        opening = _opening(server, names=names, https=https)
        arriving = _arriving(server, opening, arrive_as)
        _until_told_to_end(
            server, opening, first_code, arriving=arriving, arrive_as=arrive_as, open_browser=open_browser
        )


def prepare_folder(
    folder: Path, *, hosts: Sequence[str] = LOCAL_HOSTS, https: bool = False, first_code: str = ""
) -> None:
    """Make `folder` ready and set Django up on it: database, secret key, newest structure of the tables.

    Before the tables of an older version are changed, a copy of the database is kept beside it.  Django is set up once
    in a process, so that a process stays with the folder it began with.
    """
    make_folder(folder)
    set_up_django(folder, hosts=hosts, https=https, first_code=first_code)
    from django.core.management import call_command

    database = database_of(folder)
    steps = pending_migrations()
    if steps and holds_data(database):
        stamp = datetime.now().strftime("%Y%m%d-%H%M%S")
        copy_database(database, folder / f"before-update-{stamp}.sqlite3")
    if steps:
        call_command("migrate", interactive=False, verbosity=0)


def load_ahead() -> None:
    """Import in the background what takes seconds to import, so that the first session need not wait for it."""

    def load() -> None:
        for name in ("firstpush.web.urls", "ortools.sat.python.cp_model", "typst"):
            import_module(name)

    threading.Thread(target=load, name="loading ahead", daemon=True).start()


def set_up_django(
    folder: Path, *, hosts: Sequence[str] = LOCAL_HOSTS, https: bool = False, first_code: str = ""
) -> None:
    """Let Django know of the folder and how it is served; see `settings` for the names."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "firstpush.web.settings"
    os.environ["FIRSTPUSH_FOLDER"] = str(folder.resolve())
    os.environ["FIRSTPUSH_HOSTS"] = " ".join(hosts)
    os.environ["FIRSTPUSH_HTTPS"] = "1" if https else "0"
    os.environ["FIRSTPUSH_FIRST_CODE"] = first_code
    import django
    from django.conf import settings

    django.setup()
    if folder.resolve() != settings.FOLDER:
        raise WebError(f"this process already works on {settings.FOLDER}. Allowed: one folder. Start another process.")


def pending_migrations() -> list[str]:
    """Return the steps that the database still has to go to the newest structure."""
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return [f"{step.app_label}.{step.name}" for step, _ in plan]


def _is_local(address: str) -> bool:
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return address == "localhost"


def _checked(address: str, *, certificate: Path | None, key: Path | None) -> bool:
    """Return whether https is served; refuse what would send health data in the clear."""
    if (certificate is None) != (key is None):
        raise WebError(
            "a certificate and its key belong together. Allowed: both or none. Give --certificate and --key."
        )
    for path in (certificate, key):
        if path is not None and not path.is_file():
            raise WebError(f"{path} is not there. Allowed: a PEM file. Check the name and the folder.")
    if certificate is None and not _is_local(address):
        raise WebError(
            f"on {address} others in the network could read everything that is sent without https: "
            "give --certificate and --key, or leave --address out to serve this computer alone."
        )
    return certificate is not None


def _names(address: str, *, certificate: Path | None) -> tuple[str, ...]:
    """Return the names under which the application may be called: the local ones and those of the certificate."""
    names = [f"[{address}]" if ":" in address else address] if address not in ("0.0.0.0", "::") else []
    if certificate is not None:
        names = [*_names_of(certificate), *names]
    return tuple(dict.fromkeys([*names, *LOCAL_HOSTS]))


def _names_of(certificate: Path) -> list[str]:
    from cryptography import x509

    try:
        read = x509.load_pem_x509_certificate(certificate.read_bytes())
        names = read.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (ValueError, x509.ExtensionNotFound) as error:
        raise WebError(
            f"{certificate} is no certificate that names its computer ({error}). Allowed: PEM with a subjectAltName. "
            "Ask whoever made it for one with the name of this computer."
        ) from error
    # "*.club.example" of a certificate is ".club.example" to Django.
    found = [name.removeprefix("*") for name in names.get_values_for_type(x509.DNSName)]
    for number in names.get_values_for_type(x509.IPAddress):
        found.append(f"[{number}]" if number.version == 6 else str(number))
    return found


def _bound(application: Any, *, address: str, port: int, certificate: Path | None, key: Path | None) -> Server:
    from cheroot.ssl.builtin import BuiltinSSLAdapter
    from cheroot.wsgi import Server

    server = Server((address, port), application, numthreads=THREADS, shutdown_timeout=ENDING_S)
    try:
        if certificate is not None and key is not None:
            server.ssl_adapter = BuiltinSSLAdapter(str(certificate), str(key))
        server.prepare()
    except OSError as error:
        server.stop()
        reason = (error.strerror or str(error)).strip()
        raise WebError(
            f"port {port} on {address} cannot be opened ({reason}). Allowed: a free port, and this computer's address. "
            "Give another with --port (0 takes a free one), or end what uses it."
        ) from error
    return server


def _opening(server: Server, *, names: Sequence[str], https: bool) -> str:
    port = server.bind_addr[1]
    return f"{'https' if https else 'http'}://{names[0].lstrip('.')}:{port}/"


def _arriving(server: Server, opening: str, account_name: str) -> str:
    """Return the address by which `account_name` comes in without a password; none where others reach the server."""
    if not account_name or not _is_local(str(server.bind_addr[0])):
        return ""
    from django.urls import reverse

    return opening.rstrip("/") + reverse("arrive", kwargs={"token": offer(account_name)})


def _until_told_to_end(
    server: Server, opening: str, first_code: str, *, arriving: str, arrive_as: str, open_browser: bool
) -> None:
    def end(_number: int, _frame: object) -> None:
        raise SystemExit(0)

    before = signal.signal(signal.SIGTERM, end)
    try:
        print(f"Firstpush is ready: {opening}", flush=True)
        # Not before: what is imported in the background would make the start itself slower.
        load_ahead()
        if first_code:
            print(f"Code for the first account: {first_code}", flush=True)
        if arriving:
            print(f"You are in as {arrive_as}, once and within {OPEN_MINUTES} minutes, at: {arriving}", flush=True)
        print("Ctrl-C ends it.", file=sys.stderr, flush=True)
        if open_browser:
            webbrowser.open(arriving or opening)
        server.serve()
    except KeyboardInterrupt:
        pass
    finally:
        server.stop()
        signal.signal(signal.SIGTERM, before)
        print("Firstpush has ended; everything is kept.", file=sys.stderr, flush=True)
