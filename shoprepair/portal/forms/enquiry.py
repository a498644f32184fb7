"""An enquiry as it is typed. What is right is said by `jobs.enquiries.asked`; here it only comes in."""

import secrets

from django import forms
from django.core import signing

from shoprepair.jobs.enquiries import asked, contact
from shoprepair.jobs.enquiries.contact import Contact
from shoprepair.jobs.models import Enquiry

TRAP = "homepage"
"""A field that nobody sees: only a program fills it."""
_SIGNER = signing.Signer(salt="shoprepair.portal.enquiry")


class EnquiryForm(forms.Form):
    """Who asks, how they are reached, how the gear comes, what they write besides."""

    name = forms.CharField(required=False, strip=False)
    contact = forms.CharField(required=False, strip=False)
    comes = forms.CharField(required=False)
    words = forms.CharField(required=False, strip=False)
    key = forms.CharField(required=False)

    def clean_name(self) -> str:
        return asked.name(self.cleaned_data["name"])

    def clean_contact(self) -> Contact:
        return contact.read(self.cleaned_data["contact"])

    def clean_comes(self) -> Enquiry.Comes:
        return asked.comes(self.cleaned_data["comes"])

    def clean_words(self) -> str:
        return asked.words(self.cleaned_data["words"])

    @property
    def trapped(self) -> bool:
        """Whether a program has filled what nobody sees."""
        return bool(self.data.get(TRAP, "").strip())

    @property
    def our_key(self) -> str:
        """The form's key, if it is one that was made here; else nothing."""
        try:
            _SIGNER.unsign(key := self.data.get("key", ""))
        except signing.BadSignature:
            return ""
        return str(key)


def new_key() -> str:
    """A key for one form: nobody guesses that of another, under which their own page would open."""
    return _SIGNER.sign(secrets.token_urlsafe(12))


def blank() -> EnquiryForm:
    """The form before anything was typed."""
    return EnquiryForm(initial={"comes": Enquiry.Comes.BY_HAND})
