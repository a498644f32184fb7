"""Why something cannot be done with a hold test."""


class HoldRefused(ValueError):
    """A test cannot be begun, read or decided like this; the message says why, and what would do."""
