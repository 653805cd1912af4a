"""`firstpush serve`: the application in the browser, on real data."""

from __future__ import annotations

from pathlib import Path

import click

from firstpush.cli.options import FILE, FOLDER


@click.command()
@click.option("--folder", required=True, type=FOLDER, help="Where the data lies; made at the first start.")
@click.option("--address", default="127.0.0.1", show_default=True, help="IP address to listen on.")
@click.option(
    "--port", default=8120, show_default=True, type=click.IntRange(0, 65535), help="Port; 0 takes a free one."
)
@click.option("--no-browser", is_flag=True, help="Open no browser.")
@click.option("--certificate", type=FILE, help="PEM file; with --key, serves by https.")
@click.option("--key", type=FILE, help="PEM file of the certificate's key.")
def serve(folder: Path, address: str, port: int, no_browser: bool, certificate: Path | None, key: Path | None) -> None:
    """Serve the application in the browser until Ctrl-C.

    The first start asks in the browser for the club and its owner's account. Another address than this computer's own
    needs a certificate and its key.

    Example: firstpush serve --folder club
    """
    from firstpush.web.serve import start

    start(folder, address=address, port=port, open_browser=not no_browser, certificate=certificate, key=key)
