import secrets
from enum import StrEnum

from django.db import models
from django.urls import reverse

from shoprepair.gear.models import Inflatable
from shoprepair.mechanics.description import (
    Answer,
    Band,
    Condition,
    Direction,
    Element,
    Face,
    FindingKind,
    Fold,
    Softens,
)
from shoprepair.shop.models import Staff


def _choices(words: type[StrEnum]) -> list[tuple[str, str]]:
    return [(word.value, word.value) for word in words]


class Stage(models.TextChoices):
    ENQUIRY = "enquiry", "Enquiry"
    CHECKED_IN = "checked-in", "Checked in"
    ASSESSED = "assessed", "Assessed"
    QUOTE_OUT = "quote-out", "Quote out"
    GO_AHEAD = "go-ahead", "Go-ahead"
    BENCH = "bench", "On the bench"
    HOLD_TEST = "hold-test", "Hold test"
    READY = "ready", "Ready"
    HANDED_BACK = "handed-back", "Handed back"
    DECLINED = "declined", "Declined"
    WITHDRAWN = "withdrawn", "Withdrawn"


class Hold(models.TextChoices):
    NONE = "", "No hold"
    DRYING = "drying", "Drying"
    PARTS = "parts", "Waiting for parts"
    CUSTOMER = "customer", "Waiting for the customer"


class Customer(models.Model):
    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    note = models.TextField(blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    version = models.PositiveIntegerField(default=1)

    def __str__(self) -> str:
        return self.name


class SearchWord(models.Model):
    """One folded word by which a customer, a piece of gear or a job is found while typing."""

    word = models.CharField(max_length=120)
    customer = models.ForeignKey(Customer, on_delete=models.CASCADE, related_name="search_words")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["customer", "word"], name="one_row_per_word_of_a_customer")
        ]
        indexes = [
            # The search while typing; the pattern operators let PostgreSQL seek by a word's beginning.
            models.Index(
                fields=["word", "customer"],
                name="search_by_beginning",
                opclasses=["varchar_pattern_ops", "int8_ops"],
            )
        ]

    def __str__(self) -> str:
        return self.word


class Ownership(models.Model):
    """Whose an inflatable is, and was."""

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="ownerships")
    inflatable = models.ForeignKey(Inflatable, on_delete=models.PROTECT, related_name="ownerships")
    since = models.DateTimeField(auto_now_add=True)
    until = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["inflatable"], condition=models.Q(until=None), name="one_owner_at_a_time"
            )
        ]

    def __str__(self) -> str:
        return f"{self.customer}: {self.inflatable}"


class Job(models.Model):
    """One inflatable's visit."""

    number = models.PositiveIntegerField(unique=True)
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="jobs")
    inflatable = models.ForeignKey(Inflatable, on_delete=models.PROTECT, related_name="jobs")
    stage = models.CharField(max_length=12, choices=Stage, default=Stage.ENQUIRY)
    hold = models.CharField(max_length=10, choices=Hold, default=Hold.NONE, blank=True)
    hold_note = models.CharField(max_length=200, blank=True)
    received_at = models.DateTimeField()
    promised_on = models.DateField()
    closed_at = models.DateTimeField(null=True, blank=True)
    is_open = models.BooleanField(
        default=True, help_text="Kept with the stage, so that the rack's index stays small."
    )
    came_with = models.JSONField(
        default=list, blank=True, help_text="'bag', 'pump', 'leash', or a person's own words."
    )
    arrived_wet = models.BooleanField(null=True, help_text="Wet or sandy when it came; empty: not said.")
    terms = models.TextField(blank=True, help_text="The shop's terms as the customer agreed to them.")
    terms_agreed_at = models.DateTimeField(null=True, blank=True)
    note = models.TextField(blank=True)
    urgency = models.PositiveSmallIntegerField(default=0)
    rank = models.PositiveSmallIntegerField(default=100, help_text="100 - urgency: the rack reads upwards.")
    band = models.CharField(max_length=15, choices=_choices(Band), default=Band.WATCH.value)
    damage_count = models.PositiveSmallIntegerField(default=0)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        indexes = [
            # The rack: open jobs, most dangerous first, then by promise.
            models.Index(
                fields=["rank", "promised_on", "id"],
                condition=models.Q(is_open=True),
                name="rack_most_dangerous_first",
            ),
            models.Index(
                fields=["stage", "rank", "promised_on", "id"],
                condition=models.Q(is_open=True),
                name="rack_of_one_stage",
            ),
            models.Index(
                fields=["band", "rank", "promised_on", "id"],
                condition=models.Q(is_open=True),
                name="rack_of_one_band",
            ),
            models.Index(
                fields=["hold", "rank", "promised_on", "id"],
                condition=models.Q(is_open=True),
                name="rack_of_one_hold",
            ),
            # The counts beside the rack's filters. With is_open in it, SQLite reads the index alone.
            models.Index(
                fields=["stage", "band", "hold", "is_open"],
                condition=models.Q(is_open=True),
                name="rack_counts",
            ),
            # The rack filtered by a closed stage, such as Handed back.
            models.Index(
                fields=["stage", "rank", "promised_on", "id"],
                condition=models.Q(is_open=False),
                name="closed_jobs_of_one_stage",
            ),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["inflatable"], condition=models.Q(stage="enquiry"), name="one_enquiry_per_inflatable"
            )
        ]

    def __str__(self) -> str:
        return f"{self.number:04d}"

    def get_absolute_url(self) -> str:
        return reverse("job", args=[self.number])


