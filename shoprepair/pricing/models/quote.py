from decimal import Decimal

from django.db import models
from django.utils.translation import gettext

from shoprepair.jobs.models import Job
from shoprepair.pricing.models.fields import NOUGHT, minutes, money, percent
from shoprepair.pricing.models.repair import Repair
from shoprepair.shop.languages import gettext_lazy


class Quote(models.Model):
    """One version of what a job will cost. Once out it is never changed: a change is a new version."""

    class State(models.TextChoices):
        DRAFT = "draft", gettext_lazy("Draft")
        OUT = "out", gettext_lazy("Out")
        ACCEPTED = "accepted", gettext_lazy("Accepted")
        DECLINED = "declined", gettext_lazy("Declined")
        REPLACED = "replaced", gettext_lazy("Replaced by a newer one")
        WITHDRAWN = "withdrawn", gettext_lazy("Withdrawn")

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="quotes")
    number = models.PositiveSmallIntegerField(help_text=gettext_lazy("Counts within the job."))
    addition_to = models.ForeignKey(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="additions",
        help_text=gettext_lazy("The accepted quote that this adds to, when more was found in the work."),
    )
    state = models.CharField(max_length=10, choices=State, default=State.DRAFT)
    currency = models.CharField(max_length=3)
    tax_name = models.CharField(max_length=40)
    tax_percent = percent()
    rounding = models.DecimalField(max_digits=4, decimal_places=2)
    minimum_charge = money(default=NOUGHT)
    discount_percent = percent(default=Decimal(0))
    deposit_percent = percent(default=Decimal(0))
    deposit_from = money(default=NOUGHT)
    warranty = models.BooleanField(
        default=False, help_text=gettext_lazy("Ours to mend: priced at nought, its cost still counted.")
    )
    valid_until = models.DateField()
    note = models.TextField(blank=True, help_text=gettext_lazy("To the customer."))
    terms = models.TextField(blank=True)
    worth = money(
        null=True, blank=True, help_text=gettext_lazy("The inflatable's present worth as reckoned then.")
    )
    sent_at = models.DateTimeField(null=True, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_name = models.CharField(max_length=120, blank=True)
    agreed = models.JSONField(
        default=dict, blank=True, help_text=gettext_lazy("Lines, totals and terms exactly as shown.")
    )
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["-number"]
        indexes = [
            # The office's weeks: what was quoted, and what was agreed.
            models.Index(fields=["sent_at"], name="quotes_by_day_sent"),
            models.Index(fields=["answered_at"], name="quotes_by_day_answered"),
        ]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="quote_numbers_count_within_a_job"),
            models.UniqueConstraint(
                fields=["job"], condition=models.Q(state="out"), name="one_quote_out_at_a_time"
            ),
            models.UniqueConstraint(
                fields=["job"], condition=models.Q(state="draft"), name="one_draft_at_a_time"
            ),
        ]

    def __str__(self) -> str:
        return gettext("%(job)s quote %(number)s") % {"job": self.job, "number": self.number}


class QuoteLine(models.Model):
    """One line of a quote, with its cost as reckoned that day."""

    class Kind(models.TextChoices):
        REPAIR = "repair", gettext_lazy("Repair")
        ACCESS = "access", gettext_lazy("Shared access")
        PART = "part", gettext_lazy("Part")
        EXTRA = "extra", gettext_lazy("Extra")

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=8, choices=Kind)
    text = models.CharField(max_length=200)
    detail = models.CharField(
        max_length=300, blank=True, help_text=gettext_lazy("How the amount comes about, in words.")
    )
    repair = models.ForeignKey(Repair, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    operation_code = models.CharField(max_length=50, blank=True)
    damages = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("Numbers of the damages it mends or reaches.")
    )
    minutes = minutes()
    cost = money(default=NOUGHT, help_text=gettext_lazy("What it costs the shop: minutes and materials."))
    amount = money()
    optional = models.BooleanField(default=False)
    choice = models.CharField(
        max_length=40, blank=True, help_text=gettext_lazy("Lines with one choice exclude each other.")
    )
    taken = models.BooleanField(
        default=True, help_text=gettext_lazy("In the total unless the customer leaves it out.")
    )
    by_hand = models.BooleanField(
        default=False,
        help_text=gettext_lazy("A person wrote or changed it; reckoning the quote anew keeps it."),
    )

    class Meta:
        ordering = ["position"]

    def __str__(self) -> str:
        return self.text
