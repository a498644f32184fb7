from django.db import models
from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff


class HoldTest(models.Model):
    """Readings of one tube's pressure over time, and what they decided."""

    class Verdict(models.TextChoices):
        OPEN = "", gettext_lazy("Cannot tell yet")
        HOLDS = "holds", gettext_lazy("Holds")
        FAILS = "fails", gettext_lazy("Does not hold")
        STOPPED = "stopped", gettext_lazy("Stopped")

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="hold_tests")
    tube_key = models.CharField(
        max_length=20, help_text=gettext_lazy("'leading-edge', 'strut-1-left'; linked tubes: 'all'.")
    )
    pressure_pa = models.FloatField(help_text=gettext_lazy("Test pressure."))
    pressure_typed = models.CharField(max_length=20)
    volume_m3 = models.FloatField()
    radius_m = models.FloatField()
    allowance = models.JSONField(
        default=dict, help_text=gettext_lazy("The shop's limits as they were that day, SI.")
    )
    verdict = models.CharField(max_length=8, choices=Verdict, default=Verdict.OPEN, blank=True)
    judged = models.JSONField(
        default=dict, blank=True, help_text=gettext_lazy("Figures and sentences of the verdict, SI.")
    )
    suspects = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("Numbers of the damages to look at again.")
    )
    over_rated_by = models.ForeignKey(
        Staff,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text=gettext_lazy("Owner who let it go above rated."),
    )
    began_by = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    began_at = models.DateTimeField()
    decided_by = models.ForeignKey(Staff, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    decided_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "tube_key"], condition=models.Q(verdict=""), name="one_open_hold_test_per_tube"
            )
        ]

    def __str__(self) -> str:
        return gettext("Hold test of %(job)s %(tube_key)s") % {"job": self.job, "tube_key": self.tube_key}


class HoldReading(models.Model):
    """What the gauge and the thermometer said at one moment, kept as typed."""

    test = models.ForeignKey(HoldTest, on_delete=models.CASCADE, related_name="readings")
    at = models.DateTimeField()
    pressure_pa = models.FloatField()
    pressure_typed = models.CharField(max_length=20)
    temperature_k = models.FloatField()
    temperature_typed = models.CharField(max_length=20)
    height_m = models.FloatField(
        null=True, blank=True, help_text=gettext_lazy("Above the sea, where it changed.")
    )
    who = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["at", "id"]

    def __str__(self) -> str:
        return gettext("%(pressure_typed)s at %(at)s") % {
            "pressure_typed": self.pressure_typed,
            "at": self.at,
        }
