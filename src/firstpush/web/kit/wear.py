"""Wear: bands looked over, taken out of use, and brought back."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from firstpush.web.club.models import Account
from firstpush.web.forms import NumberField
from firstpush.web.kit.models import BandCheck, BandWithdrawal, KitRecord


def today() -> date:
    """Return the day it is in the hall."""
    return timezone.localdate()


class _OnADay(forms.Form):
    day = forms.DateField(
        label="Day",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "This is not a day. Write it as 2026-03-31.", "required": "Say on which day."},
    )

    def clean_day(self) -> date:
        day: date = self.cleaned_data["day"]
        if day > today():
            raise ValidationError(f"{day:%-d %B %Y} is still to come. Allowed: today or before. Correct the day.")
        return day


class CheckForm(_OnADay):
    """A look at a band that found no wear."""

    who = forms.CharField(max_length=120, label="Who looked", error_messages={"required": "Say who looked it over."})
    remark = forms.CharField(max_length=200, required=False, label="Remark")
    field_order = ("day", "who", "remark")

    def save(self, record: KitRecord, band: str, *, by: Account) -> BandCheck:
        """Write the look down."""
        given = self.cleaned_data
        return BandCheck.objects.create(
            kit=record, band=band, day=given["day"], who=given["who"], remark=given["remark"], made_by=by
        )


class WithdrawForm(_OnADay):
    """Bands taken out of use."""

    count = NumberField(whole=True, label="How many", error_messages={"required": "Say how many."})
    reason = forms.CharField(
        max_length=200,
        label="Reason",
        help_text="torn, cracked, sticky, lost",
        error_messages={"required": "Say why, in a word or two."},
    )
    field_order = ("count", "day", "reason")

    def __init__(self, *args: Any, in_use: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._in_use = in_use

    def clean_count(self) -> int:
        """No more can be withdrawn than are in use."""
        count = self.cleaned_data["count"]
        if not isinstance(count, int) or not 1 <= count <= self._in_use:
            raise ValidationError(
                f"{count} cannot be withdrawn. Allowed: 1 to {self._in_use}, as many as are in use. Correct the number."
            )
        return count

    def save(self, record: KitRecord, band: str, *, by: Account) -> BandWithdrawal:
        """Write the withdrawal down."""
        given = self.cleaned_data
        return BandWithdrawal.objects.create(
            kit=record, band=band, count=given["count"], day=given["day"], reason=given["reason"], made_by=by
        )


def bring_back(withdrawal: BandWithdrawal, *, by: Account) -> None:
    """Take a withdrawn band into use again; that it was withdrawn stays written down."""
    withdrawal.brought_back_on = today()
    withdrawal.brought_back_by = by
    withdrawal.save(update_fields=["brought_back_on", "brought_back_by"])


def follow_names(record: KitRecord, *, before: Mapping[str, Any], after: Mapping[str, Any]) -> None:
    """Let checks and withdrawals follow a band that has another name at the same place of the list.

    Otherwise a torn band would be in use again as soon as somebody corrects what it is called.
    """
    old, new = ([band["name"] for band in document.get("bands", [])] for document in (before, after))
    with transaction.atomic():
        for was, now in zip(old, new, strict=False):
            if was != now and was not in new and now not in old:
                for model in (BandWithdrawal, BandCheck):
                    model.objects.filter(kit=record, band=was).update(band=now)
