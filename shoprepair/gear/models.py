from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models.functions import Upper
from django.utils.translation import gettext

from shoprepair.mechanics.description import Condition, Kind
from shoprepair.shop.languages import gettext_lazy


class Cloth(models.Model):
    """A cloth or film of the library. Strengths are strip strengths, marked measured or assumed."""

    class Use(models.TextChoices):
        CASING = "casing", gettext_lazy("Casing")
        CANOPY = "canopy", gettext_lazy("Canopy")
        WINDOW = "window", gettext_lazy("Window")
        BLADDER = "bladder", gettext_lazy("Bladder")

    name = models.CharField(max_length=80, unique=True)
    use = models.CharField(max_length=10, choices=Use)
    weight_g_per_m2 = models.FloatField()
    strength_warp_n_per_m = models.FloatField()
    strength_weft_n_per_m = models.FloatField()
    yarns_warp_per_m = models.FloatField(default=0)
    yarns_weft_per_m = models.FloatField(default=0)
    stiffness_n_per_m = models.FloatField(default=0)
    measured = models.BooleanField(default=False)
    source = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["use", "name"]
        verbose_name_plural = "cloths"

    def __str__(self) -> str:
        return gettext(self.name) if self.name else ""


class Pattern(models.Model):
    """How a model of inflatable is cut: its figures. Tubes, panels and valves hang from it."""

    class Support(models.TextChoices):
        HANDLES = "handles", gettext_lazy("Held by handles")
        BOOM = "boom", gettext_lazy("Held by a boom")
        BRIDLED = "bridled", gettext_lazy("Bridled")

    class Pumping(models.TextChoices):
        LINKED = "linked", gettext_lazy("Linked: one inflation valve")
        SEPARATE = "separate", gettext_lazy("Separate: a valve each")

    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=10, choices=[(k.value, k.value) for k in Kind])
    support = models.CharField(max_length=10, choices=Support)
    pumping = models.CharField(max_length=10, choices=Pumping, default=Pumping.LINKED)
    area_m2 = models.FloatField(validators=[MinValueValidator(0.5), MaxValueValidator(30)])
    span_m = models.FloatField(help_text=gettext_lazy("Projected, tip to tip."))
    chord_centre_m = models.FloatField(
        help_text=gettext_lazy("Leading edge centreline to trailing edge, at the centre.")
    )
    chord_tip_m = models.FloatField()
    sweep_m = models.FloatField(
        help_text=gettext_lazy("How far the tip's centreline lies behind the centre's.")
    )
    rated_pressure_pa = models.FloatField()
    rated_pressure_typed = models.CharField(
        max_length=20, help_text=gettext_lazy("As it was written: '0.5 bar', '7 psi'.")
    )
    segments = models.PositiveSmallIntegerField(
        default=7, help_text=gettext_lazy("Cut segments of one half leading edge.")
    )
    canopy_seams = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("Chord shares of the canopy's spanwise seams.")
    )
    bridle_stations = models.JSONField(default=list, blank=True)
    handle_shares = models.JSONField(
        default=list,
        blank=True,
        help_text=gettext_lazy("[from, to] shares of the centre strut under each handle, or the boom."),
    )
    casing = models.ForeignKey(Cloth, on_delete=models.PROTECT, related_name="+")
    canopy = models.ForeignKey(Cloth, on_delete=models.PROTECT, related_name="+")
    window = models.ForeignKey(Cloth, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    new_price = models.DecimalField(
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
        help_text=gettext_lazy("What it costs new, in the shop's currency."),
    )
    seam_efficiency = models.FloatField(default=0.66)
    assumed = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("Names of figures assumed rather than measured.")
    )
    measured_here = models.BooleanField(
        default=False, help_text=gettext_lazy("Entered at the counter, not from the library.")
    )
    everyday = models.CharField(
        max_length=20,
        blank=True,
        help_text=gettext_lazy("Code of the size it stands for, where nobody knows the model."),
    )
    version = models.PositiveIntegerField(
        default=1, help_text=gettext_lazy("Grows with every change; drawings are kept by it.")
    )

    class Meta:
        ordering = ["kind", "name", "area_m2"]
        constraints = [
            models.UniqueConstraint(
                fields=["everyday"], condition=~models.Q(everyday=""), name="one_everyday_pattern_per_code"
            ),
            models.UniqueConstraint(
                fields=["name"], condition=models.Q(measured_here=False), name="one_library_pattern_per_name"
            ),
        ]

    def __str__(self) -> str:
        return gettext(self.name) if self.everyday else self.name


