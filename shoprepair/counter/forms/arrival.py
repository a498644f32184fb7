"""What came along with the gear, and what was agreed."""

from typing import Any

from django import forms

from shoprepair.jobs.models import Job

USUAL = ("bag", "pump", "leash")
"""What usually comes along; anything else is written."""


class ArrivalForm(forms.Form):
    came_with = forms.MultipleChoiceField(choices=[(word, word) for word in USUAL], required=False)
    other = forms.CharField(max_length=300, required=False)
    arrived_wet = forms.ChoiceField(choices=[("yes", "yes"), ("no", "no"), ("", "not said")], required=False)
    promised_on = forms.DateField(
        required=False, error_messages={"invalid": "Write the date as 2026-05-31, or choose it."}
    )
    note = forms.CharField(max_length=2000, required=False)
    terms = forms.BooleanField(required=False)

    def facts(self) -> dict[str, Any]:
        """What came along, as `jobs.checkin.note_arrival` takes it."""
        said = self.cleaned_data
        others = [" ".join(word.split()) for word in said["other"].split(",")]
        return {
            "came_with": [*said["came_with"], *filter(None, others)],
            "arrived_wet": {"yes": True, "no": False}.get(said["arrived_wet"]),
            "note": said["note"],
        }

    def shown(self, job: Job) -> dict[str, Any]:
        """What the form shows: what was just typed, else what is kept of the job."""
        if self.is_bound:
            typed = {
                name: self.data.get(name, "") for name in ("other", "arrived_wet", "promised_on", "note")
            }
            return typed | {"came_with": self.data.getlist("came_with"), "usual": USUAL}
        return {
            "came_with": [word for word in job.came_with if word in USUAL],
            "other": ", ".join(word for word in job.came_with if word not in USUAL),
            "arrived_wet": {True: "yes", False: "no"}.get(job.arrived_wet, ""),
            "promised_on": job.promised_on.isoformat(),
            "note": job.note,
            "usual": USUAL,
        }
