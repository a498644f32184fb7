from django.db import models
from django.utils.translation import gettext

from shoprepair.gear.models import Inflatable
from shoprepair.jobs.models import Job
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff
from shoprepair.work.models import HandBack


class Cover(models.Model):
    """The promise on one repair, as it was given when the gear was handed back. Never changed.

    All of it stands in `contents`; the columns beside it repeat what lists and counts ask for.
    """

    number = models.PositiveIntegerField(
        unique=True, help_text=gettext_lazy("Its place in the chain, without gaps.")
    )
    inflatable = models.ForeignKey(Inflatable, on_delete=models.PROTECT, related_name="covers")
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="covers")
    hand_back = models.ForeignKey(HandBack, on_delete=models.PROTECT, related_name="covers")
    given_at = models.DateTimeField()
    until = models.DateField(
        null=True, blank=True, help_text=gettext_lazy("Last day; empty: for the life of the gear.")
    )
    operation = models.CharField(
        max_length=50, blank=True, help_text=gettext_lazy("Code of the operation that day.")
    )
    operation_name = models.CharField(max_length=200)
    kind = models.CharField(max_length=15, blank=True, help_text=gettext_lazy("What the damage was."))
    element = models.CharField(max_length=15, blank=True, help_text=gettext_lazy("What it lay on."))
    cloth = models.CharField(
        max_length=80, blank=True, help_text=gettext_lazy("Name of the cloth that was sewn on.")
    )
    techs = models.JSONField(default=list, blank=True, help_text=gettext_lazy("Names of who did it."))
    lots = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("'material · mark' of each lot used.")
    )
    contents = models.TextField(
        help_text=gettext_lazy("The whole record as canonical JSON, in SI, naming no customer.")
    )
    previous = models.CharField(
        max_length=64, blank=True, help_text=gettext_lazy("Digest of the cover before it.")
    )
    digest = models.CharField(max_length=64, unique=True, help_text="SHA-256 of `previous` and `contents`.")

    class Meta:
        ordering = ["number"]
        indexes = [
            models.Index(fields=["inflatable", "number"], name="covers_of_an_inflatable"),
            models.Index(fields=["given_at"], name="covers_by_day"),
        ]

    def __str__(self) -> str:
        return f"{self.number:05d}"


class Ending(models.Model):
    """Why a cover no longer stands. Never changed."""

    class Reason(models.TextChoices):
        NOT_HANDED_BACK = "taken back", gettext_lazy("The hand-back was taken back")
        RETIRED = "retired", gettext_lazy("The gear is no longer used")
        REPLACED = "replaced", gettext_lazy("A later repair took its place")
        PASSED_ON = "passed on", gettext_lazy("The gear passed to a new owner")
        VOID = "void", gettext_lazy("The owner ended it")

    cover = models.OneToOneField(Cover, on_delete=models.PROTECT, related_name="ending")
    reason = models.CharField(max_length=12, choices=Reason)
    note = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()
    who = models.ForeignKey(Staff, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    who_name = models.CharField(max_length=150)

    class Meta:
        indexes = [models.Index(fields=["at"], name="endings_by_day")]

    def __str__(self) -> str:
        return f"{self.cover}: {self.get_reason_display()}"


class CoverLink(models.Model):
    """The address that an inflatable's cover record carries. Of its token only a digest is kept.

    A printed paper must open for decades: the digest asks for no key, so that it outlives the shop's key.
    """

    inflatable = models.ForeignKey(Inflatable, on_delete=models.PROTECT, related_name="cover_links")
    nonce = models.CharField(max_length=43)
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(Staff, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return gettext("Cover page of %(inflatable)s") % {"inflatable": self.inflatable}
