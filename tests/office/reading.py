"""A page of the office as it is read: without what only lays it out."""

import re


def words(answer) -> str:
    """The page without the white space around its elements."""
    return re.sub(r"\s*([<>])\s*", r"\1", " ".join(answer.content.decode().split()))
