from django.db import models

from shoprepair.shop.languages import gettext_lazy


class Stage(models.TextChoices):
    ENQUIRY = "enquiry", gettext_lazy("Enquiry")
    CHECKED_IN = "checked-in", gettext_lazy("Checked in")
    ASSESSED = "assessed", gettext_lazy("Assessed")
    QUOTE_OUT = "quote-out", gettext_lazy("Quote out")
    GO_AHEAD = "go-ahead", gettext_lazy("Go-ahead")
    BENCH = "bench", gettext_lazy("On the bench")
    HOLD_TEST = "hold-test", gettext_lazy("Hold test")
    READY = "ready", gettext_lazy("Ready")
    HANDED_BACK = "handed-back", gettext_lazy("Handed back")
    DECLINED = "declined", gettext_lazy("Declined")
    WITHDRAWN = "withdrawn", gettext_lazy("Withdrawn")


class Hold(models.TextChoices):
    NONE = "", gettext_lazy("No hold")
    DRYING = "drying", gettext_lazy("Drying")
    PARTS = "parts", gettext_lazy("Waiting for parts")
    CUSTOMER = "customer", gettext_lazy("Waiting for the customer")
