"""The shop's own row of settings and its load figures, read where they are needed."""

from shoprepair.mechanics.description import LoadCases
from shoprepair.shop.models import LoadFigures, Shop


def current() -> Shop:
    """The shop; made with its defaults the first time someone asks."""
    return Shop.objects.filter(pk=1).first() or Shop.objects.get_or_create(pk=1)[0]


def load_figures() -> LoadFigures:
    """The figures of the load cases; made with their defaults the first time someone asks."""
    return LoadFigures.objects.filter(pk=1).first() or LoadFigures.objects.get_or_create(pk=1)[0]


def cases() -> LoadCases:
    """The load cases that every assessment of this shop is the worst of."""
    return load_figures().as_cases()
