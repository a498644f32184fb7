"""What the failure pages are asked: plain choices, and a sentence where an address was mistyped."""

from typing import Any

from django import forms
from django.db.models import Min
from django.utils import timezone
from django.utils.translation import gettext

from shoprepair.cover.failing.asked import AGES, Asked
from shoprepair.cover.failing.lives import BY
from shoprepair.gear.library import IN_LIBRARY
from shoprepair.gear.models import Pattern
from shoprepair.jobs.models import Job
from shoprepair.jobs.models.words import choices
from shoprepair.mechanics.description import Element, FindingKind, Kind
from shoprepair.shop.languages import gettext_lazy

ALL = ("", gettext_lazy("All"))
PLURAL = {Kind.WING: gettext_lazy("Wings"), Kind.KITE: gettext_lazy("Kites")}
OLDEST_YEAR = 1970
BY_WORDS = {
    "operation": gettext_lazy("Operation"),
    "cloth": gettext_lazy("Cloth sewn on"),
    "tech": gettext_lazy("Who did it"),
    "lot": gettext_lazy("Lot"),
}


def _choice(label: str, found: list[tuple[Any, str]], **more: Any) -> forms.TypedChoiceField:
    wrong = {"invalid_choice": gettext_lazy("Nothing goes by that name here. Choose from the list.")}
    return forms.TypedChoiceField(
        label=label, choices=[ALL, *found], required=False, error_messages=wrong, **more
    )


class AskedForm(forms.Form):
    """Which damages the page is about."""

    gear = _choice(gettext_lazy("Gear"), [(kind.value, PLURAL[kind]) for kind in Kind])
    pattern = _choice(gettext_lazy("Pattern"), [], coerce=int, empty_value=None)
    kind = _choice(gettext_lazy("Damage"), choices(FindingKind))
    element = _choice(gettext_lazy("Where"), choices(Element))
    age = _choice(gettext_lazy("Gear’s age"), [(key, words) for key, (words, _, _) in AGES.items()])
    since = _choice(gettext_lazy("Came in from"), [], coerce=int, empty_value=None)
    until = _choice(gettext_lazy("Until"), [], coerce=int, empty_value=None)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        patterns = Pattern.objects.filter(**IN_LIBRARY).order_by("name")
        self.fields["pattern"].choices = [ALL, *patterns.values_list("pk", "name")]
        years = [(year, str(year)) for year in _years()]
        self.fields["since"].choices = [ALL, *years]
        self.fields["until"].choices = [ALL, *years]

    def clean(self) -> dict[str, Any]:
        said = super().clean() or {}
        since, until = said.get("since"), said.get("until")
        if since and until and since > until:
            self.add_error(
                "until",
                gettext("That is before %(since)s. Choose %(since)s or a later year.") % {"since": since},
            )
        return said

    def asked(self) -> Asked:
        """What was asked; what was not understood is left out."""
        return Asked(**{name: value for name, value in self.cleaned_data.items() if value})


def _years() -> list[int]:
    """From the first job to this year, the latest first."""
    first = Job.objects.aggregate(first=Min("received_at"))["first"]
    now = timezone.localdate().year
    start = timezone.localtime(first).year if first else now
    return list(range(now, min(max(start, OLDEST_YEAR), now) - 1, -1))


class LivesForm(forms.Form):
    """What repairs are told apart by, and which of them the curve is about."""

    by = forms.ChoiceField(
        label=gettext_lazy("Told apart by"),
        choices=[(by, BY_WORDS[by]) for by in BY],
        required=False,
        error_messages={
            "invalid_choice": gettext_lazy("Repairs are not told apart by that. Choose from the list.")
        },
    )
    of = _choice(gettext_lazy("The curve shows"), [])

    def __init__(self, *args: Any, names: list[str], **kwargs: Any) -> None:
        super().__init__(*args, label_suffix="", **kwargs)
        self.fields["of"].choices = [("", gettext("All repairs")), *((name, name) for name in names)]
