from decimal import Decimal

from django.db import models
from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.pricing.models import Quote
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff

KNOWN_BY = {
    "tag": gettext_lazy("the tag"),
    "document": gettext_lazy("a document"),
    "person": gettext_lazy("in person"),
}
"""How a taker may be known. Kept in these English words, so that each reader has them in their own."""
BY_SIGHT = gettext_lazy("sight")


def known_words(kept: str) -> str:
    """How a taker was known, in the reader's language: known by "a document: passport", by "sight"."""
    way, colon, more = kept.partition(": ")
    return f"{known_way(way)!s}{colon}{more}"


def known_way(kept: str) -> str:
    """One of the ways, to be said behind "known by"; other words as they were written."""
    if kept == KNOWN_BY["person"]:
        return BY_SIGHT
    return next((each for each in KNOWN_BY.values() if each == kept), kept)


class Invoice(models.Model):
    """What the customer owes for a job: numbered without gaps, never changed; a credit takes it back."""

    number = models.PositiveIntegerField(unique=True)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="invoices")
    credits = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="credited_by"
    )
    lines = models.JSONField(
        help_text=gettext_lazy("Text, detail and amount of each line as agreed, then all totals.")
    )
    currency = models.CharField(max_length=3)
    total = models.DecimalField(max_digits=10, decimal_places=2)
    quotes = models.ManyToManyField(Quote, related_name="+")
    made_by = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["-number"]
        # The office's weeks: what was done.
        indexes = [models.Index(fields=["made_at"], name="invoices_by_day")]

    def __str__(self) -> str:
        return f"{self.number:04d}"


class Payment(models.Model):
    """Money that came in, or went back where the amount is negative. Append-only."""

    class Method(models.TextChoices):
        CASH = "cash", gettext_lazy("Cash")
        CARD = "card", gettext_lazy("Card")
        TRANSFER = "transfer", gettext_lazy("Transfer")

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="payments")
    amount = models.DecimalField(max_digits=10, decimal_places=2)
    method = models.CharField(max_length=8, choices=Method)
    is_deposit = models.BooleanField(default=False)
    note = models.CharField(max_length=200, blank=True)
    who = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        # The office's weeks: what was paid.
        indexes = [models.Index(fields=["at"], name="payments_by_day")]

    def __str__(self) -> str:
        return gettext("%(amount)s for %(job)s") % {"amount": self.amount, "job": self.job}


class HandBack(models.Model):
    """Who took the gear, how they were known, and their signature."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="hand_backs")
    taker_name = models.CharField(max_length=120)
    known_by = models.CharField(
        max_length=200, help_text=gettext_lazy("How the taker was known: the tag, a document, in person.")
    )
    signature = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("Strokes: lists of [x, y] shares of the box.")
    )
    on_paper = models.BooleanField(
        default=False, help_text=gettext_lazy("Signed on the printed sheet instead.")
    )
    typed_name = models.CharField(  # noqa: DJ001 - SQLite keeps a table's triggers only where a new column may be null
        max_length=120,
        null=True,
        blank=True,
        help_text=gettext_lazy("Typed by the taker in place of a drawn signature."),
    )
    open_points = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("Sentences of what was still open.")
    )
    override_by = models.ForeignKey(Staff, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    override_reason = models.CharField(max_length=300, blank=True)
    due = models.DecimalField(
        max_digits=10, decimal_places=2, default=Decimal("0.00"), help_text=gettext_lazy("Left unpaid.")
    )
    who = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    taken_back_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["job"], condition=models.Q(taken_back_at=None), name="one_hand_back_per_job"
            )
        ]

    def __str__(self) -> str:
        return gettext("%(job)s to %(taker_name)s") % {"job": self.job, "taker_name": self.taker_name}

    @property
    def known(self) -> str:
        """How the taker was known, in the reader's language."""
        return known_words(self.known_by)
