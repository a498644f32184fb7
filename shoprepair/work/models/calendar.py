from django.db import models
from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff


class BenchHours(models.Model):
    """How many bench minutes a person has on each weekday."""

    who = models.OneToOneField(Staff, on_delete=models.CASCADE, related_name="bench_hours")
    minutes = models.JSONField(default=list, help_text=gettext_lazy("Seven whole numbers, Monday first."))

    def __str__(self) -> str:
        return gettext("Bench hours of %(who)s") % {"who": self.who}


class Holiday(models.Model):
    """A stretch of days on which one person, or the whole shop, does not work."""

    who = models.ForeignKey(
        Staff,
        null=True,
        blank=True,
        on_delete=models.CASCADE,
        related_name="holidays",
        help_text=gettext_lazy("Empty: the shop."),
    )
    first_day = models.DateField()
    last_day = models.DateField()
    note = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["first_day"]

    def __str__(self) -> str:
        return gettext("%(value)s away from %(first_day)s") % {
            "value": self.who or gettext("The shop"),
            "first_day": self.first_day,
        }


class ExpectedParts(models.Model):
    """When the parts that a job waits for are expected."""

    job = models.OneToOneField(Job, on_delete=models.CASCADE, related_name="expected_parts")
    day = models.DateField()
    note = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        return gettext("Parts of %(job)s on %(day)s") % {"job": self.job, "day": self.day}


class Forecast(models.Model):
    """When a job will be ready as the plan stands, with the reason."""

    job = models.OneToOneField(Job, on_delete=models.CASCADE, related_name="forecast")
    likely_on = models.DateField()
    late_on = models.DateField(help_text=gettext_lazy("With what usually goes wrong."))
    reason = models.JSONField(help_text="A sentence.")
    made_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["late_on"], name="forecasts_by_day")]

    def __str__(self) -> str:
        return gettext("%(job)s: %(likely_on)s to %(late_on)s") % {
            "job": self.job,
            "likely_on": self.likely_on,
            "late_on": self.late_on,
        }


class NextFree(models.Model):
    """When a usual repair would be ready if it came in today: one row, reckoned with the forecasts."""

    likely_on = models.DateField(null=True)
    late_on = models.DateField(null=True, help_text=gettext_lazy("With what usually goes wrong."))
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return gettext("%(likely_on)s to %(late_on)s") % {
            "likely_on": self.likely_on,
            "late_on": self.late_on,
        }


class WorkRules(models.Model):
    """How the bench works: one row, the owner's to change."""

    second_person = models.BooleanField(
        default=False, help_text=gettext_lazy("Another person looks at each job before it is ready.")
    )
    allowed_loss_percent_per_hour = models.FloatField(default=2.0)
    least_minutes = models.PositiveSmallIntegerField(default=60)
    gauge_percent = models.FloatField(default=1.0, help_text=gettext_lazy("What the gauge may be off."))
    thermometer_k = models.FloatField(default=1.0)
    shop_height_m = models.FloatField(
        default=0.0, help_text=gettext_lazy("Above the sea: readings taken elsewhere are set against it.")
    )
    forgotten_after_minutes = models.PositiveSmallIntegerField(default=180)
    slack_percent = models.PositiveSmallIntegerField(
        default=40, help_text=gettext_lazy("What usually goes wrong, on top of the minutes.")
    )
    version = models.PositiveIntegerField(default=1)

    def __str__(self) -> str:
        return gettext("Work rules")
