"""Taking in what strangers upload: no more files and no more bytes than an enquiry may have."""

from typing import Any

from django.core.files.uploadhandler import FileUploadHandler, SkipFile
from django.http import HttpRequest

from shoprepair.jobs import photos
from shoprepair.jobs.enquiries import quotas

MOST_BYTES = quotas.MOST_PHOTOS * photos.MOST_BYTES + 5_000_000
"""Of a whole form. What is larger is not even read."""


class FewPhotos(FileUploadHandler):
    """Lets so many photos through to the disk; the bytes of all else are thrown away as they come."""

    def __init__(self, most: int) -> None:
        super().__init__()
        self.most, self.files = most, 0
        self.problems: list[str] = []
        """A sentence for each thing that was left out."""

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.files += 1

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        # Not as a file begins: Django closes the file before it then.
        if self.files > self.most:
            self._leave_out(quotas.too_many() if self.most else "")
        if start + len(raw_data) > photos.MOST_BYTES:
            self._leave_out(photos.too_large())
        return raw_data

    def file_complete(self, file_size: int) -> None:
        """The file itself is kept by Django's own handlers."""

    def _leave_out(self, sentence: str) -> None:
        if sentence and sentence not in self.problems:
            self.problems.append(sentence)
        raise SkipFile


def bounded(request: HttpRequest) -> FewPhotos:
    """Bound what a form may upload. To be called before anything of the form is read."""
    handler = FewPhotos(quotas.MOST_PHOTOS if quotas.room() else 0)
    request.upload_handlers.insert(0, handler)
    return handler


def over_large(request: HttpRequest) -> bool:
    """Whether the form is larger than any that is read."""
    length = request.META.get("CONTENT_LENGTH") or "0"
    return not length.isdecimal() or int(length) > MOST_BYTES
