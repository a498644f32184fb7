from django.db import models
from django.utils.translation import gettext

from shoprepair.jobs.models import Job, Photo
from shoprepair.pricing.models import Repair
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models import Staff


class Step(models.Model):
    """One thing to do at the bench on a job, made from what the customer agreed to."""

    class Kind(models.TextChoices):
        OPEN = "open", gettext_lazy("Open")
        DRAW = "draw", gettext_lazy("Draw the bladder")
        REPAIR = "repair", gettext_lazy("Repair")
        REFIT = "refit", gettext_lazy("Refit the bladder")
        CLOSE = "close", gettext_lazy("Close")
        CHECK = "check", gettext_lazy("Check")

    class State(models.TextChoices):
        WAITING = "waiting", gettext_lazy("Waiting")
        RUNNING = "running", gettext_lazy("Being done")
        DONE = "done", gettext_lazy("Done")
        SKIPPED = "skipped", gettext_lazy("Skipped")

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="steps")
    position = models.PositiveSmallIntegerField()
    made_from = models.CharField(
        max_length=80, help_text=gettext_lazy("What it was made from: the same agreement makes it once.")
    )
    kind = models.CharField(max_length=8, choices=Kind)
    text = models.CharField(max_length=300)
    caution = models.CharField(max_length=300, blank=True)
    does = models.CharField(
        max_length=30, blank=True, default="", help_text=gettext_lazy("What it does, by `step_codes.Does`.")
    )
    repair = models.ForeignKey(Repair, null=True, blank=True, on_delete=models.SET_NULL, related_name="steps")
    operation_code = models.CharField(max_length=50, blank=True)
    damages = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("Numbers of the damages it is about.")
    )
    opening = models.JSONField(
        default=dict, blank=True, help_text=gettext_lazy("Tube key, start and end in m, of an opening.")
    )
    after = models.JSONField(
        default=list, blank=True, help_text=gettext_lazy("`made_from` of the steps that come before it.")
    )
    minutes = models.DecimalField(max_digits=7, decimal_places=1, default=0)
    drying_hours = models.DecimalField(
        max_digits=5, decimal_places=1, default=0, help_text=gettext_lazy("Rest after it.")
    )
    state = models.CharField(max_length=8, choices=State, default=State.WAITING)
    reason = models.CharField(max_length=300, blank=True, help_text=gettext_lazy("Why it was skipped."))
    done_by = models.ForeignKey(Staff, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    done_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["position", "id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "made_from"], name="one_step_of_one_making_per_job")
        ]

    def __str__(self) -> str:
        return f"{self.job}: {self.text}"


class Tick(models.Model):
    """What somebody did to a step on one device. Never changed: a step's state follows from its ticks."""

    class Verb(models.TextChoices):
        START = "start", gettext_lazy("started")
        DONE = "done", gettext_lazy("did")
        SKIP = "skip", gettext_lazy("skipped")
        UNDO = "undo", gettext_lazy("took back")

    step = models.ForeignKey(Step, on_delete=models.CASCADE, related_name="ticks")
    key = models.CharField(
        max_length=64, unique=True, help_text=gettext_lazy("Made on the device: sent twice, counted once.")
    )
    verb = models.CharField(max_length=5, choices=Verb)
    reason = models.CharField(max_length=300, blank=True)
    who = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(
        help_text=gettext_lazy("When it was tapped, by the device's clock, never later than received.")
    )
    received_at = models.DateTimeField()

    class Meta:
        ordering = ["at", "id"]

    def __str__(self) -> str:
        return f"{self.who} {self.get_verb_display()} {self.step}"


class Stint(models.Model):
    """A stretch of one person's time on one step. One runs at a time for each person."""

    who = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="stints")
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="stints")
    step = models.ForeignKey(Step, null=True, blank=True, on_delete=models.SET_NULL, related_name="stints")
    began_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    mended = models.CharField(
        max_length=200, blank=True, help_text=gettext_lazy("How a forgotten one was put right.")
    )

    class Meta:
        ordering = ["began_at", "id"]
        # The office's weeks: whose time ran in one.
        indexes = [models.Index(fields=["ended_at"], name="stints_by_their_end")]
        constraints = [
            models.UniqueConstraint(
                fields=["who"], condition=models.Q(ended_at=None), name="one_running_stint_per_person"
            )
        ]

    def __str__(self) -> str:
        return gettext("%(who)s on %(job)s") % {"who": self.who, "job": self.job}


class StepPhoto(models.Model):
    """Which step a photo belongs to, and at what moment it was taken."""

    class Moment(models.TextChoices):
        BEFORE = "before", gettext_lazy("Before")
        INSIDE = "inside", gettext_lazy("Inside")
        AFTER = "after", gettext_lazy("After")

    photo = models.OneToOneField(Photo, on_delete=models.CASCADE, related_name="at_bench")
    step = models.ForeignKey(Step, null=True, blank=True, on_delete=models.SET_NULL, related_name="photos")
    moment = models.CharField(max_length=6, choices=Moment)

    def __str__(self) -> str:
        return f"{self.get_moment_display()}: {self.photo}"


class Check(models.Model):
    """A second person's look at the work of a job."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="checks")
    who = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    passed = models.BooleanField()
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return gettext("%(who)s checked %(job)s") % {"who": self.who, "job": self.job}
