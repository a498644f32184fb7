"""What came along with the gear, and what was agreed."""

import datetime
import json
from typing import Any, NamedTuple

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext

from shoprepair.jobs import arrival
from shoprepair.jobs.models import Job
from shoprepair.shop.languages import gettext_lazy

USUAL = ("bag", "pump", "leash")
"""What usually comes along; anything else is written."""
WORDS = {
    "note": gettext_lazy("what the customer says"),
    "arrived_wet": gettext_lazy("wet or sandy"),
    "promised_on": gettext_lazy("ready by"),
}


class Clash(NamedTuple):
    """What somebody else wrote meanwhile beside what was typed here: word, theirs, mine."""

    said: tuple[tuple[str, str, str], ...]
    instead_of: str
    """Sent back by whoever has read it and writes over it."""

    @classmethod
    def of(cls, theirs: dict[str, Any], typed: dict[str, Any]) -> "Clash":
        said = [
            (WORDS[name], in_words(name, there), in_words(name, typed[name]))
            for name, there in theirs.items()
        ]
        return cls(tuple(said), written(theirs))


class ArrivalForm(forms.Form):
    clash: Clash | None = None
    came_with = forms.MultipleChoiceField(choices=[(word, word) for word in USUAL], required=False)
    other = forms.CharField(max_length=300, required=False)
    arrived_wet = forms.ChoiceField(
        choices=[("yes", "yes"), ("no", "no"), ("", gettext_lazy("not said"))], required=False
    )
    promised_on = forms.DateField(
        required=False,
        error_messages={"invalid": gettext_lazy("Write the date as 2026-05-31, or choose it.")},
    )
    note = forms.CharField(max_length=2000, required=False)
    terms = forms.BooleanField(required=False)
    seen = forms.CharField(max_length=8000, required=False)
    """What the page showed, as it says itself."""
    instead_of = forms.CharField(max_length=8000, required=False)
    """What of somebody else's was read there and is to be written over."""

    def facts(self) -> dict[str, Any]:
        """What came along, as `jobs.arrival.keep` takes it."""
        said = self.cleaned_data
        others = [" ".join(word.split()) for word in said["other"].split(",")]
        return {
            "came_with": [*said["came_with"], *filter(None, others)],
            "arrived_wet": {"yes": True, "no": False}.get(said["arrived_wet"]),
            "note": said["note"],
            "promised_on": said["promised_on"],
        }

    def shown(self, job: Job) -> dict[str, Any]:
        """What the form shows: what was just typed, else what is kept of the job."""
        if self.is_bound:
            typed = {
                name: self.data.get(name, "") for name in ("other", "arrived_wet", "promised_on", "note")
            }
            seen = self.data.get("seen", "")
            return typed | {"came_with": self.data.getlist("came_with"), "usual": USUAL, "seen": seen}
        return {
            "came_with": [word for word in job.came_with if word in USUAL],
            "other": ", ".join(word for word in job.came_with if word not in USUAL),
            "arrived_wet": {True: "yes", False: "no"}.get(job.arrived_wet, ""),
            "promised_on": job.promised_on.isoformat(),
            "note": job.note,
            "usual": USUAL,
            "seen": written(arrival.of(job)),
        }


def written(facts: dict[str, Any]) -> str:
    """Facts of an arrival as a page carries them along."""
    day = facts.get("promised_on")
    return json.dumps(facts | ({"promised_on": day.isoformat()} if day else {}), ensure_ascii=False)


def read(text: str) -> dict[str, Any] | None:
    """The same back again; None where it is nothing that a page wrote."""
    try:
        facts = json.loads(text)
        day = facts.get("promised_on")
        facts = {name: facts[name] for name in arrival.FIELDS if name in facts}
        return facts | ({"promised_on": datetime.date.fromisoformat(day)} if day else {})
    except (ValueError, TypeError, AttributeError, RecursionError):
        return None


def in_words(name: str, value: Any) -> str:
    """One of the facts as it is read."""
    if isinstance(value, datetime.date):
        return date_format(value, "j F Y")
    if name == "arrived_wet":
        return {True: gettext("wet or sandy"), False: gettext("dry")}.get(value, gettext("nothing"))
    return str(value or gettext("nothing"))
