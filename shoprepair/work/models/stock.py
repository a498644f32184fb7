from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Material, Repair
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff
from shoprepair.work.models.steps import Step


class StockRule(models.Model):
    """When a material counts as low, and how much is ordered then."""

    material = models.OneToOneField(Material, on_delete=models.CASCADE, related_name="stock_rule")
    low_at = models.DecimalField(
        max_digits=9, decimal_places=3, default=0, validators=[MinValueValidator(Decimal(0))]
    )
    order_up_to = models.DecimalField(
        max_digits=9, decimal_places=3, default=0, validators=[MinValueValidator(Decimal(0))]
    )
    supplier = models.CharField(max_length=120, blank=True)
    shelf_months = models.PositiveSmallIntegerField(null=True, blank=True)

    def __str__(self) -> str:
        return gettext("%(material)s: low at %(low_at)s") % {"material": self.material, "low_at": self.low_at}


class Lot(models.Model):
    """One delivery of a material. What is left of it is kept beside it and follows from its uses."""

    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="lots")
    code = models.CharField(max_length=60, help_text=gettext_lazy("As the roll or the box is marked."))
    received_on = models.DateField()
    expires_on = models.DateField(null=True, blank=True)
    quantity = models.DecimalField(
        max_digits=9, decimal_places=3, validators=[MinValueValidator(Decimal("0.001"))]
    )
    left = models.DecimalField(max_digits=9, decimal_places=3, validators=[MinValueValidator(Decimal(0))])
    closed = models.BooleanField(default=False, help_text=gettext_lazy("Used up, thrown away or set aside."))
    note = models.CharField(max_length=200, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["expires_on", "received_on", "id"]
        constraints = [
            models.UniqueConstraint(fields=["material", "code"], name="one_lot_per_mark"),
            models.CheckConstraint(condition=models.Q(left__gte=0), name="no_lot_below_nought"),
        ]

    def __str__(self) -> str:
        return f"{self.material} {self.code}"


class Use(models.Model):
    """What a step took from a lot; a negative quantity puts back."""

    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="uses")
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="material_uses")
    repair = models.ForeignKey(Repair, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    step = models.ForeignKey(Step, null=True, blank=True, on_delete=models.SET_NULL, related_name="uses")
    quantity = models.DecimalField(max_digits=9, decimal_places=3)
    puts_back = models.OneToOneField(
        "self",
        null=True,
        blank=True,
        on_delete=models.CASCADE,
        related_name="put_back_by",
        help_text=gettext_lazy("The use that this one takes back, once."),
    )
    reason = models.CharField(
        max_length=200, blank=True, help_text=gettext_lazy("Why the owner let an expired lot be used.")
    )
    who = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return gettext("%(quantity)s of %(lot)s for %(job)s") % {
            "quantity": self.quantity,
            "lot": self.lot,
            "job": self.job,
        }


class StockCount(models.Model):
    """What somebody found of a lot when they counted it, against what the records said."""

    lot = models.ForeignKey(Lot, on_delete=models.CASCADE, related_name="counts")
    before = models.DecimalField(max_digits=9, decimal_places=3)
    found = models.DecimalField(max_digits=9, decimal_places=3)
    reason = models.CharField(max_length=200)
    who = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return gettext("%(found)s counted of %(lot)s") % {"found": self.found, "lot": self.lot}


class Need(models.Model):
    """What an agreed repair will take of a material: reserved until it is used or no longer needed."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="needs")
    repair = models.ForeignKey(Repair, null=True, blank=True, on_delete=models.CASCADE, related_name="+")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="needs")
    quantity = models.DecimalField(max_digits=9, decimal_places=3)
    open = models.BooleanField(default=True)

    class Meta:
        indexes = [
            models.Index(fields=["material"], condition=models.Q(open=True), name="reserved_of_a_material")
        ]

    def __str__(self) -> str:
        return gettext("%(quantity)s of %(material)s for %(job)s") % {
            "quantity": self.quantity,
            "material": self.material,
            "job": self.job,
        }
