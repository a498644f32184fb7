"""A store that speaks S3, as a place of the shop's files. Only loaded where SHOPREPAIR_FILES names one."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from io import BytesIO
from typing import Any

from boto3.s3.transfer import TransferConfig
from botocore.config import Config
from botocore.exceptions import BotoCoreError, ClientError
from django.core.files.base import ContentFile
from storages.backends.s3 import S3Storage

PATIENCE = Config(
    connect_timeout=5,
    read_timeout=10,
    retries={"max_attempts": 2, "mode": "standard"},
    s3={"addressing_style": "path"},
    signature_version="s3v4",
)
"""Nobody at the counter waits longer than this for a photo."""

ONE_BY_ONE = TransferConfig(use_threads=False)


@contextmanager
def _in_plain_words() -> Iterator[None]:
    """What goes wrong on the way is what goes wrong with a disk."""
    try:
        yield
    except (BotoCoreError, ClientError) as error:
        raise OSError(f"The store of files did not answer as it should: {type(error).__name__}.") from error


def _plainly(method: Callable[..., Any]) -> Callable[..., Any]:
    @wraps(method)
    def called(*args: Any, **kwargs: Any) -> Any:
        with _in_plain_words():
            return method(*args, **kwargs)

    return called


class Store(S3Storage):  # type: ignore[misc]
    """A bucket that belongs to the shop alone: nothing in it is public, and the shop hands out all of it."""

    def get_default_settings(self) -> dict[str, Any]:
        own = {"client_config": PATIENCE, "transfer_config": ONE_BY_ONE, "file_overwrite": True}
        return {**super().get_default_settings(), **own}

    def _open(self, name: str, mode: str = "rb") -> "ContentFile[bytes]":
        """All of it at once: a file of the shop is a photo, and a broken line shows here, not later."""
        if mode != "rb":
            raise ValueError("A file of the shop never changes.")
        with _in_plain_words(), super()._open(name, mode) as file:
            return ContentFile(file.read(), name=name)

    def _save(self, name: str, content: Any) -> str:
        with _in_plain_words():
            return str(super()._save(name, BytesIO(b"".join(content.chunks()))))

    exists = _plainly(S3Storage.exists)
    delete = _plainly(S3Storage.delete)
    listdir = _plainly(S3Storage.listdir)
