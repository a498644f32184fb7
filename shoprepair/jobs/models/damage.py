from django.db import models
from django.utils.translation import gettext

from shoprepair.jobs.models.job import Job
from shoprepair.jobs.models.words import choices
from shoprepair.mechanics.description import (
    Answer,
    Band,
    Condition,
    Direction,
    Element,
    Face,
    FindingKind,
    Fold,
    Softens,
)
from shoprepair.shop.languages import gettext_lazy


class Damage(models.Model):
    """One pinned finding. Its place was resolved from x and y; its assessment is kept with its inputs."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="damages")
    number = models.PositiveSmallIntegerField(
        help_text=gettext_lazy("Counts within the job; never used again.")
    )
    x_m = models.FloatField()
    y_m = models.FloatField()
    element = models.CharField(max_length=15, choices=choices(Element))
    station = models.FloatField()
    side = models.CharField(max_length=10)
    strut = models.PositiveSmallIntegerField(null=True, blank=True)
    cell = models.PositiveSmallIntegerField(null=True, blank=True)
    fraction = models.FloatField(default=0)
    face = models.CharField(max_length=15, choices=choices(Face), default=Face.UNKNOWN.value)
    kind = models.CharField(
        max_length=15,
        choices=choices(FindingKind),
        blank=True,
        help_text=gettext_lazy("Empty: not yet said."),
    )
    length_m = models.FloatField(null=True, blank=True)
    length_typed = models.CharField(
        max_length=24, blank=True, help_text=gettext_lazy("As it was typed: '35 mm', '1 3/8 in'.")
    )
    direction = models.CharField(max_length=15, choices=choices(Direction), default=Direction.UNKNOWN.value)
    angle_deg = models.FloatField(null=True, blank=True)
    fold = models.CharField(max_length=20, choices=choices(Fold), default=Fold.UNTRIED.value)
    condition = models.CharField(max_length=10, choices=choices(Condition), default=Condition.SOUND.value)
    through_bladder = models.CharField(max_length=10, choices=choices(Answer), default=Answer.UNKNOWN.value)
    old_patch = models.CharField(
        max_length=10,
        choices=choices(Answer),
        default=Answer.UNKNOWN.value,
        help_text=gettext_lazy("Residue of an old patch here?"),
    )
    wet = models.CharField(max_length=10, choices=choices(Answer), default=Answer.UNKNOWN.value)
    softens = models.CharField(max_length=15, choices=choices(Softens), default=Softens.UNKNOWN.value)
    seconds_to_half = models.FloatField(null=True, blank=True)
    stitched_left_m = models.FloatField(null=True, blank=True)
    stitched_left_typed = models.CharField(max_length=24, blank=True)
    under_kind = models.CharField(max_length=15, choices=choices(FindingKind), blank=True)
    note = models.TextField(blank=True)
    told = models.JSONField(
        default=dict,
        blank=True,
        help_text=gettext_lazy("As the customer told it before it came in; never changed."),
    )
    load_ratio = models.FloatField(
        null=True, blank=True, help_text=gettext_lazy("Empty: not assessed, or nothing left at all.")
    )
    urgency = models.PositiveSmallIntegerField(default=0)
    band = models.CharField(max_length=15, choices=choices(Band), default=Band.WATCH.value)
    assessment = models.JSONField(
        default=dict, blank=True, help_text=gettext_lazy("Inputs, figures and sentences, in SI.")
    )
    reason = models.JSONField(
        default=dict,
        blank=True,
        help_text=gettext_lazy("The deciding sentence alone, for lists that need no more."),
    )
    model_version = models.CharField(max_length=20, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="damage_numbers_count_within_a_job")
        ]

    def __str__(self) -> str:
        return gettext("%(job)s damage %(number)s") % {"job": self.job, "number": self.number}
