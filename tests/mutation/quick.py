"""A plugin of pytest for changed runs: no search for the smallest example."""

import hypothesis
import pytest


@pytest.hookimpl(trylast=True)
def pytest_configure() -> None:
    """Look for faults quickly; the ordinary run looks closely."""
    hypothesis.settings.register_profile(
        "mutants",
        max_examples=40,
        deadline=None,
        derandomize=True,
        database=None,
        phases=[hypothesis.Phase.explicit, hypothesis.Phase.generate],
        # Each test runs once unchanged and then in later processes: if it is a method, on another object.
        suppress_health_check=[hypothesis.HealthCheck.differing_executors],
    )
    hypothesis.settings.load_profile("mutants")
