import secrets

from django.db import models
from django.utils.translation import gettext

from shoprepair.jobs.models.damage import Damage
from shoprepair.jobs.models.job import Job
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff


def photo_key() -> str:
    return secrets.token_urlsafe(16)


class Photo(models.Model):
    """A photo, re-encoded in three sizes; the file that was sent is not kept."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="photos")
    damage = models.ForeignKey(
        Damage, null=True, blank=True, on_delete=models.SET_NULL, related_name="photos"
    )
    key = models.CharField(max_length=30, unique=True, default=photo_key)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    caption = models.CharField(max_length=200, blank=True)
    shared = models.BooleanField(
        default=False, help_text=gettext_lazy("The customer sees it on the status link.")
    )
    x_m = models.FloatField(
        null=True,
        blank=True,
        help_text=gettext_lazy("The point of the drawing it was taken at; empty: none."),
    )
    y_m = models.FloatField(null=True, blank=True)
    taken_by = models.ForeignKey(Staff, null=True, on_delete=models.PROTECT, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    where = ""
    """The place in words; set by whoever shows the photo to a reader (`jobs.photo_places.told_where`)."""

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.key

    @property
    def called(self) -> str:
        """How it is told from every other by whoever does not see it."""
        return self.caption or gettext("photo %(number)d") % {"number": self.pk}