class Tube(models.Model):
    """A leading edge or strut of a pattern. A strut off the centre stands for its mirrored pair."""

    class Kind(models.TextChoices):
        LEADING_EDGE = "leading edge", gettext_lazy("leading edge")
        STRUT = "strut", gettext_lazy("strut")

    pattern = models.ForeignKey(Pattern, on_delete=models.CASCADE, related_name="tubes")
    kind = models.CharField(max_length=15, choices=Kind)
    station = models.FloatField(default=0, help_text=gettext_lazy("Where a strut meets the leading edge."))
    diameter_root_m = models.FloatField()
    diameter_tip_m = models.FloatField()
    doublings = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("[from, to] shares where the casing is two plies.")
    )

    class Meta:
        ordering = ["kind", "station"]

    def __str__(self) -> str:
        return gettext("%(kind)s at %(station)s") % {"kind": gettext(self.kind), "station": self.station}


class Panel(models.Model):
    """One piece of canopy: a cell between struts, counted outwards and mirrored, and a row."""

    pattern = models.ForeignKey(Pattern, on_delete=models.CASCADE, related_name="panels")
    cell = models.PositiveSmallIntegerField(
        help_text=gettext_lazy("0 beside the centre strut, counting to the tip.")
    )
    row = models.PositiveSmallIntegerField(help_text=gettext_lazy("0 behind the leading edge, counting aft."))
    window = models.BooleanField(default=False)

    class Meta:
        ordering = ["cell", "row"]

    def __str__(self) -> str:
        return gettext("cell %(cell)s, row %(row)s") % {"cell": self.cell, "row": self.row}


class Valve(models.Model):
    """An inflation valve, a dump valve or the mouth of a strut hose."""

    class Kind(models.TextChoices):
        INFLATION = "inflation", gettext_lazy("inflation valve")
        DUMP = "dump", gettext_lazy("dump valve")
        HOSE = "hose", gettext_lazy("strut hose")

    pattern = models.ForeignKey(Pattern, on_delete=models.CASCADE, related_name="valves")
    kind = models.CharField(max_length=10, choices=Kind)
    station = models.FloatField(help_text=gettext_lazy("Signed: negative on the left."))
    strut_share = models.FloatField(
        null=True,
        blank=True,
        help_text=gettext_lazy("Share along the strut there; empty: on the leading edge."),
    )

    class Meta:
        ordering = ["kind", "station"]

    def __str__(self) -> str:
        return self.get_kind_display()


class Inflatable(models.Model):
    """One customer's wing or kite."""

    pattern = models.ForeignKey(Pattern, on_delete=models.PROTECT, related_name="inflatables")
    serial = models.CharField(max_length=40, blank=True)
    colour = models.CharField(max_length=40, blank=True)
    new_price = models.DecimalField(
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
        help_text=gettext_lazy("What it cost new; empty: as its pattern."),
    )
    bought_year = models.PositiveSmallIntegerField(null=True, blank=True)
    condition = models.CharField(
        max_length=10, choices=[(c.value, c.value) for c in Condition], default=Condition.SOUND.value
    )
    note = models.TextField(blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["serial"], condition=~models.Q(serial=""), name="one_inflatable_per_serial"
            )
        ]
        # People write a serial in letters of any size.
        indexes = [models.Index(Upper("serial"), name="gear_by_serial")]

    def __str__(self) -> str:
        return f"{self.pattern}{f' · {self.serial}' if self.serial else ''}"
