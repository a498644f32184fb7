"""Logs without keys: a status link's address opens a job, so no line of a log may hold one."""

import logging
import re

_ADDRESS = re.compile(r"/s/[^/\s?#\"'<>]+")
_TOKEN = re.compile(r"(?<![A-Za-z0-9_-])[A-Za-z0-9_-]{43}(?![A-Za-z0-9_-])", re.ASCII)
_TRACE = logging.Formatter()


def without_keys(text: str) -> str:
    """The text with every status link's token left out."""
    return _TOKEN.sub("…", _ADDRESS.sub("/s/…", text))


class WithoutKeys(logging.Filter):
    """Lets every record pass, its message and its traceback without tokens."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.msg, record.args = without_keys(record.getMessage()), ()
        if record.exc_info and not record.exc_text:
            record.exc_text = _TRACE.formatException(record.exc_info)
        if record.exc_text:
            record.exc_text = without_keys(record.exc_text)
        return True
