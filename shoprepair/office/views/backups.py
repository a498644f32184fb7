"""The backups: how they stand, and one made now."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from shoprepair.shop.access import owner_only
from shoprepair.shop.backup import duties, layout, standing
from shoprepair.shop.backup.layout import BackupTrouble


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def backups(request: HttpRequest) -> HttpResponse:
    """The backups that there are, the newest with what it holds; a POST makes one."""
    if request.method == "POST":
        _make(request)
        return redirect("backups")
    try:
        found = layout.backups(standing.folder())
        newest = layout.read(found[0]) if found else None
    except (OSError, BackupTrouble):
        found, newest = [], None
    page = {
        "troubles": standing.troubles(),
        "folder": standing.folder(),
        "beside_the_data": standing.on_the_shops_disk(),
        "newest": newest,
        "newest_folder": found[0] if found else standing.folder(),
        "moments": [layout.moment(path) for path in found],
    }
    return render(request, "office/leaving/backups.html", page)


def _make(request: HttpRequest) -> None:
    try:
        made = duties.back_up()
    except BackupTrouble as trouble:
        messages.error(request, str(trouble))
    else:
        messages.success(
            request,
            gettext("%(name)s is there: %(rows)s records.")
            % {"name": made.path.name, "rows": made.manifest.rows},
        )
