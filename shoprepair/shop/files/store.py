"""A store that speaks S3, as a place of the shop's files. Only loaded where SHOPREPAIR_FILES names one.

A file that it does not take waits on this machine (`waiting`) and is read from there meanwhile. Each is sent
with its MD5, which the store compares, and its SHA-256, by which it is known again when it is read.
"""

import base64
import hashlib
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import IO, Any

from boto3.s3.transfer import TransferConfig
from botocore.config import Config
from botocore.exceptions import BotoCoreError, ClientError
from django.core.files.base import ContentFile
from storages.backends.s3 import S3Storage
from storages.utils import clean_name

from shoprepair.shop.files import waiting
from shoprepair.shop.files.trouble import Away, Spoiled

PATIENCE = Config(
    connect_timeout=3,
    read_timeout=4,
    retries={"total_max_attempts": 2, "mode": "standard"},
    s3={"addressing_style": "path"},
    signature_version="s3v4",
)
"""Nobody at the counter waits longer than this for a photo."""
NOT_ASKED_S = 15.0
"""A store that did not answer is left alone so long: who waited once is enough."""
ONE_BY_ONE = TransferConfig(use_threads=False)
DIGEST = "sha256"
_NOT_THERE = 404


class Store(S3Storage):  # type: ignore[misc]
    """A bucket that belongs to the shop alone: nothing in it is public, and the shop hands out all of it."""

    _silent_until = 0.0

    def get_default_settings(self) -> dict[str, Any]:
        own = {"client_config": PATIENCE, "transfer_config": ONE_BY_ONE, "file_overwrite": True}
        return {**super().get_default_settings(), **own}

    def exists(self, name: str) -> bool:
        if waiting.place(name).is_file():
            return True
        with self._asked():
            return bool(super().exists(name))

    def delete(self, name: str) -> None:
        waiting.place(name).unlink(missing_ok=True)
        with self._asked():
            super().delete(name)

    def put(self, name: str, content: bytes) -> None:
        """Keep it in the store itself. Raises Away."""
        md5 = hashlib.md5(content, usedforsecurity=False)
        with self._asked():
            answer = self._client.put_object(
                **self._named(name),
                Body=content,
                ContentMD5=base64.b64encode(md5.digest()).decode(),
                Metadata={DIGEST: hashlib.sha256(content).hexdigest()},
                **self._get_write_parameters(name, BytesIO(content)),
            )
        # Encrypted by a key of the store's own, its mark of the file is another.
        if "SSEKMSKeyId" not in answer and answer["ETag"].strip('"') != md5.hexdigest():
            raise Away("The store of files has kept something else than was sent.")

    def upload(self, name: str, path: Path) -> None:
        """Bring a large file, as an archive of the whole shop. Raises Away."""
        with self._asked():
            key = self._named(name)
            self._client.upload_file(str(path), key["Bucket"], key["Key"], Config=ONE_BY_ONE)

    def download(self, name: str, into: IO[bytes]) -> None:
        """Fetch a large file. Raises FileNotFoundError, Away."""
        with self._asked(name):
            key = self._named(name)
            self._client.download_fileobj(key["Bucket"], key["Key"], into, Config=ONE_BY_ONE)

    def listdir(self, path: str) -> tuple[list[str], list[str]]:
        with self._asked():
            folders, names = super().listdir(path)
            return folders, names

    def lying(self, under: str) -> Iterator[tuple[str, int, datetime]]:
        """Every file below a name, with its bytes and when it came. Raises Away."""
        before = self._named("x")["Key"][:-1]
        with self._asked():
            for one in self.bucket.objects.filter(Prefix=f"{before}{under.rstrip('/')}/"):
                yield one.key.removeprefix(before), one.size, one.last_modified

    def _open(self, name: str, mode: str = "rb") -> "ContentFile[bytes]":
        """All of it at once: a file of the shop is a photo, and a broken line shows here, not later."""
        if mode != "rb":
            raise ValueError("A file of the shop never changes.")
        if (here := waiting.place(name)).is_file():
            return ContentFile(here.read_bytes(), name=name)
        with self._asked(name):
            answer = self._client.get_object(**self._named(name))
            content = answer["Body"].read()
        said = answer.get("Metadata", {}).get(DIGEST)
        if said and said != hashlib.sha256(content).hexdigest():
            raise Spoiled(f"{name} is no longer what it was.")
        return ContentFile(content, name=name)

    def _save(self, name: str, content: Any) -> str:
        whole = b"".join(content.chunks())
        try:
            self.put(name, whole)
        except Away:
            waiting.keep(name, [whole])
        return name

    @property
    def _client(self) -> Any:
        return self.connection.meta.client

    def _named(self, name: str) -> dict[str, str]:
        return {"Bucket": self.bucket_name, "Key": self._normalize_name(clean_name(name))}

    @contextmanager
    def _asked(self, name: str = "") -> Iterator[None]:
        """What goes wrong on the way is what goes wrong with a disk."""
        if time.monotonic() < self._silent_until:
            raise Away("The store of files did not answer a moment ago.")
        try:
            yield
        except ClientError as error:
            if name and error.response["ResponseMetadata"]["HTTPStatusCode"] == _NOT_THERE:
                raise FileNotFoundError(name) from error
            raise Away(f"The store of files refused: {error.response['Error'].get('Code', '')}.") from error
        except (BotoCoreError, OSError) as error:
            self._silent_until = time.monotonic() + NOT_ASKED_S
            raise Away(f"The store of files did not answer as it should: {type(error).__name__}.") from error
