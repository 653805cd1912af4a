"""What changed from one document to another, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

_UNITS = {"m": "m", "kg": "kg", "n": "N", "percent": "%"}


def what_changed(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[str]:
    """Return a line for each thing that was added, taken out or changed.

    Examples
    --------
    >>> what_changed({"name": "loft", "bands": [{"name": "flat", "count": 4}]},
    ...              {"name": "loft", "bands": [{"name": "flat", "count": 3}, {"name": "tube"}]})
    ['flat, count: 4 → 3', 'tube: added']
    """
    return list(_tables(before, after, where=""))


def _tables(before: Mapping[str, Any], after: Mapping[str, Any], *, where: str) -> Iterator[str]:
    for key in dict.fromkeys([*before, *after]):
        old, new = before.get(key), after.get(key)
        if old == new:
            continue
        if _named(old) and _named(new) and (old or new):
            yield from _lists(old or [], new or [])
        elif isinstance(old, Mapping) and isinstance(new, Mapping) and key != "heights_m":
            yield from _tables(old, new, where=_words(key))
        else:
            shown = " → ".join(_value(each, key=key) for each in (old, new))
            yield f"{where}, {_words(key)}: {shown}" if where else f"{_words(key)}: {shown}"


def _lists(old: list[Any], new: list[Any]) -> Iterator[str]:
    """Compare what bears the same name; what is renamed at its place is told as renamed."""
    olds, news = {each["name"]: each for each in old}, {each["name"]: each for each in new}
    renamed = {
        was["name"]: now["name"]
        for was, now in zip(old, new, strict=False)
        if was["name"] not in news and now["name"] not in olds
    }
    for name, table in olds.items():
        if name in renamed:
            yield f"{name}: now called {renamed[name]}"
            yield from _tables(_without_name(table), _without_name(news[renamed[name]]), where=renamed[name])
        elif name not in news:
            yield f"{name}: taken out"
        else:
            yield from _tables(_without_name(table), _without_name(news[name]), where=name)
    for name in news:
        if name not in olds and name not in renamed.values():
            yield f"{name}: added"


def _without_name(table: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if key != "name"}


def _named(value: Any) -> bool:
    return value is None or (
        isinstance(value, list) and all(isinstance(each, dict) and "name" in each for each in value)
    )


def _words(key: str) -> str:
    """Return a key without its unit, in words."""
    parts = key.split("_")
    return " ".join(parts[:-1] if len(parts) > 1 and parts[-1] in _UNITS else parts)


def _value(value: Any, *, key: str) -> str:
    unit = _UNITS.get(key.rpartition("_")[2], "") if "_" in key else ""
    match value:
        case None:
            return "nothing"
        case bool():
            return "yes" if value else "no"
        case int() | float():
            return f"{value:g} {unit}".strip()
        case list():
            return ", ".join(_value(each, key=key) for each in value) or "none"
        case dict() if {"elongation_percent", "force_n"} <= set(value):
            return f"{value['force_n']:g} N at {value['elongation_percent']:g} %"
        case dict():
            return ", ".join(f"{_words(each)} {_value(inner, key=key)}" for each, inner in value.items())
        case _:
            return str(value)
