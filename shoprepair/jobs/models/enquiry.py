from django.db import models

from shoprepair.jobs.models.job import Job


class Enquiry(models.Model):
    """What somebody asked from outside about gear that is not in the shop yet, and what they were told.

    It stays with its job, unchanged, beside all that the shop finds.
    """

    class Comes(models.TextChoices):
        BY_HAND = "by-hand", "Brought by hand"
        BY_POST = "by-post", "Sent by post"

    job = models.OneToOneField(Job, on_delete=models.CASCADE, related_name="enquiry")
    key = models.CharField(max_length=64, unique=True, help_text="Of the form: sent twice, kept once.")
    language = models.CharField(max_length=8, default="en", help_text="In which it was asked and answered.")
    told = models.JSONField(default=list, help_text="Each damage as it was told, by the number of its pin.")
    advice = models.JSONField(default=list, help_text="What was advised about each: verdict, rule, figures.")
    charge = models.JSONField(default=dict, blank=True, help_text="The range of charge that was named.")
    comes = models.CharField(max_length=7, choices=Comes, default=Comes.BY_HAND)
    words = models.TextField(blank=True, help_text="What they wrote besides.")
    sent_at = models.DateTimeField(db_index=True)
    came_at = models.DateTimeField(null=True, blank=True, help_text="When the gear was checked in.")
    forgotten_at = models.DateTimeField(
        null=True, blank=True, help_text="When all that named the person went, since nothing came of it."
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
        return f"Enquiry {self.job}"


class SelfCheckTally(models.Model):
    """How often the same question was asked on a day. It tells nothing of who asked."""

    day = models.DateField()
    gear = models.CharField(max_length=20, help_text="Code of the everyday pattern.")
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
        return f"{self.day} {self.look} on {self.part}: {self.count}"
