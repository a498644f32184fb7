"""Who is logged in where, and what beside a password lets somebody in. No archive takes any of it along."""

import datetime

from django.conf import settings
from django.db import models
from django.utils.translation import gettext

from shoprepair.shop.languages import gettext_lazy

_STAFF = settings.AUTH_USER_MODEL


class SharedTablet(models.Model):
    """A device that the owner enrolled: on it the people of the shop change places by PIN."""

    name = models.CharField(max_length=60)
    token_hash = models.CharField(max_length=64, unique=True)
    enrolled_at = models.DateTimeField()
    enrolled_by = models.ForeignKey(_STAFF, on_delete=models.CASCADE, related_name="+")

    def __str__(self) -> str:
        return self.name


class LogIn(models.Model):
    """One log-in that goes on. With its session it ends."""

    person = models.ForeignKey(_STAFF, on_delete=models.CASCADE, related_name="log_ins")
    session_key = models.CharField(max_length=40, unique=True)
    device = models.CharField(
        max_length=60, help_text=gettext_lazy("In words, as the browser says of itself.")
    )
    tablet = models.ForeignKey(SharedTablet, null=True, on_delete=models.CASCADE, related_name="log_ins")
    shop = models.ForeignKey("shop.Shop", null=True, on_delete=models.SET_NULL, related_name="+")
    since = models.DateTimeField()
    last_seen = models.DateTimeField(help_text=gettext_lazy("Written once an hour at most."))

    class Meta:
        ordering = ["-last_seen", "-pk"]

    def __str__(self) -> str:
        return gettext("%(person)s on %(device)s") % {"person": self.person, "device": gettext(self.device)}

    @property
    def was_seen_again(self) -> bool:
        """Whether it was used after its first hour, in which nothing more is written down of it."""
        return self.last_seen - self.since > datetime.timedelta(minutes=1)


class TrustedBrowser(models.Model):
    """A browser on which somebody gave their code and is not asked for one again for a while."""

    person = models.ForeignKey(_STAFF, on_delete=models.CASCADE, related_name="+")
    token_hash = models.CharField(max_length=64, unique=True)
    device = models.CharField(max_length=60)
    until = models.DateTimeField()

    def __str__(self) -> str:
        return gettext("%(device)s of %(person)s") % {"device": gettext(self.device), "person": self.person}


class Pin(models.Model):
    """What somebody taps on a shared tablet in place of the password."""

    person = models.OneToOneField(_STAFF, on_delete=models.CASCADE, related_name="pin")
    hash = models.CharField(max_length=128)
    wrong_tries = models.PositiveSmallIntegerField(default=0)

    def __str__(self) -> str:
        return gettext("PIN of %(person)s") % {"person": self.person}
