"""Logs: one line a record, without keys, without people, without anything that could pass for another line.

Who has a link's address sees what it opens, so no line of a log may hold one: status links are under /s/,
the pages of cover records under /c/, those of gear that passes on under /o/. What an exception quotes may
be what somebody typed, and what follows the ? of an address what somebody looked for.
"""

import contextvars
import datetime
import json
import logging
import re

LONGEST_BYTES = 2048
"""A line is cut there, so that nobody fills the disk by a long name."""
LONGEST_TRACE, LONGEST_OF_TRACE, LAST_LINES = 1200, 300, 30

request_id: contextvars.ContextVar[str] = contextvars.ContextVar("request_id", default="")
"""The number of the request that is being answered; the page that says that something broke shows it."""

_ADDRESS = re.compile(r"(/|%2F)([sco])(/|%2F)[^/\s?#\"'<>%&]+", re.IGNORECASE)
_TOKEN = re.compile(r"(?<![A-Za-z0-9_-])[A-Za-z0-9_-]{43}(?![A-Za-z0-9_-])", re.ASCII)
_MAIL = re.compile(r"[^\s@<>(),;:\"']+@[^\s@<>(),;:\"']+")
_PHONE = re.compile(r"(?<![\w.:/-])\+?\d(?:[ ()/-]{0,2}\d){8,14}(?![\w.:-])", re.ASCII)
_ASKED = re.compile(r"(?<=[\w/])\?[^\s\"'<>]+")
_QUOTED = re.compile(r"'[^'\n]*'|\"[^\"\n]*\"|\([^()\n]*\)")
_UNSEEN = re.compile("[\x00-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ud800-\udfff]")
_TRACE = logging.Formatter()


def without_keys(text: str) -> str:
    """The text with every link's token left out, also where an address stands within another's query."""
    return _TOKEN.sub("…", _ADDRESS.sub(r"\1\2\3…", text))


def without_people(text: str) -> str:
    """The text without e-mail addresses, phone numbers, and what was asked for after an address's ?.

    For texts of a line's length: looking for addresses takes the square of it.
    """
    return _PHONE.sub("…", _MAIL.sub("…@…", _ASKED.sub("?…", text)))


def visible(text: str) -> str:
    """The text in one line: line ends, a terminal's colours and marks that turn letters round written out."""
    return _UNSEEN.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


class WithoutKeys(logging.Filter):
    """Lets every record pass, its message and its traceback without tokens."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.msg, record.args = without_keys(record.getMessage()), ()
        if record.exc_info and not record.exc_text:
            record.exc_text = _TRACE.formatException(record.exc_info)
        if record.exc_text:
            record.exc_text = without_keys(record.exc_text)
        return True


class Line(logging.Formatter):
    """One line a record, for a person who watches; below it, set off, where something broke."""

    def format(self, record: logging.LogRecord) -> str:
        at, number = _at(record).strftime("%Y-%m-%d %H:%M:%S"), request_id.get()
        head = f"{at} {record.levelname} {record.name} {f'[{number}] ' if number else ''}"
        line = _cut(head + visible(_message(record)), LONGEST_BYTES)
        return "\n    | ".join([line, *map(visible, _trace(record).splitlines())])


class Json(logging.Formatter):
    """One line of JSON a record, for a program that gathers them."""

    def format(self, record: logging.LogRecord) -> str:
        said: dict[str, object] = {
            "at": _at(record).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "request": request_id.get(),
            "message": _message(record),
            "trace": _trace(record),
        }
        said = {name: value for name, value in said.items() if value}
        if len(line := _dumped(said)) > LONGEST_BYTES // 4:
            line = _shortened(said)
        return line


def _at(record: logging.LogRecord) -> datetime.datetime:
    return datetime.datetime.fromtimestamp(record.created, datetime.UTC)


def _message(record: logging.LogRecord) -> str:
    return without_people(record.getMessage()[:LONGEST_BYTES])


def _trace(record: logging.LogRecord) -> str:
    """Where it broke: its end, which tells most, and nothing that an exception quotes."""
    if not record.exc_text and record.exc_info:
        record.exc_text = without_keys(_TRACE.formatException(record.exc_info))
    lines = (record.exc_text or "").splitlines()[-LAST_LINES:]
    text = "\n".join(_unquoted(without_people(line[:LONGEST_OF_TRACE])) for line in lines)
    return text if len(text) <= LONGEST_TRACE else "…" + text[-LONGEST_TRACE:]


def _unquoted(line: str) -> str:
    """A line of a traceback as it is; the words of the exception without what they quote."""
    return line if line.startswith(("  ", "Traceback", "The above", "During")) else _QUOTED.sub("…", line)


def _dumped(said: dict[str, object]) -> str:
    return visible(json.dumps(said, ensure_ascii=False))


def _shortened(said: dict[str, object]) -> str:
    """The line within its length: the message gives way first, as nothing in it is lost that matters."""
    while len((line := _dumped(said)).encode()) > LONGEST_BYTES:
        longest = max(said, key=lambda name: len(str(said[name])))
        text = str(said[longest])
        half = len(text) // 2
        said[longest] = "…" + text[-half:] if longest == "trace" else text[:half] + "…"
    return line


def _cut(text: str, bytes_: int) -> str:
    raw = text.encode()
    return text if len(raw) <= bytes_ else raw[: bytes_ - 3].decode(errors="ignore") + "…"
