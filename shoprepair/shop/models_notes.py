"""What one machine of the shop says to the others. No archive takes it along."""

from typing import Any

from django.db import models
from django.utils.translation import gettext


class Note(models.Model):
    """What was said last under a name."""

    name = models.CharField(max_length=40, primary_key=True)
    at = models.DateTimeField()
    said: "models.JSONField[Any, Any]" = models.JSONField(default=dict)

    def __str__(self) -> str:
        return gettext("%(name)s at %(at)s") % {"name": self.name, "at": self.at}