class Damage(models.Model):
    """One pinned finding. Its place was resolved from x and y; its assessment is kept with its inputs."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="damages")
    number = models.PositiveSmallIntegerField(help_text="Counts within the job; never used again.")
    x_m = models.FloatField()
    y_m = models.FloatField()
    element = models.CharField(max_length=15, choices=_choices(Element))
    station = models.FloatField()
    side = models.CharField(max_length=10)
    strut = models.PositiveSmallIntegerField(null=True, blank=True)
    cell = models.PositiveSmallIntegerField(null=True, blank=True)
    fraction = models.FloatField(default=0)
    face = models.CharField(max_length=15, choices=_choices(Face), default=Face.UNKNOWN.value)
    kind = models.CharField(
        max_length=15, choices=_choices(FindingKind), blank=True, help_text="Empty: not yet said."
    )
    length_m = models.FloatField(null=True, blank=True)
    length_typed = models.CharField(
        max_length=24, blank=True, help_text="As it was typed: '35 mm', '1 3/8 in'."
    )
    direction = models.CharField(max_length=15, choices=_choices(Direction), default=Direction.UNKNOWN.value)
    angle_deg = models.FloatField(null=True, blank=True)
    fold = models.CharField(max_length=20, choices=_choices(Fold), default=Fold.UNTRIED.value)
    condition = models.CharField(max_length=10, choices=_choices(Condition), default=Condition.SOUND.value)
    through_bladder = models.CharField(max_length=10, choices=_choices(Answer), default=Answer.UNKNOWN.value)
    old_patch = models.CharField(
        max_length=10,
        choices=_choices(Answer),
        default=Answer.UNKNOWN.value,
        help_text="Residue of an old patch here?",
    )
    wet = models.CharField(max_length=10, choices=_choices(Answer), default=Answer.UNKNOWN.value)
    softens = models.CharField(max_length=15, choices=_choices(Softens), default=Softens.UNKNOWN.value)
    seconds_to_half = models.FloatField(null=True, blank=True)
    stitched_left_m = models.FloatField(null=True, blank=True)
    stitched_left_typed = models.CharField(max_length=24, blank=True)
    under_kind = models.CharField(max_length=15, choices=_choices(FindingKind), blank=True)
    note = models.TextField(blank=True)
    load_ratio = models.FloatField(
        null=True, blank=True, help_text="Empty: not assessed, or nothing left at all."
    )
    urgency = models.PositiveSmallIntegerField(default=0)
    band = models.CharField(max_length=15, choices=_choices(Band), default=Band.WATCH.value)
    assessment = models.JSONField(default=dict, blank=True, help_text="Inputs, figures and sentences, in SI.")
    reason = models.JSONField(
        default=dict, blank=True, help_text="The deciding sentence alone, for lists that need no more."
    )
    model_version = models.CharField(max_length=20, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="damage_numbers_count_within_a_job")
        ]

    def __str__(self) -> str:
        return f"{self.job} damage {self.number}"


def _photo_key() -> str:
    return secrets.token_urlsafe(16)


class Photo(models.Model):
    """A photo, re-encoded in three sizes; the file that was sent is not kept."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="photos")
    damage = models.ForeignKey(
        Damage, null=True, blank=True, on_delete=models.SET_NULL, related_name="photos"
    )
    key = models.CharField(max_length=30, unique=True, default=_photo_key)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    caption = models.CharField(max_length=200, blank=True)
    taken_by = models.ForeignKey(Staff, null=True, on_delete=models.PROTECT, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.key
