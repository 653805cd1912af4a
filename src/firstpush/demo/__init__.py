"""An invented athlete, cupboard and hall of a club by a harbour: what the first try-out and the documentation use."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from firstpush.core.errors import UnknownNameError

DEMO_NAMES = ("athlete", "kit", "venue")


def demo_file(name: str) -> Path:
    """Return the path of a demo file: "athlete", "kit" or "venue".

    Raises
    ------
    UnknownNameError
        When there is no such demo file.

    Examples
    --------
    >>> demo_file("kit").name
    'kit.toml'
    """
    if name not in DEMO_NAMES:
        raise UnknownNameError(kind="demo file", given=name, known=DEMO_NAMES)
    return Path(str(files("firstpush.demo").joinpath(f"{name}.toml")))
