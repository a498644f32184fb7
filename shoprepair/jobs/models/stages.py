from django.db import models


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
