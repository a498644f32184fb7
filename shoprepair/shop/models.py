from django.contrib.auth.models import AbstractUser
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext

from shoprepair.mechanics.description import DEFAULT_CASES, LoadCases
from shoprepair.shop.languages import gettext_lazy
from shoprepair.shop.models_letters import Letter as Letter
from shoprepair.shop.models_letters import MailText as MailText
from shoprepair.shop.models_log_ins import LogIn as LogIn
from shoprepair.shop.models_log_ins import Pin as Pin
from shoprepair.shop.models_log_ins import SharedTablet as SharedTablet
from shoprepair.shop.models_log_ins import TrustedBrowser as TrustedBrowser
from shoprepair.shop.models_notes import Note as Note


class Language(models.TextChoices):
    """What a shop and a person can be spoken to in, each by its own name; see `settings.LANGUAGES`."""

    ENGLISH = "en", "English"
    GERMAN = "de", "Deutsch"
    SPANISH = "es", "Español"


class PressureUnit(models.TextChoices):
    BAR = "bar", gettext_lazy("bar")
    PSI = "psi", gettext_lazy("psi")
    KPA = "kPa", gettext_lazy("kPa")


class LengthUnit(models.TextChoices):
    MM = "mm", gettext_lazy("millimetres and metres")
    INCH = "in", gettext_lazy("inches and feet")


class TemperatureUnit(models.TextChoices):
    CELSIUS = "°C", "°C"
    FAHRENHEIT = "°F", "°F"


class WeekBegins(models.IntegerChoices):
    """The weekdays with which a week begins somewhere, by their numbers, Monday 0."""

    MONDAY = 0, gettext_lazy("Monday")
    FRIDAY = 4, gettext_lazy("Friday")
    SATURDAY = 5, gettext_lazy("Saturday")
    SUNDAY = 6, gettext_lazy("Sunday")


class Paper(models.TextChoices):
    A4 = "A4", "A4"
    LETTER = "Letter", gettext_lazy("Letter")


class TagPaper(models.TextChoices):
    LABEL_62 = "62", gettext_lazy("Label roll, 62 mm")
    LABEL_100 = "100", gettext_lazy("Label roll, 100 mm")
    SHEET = "sheet", gettext_lazy("The shop's paper")


class Staff(AbstractUser):
    """Someone who works in the shop and logs in."""

    class Role(models.TextChoices):
        COUNTER = "counter", gettext_lazy("Counter")
        BENCH = "bench", gettext_lazy("Bench")
        OWNER = "owner", gettext_lazy("Owner")

    role = models.CharField(max_length=10, choices=Role, default=Role.COUNTER)
    pressure_unit = models.CharField(
        max_length=5, choices=PressureUnit, blank=True, help_text=gettext_lazy("Empty: as the shop.")
    )
    length_unit = models.CharField(max_length=5, choices=LengthUnit, blank=True)
    temperature_unit = models.CharField(max_length=5, choices=TemperatureUnit, blank=True)
    language = models.CharField(
        max_length=8, choices=Language, blank=True, help_text=gettext_lazy("Empty: as the shop.")
    )

    by_pin = False
    """Whether they came in by their PIN alone, as `shop.pins` says of whoever did."""

    @property
    def is_owner(self) -> bool:
        """Whether they may do what is the owner's alone; a PIN alone never opens that."""
        return self.role == self.Role.OWNER and not self.by_pin

    def __str__(self) -> str:
        return self.get_full_name() or self.username


def _time(
    default: int, fewest: int, most: int, help_text: str
) -> "models.PositiveSmallIntegerField[int, int]":
    return models.PositiveSmallIntegerField(
        default=default,
        validators=[MinValueValidator(fewest), MaxValueValidator(most)],
        help_text=help_text,
    )


UNNAMED = "Our shop"
"""What stands for the name of a shop until it has one."""


