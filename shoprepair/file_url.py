"""SHOPREPAIR_FILES: where photos and other files lie, in one line.

(empty)                                    the folder `files` beside the database
s3://bucket                                a store that speaks S3, by what the environment says of its account
s3://bucket/folder?endpoint=https://host   another one than the best known, a part of its bucket
s3://key:secret@bucket?region=eu-north-1   with the account and the region

Needs the extra `s3` (django-storages and boto3).
"""

from typing import Any
from urllib.parse import SplitResult, parse_qs, unquote, urlsplit

from django.core.exceptions import ImproperlyConfigured

FOLDER = {"BACKEND": "shoprepair.shop.files.whole.WholeFiles"}
STORE = "shoprepair.shop.files.store.Store"
EXAMPLE = "SHOPREPAIR_FILES must be like s3://bucket?endpoint=https://files.example"
_KNOWN = {"endpoint", "region"}


def read(url: str) -> dict[str, Any]:
    """The setting of Django's default storage. ImproperlyConfigured says what is wrong.

    No complaint repeats the address: it may hold a secret.
    """
    if not url:
        return FOLDER
    parts, asked = _parts(url)
    options = {
        "bucket_name": parts.hostname,
        "location": parts.path.strip("/"),
        "endpoint_url": asked.get("endpoint"),
        "region_name": asked.get("region"),
    }
    if parts.username:
        options["access_key"] = unquote(parts.username)
        options["secret_key"] = unquote(parts.password or "")
    return {"BACKEND": STORE, "OPTIONS": options}


def _parts(url: str) -> tuple[SplitResult, dict[str, str]]:
    try:
        parts = urlsplit(url)
        found = parse_qs(parts.query, strict_parsing=True) if parts.query else {}
    except ValueError:
        raise ImproperlyConfigured(f"{EXAMPLE}.") from None
    asked = {name: values[-1] for name, values in found.items()}
    if parts.scheme != "s3" or not parts.hostname:
        raise ImproperlyConfigured(f"{EXAMPLE}.")
    if odd := sorted(asked.keys() - _KNOWN):
        raise ImproperlyConfigured(f"{EXAMPLE}; it knows no “{odd[0]}”.")
    if (endpoint := asked.get("endpoint")) and not endpoint.startswith(("https://", "http://")):
        raise ImproperlyConfigured(f"{EXAMPLE}: the endpoint begins with https://.")
    if bool(parts.username) != bool(parts.password):
        raise ImproperlyConfigured(f"{EXAMPLE}: a key comes with its secret, s3://key:secret@bucket.")
    return parts, asked
