from enum import StrEnum

from shoprepair.shop.languages import Words


def choices(words: type[StrEnum]) -> list[tuple[str, str]]:
    """The words of a field as `mechanics` spells them, as a model field takes them."""
    return [(word.value, Words(word.value)) for word in words]
