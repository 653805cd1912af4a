"""What on court tells others: they come after it, so that it does not know them."""

from __future__ import annotations

from django.dispatch import Signal

entries_kept = Signal()
"""Sent with `rows`, the entries that were not at home before, when their transaction is through."""
