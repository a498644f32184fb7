"""Keys of forms and of ticks: the same one sent twice is carried out once."""

import secrets


def new_key() -> str:
    """A key for one showing of a form."""
    return secrets.token_urlsafe(12)


def following(key: str, what: str) -> str:
    """The key of a tick that another one brings with it."""
    return f"{key[:48]}-{what}"