class Shop(models.Model):
    """The shop itself: one row. Read it through `shop.settings.current()`."""

    name = models.CharField(max_length=120, default=UNNAMED)
    address = models.TextField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    web_address = models.URLField(
        blank=True, help_text=gettext_lazy("Where the tablets reach this program; printed into the QR codes.")
    )
    time_zone = models.CharField(max_length=60, default="UTC")
    language = models.CharField(
        max_length=8,
        choices=Language,
        default=Language.ENGLISH,
        help_text=gettext_lazy("Spoken to whoever has chosen none, and on the papers."),
    )
    week_begins = models.PositiveSmallIntegerField(
        choices=WeekBegins,
        default=WeekBegins.MONDAY,
        help_text=gettext_lazy("With which day the days of a week are listed."),
    )
    currency = models.CharField(max_length=3, default="USD")
    paper = models.CharField(max_length=10, choices=Paper, default=Paper.A4)
    tag_paper = models.CharField(max_length=10, choices=TagPaper, default=TagPaper.LABEL_62)
    pressure_unit = models.CharField(max_length=5, choices=PressureUnit, default=PressureUnit.BAR)
    length_unit = models.CharField(max_length=5, choices=LengthUnit, default=LengthUnit.MM)
    temperature_unit = models.CharField(
        max_length=5, choices=TemperatureUnit, default=TemperatureUnit.CELSIUS
    )
    terms = models.TextField(
        blank=True, help_text=gettext_lazy("What the customer agrees to when the gear is checked in.")
    )
    bank_details = models.TextField(
        blank=True,
        help_text=gettext_lazy("Where a transfer goes, line by line; on invoices with something to pay."),
    )
    working_hours = models.JSONField(
        default=dict,
        blank=True,
        help_text=gettext_lazy('Weekday number to ["09:00", "17:30"]; a missing day is closed.'),
    )
    usual_days = models.PositiveSmallIntegerField(
        default=10, help_text=gettext_lazy("Days from check-in to the date first promised.")
    )
    test_pressure_factor = models.DecimalField(
        max_digits=4,
        decimal_places=2,
        default="1.00",
        validators=[MinValueValidator(0.5), MaxValueValidator(1.5)],
        help_text=gettext_lazy("Hold test pressure as a share of the rated pressure."),
    )
    invoice_years = models.PositiveSmallIntegerField(
        default=10,
        validators=[MinValueValidator(0), MaxValueValidator(50)],
        help_text=gettext_lazy("Years that invoices keep the customer's name, as the law asks."),
    )
    self_check_open = models.BooleanField(
        default=True, help_text=gettext_lazy("Anybody may open the self-check.")
    )
    self_check_site = models.CharField(
        max_length=200,
        blank=True,
        help_text=gettext_lazy(
            "The one other site that may show it in a frame, such as https://example.org."
        ),
    )
    enquiry_days = models.PositiveSmallIntegerField(
        default=90,
        validators=[MinValueValidator(7), MaxValueValidator(730)],
        help_text=gettext_lazy("Days after which an enquiry of which nothing came is forgotten."),
    )
    letter_days = _time(365, 30, 3650, gettext_lazy("Days after which the words of a letter go."))
    photo_years = _time(
        3, 1, 50, gettext_lazy("Years after which photos of a closed job go, where no cover needs them.")
    )
    contact_years = _time(
        3, 1, 50, gettext_lazy("Years after which a customer without gear and cover here is erased.")
    )
    archive_days = _time(30, 1, 3650, gettext_lazy("Days after which an archive made in the office goes."))
    times_agreed = models.BooleanField(
        default=False, help_text=gettext_lazy("The owner has looked at what goes when its time is over.")
    )
    past_their_time = models.PositiveIntegerField(
        default=0,
        help_text=gettext_lazy("What waits for the owner to agree that it goes, as counted last night."),
    )

    def __str__(self) -> str:
        return self.name

    @property
    def own_name(self) -> str:
        """Its name, once somebody has given it one."""
        return "" if self.name == UNNAMED else self.name


def _case(name: str, low: float, high: float, help_text: str) -> "models.FloatField[float, float]":
    return models.FloatField(
        default=getattr(DEFAULT_CASES, name),
        validators=[MinValueValidator(low), MaxValueValidator(high)],
        help_text=help_text,
    )


