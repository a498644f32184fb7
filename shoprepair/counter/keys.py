"""Keys of creating forms: the same form sent twice is carried out once."""

import secrets


def new_key() -> str:
    """A key for one showing of a form."""
    return secrets.token_urlsafe(12)
