from django.db import models
from django.utils.translation import gettext

from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models import Customer
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff


class Transfer(models.Model):
    """Gear and its covers passing from one customer to another, when both have agreed to it."""

    class How(models.TextChoices):
        LINK = "link", gettext_lazy("On the page sent to them")
        PERSON = "person", gettext_lazy("In the shop, in person")

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
    done_at = models.DateTimeField(null=True, blank=True, help_text=gettext_lazy("When both had agreed."))
    ended_at = models.DateTimeField(
        null=True, blank=True, help_text=gettext_lazy("When it was refused or called off.")
    )
    ended_by = models.CharField(
        max_length=150, blank=True, help_text=gettext_lazy("'giver', 'taker', or who of the shop.")
    )
    passed = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("Numbers of the covers that went along.")
    )
    not_passed = models.JSONField(
        default=list,
        blank=True,
        help_text=gettext_lazy("Numbers of the covers that ended with the former owner."),
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
        return gettext("%(inflatable)s: %(giver)s to %(taker)s") % {
            "inflatable": self.inflatable,
            "giver": self.giver,
            "taker": self.taker,
        }
