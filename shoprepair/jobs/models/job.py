from django.db import models
from django.urls import reverse

from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models.customers import Customer
from shoprepair.jobs.models.stages import Hold, Stage
from shoprepair.jobs.models.words import choices
from shoprepair.mechanics.description import Band
from shoprepair.shop.languages import gettext_lazy


class Job(models.Model):
    """One inflatable's visit."""

    number = models.PositiveIntegerField(unique=True)
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="jobs")
    inflatable = models.ForeignKey(Inflatable, on_delete=models.PROTECT, related_name="jobs")
    stage = models.CharField(max_length=12, choices=Stage, default=Stage.ENQUIRY)
    hold = models.CharField(max_length=10, choices=Hold, default=Hold.NONE, blank=True)
    hold_note = models.CharField(max_length=200, blank=True)
    received_at = models.DateTimeField()
    promised_on = models.DateField()
    closed_at = models.DateTimeField(null=True, blank=True)
    is_open = models.BooleanField(
        default=True, help_text=gettext_lazy("Kept with the stage, so that the rack's index stays small.")
    )
    came_with = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("'bag', 'pump', 'leash', or a person's own words.")
    )
    arrived_wet = models.BooleanField(
        null=True, help_text=gettext_lazy("Wet or sandy when it came; empty: not said.")
    )
    terms = models.TextField(
        blank=True, help_text=gettext_lazy("The shop's terms as the customer agreed to them.")
    )
    terms_agreed_at = models.DateTimeField(null=True, blank=True)
    note = models.TextField(blank=True)
    urgency = models.PositiveSmallIntegerField(default=0)
    rank = models.PositiveSmallIntegerField(
        default=100, help_text=gettext_lazy("100 - urgency: the rack reads upwards.")
    )
    band = models.CharField(max_length=15, choices=choices(Band), default=Band.WATCH.value)
    damage_count = models.PositiveSmallIntegerField(default=0)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        indexes = [
            # The rack: open jobs, most dangerous first, then by promise.
            models.Index(
                fields=["rank", "promised_on", "id"],
                condition=models.Q(is_open=True),
                name="rack_most_dangerous_first",
            ),
            models.Index(
                fields=["stage", "rank", "promised_on", "id"],
                condition=models.Q(is_open=True),
                name="rack_of_one_stage",
            ),
            models.Index(
                fields=["band", "rank", "promised_on", "id"],
                condition=models.Q(is_open=True),
                name="rack_of_one_band",
            ),
            models.Index(
                fields=["hold", "rank", "promised_on", "id"],
                condition=models.Q(is_open=True),
                name="rack_of_one_hold",
            ),
            # The counts beside the rack's filters. With is_open in it, SQLite reads the index alone.
            models.Index(
                fields=["stage", "band", "hold", "is_open"],
                condition=models.Q(is_open=True),
                name="rack_counts",
            ),
            # The rack filtered by a closed stage, such as Handed back.
            models.Index(
                fields=["stage", "rank", "promised_on", "id"],
                condition=models.Q(is_open=False),
                name="closed_jobs_of_one_stage",
            ),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["inflatable"], condition=models.Q(stage="enquiry"), name="one_enquiry_per_inflatable"
            )
        ]

    def __str__(self) -> str:
        return f"{self.number:04d}"

    def get_absolute_url(self) -> str:
        return reverse("job", args=[self.number])
