"""Settings under which no shop should be served: each with one sentence that says what to do."""


def register() -> None:
    """Have `manage.py check` look at them too."""
