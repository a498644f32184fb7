"""The outbox, and the owner's own wording of what goes through it."""

from django.db import models
from django.utils.translation import gettext

from shoprepair.shop.languages import gettext_lazy


class MailText(models.Model):
    """The owner's own wording of a letter, where it differs from the one that the program brings."""

    code = models.SlugField(primary_key=True)
    subject = models.CharField(
        max_length=200, blank=True, help_text=gettext_lazy("Empty: the program's own wording.")
    )
    body = models.TextField(blank=True)
    version = models.PositiveIntegerField(default=1)

    def __str__(self) -> str:
        return self.code


class Letter(models.Model):
    """An e-mail in the outbox, written with the change that it tells of and sent by a worker."""

    class State(models.TextChoices):
        WAITING = "waiting", gettext_lazy("Waiting to be sent")
        SENDING = "sending", gettext_lazy("Being sent")
        SENT = "sent", gettext_lazy("Sent")
        UNSURE = "unsure", gettext_lazy("Perhaps sent")
        FAILED = "failed", gettext_lazy("Not sent")
        CANCELLED = "cancelled", gettext_lazy("Not to be sent")

    about = models.CharField(
        max_length=40,
        help_text=gettext_lazy("The subject it belongs to, as the journal names it: 'job:412'."),
    )
    code = models.SlugField(help_text=gettext_lazy("Which text it was written from."))
    to = models.EmailField()
    subject = models.CharField(max_length=250)
    body = models.TextField()
    message_id = models.CharField(
        max_length=120, unique=True, help_text=gettext_lazy("The same at every try.")
    )
    state = models.CharField(max_length=10, choices=State, default=State.WAITING)
    tries = models.PositiveSmallIntegerField(default=0)
    written_at = models.DateTimeField()
    next_try_at = models.DateTimeField()
    give_up_at = models.DateTimeField(help_text=gettext_lazy("After this the letter is not tried any more."))
    claimed_at = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    last_error = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["id"]
        indexes = [
            models.Index(fields=["state", "next_try_at", "id"], name="letters_by_state"),
            models.Index(fields=["about", "id"], name="letters_about_a_subject"),
        ]

    def __str__(self) -> str:
        return gettext("%(code)s to %(to)s") % {"code": self.code, "to": self.to}

    @property
    def may_go_again(self) -> bool:
        """Whether a person may have it sent again; the program alone never does."""
        return self.state in {self.State.UNSURE, self.State.FAILED}

    @property
    def may_be_cancelled(self) -> bool:
        return self.may_go_again or self.state == self.State.WAITING
