"""Logs without keys: who has a link's address sees what it opens, so no line of a log may hold one.

Status links are under /s/, the pages of cover records under /c/, those of gear that passes on under /o/.
"""

import logging
import re

_ADDRESS = re.compile(r"(/|%2F)([sco])(/|%2F)[^/\s?#\"'<>%&]+", re.IGNORECASE)
_TOKEN = re.compile(r"(?<![A-Za-z0-9_-])[A-Za-z0-9_-]{43}(?![A-Za-z0-9_-])", re.ASCII)
_TRACE = logging.Formatter()


def without_keys(text: str) -> str:
    """The text with every link's token left out, also where an address stands within another's query."""
    return _TOKEN.sub("…", _ADDRESS.sub(r"\1\2\3…", text))


class WithoutKeys(logging.Filter):
    """Lets every record pass, its message and its traceback without tokens."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.msg, record.args = without_keys(record.getMessage()), ()
        if record.exc_info and not record.exc_text:
            record.exc_text = _TRACE.formatException(record.exc_info)
        if record.exc_text:
            record.exc_text = without_keys(record.exc_text)
        return True
