from enum import StrEnum


def choices(words: type[StrEnum]) -> list[tuple[str, str]]:
    """The words of a field as `mechanics` spells them, as a model field takes them."""
    return [(word.value, word.value) for word in words]
