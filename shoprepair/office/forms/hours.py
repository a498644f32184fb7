"""The working hours of the week: for each day whether the shop is open, from when and to when."""

from typing import Any, NamedTuple

from django import forms
from django.utils.translation import gettext

from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Shop
from shoprepair.shop.weeks import weekdays

DAYS = (
    gettext_lazy("Monday"),
    gettext_lazy("Tuesday"),
    gettext_lazy("Wednesday"),
    gettext_lazy("Thursday"),
    gettext_lazy("Friday"),
    gettext_lazy("Saturday"),
    gettext_lazy("Sunday"),
)
USUAL = ("09:00", "17:00")


class Day(NamedTuple):
    """One weekday's three fields."""

    open: Any
    opens: Any
    closes: Any

    @property
    def errors(self) -> list[str]:
        return [*self.opens.errors, *self.closes.errors]


class HoursForm(forms.Form):
    """Three fields a day, by the number of the weekday, Monday 0; listed as the shop's week runs."""

    use_required_attribute = False

    def __init__(self, shop: Shop, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", prefix="hours", **kwargs)
        self.order = weekdays(shop)
        for day in self.order:
            name = DAYS[day]
            opens, closes = shop.working_hours.get(str(day)) or ("", "")
            self.fields[f"open_{day}"] = forms.BooleanField(required=False, label=name, initial=bool(opens))
            self.fields[f"from_{day}"] = _time(gettext("%(name)s from") % {"name": name}, opens)
            self.fields[f"to_{day}"] = _time(gettext("%(name)s to") % {"name": name}, closes)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for day in range(7):
            if cleaned.get(f"open_{day}"):
                self._check(day, cleaned.get(f"from_{day}"), cleaned.get(f"to_{day}"))
        return cleaned

    def _check(self, day: int, opens: Any, closes: Any) -> None:
        if self.has_error(f"from_{day}") or self.has_error(f"to_{day}"):
            return
        if not opens or not closes:
            self.add_error(
                f"to_{day}",
                gettext("Say from when to when the shop is open on %(DAYS)s, or untick it.")
                % {"DAYS": DAYS[day]},
            )
        elif closes <= opens:
            self.add_error(
                f"to_{day}",
                gettext("%(DAYS)s closes at %(closes)s but opens at %(opens)s; write a later time.")
                % {"DAYS": DAYS[day], "closes": f"{closes:%H:%M}", "opens": f"{opens:%H:%M}"},
            )

    def hours(self) -> dict[str, list[str]]:
        """The week as the shop keeps it; a missing day is closed."""
        data = self.cleaned_data
        return {
            str(day): [f"{data[f'from_{day}']:%H:%M}", f"{data[f'to_{day}']:%H:%M}"]
            for day in range(7)
            if data[f"open_{day}"]
        }

    def rows(self) -> list[Day]:
        return [Day(self[f"open_{day}"], self[f"from_{day}"], self[f"to_{day}"]) for day in self.order]


def _time(label: str, stored: str) -> forms.TimeField:
    return forms.TimeField(
        label=label,
        required=False,
        initial=stored,
        input_formats=["%H:%M", "%H:%M:%S", "%H.%M"],
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        error_messages={"invalid": gettext("Write the time like 09:00 or 17:30.")},
    )


def say_hours(stored: dict[str, list[str]], day: int) -> str:
    """A day's hours in words."""
    hours = stored.get(str(day))
    return f"{hours[0]}–{hours[1]}" if hours else gettext("closed")
