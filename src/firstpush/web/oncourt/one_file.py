"""The page for on court as one self-contained HTML file: style, scripts and one package, and nothing from elsewhere."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from django.utils.html import escape

from firstpush.web.errors import WebError
from firstpush.web.oncourt.shell import FOLDER, STATIC

START = "start.js"
STYLES = ("../firstpush.css", "oncourt.css")
PACKAGE_ID = "court-package"
"""Id of the element that holds the package as JSON; where it is, the page asks no server."""
LEFT_OUT = frozenset({"worker.js"})

IMPORT = re.compile(r'^import\s*\{([^}]*)\}\s*from\s*"\./([\w-]+\.js)";[ \t]*\n', re.MULTILINE)
EXPORT = re.compile(r"^export (?=(?:async )?function|const|let|class)", re.MULTILINE)
NAMED = re.compile(r"^(?:export )?(?:async )?(?:function\*?|const|let|class)\s+([A-Za-z_$][\w$]*)", re.MULTILINE)
UNKNOWN = re.compile(r"^(?:import|export)\b.*$", re.MULTILINE)


def one_file_html(package: str, *, folder: Path = STATIC / FOLDER) -> str:
    """Return the page with one package in it, as one HTML file.

    Parameters
    ----------
    package : str
        JSON.
    folder : Path
        Where modules and style lie.
    """
    script = joined(modules_in(folder))
    # Nothing but this script runs, and nothing is asked from anywhere.
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    policy = (
        f"default-src 'none'; script-src 'sha256-{digest}'; style-src 'unsafe-inline'; img-src blob: data:; "
        "base-uri 'none'; form-action 'none'"
    )
    found = [path.read_text(encoding="utf-8") for name in STYLES if (path := folder / name).is_file()]
    # Typefaces stay out: they would make the file a third larger, and every device has one.
    style = re.sub(r"@font-face\s*\{[^}]*\}\s*", "", "\n".join(found))
    return (
        '<!doctype html>\n<html lang="en-GB">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{escape(policy)}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n<meta name="referrer" content="no-referrer">\n'
        f"<title>On court</title>\n<style>\n{style}</style>\n</head>\n<body>\n"
        '<div id="court"><p>This file needs scripts. Where nothing happens, this app shows files without running them: '
        "open the file in a browser, or use the printed sheet.</p></div>\n"
        f'<script type="application/json" id="{PACKAGE_ID}">{_in_html(package)}</script>\n'
        f'<script type="module">{script}</script>\n</body>\n</html>\n'
    )


def modules_in(folder: Path) -> dict[str, str]:
    """Return every module of the page by its name; the service worker is none."""
    found = sorted(folder.glob("*.js"))
    return {path.name: path.read_text(encoding="utf-8") for path in found if path.name not in LEFT_OUT}


def joined(modules: Mapping[str, str], *, start: str = START) -> str:
    """Return the modules that `start` needs as one script, each after what it imports.

    Parameters
    ----------
    modules : mapping of file name to str
    start : str

    Raises
    ------
    WebError
        When a module is missing, imports in a circle, has another form of import or export than the ones allowed, or
        a name stands at the top of two.
    """
    parts = []
    owners: dict[str, str] = {}
    for name in _in_order(modules, start):
        plain = EXPORT.sub("", IMPORT.sub("", modules[name]))
        if (unknown := UNKNOWN.search(plain)) is not None:
            raise WebError(
                f'{name} has “{unknown[0]}”. Allowed: import {{ a, b }} from "./x.js"; and export function, const, '
                "let or class. Write it so: the file for one session joins all modules into one script."
            )
        for top in top_names(plain):
            if top in owners:
                raise WebError(
                    f"“{top}” stands at the top of {owners[top]} and of {name}. Allowed: each name once in all "
                    "modules. Rename one of them."
                )
            owners[top] = name
        parts.append(f"// {name}\n{plain.strip()}\n")
    script = "\n" + "\n".join(parts)
    if re.search(r"</script|<!--", script, re.IGNORECASE):
        raise WebError(
            "a module says what would end its script in HTML. Allowed: anything else. Write it in two parts."
        )
    return script


def top_names(module: str) -> tuple[str, ...]:
    """Return the names that stand at the top of a module, in their order."""
    return tuple(NAMED.findall(module))


def _in_order(modules: Mapping[str, str], start: str) -> Iterable[str]:
    done: list[str] = []
    under_way: list[str] = []

    def visit(name: str) -> None:
        if name in done:
            return
        if name in under_way:
            raise WebError(
                f"{' → '.join([*under_way, name])} import each other. Allowed: one way. Move what both need."
            )
        if name not in modules:
            raise WebError(f"{name} is not there. Allowed: {', '.join(modules) or 'none'}. Correct the import.")
        under_way.append(name)
        for needed in _imports(modules[name]):
            visit(needed)
        under_way.pop()
        done.append(name)

    visit(start)
    return done


def _imports(module: str) -> Iterator[str]:
    for found in IMPORT.finditer(module):
        if " as " in found[1]:
            raise WebError(f"“{found[0].strip()}” renames. Allowed: names as they are. Rename where it is exported.")
        yield found[2]


def _in_html(text: str) -> str:
    """Return JSON that cannot end the element it stands in."""
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
