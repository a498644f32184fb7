from django.db import models
from django.utils.translation import gettext

from shoprepair.jobs.models.job import Job
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff


class StatusLink(models.Model):
    """An address under which the customer sees the job. The token is derived; only its keyed hash is kept."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="status_links")
    nonce = models.CharField(
        max_length=43, help_text=gettext_lazy("Goes into the token, so that a new link is another one.")
    )
    token_hash = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(Staff, null=True, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    withdrawn_by = models.ForeignKey(Staff, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["job"], condition=models.Q(withdrawn_at=None), name="one_live_status_link_per_job"
            )
        ]

    def __str__(self) -> str:
        return gettext("Status link of %(job)s") % {"job": self.job}


class Message(models.Model):
    """A question of the customer or an answer of the shop. Never changed afterwards."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="messages")
    by = models.ForeignKey(
        Staff,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text=gettext_lazy("Empty: the customer."),
    )
    name = models.CharField(max_length=120, help_text=gettext_lazy("The name as it was then."))
    text = models.TextField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return gettext("%(name)s on %(job)s") % {"name": self.name, "job": self.job}
