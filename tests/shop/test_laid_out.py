from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders

from shoprepair.shop.bundles import ELSEWHERE


def test_browsers_find_the_shop_s_own_files_and_of_libraries_only_what_a_page_asks_for() -> None:
    laid_out = {path for finder in get_finders() for path, _ in finder.list(None)}
    own = Path(settings.BASE_DIR) / "static"
    ours = {str(path.relative_to(own)) for path in own.rglob("*") if path.is_file()}
    assert laid_out == ours | set(ELSEWHERE.values())
