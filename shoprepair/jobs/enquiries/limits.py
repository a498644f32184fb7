"""How often enquiries are taken: from one address, for one phone number or e-mail address, and in all."""

import datetime

from shoprepair.jobs.enquiries.contact import Contact
from shoprepair.shop.limits import allow

HOUR, DAY = datetime.timedelta(hours=1), datetime.timedelta(days=1)
MOST_AN_HOUR, MOST_A_DAY = 5, 20
"""From one address: a household, or a whole beach behind one access point."""
MOST_FOR_ONE_A_DAY = 3
"""For one phone number or e-mail address, which may be somebody else's."""
MOST_IN_ALL_A_DAY = 200
"""More than a small shop is asked in a month."""
MOST_LOOKED_AT_AN_HOUR = 20
"""Forms with photos from one address: decoding them is work, whether or not they are kept."""


def may_send(address: str, contact: Contact) -> bool:
    """Whether one more is taken now, which is then counted. Who is known to the shop plays no part."""
    return (
        allow("enquiry.hour", address, most=MOST_AN_HOUR, per=HOUR)
        and allow("enquiry.day", address, most=MOST_A_DAY, per=DAY)
        and allow("enquiry.contact", contact.key, most=MOST_FOR_ONE_A_DAY, per=DAY)
        and allow("enquiry.all", "all", most=MOST_IN_ALL_A_DAY, per=DAY)
    )


def may_send_photos(address: str) -> bool:
    """Whether photos from this address are looked at once more."""
    return allow("enquiry.photos", address, most=MOST_LOOKED_AT_AN_HOUR, per=HOUR)
