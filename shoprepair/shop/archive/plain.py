"""Values of fields as JSON keeps them, and back: dates in ISO 8601 and UTC, amounts as written, all in SI."""

import datetime
import math
from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from typing import Any

from django.db import connection
from django.db.models import Field
from django.utils.translation import gettext

_INFINITE = ("inf", "-inf", "nan")


class Unreadable(ValueError):
    """A value is not one that the field takes; the message says in words what it should be."""


def plain(value: Any) -> Any:
    """A value of a field as JSON keeps it, without loss."""
    if isinstance(value, datetime.datetime):
        return value.astimezone(datetime.UTC).isoformat()
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    return value


def read(field: "Field[Any, Any]", value: Any) -> Any:
    """The field's value that `plain` wrote. Raises Unreadable."""
    if value is None:
        if field.null:
            return None
        raise Unreadable(gettext("something, and it is empty"))
    aim: Any = field
    while aim.is_relation:
        aim = aim.target_field
    reader: Callable[[Any, Any], Any] = _READERS.get(aim.get_internal_type(), _text)
    return reader(aim, value)


def _text(field: Any, value: Any) -> str:
    if not isinstance(value, str) or "\x00" in value:
        raise Unreadable("a text")
    try:
        value.encode()
    except UnicodeEncodeError:
        raise Unreadable(gettext("a text whose letters are whole")) from None
    if field.max_length and len(value) > field.max_length:
        raise Unreadable(
            gettext("a text of %(max_length)s letters or fewer") % {"max_length": field.max_length}
        )
    return value


def _whole(field: Any, value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool):
        raise Unreadable(gettext("a whole number"))
    least, most = connection.ops.integer_field_range(field.get_internal_type())
    if (least is not None and value < least) or (most is not None and value > most):
        raise Unreadable(gettext("a whole number that is not so large"))
    return value


def _float(_field: Any, value: Any) -> float:
    if isinstance(value, bool) or not (isinstance(value, int | float) or value in _INFINITE):
        raise Unreadable("a number")
    try:
        return float(value)
    except OverflowError:
        raise Unreadable(gettext("a number that is not so large")) from None


def _yes_or_no(_field: Any, value: Any) -> bool:
    if not isinstance(value, bool):
        raise Unreadable(gettext("true or false"))
    return value


def _decimal(field: Any, value: Any) -> Decimal:
    try:
        number = Decimal(value) if isinstance(value, str) else None
    except InvalidOperation:
        number = None
    if number is None or not number.is_finite():
        raise Unreadable(gettext("an amount, written as a text"))
    exponent = int(number.as_tuple().exponent)
    if -exponent > field.decimal_places or number.adjusted() >= field.max_digits - field.decimal_places:
        raise Unreadable(
            gettext("an amount of %(max_digits)s figures, %(decimal_places)s behind the point")
            % {"max_digits": field.max_digits, "decimal_places": field.decimal_places}
        )
    return number


def _moment(_field: Any, value: Any) -> datetime.datetime:
    try:
        moment = datetime.datetime.fromisoformat(value)
    except (TypeError, ValueError):
        raise Unreadable(gettext("a moment such as 2026-11-25T18:00:00+00:00")) from None
    if moment.tzinfo is None:
        raise Unreadable(gettext("a moment with its time zone"))
    return moment


def _day(_field: Any, value: Any) -> datetime.date:
    try:
        return datetime.date.fromisoformat(value)
    except (TypeError, ValueError):
        raise Unreadable(gettext("a day such as 2026-11-25")) from None


def _json(_field: Any, value: Any) -> Any:
    return value


_READERS: dict[str, Callable[[Any, Any], Any]] = {
    **dict.fromkeys(
        (
            "AutoField",
            "BigAutoField",
            "IntegerField",
            "BigIntegerField",
            "SmallIntegerField",
            "PositiveIntegerField",
            "PositiveSmallIntegerField",
        ),
        _whole,
    ),
    "FloatField": _float,
    "BooleanField": _yes_or_no,
    "DecimalField": _decimal,
    "DateTimeField": _moment,
    "DateField": _day,
    "JSONField": _json,
}
