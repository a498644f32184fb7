from django.db import models
from django.utils.translation import gettext

from shoprepair.jobs.models.job import Job
from shoprepair.shop.languages import gettext_lazy


class Enquiry(models.Model):
    """What somebody asked from outside about gear that is not in the shop yet, and what they were told.

    It stays with its job, unchanged, beside all that the shop finds.
    """

    class Comes(models.TextChoices):
        BY_HAND = "by-hand", gettext_lazy("Brought by hand")
        BY_POST = "by-post", gettext_lazy("Sent by post")

    job = models.OneToOneField(Job, on_delete=models.CASCADE, related_name="enquiry")
    key = models.CharField(
        max_length=64, unique=True, help_text=gettext_lazy("Of the form: sent twice, kept once.")
    )
    language = models.CharField(
        max_length=8, default="en", help_text=gettext_lazy("In which it was asked and answered.")
    )
    told = models.JSONField(
        default=list, help_text=gettext_lazy("Each damage as it was told, by the number of its pin.")
    )
    advice = models.JSONField(
        default=list, help_text=gettext_lazy("What was advised about each: verdict, rule, figures.")
    )
    charge = models.JSONField(
        default=dict, blank=True, help_text=gettext_lazy("The range of charge that was named.")
    )
    comes = models.CharField(max_length=7, choices=Comes, default=Comes.BY_HAND)
    words = models.TextField(blank=True, help_text=gettext_lazy("What they wrote besides."))
    sent_at = models.DateTimeField(db_index=True)
    came_at = models.DateTimeField(
        null=True, blank=True, help_text=gettext_lazy("When the gear was checked in.")
    )
    forgotten_at = models.DateTimeField(
        null=True,
        blank=True,
        help_text=gettext_lazy("When all that named the person went, since nothing came of it."),
    )

    class Meta:
        verbose_name_plural = "enquiries"
        indexes = [
            models.Index(
                fields=["sent_at"],
                condition=models.Q(came_at=None, forgotten_at=None),
                name="enquiries_that_wait",
            )
        ]

    def __str__(self) -> str:
        return gettext("Enquiry %(job)s") % {"job": self.job}


class SelfCheckTally(models.Model):
    """How often the same question was asked on a day. It tells nothing of who asked."""

    day = models.DateField()
    gear = models.CharField(max_length=20, help_text=gettext_lazy("Code of the everyday pattern."))
    part = models.CharField(max_length=20)
    look = models.CharField(max_length=20)
    verdict = models.CharField(max_length=20)
    rule = models.CharField(max_length=40)
    count = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["day", "gear", "part", "look", "verdict", "rule"], name="one_tally_a_day_and_question"
            )
        ]

    def __str__(self) -> str:
        return gettext("%(day)s %(look)s on %(part)s: %(count)s") % {
            "day": self.day,
            "look": self.look,
            "part": self.part,
            "count": self.count,
        }
