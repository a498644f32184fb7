from django.db import models

from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models import Customer
from shoprepair.shop.models import Staff


class Transfer(models.Model):
    """Gear and its covers passing from one customer to another, when both have agreed to it."""

    class How(models.TextChoices):
        LINK = "link", "On the page sent to them"
        PERSON = "person", "In the shop, in person"

    inflatable = models.ForeignKey(Inflatable, on_delete=models.PROTECT, related_name="transfers")
    giver = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="transfers_given")
    taker = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="transfers_taken")
    note = models.CharField(max_length=200, blank=True)
    offered_by = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    offered_at = models.DateTimeField()
    giver_nonce = models.CharField(max_length=43)
    giver_hash = models.CharField(max_length=64, unique=True)
    giver_agreed_at = models.DateTimeField(null=True, blank=True)
    giver_how = models.CharField(max_length=6, choices=How, blank=True)
    taker_nonce = models.CharField(max_length=43)
    taker_hash = models.CharField(max_length=64, unique=True)
    taker_agreed_at = models.DateTimeField(null=True, blank=True)
    taker_how = models.CharField(max_length=6, choices=How, blank=True)
    done_at = models.DateTimeField(null=True, blank=True, help_text="When both had agreed.")
    ended_at = models.DateTimeField(null=True, blank=True, help_text="When it was refused or called off.")
    ended_by = models.CharField(max_length=150, blank=True, help_text="'giver', 'taker', or who of the shop.")
    passed = models.JSONField(default=list, blank=True, help_text="Numbers of the covers that went along.")
    not_passed = models.JSONField(
        default=list, blank=True, help_text="Numbers of the covers that ended with the former owner."
    )
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["inflatable"],
                condition=models.Q(done_at=None, ended_at=None),
                name="one_open_transfer_per_inflatable",
            )
        ]

    def __str__(self) -> str:
        return f"{self.inflatable}: {self.giver} to {self.taker}"
