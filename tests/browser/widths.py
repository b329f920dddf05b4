"""The widths that pages are looked at: a phone, a tablet and a desk."""

from typing import Final

import pytest

WIDTHS: Final = (390, pytest.param(820, marks=pytest.mark.campaign), 1440)
"""In px; the middle one can hardly break where both others hold, and waits for the campaign."""
