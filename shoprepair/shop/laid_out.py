"""Which files of libraries are laid out for browsers: those that a page of the shop asks for."""

from collections.abc import Iterable, Iterator
from typing import Any

from django.contrib.staticfiles.finders import AppDirectoriesFinder

from shoprepair.shop.bundles import ELSEWHERE


class NeededFinder(AppDirectoriesFinder):
    """Of all that libraries bring along, what stands in `bundles.ELSEWHERE`.

    Each file more is compressed twice when a version is laid out, and looked at whenever a server starts.
    """

    def list(self, ignore_patterns: Iterable[str] | None) -> Iterator[Any]:
        """Paths with the storage that holds each."""
        needed = set(ELSEWHERE.values())
        return (each for each in super().list(ignore_patterns) if each[0] in needed)
