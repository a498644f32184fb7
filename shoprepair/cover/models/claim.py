from django.db import models

from shoprepair.cover.models.cover import Cover
from shoprepair.jobs.models import Damage, Job
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff


class Claim(models.Model):
    """A later damage held against a cover: what the program proposed, and what the owner decided."""

    class Proposal(models.TextChoices):
        OURS = "ours", gettext_lazy("Ours")
        OWNER = "owner", gettext_lazy("Owner to decide")
        NEW = "new", gettext_lazy("New damage")

    class Decision(models.TextChoices):
        OPEN = "", gettext_lazy("To be decided")
        OURS = "ours", gettext_lazy("Ours")
        NEW = "new", gettext_lazy("New damage")

    number = models.PositiveIntegerField(unique=True)
    cover = models.ForeignKey(Cover, on_delete=models.PROTECT, related_name="claims")
    damage = models.OneToOneField(Damage, on_delete=models.PROTECT, related_name="claim")
    job = models.ForeignKey(
        Job,
        on_delete=models.PROTECT,
        related_name="claims",
        help_text=gettext_lazy("The visit it was found in."),
    )
    proposal = models.CharField(max_length=5, choices=Proposal)
    seen = models.JSONField(
        default=dict, help_text=gettext_lazy("Each footprint's relation, figures and sentences as shown, SI.")
    )
    made_by = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    decision = models.CharField(max_length=4, choices=Decision, default=Decision.OPEN, blank=True)
    words = models.TextField(
        blank=True, help_text=gettext_lazy("The owner's reason, as the customer reads it.")
    )
    decided_by = models.ForeignKey(Staff, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    decided_at = models.DateTimeField(null=True, blank=True)
    remedy = models.ForeignKey(
        Job,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="remedies",
        help_text=gettext_lazy("The job at nought that mends it."),
    )
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["number"]
        indexes = [
            models.Index(fields=["made_at"], condition=models.Q(decision=""), name="claims_to_decide"),
            models.Index(fields=["decision", "decided_at"], name="claims_by_decision"),
        ]

    def __str__(self) -> str:
        return f"{self.number:04d}"
