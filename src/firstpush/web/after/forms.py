"""What the practitioner says to the proposals after a session, and the numbers of the rule."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from firstpush.core.errors import OutOfRangeError
from firstpush.core.progress.rules import MOST_STEPS_A_WEEK, Rules
from firstpush.web.after.models import Said

LONGEST_REASON = 300


class WordsForm(forms.Form):
    """One choice for each exercise that was done, with the reason where it is another than the rule proposes."""

    def __init__(self, data: Any, *, rows: Sequence[dict[str, Any]], before: dict[str, str]) -> None:
        """Take the rows of `proposals`; `before` holds for each exercise that was decided what was chosen."""
        super().__init__(data)
        self.rows = rows
        for row in rows:
            id_ = row["exercise"]
            names = [str(index) for index in range(len(row["choices"]))]
            self.fields[f"choice-{id_}"] = forms.ChoiceField(
                choices=[(name, name) for name in [*names, Said.NOTHING.value]],
                initial=before.get(id_, str(row["proposed"])),
                error_messages={"required": f"{row['title']} has no choice yet; take one of those that stand there."},
            )
            self.fields[f"reason-{id_}"] = forms.CharField(max_length=LONGEST_REASON, required=False, strip=True)

    def clean(self) -> dict[str, Any]:
        """Ask for the reason where the practitioner says otherwise than the rule."""
        cleaned = super().clean() or {}
        for row in self.rows:
            id_ = row["exercise"]
            chosen = cleaned.get(f"choice-{id_}")
            if chosen is None or chosen == str(row["proposed"]) or cleaned.get(f"reason-{id_}"):
                continue
            self.add_error(
                f"reason-{id_}",
                f"{row['title']} is to be done otherwise than proposed, without a reason; any few words are allowed. "
                "Write why, for whoever reads it later.",
            )
        self._count_steps(cleaned)
        return cleaned

    def _count_steps(self, cleaned: dict[str, Any]) -> None:
        """Refuse more harder exercises of one arm than a week allows, however each of them was chosen."""
        harder = [row for row in self.rows if _name_of(row, cleaned.get(f"choice-{row['exercise']}")) == "harder"]
        most = round(MOST_STEPS_A_WEEK.value)
        for row in harder:
            mine = set(row.get("arms", ()))
            others = [
                other
                for other in harder
                if other is not row and (not mine or not other.get("arms") or mine & set(other["arms"]))
            ]
            if row.get("others_stepped", 0) + len(others) >= most:
                self.add_error(
                    f"reason-{row['exercise']}",
                    f"{row['title']} would be more than the {most} exercises of one arm that may be made harder in "
                    "seven days; allowed is any other choice. Keep one of them as it was done.",
                )

    def words(self) -> list[tuple[dict[str, Any], str, list[dict[str, Any]], str]]:
        """Return of each row what was said, what is agreed by it, and the reason."""
        found: list[tuple[dict[str, Any], str, list[dict[str, Any]], str]] = []
        for row in self.rows:
            chosen = self.cleaned_data[f"choice-{row['exercise']}"]
            reason = self.cleaned_data[f"reason-{row['exercise']}"]
            if chosen == Said.NOTHING.value:
                found.append((row, chosen, [], reason))
            else:
                choice = row["choices"][int(chosen)]
                found.append((row, choice["name"], choice["agreed"], reason))
        return found


def _name_of(row: dict[str, Any], chosen: str | None) -> str:
    return str(row["choices"][int(chosen)]["name"]) if chosen is not None and chosen.isdigit() else ""


class RulesForm(forms.Form):
    """The numbers of the rule for one athlete."""

    progress_below = forms.IntegerField(label="Strength: harder below effort", min_value=7, max_value=19)
    control_progress_below = forms.IntegerField(label="Control: harder below effort", min_value=7, max_value=19)
    keep_from = forms.IntegerField(label="Kept from effort", min_value=7, max_value=19)
    keep_up_to = forms.IntegerField(label="Kept up to effort, easier above it", min_value=7, max_value=19)
    concordant = forms.IntegerField(label="Sessions in a row before a step up", min_value=1, max_value=6)
    days_between_steps = forms.IntegerField(label="Days between two steps of an exercise", min_value=0, max_value=60)
    weekly_rise_percent = forms.IntegerField(
        label="Largest rise of a week over the four before, per cent", min_value=1, max_value=100
    )
    asked_in = forms.ChoiceField(
        label="How hard it was is asked in",
        choices=[("numbers", "numbers, 6 to 20"), ("words", "words: easy, right, hard")],
    )
    why = forms.CharField(label="Why for this athlete", max_length=LONGEST_REASON)

    def clean(self) -> dict[str, Any]:
        """Check the numbers together, by the rule itself."""
        cleaned = super().clean() or {}
        if not self.errors:
            try:
                self.rules()
            except OutOfRangeError as error:
                self.add_error(None, str(error))
        return cleaned

    def rules(self) -> Rules:
        """Return the numbers as the rule takes them; raises `OutOfRangeError` when they are not in order."""
        given = {name: value for name, value in self.cleaned_data.items() if name not in ("why", "weekly_rise_percent")}
        return Rules(**given, weekly_rise=self.cleaned_data["weekly_rise_percent"] / 100)


def initial_of(rules: Rules) -> dict[str, int | str]:
    """Return what stands in `RulesForm` before anything is written."""
    return {
        "progress_below": rules.progress_below,
        "control_progress_below": rules.control_progress_below,
        "keep_from": rules.keep_from,
        "keep_up_to": rules.keep_up_to,
        "concordant": rules.concordant,
        "days_between_steps": rules.days_between_steps,
        "weekly_rise_percent": round(100 * rules.weekly_rise),
        "asked_in": rules.asked_in,
    }
