"""The public self-check as the owner sets it: open or closed, on whose site, and how long enquiries stay."""

import re
from typing import Any
from urllib.parse import urlsplit

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shoprepair.office.forms.figures import read_number
from shoprepair.shop.languages import filled, gettext_lazy
from shoprepair.shop.models import Shop

LABELS = {
    "self_check_open": gettext_lazy("Anybody may open the self-check"),
    "self_check_site": gettext_lazy("Your own site, that may show it in a frame"),
    "enquiry_days": gettext_lazy("Days after which an enquiry that never came in is forgotten"),
}
FEWEST_DAYS, MOST_DAYS = 7, 730
EXAMPLE = gettext_lazy("write its beginning only, such as https://example.org.")
_HOST = re.compile(r"[a-z0-9](?:[a-z0-9.-]*[a-z0-9])?")


class SelfCheckForm(forms.Form):
    """The three settings. `shop` is what holds now."""

    use_required_attribute = False

    self_check_open = forms.BooleanField(label=LABELS["self_check_open"], required=False)
    self_check_site = forms.CharField(
        label=LABELS["self_check_site"],
        help_text=gettext_lazy(
            "Its beginning, such as https://example.org. No other site can frame it; "
            "leave it empty, and none can."
        ),
        required=False,
        max_length=200,
        widget=forms.TextInput(attrs={"inputmode": "url", "autocomplete": "off", "spellcheck": "false"}),
    )
    enquiry_days = forms.CharField(
        label=LABELS["enquiry_days"],
        help_text=filled(
            gettext_lazy(
                "From %(fewest_days)s to %(most_days)s. Name, phone, e-mail, words and "
                "photos go then; what was wrong with the gear stays."
            ),
            fewest_days=FEWEST_DAYS,
            most_days=MOST_DAYS,
        ),
        max_length=20,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages={
            "required": filled(
                gettext_lazy("Write a number of days from %(fewest_days)s to %(most_days)s."),
                fewest_days=FEWEST_DAYS,
                most_days=MOST_DAYS,
            )
        },
    )
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0)

    def __init__(self, shop: Shop, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = {name: getattr(shop, name) for name in LABELS} | kwargs.get("initial", {})
        super().__init__(*args, label_suffix="", **kwargs)
        self.fields["enquiry_days"].unit = "days"  # type: ignore[attr-defined]

    def clean_self_check_site(self) -> str:
        return read_site(self.cleaned_data["self_check_site"])

    def clean_enquiry_days(self) -> int:
        return read_days(self.cleaned_data["enquiry_days"])

    def fields_of_shop(self) -> dict[str, Any]:
        """The settings as they are stored."""
        return {name: self.cleaned_data[name] for name in LABELS}


def read_site(text: str) -> str:
    """The origin of a site, as a browser compares it: scheme, host in ASCII and port; empty stays empty.

    Raises ValidationError with a sentence.
    """
    if not text.strip():
        return ""
    try:
        parts = urlsplit(text.strip())
        host, port = (parts.hostname or "").encode("idna").decode(), parts.port
    except ValueError:
        raise ValidationError(
            gettext("That is no address of a site; %(EXAMPLE)s") % {"EXAMPLE": EXAMPLE}
        ) from None
    if parts.scheme not in {"http", "https"} or not _HOST.fullmatch(host) or ".." in host:
        raise ValidationError(gettext("That is no address of a site; %(EXAMPLE)s") % {"EXAMPLE": EXAMPLE})
    if parts.path.strip("/") or parts.query or parts.fragment or parts.username or parts.password:
        raise ValidationError(
            gettext("A frame is allowed to a whole site, not to one page; %(EXAMPLE)s") % {"EXAMPLE": EXAMPLE}
        )
    return f"{parts.scheme}://{host}{f':{port}' if port else ''}"


def read_days(text: str) -> int:
    """A whole number of days within the bounds. Raises ValidationError with a sentence."""
    try:
        days = read_number(text)
    except ValueError as refused:
        raise ValidationError(str(refused)) from refused
    if not FEWEST_DAYS <= days <= MOST_DAYS or days != int(days):
        raise ValidationError(
            gettext("Write a whole number of days from %(FEWEST_DAYS)s to %(MOST_DAYS)s.")
            % {"FEWEST_DAYS": FEWEST_DAYS, "MOST_DAYS": MOST_DAYS}
        )
    return int(days)
