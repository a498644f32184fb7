"""What only the customer's page says: {% load portal %}."""

import re

from django import template

register = template.Library()


@register.filter
def dialled(phone: str) -> str:
    """A phone number as a telephone dials it."""
    return re.sub(r"[^0-9+*#]", "", phone)
