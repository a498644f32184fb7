import pytest

from tests import shelves


@pytest.fixture(autouse=True)
def _patterns(db: None) -> None:
    """The library, as a shop has it from its first day."""
    shelves.patterns()
