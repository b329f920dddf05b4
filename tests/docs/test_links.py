"""Links between the pages lead somewhere, and every page can be reached."""

from pathlib import Path

import pytest

from tests.docs.pages import CHECKOUT, DOCS, PAGES, anchors, links


def local_links(page: Path) -> list[tuple[Path, str]]:
    """Return the file and anchor of every link that stays within the project."""
    found = []
    for link in links(page.read_text(encoding="utf-8")):
        if "://" not in link:
            name, _, anchor = link.partition("#")
            found.append(((page.parent / name).resolve() if name else page, anchor))
    return found


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(CHECKOUT)))
def test_links_lead_somewhere(page: Path) -> None:
    for target, anchor in local_links(page):
        assert target.exists(), f"{target.relative_to(CHECKOUT)} is not there"
        if anchor:
            assert anchor in anchors(target.read_text(encoding="utf-8")), anchor


def test_every_page_can_be_reached_from_the_index() -> None:
    reached = {DOCS / "README.md"}
    ahead = list(reached)
    while ahead:
        for target, _ in local_links(ahead.pop()):
            if target.suffix == ".md" and target not in reached:
                reached.add(target)
                ahead.append(target)
    assert {page for page in PAGES if page.is_relative_to(DOCS)} - reached == set()
