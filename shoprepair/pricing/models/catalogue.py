from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext

from shoprepair.gear.models import Cloth
from shoprepair.jobs.models import Job
from shoprepair.pricing.models.fields import minutes, money, percent
from shoprepair.shop.languages import gettext_lazy


class Material(models.Model):
    """What a repair uses up, priced by its unit."""

    class Unit(models.TextChoices):
        SQUARE_METRE = "m2", gettext_lazy("square metre")
        METRE = "m", gettext_lazy("metre")
        PIECE = "piece", gettext_lazy("piece")

    code = models.SlugField(unique=True)
    name = models.CharField(max_length=80)
    unit = models.CharField(max_length=5, choices=Unit)
    price = money()
    waste_percent = percent(default=Decimal("15.00"))
    cloth = models.ForeignKey(Cloth, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    active = models.BooleanField(default=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Operation(models.Model):
    """A priced kind of repair: its steps, minutes, materials, and the cover it earns."""

    class Area(models.TextChoices):
        CASING = "casing", gettext_lazy("Casing")
        SEAM = "seam", gettext_lazy("Seam")
        BLADDER = "bladder", gettext_lazy("Bladder")
        VALVE = "valve", gettext_lazy("Valve and hose")
        CANOPY = "canopy", gettext_lazy("Canopy")
        WINDOW = "window", gettext_lazy("Window")
        TRAILING_EDGE = "trailing edge", gettext_lazy("Trailing edge")
        STRUT = "strut", gettext_lazy("Strut")
        ATTACHMENT = "attachment", gettext_lazy("Handles and bridle points")
        CLOSURE = "closure", gettext_lazy("Zip and closing seam")
        CARE = "care", gettext_lazy("Cleaning and checks")

    code = models.SlugField(unique=True)
    name = models.CharField(max_length=80, help_text=gettext_lazy("As the customer reads it."))
    area = models.CharField(max_length=15, choices=Area)
    steps = models.JSONField(default=list, help_text=gettext_lazy("A sentence each, in bench order."))
    step_codes = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("What each step does, by `step_codes.Does`.")
    )
    set_up_minutes = minutes()
    minutes_per_m = minutes(help_text=gettext_lazy("Per metre of stitching."))
    minutes_per_m2 = minutes(help_text=gettext_lazy("Per square metre of patch."))
    needs_opening = models.BooleanField(default=False)
    bladder_out = models.BooleanField(default=False)
    needs_hold_test = models.BooleanField(default=False)
    drying_hours = minutes()
    cover_terms = models.CharField(max_length=300)
    cover_months = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text=gettext_lazy("Empty: for the life of the gear.")
    )
    cover_passes_on = models.BooleanField(
        default=True, help_text=gettext_lazy("The cover goes along to a new owner of the gear.")
    )
    active = models.BooleanField(default=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["area", "name"]

    def __str__(self) -> str:
        return self.name


class OperationMaterial(models.Model):
    """How much of a material an operation uses."""

    class Basis(models.TextChoices):
        EACH = "each", gettext_lazy("each time")
        PER_M = "per-m", gettext_lazy("per metre of stitching")
        PER_M2 = "per-m2", gettext_lazy("per square metre of patch")

    operation = models.ForeignKey(Operation, on_delete=models.CASCADE, related_name="materials")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="uses")
    basis = models.CharField(max_length=6, choices=Basis, default=Basis.EACH)
    quantity = models.DecimalField(
        max_digits=8, decimal_places=3, validators=[MinValueValidator(Decimal("0.001"))]
    )

    def __str__(self) -> str:
        return f"{self.operation}: {self.material}"


class MeasuredMinutes(models.Model):
    """What an operation took on the bench against what the catalogue said."""

    operation = models.ForeignKey(Operation, on_delete=models.CASCADE, related_name="measured")
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="+")
    estimated = minutes()
    measured = minutes()
    at = models.DateTimeField()

    def __str__(self) -> str:
        return gettext("%(operation)s: %(measured)s of %(estimated)s min") % {
            "operation": self.operation,
            "measured": self.measured,
            "estimated": self.estimated,
        }
