"""A plugin of pytest for mutated runs: an empty database at once, and no search for the smallest example."""

import hypothesis
import pytest


def pytest_configure(config: pytest.Config) -> None:
    """Look for faults quickly; the ordinary run looks closely.

    The database can take the place of pytest-django's only now that this is there.
    """
    from tests.mutation import kept

    config.pluginmanager.register(kept, "kept-database")
    hypothesis.settings.register_profile(
        "mutants",
        max_examples=40,
        deadline=None,
        derandomize=True,
        database=None,
        phases=[hypothesis.Phase.explicit, hypothesis.Phase.generate],
    )
    hypothesis.settings.load_profile("mutants")
