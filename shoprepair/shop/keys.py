"""What is derived from the shop's secret key, and goes on holding after that key was changed.

`SHOPREPAIR_OLD_KEYS` names keys of earlier days: what was made with one of them still opens, what is made
anew is made with the present one.
"""

from collections.abc import Callable, Iterator

from django.conf import settings
from django.utils.crypto import salted_hmac


def known() -> Iterator[str]:
    """The present key, then those of earlier days, the newest first."""
    yield settings.SECRET_KEY
    yield from settings.SECRET_KEY_FALLBACKS


def code(salt: str, text: str, key: str) -> bytes:
    """256 bits that only who has the key can tell."""
    return salted_hmac(salt, text, secret=key, algorithm="sha256").digest()


def made_with(fits: Callable[[str], bool]) -> str:
    """The known key that `fits`; the present one where none does."""
    return next((key for key in known() if fits(key)), settings.SECRET_KEY)
