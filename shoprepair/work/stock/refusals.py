"""Why something cannot be done with a material."""


class StockRefused(ValueError):
    """A lot cannot be used, received or changed like this; the message says why, and what would do."""
