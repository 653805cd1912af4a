"""The server as a process: it starts, answers, refuses what would send data in the clear, and ends when told to."""

from __future__ import annotations

import datetime
import ipaddress
import os
import signal
import socket
import ssl
import stat
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID
from served import CODE, serving

ENDS_WITHIN_S = 5.0
"""One second for requests under way, and room for a computer with other things to do."""


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    """Run `firstpush` to its end."""
    return subprocess.run(
        [sys.executable, "-c", CODE, *arguments], capture_output=True, text=True, check=False, timeout=120
    )


def get(url: str, *, trusted: Path | None = None) -> tuple[int, str]:
    """Return status and text of `url`, by https trusting one certificate only."""
    context = None if trusted is None else ssl.create_default_context(cafile=str(trusted))
    with urllib.request.urlopen(url, timeout=20, context=context) as response:
        return response.status, response.read().decode()


def test_it_serves_a_new_folder_and_ends_when_told_to(tmp_path: Path) -> None:
    """A real request is answered; SIGTERM and Ctrl-C end it in a moment, with exit code 0."""
    for number, sent in enumerate((signal.SIGTERM, signal.SIGINT)):
        with serving(tmp_path / "club") as served:
            assert served.url.startswith("http://127.0.0.1:")
            status, page = get(served.url)
            assert status == 200
            assert "The first account" in page
            assert get(f"{served.url}static/firstpush.css")[0] == 200
            if number:
                assert run("serve", "--folder", str(tmp_path / "club")).returncode == 2, "one server for one folder"
            began = time.monotonic()
            served.process.send_signal(sent)
            _, remarks = served.process.communicate(timeout=20)
            assert time.monotonic() - began < ENDS_WITHIN_S
            assert served.process.returncode == 0, remarks
            assert "everything is kept" in remarks
            assert "Traceback" not in remarks


@pytest.mark.skipif(os.name != "posix", reason="rights of files are told by a mode on POSIX systems only")
def test_nobody_else_can_read_the_folder(tmp_path: Path) -> None:
    """Folder, database, its log and the secret key are for their owner only."""
    folder = tmp_path / "club"
    with serving(folder) as served:
        get(served.url)
        modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir() if path.stat().st_size}
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert modes.pop("secret-key") == 0o600
    assert modes.pop("firstpush.sqlite3") == 0o600
    assert all(mode & 0o077 == 0 for mode in modes.values()), modes


@pytest.mark.parametrize("address", ["0.0.0.0", "192.168.7.20", "::", "club.example"])
def test_another_address_without_https_is_refused(address: str, tmp_path: Path) -> None:
    """One sentence says how to do it; nothing is made and no port is opened."""
    done = run("serve", "--folder", str(tmp_path / "club"), "--address", address, "--no-browser")
    assert done.returncode == 2
    assert "--certificate and --key" in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert not (tmp_path / "club").exists()


def test_a_port_in_use_is_told_with_what_to_do(tmp_path: Path) -> None:
    """No traceback, but the port and the option."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        done = run("serve", "--folder", str(tmp_path / "club"), "--port", port, "--no-browser")
    assert done.returncode == 2
    assert port in done.stderr
    assert "--port" in done.stderr
    assert "Traceback" not in done.stderr


def certificate_for(folder: Path, name: str) -> tuple[Path, Path]:
    """Make a certificate for `name` and 127.0.0.1, signed by itself."""
    key = ec.generate_private_key(ec.SECP256R1())
    who = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    now = datetime.datetime.now(datetime.UTC)
    names = x509.SubjectAlternativeName([x509.DNSName(name), x509.IPAddress(ipaddress.ip_address("127.0.0.1"))])
    made = (
        x509.CertificateBuilder()
        .subject_name(who)
        .issuer_name(who)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - datetime.timedelta(days=1))
        .not_valid_after(now + datetime.timedelta(days=1))
        .add_extension(names, critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    certificate, secret = folder / "certificate.pem", folder / "key.pem"
    certificate.write_bytes(made.public_bytes(serialization.Encoding.PEM))
    secret.write_bytes(
        key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    )
    return certificate, secret


def test_with_a_certificate_it_serves_the_network_by_https(tmp_path: Path) -> None:
    """The name of the certificate opens it; cookies then travel by https only; the first account asks for the code."""
    certificate, key = certificate_for(tmp_path, "localhost")
    options = ("--address", "0.0.0.0", "--certificate", str(certificate), "--key", str(key))
    with serving(tmp_path / "club", *options) as served:
        assert served.url.startswith("https://localhost:")
        context = ssl.create_default_context(cafile=str(certificate))
        with urllib.request.urlopen(f"{served.url}first-account/", timeout=20, context=context) as response:
            page, cookie = response.read().decode(), response.headers["Set-Cookie"]
        assert "Code from the terminal" in page
        assert cookie.startswith("__Host-firstpush_csrf=")
        assert "Secure" in cookie
        line = served.process.stdout.readline() if served.process.stdout else ""
        assert line.startswith("Code for the first account: ")


@pytest.mark.parametrize("given", [("--certificate", "c.pem"), ("--key", "c.pem")])
def test_a_certificate_needs_its_key(given: tuple[str, str], tmp_path: Path) -> None:
    """Half of the pair is refused."""
    done = run("serve", "--folder", str(tmp_path / "club"), *given)
    assert done.returncode == 2
    assert "belong together" in done.stderr
