"""The word about open jobs whose numbers rest on figures that have just been changed."""

from django.contrib import messages
from django.http import HttpRequest
from django.utils.translation import gettext


def warn_of_jobs(request: HttpRequest, count: int) -> None:
    """Say how many open jobs were judged by the figures from before; nothing where there are none."""
    if not count:
        return
    jobs = (
        gettext("One open job rests")
        if count == 1
        else gettext("%(count)s open jobs rest") % {"count": count}
    )
    messages.warning(
        request,
        gettext("%(jobs)s on the figures from before. Judge the open jobs anew under load cases.")
        % {"jobs": jobs},
    )
