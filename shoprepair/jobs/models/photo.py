import secrets

from django.db import models

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
    taken_by = models.ForeignKey(Staff, null=True, on_delete=models.PROTECT, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.key
