"""Who is at the bench and for how long on each weekday, as the owner types it."""

import re
from typing import Any, NamedTuple

from django import forms
from django.core.exceptions import ValidationError
from django.utils.dates import WEEKDAYS_ABBR
from django.utils.translation import gettext

from shoprepair.office.forms.hours import DAYS
from shoprepair.shop.languages import filled, gettext_lazy
from shoprepair.shop.models import Staff
from shoprepair.shop.settings import current
from shoprepair.shop.weeks import weekdays
from shoprepair.work.calendar import LONGEST_DAY, Week

WRONG = filled(
    gettext_lazy("Write minutes from 0 to %(longest_day)s, such as 360, or hours as 6:00."),
    longest_day=LONGEST_DAY,
)
_HOURS = re.compile(r"(\d{1,2}):([0-5]\d)(?:\s*h)?\Z", re.ASCII)
_MINUTES = re.compile(r"(\d{1,4})(?:\s*min)?\Z", re.ASCII)


class MinutesField(forms.CharField):
    """Whole minutes, or hours and minutes with a colon; empty is none."""

    def __init__(self, **options: Any) -> None:
        widget = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})
        super().__init__(required=False, max_length=12, widget=widget, **options)

    def clean(self, value: Any) -> int:
        text = super().clean(value).strip()
        if not text:
            return 0
        if found := _HOURS.match(text):
            minutes = int(found[1]) * 60 + int(found[2])
        elif found := _MINUTES.match(text):
            minutes = int(found[1])
        else:
            raise ValidationError(WRONG)
        if minutes > LONGEST_DAY:
            raise ValidationError(WRONG)
        return minutes


class Cell(NamedTuple):
    """One person's minutes on one weekday."""

    day: str
    """Its short name."""
    field: Any


class Row(NamedTuple):
    """One person's week."""

    who: Staff
    cells: list[Cell]
    entered: bool
    hours: str
    """Their sum, as it is kept: '30 h a week'."""

    @property
    def errors(self) -> list[str]:
        """Each fault once, however many days it is on."""
        return list(dict.fromkeys(error for cell in self.cells for error in cell.field.errors))


class BenchHoursForm(forms.Form):
    """Seven fields a person, in the order of the shop's week."""

    use_required_attribute = False

    def __init__(self, weeks: list[Week], *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        self.weeks = weeks
        self.order = weekdays(current())
        for week in weeks:
            for number in self.order:
                label = gettext("%(who)s on %(day)s, minutes") % {"who": week.who, "day": DAYS[number]}
                minutes = MinutesField(label=label, initial=str(week.minutes[number]))
                self.fields[_name(week.who, DAYS[number])] = minutes

    def wanted(self) -> list[tuple[Staff, list[int]]]:
        """Everybody's bench minutes as they were typed; who was added meanwhile is not among them."""
        return [
            (week.who, [self.cleaned_data[_name(week.who, day)] for day in DAYS])
            for week in self.weeks
            if _name(week.who, DAYS[0]) in self.data
        ]

    def rows(self) -> list[Row]:
        return [
            Row(
                week.who,
                [Cell(str(WEEKDAYS_ABBR[day]), self[_name(week.who, DAYS[day])]) for day in self.order],
                week.entered,
                gettext("%(value)s h a week") % {"value": f"{sum(week.minutes) / 60:.3g}"},
            )
            for week in self.weeks
        ]


def _name(who: Staff, day: str) -> str:
    # By its English name in every language: `DAYS` are `Words`.
    return f"{day.lower()}-{who.pk}"
