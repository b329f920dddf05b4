"""Waiting for a page as a person does, however slow the machine."""

from contextlib import suppress

from playwright.sync_api import Error, Locator, Page, expect
from playwright.sync_api import TimeoutError as TooLate


def look_until(page: Page, awaited: Locator) -> None:
    """Wait for something: a page with script comes anew by itself, else it is looked at again."""
    again = page.get_by_role("link", name="Look again")
    while awaited.count() == 0 and again.is_visible():
        with suppress(TooLate):  # a script may hide the link, or go on, before it is reached
            again.click(timeout=2_000)
    expect(awaited.first).to_be_visible()


def go(page: Page, address: str) -> None:
    """Go to an address, also where the page at hand comes anew by itself at that very moment."""
    try:
        page.goto(address)
    except Error as error:
        if "interrupted" not in error.message and "ERR_ABORTED" not in error.message:
            raise
        page.goto(address)
