from django.db import models

from shoprepair.jobs.models import Damage
from shoprepair.pricing.models.catalogue import Operation
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff


class Repair(models.Model):
    """What is to be done about one damage: the operation, and the lay-up that carries the load there.

    A damage may need several (casing and bladder); of those with one `choice` the customer takes one.
    """

    damage = models.ForeignKey(Damage, on_delete=models.CASCADE, related_name="repairs")
    operation = models.ForeignKey(Operation, on_delete=models.PROTECT, related_name="+")
    layup = models.JSONField(
        default=dict, blank=True, help_text=gettext_lazy("Plies, outline, overlap, rows, pitch, thread, SI.")
    )
    proposed = models.JSONField(
        default=dict, blank=True, help_text=gettext_lazy("The lay-up as the program proposed it.")
    )
    preferred = models.BooleanField(
        default=True, help_text=gettext_lazy("The one the shop advises, among its damage's.")
    )
    choice = models.CharField(
        max_length=20,
        blank=True,
        help_text=gettext_lazy("Repairs of one damage with one word here exclude each other: 'bladder'."),
    )
    optional = models.BooleanField(default=False, help_text=gettext_lazy("The customer may leave it out."))
    shortfall = models.FloatField(
        default=0, help_text=gettext_lazy("Share by which a changed lay-up is too weak.")
    )
    let_stand_by = models.ForeignKey(Staff, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    let_stand_reason = models.CharField(max_length=300, blank=True)
    by_hand = models.BooleanField(default=False, help_text=gettext_lazy("Added by a person, not proposed."))
    chosen_by = models.ForeignKey(
        Staff,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text=gettext_lazy("Who preferred it over what the program advised; empty: the program."),
    )
    left_out = models.BooleanField(
        default=False,
        help_text=gettext_lazy("Not done and not priced. Rows stay, because quotes that are out name them."),
    )
    left_out_by = models.ForeignKey(
        Staff,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text=gettext_lazy("Who left it out; empty: the damage no longer calls for it."),
    )
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["damage__number", "id"]
        constraints = [
            models.UniqueConstraint(fields=["damage", "operation"], name="each_operation_once_per_damage")
        ]

    def __str__(self) -> str:
        return f"{self.damage}: {self.operation}"
