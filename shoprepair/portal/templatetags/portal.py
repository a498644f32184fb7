"""What only the customer's page says: {% load portal %}."""

import re

from django import template

from shoprepair.portal import days

register = template.Library()


@register.filter
def dialled(phone: str) -> str:
    """A phone number as a telephone dials it."""
    return re.sub(r"[^0-9+*#]", "", phone)


register.filter("day", days.day)
register.filter("moment", days.moment)
