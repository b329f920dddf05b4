"""Addresses of the shelf page that show what one search word finds."""

from urllib.parse import urlencode


def search_address(key: str, words: str) -> str:
    """Return where the shelf shows what a word finds, as `tag:"blue"`; empty where none can say it.

    Search words know no way to write a quotation mark.
    """
    if any(mark in words for mark in '"“”„«»'):
        return ""
    return f"/?{urlencode({'q': f'{key}:"{words}"'})}"