class LoadFigures(models.Model):
    """The assumed figures of the load cases: one row, the owner's to change."""

    held_wind_m_per_s = _case("held_wind_m_per_s", 3, 40, gettext_lazy("Wind over a held wing."))
    held_gust = _case("held_gust", 1, 3, gettext_lazy("Gust factor on a held wing's lift."))
    held_lift_cap_n = _case("held_lift_cap_n", 100, 5000, gettext_lazy("The most that a person can hold."))
    held_share = _case("held_share", 0.1, 1, gettext_lazy("Share of a held wing's lift in the leading edge."))
    bridled_wind_m_per_s = _case("bridled_wind_m_per_s", 3, 60, gettext_lazy("Apparent wind over a kite."))
    bridled_gust = _case("bridled_gust", 1, 3, gettext_lazy("Gust factor on a kite's lift."))
    bridled_share = _case(
        "bridled_share", 0.1, 1, gettext_lazy("Share of a kite's lift in the leading edge.")
    )
    lift_coefficient = _case("lift_coefficient", 0.2, 2, gettext_lazy("Lift coefficient."))
    fill_celsius = _case("fill_celsius", -10, 45, gettext_lazy("Temperature at which the tube is pumped."))
    hot_celsius = _case("hot_celsius", 20, 90, gettext_lazy("Temperature of a casing lying in the sun."))
    session_s = _case("session_s", 600, 43200, gettext_lazy("Length of a session, for leaks."))
    flaw_length_m = _case("flaw_length_m", 0.0005, 0.02, gettext_lazy("Flaw length a0 of the hopeful bound."))
    camber_share = _case(
        "camber_share", 0.02, 0.3, gettext_lazy("Camber of the canopy as a share of the chord.")
    )
    faded_share = _case("faded_share", 0.2, 1, gettext_lazy("Strength left in faded cloth."))
    brittle_share = _case("brittle_share", 0.1, 1, gettext_lazy("Strength left in brittle cloth."))
    folded_share = _case(
        "folded_share", 0.1, 1, gettext_lazy("Strength left where a scuff folds to an edge.")
    )
    stitches_per_m = _case("stitches_per_m", 100, 600, gettext_lazy("Stitches per metre at attachments."))
    thread_strength_n = _case(
        "thread_strength_n", 10, 300, gettext_lazy("Breaking strength of the sewing thread.")
    )
    stitch_factor = _case(
        "stitch_factor", 0.8, 2, gettext_lazy("Seam strength over stitches times thread strength.")
    )
    safety_factor = _case("safety_factor", 1, 10, gettext_lazy("Safety factor of a casing repair."))

    def __str__(self) -> str:
        return gettext("Load cases")

    def as_cases(self) -> LoadCases:
        """The plain value that `mechanics` computes with."""
        return LoadCases(**{name: getattr(self, name) for name in LoadCases.__dataclass_fields__})


class Counter(models.Model):
    """A gap-free series of numbers, such as the job numbers."""

    name = models.CharField(max_length=40, primary_key=True)
    value = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.name} {self.value}"


class Submission(models.Model):
    """A creating form that was carried out: sending it again answers with the same result."""

    key = models.CharField(max_length=64)
    person = models.ForeignKey(Staff, on_delete=models.CASCADE, related_name="+")
    result = models.CharField(max_length=200)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["person", "key"], name="one_result_per_submission")]

    def __str__(self) -> str:
        return self.key


class Attempt(models.Model):
    """One try at something that may be tried only so often. Who tried is kept as a keyed hash alone."""

    whom = models.CharField(
        max_length=64, help_text=gettext_lazy("Keyed hash of the purpose and of who tried.")
    )
    at = models.DateTimeField(db_index=True)

    class Meta:
        indexes = [models.Index(fields=["whom", "at"], name="attempts_of_one")]

    def __str__(self) -> str:
        return gettext("%(whom)s at %(at)s") % {"whom": self.whom[:8], "at": self.at}


class DailyRun(models.Model):
    """When a duty of every day was done last."""

    name = models.CharField(max_length=40, primary_key=True)
    ran_on = models.DateField()

    def __str__(self) -> str:
        return gettext("%(name)s on %(ran_on)s") % {"name": self.name, "ran_on": self.ran_on}


class JournalEntry(models.Model):
    """What happened, by whom, from what to what. Never changed, never deleted: the database refuses."""

    subject = models.CharField(max_length=40, help_text="'job:412', 'customer:9', 'shop:1'.")
    at = models.DateTimeField()
    who = models.ForeignKey(Staff, null=True, on_delete=models.PROTECT, related_name="+")
    who_name = models.CharField(max_length=150, help_text=gettext_lazy("The name as it was then."))
    verb = models.CharField(max_length=40, help_text="'damage.corrected', 'stage.changed'.")
    text = models.TextField(help_text=gettext_lazy("The sentence people read."))
    changes = models.JSONField(default=dict, help_text=gettext_lazy("Field to [before, after]."))
    said = models.JSONField(
        null=True,
        blank=True,
        help_text=gettext_lazy("The sentence as English words with their values, for other languages."),
    )

    class Meta:
        ordering = ["-id"]
        indexes = [models.Index(fields=["subject", "-id"], name="journal_of_a_subject")]

    def __str__(self) -> str:
        return f"{self.subject} {self.verb}"


class Erasing(models.Model):
    """A window in what the database else refuses to change. Its row never outlives its transaction.

    While it says `person`, words that name somebody may be written over; no amount, number or date may, and
    nothing may be deleted. While it says `archive`, a journal may give way to the one that is brought in,
    in a shop that has numbered nothing yet. Open it by `shop.erasing.window` alone.
    """

    class Purpose(models.TextChoices):
        PERSON = "person", gettext_lazy("Somebody is erased")
        ARCHIVE = "archive", gettext_lazy("An archive is brought in")

    purpose = models.CharField(max_length=7, choices=Purpose)

    class Meta:
        db_table = "shop_erasing"

    def __str__(self) -> str:
        return self.get_purpose_display()
