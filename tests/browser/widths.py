"""The widths that pages are looked at: a phone, a tablet and a desk."""

from typing import Final

import pytest

WIDTHS: Final = (
    390,
    pytest.param(820, marks=pytest.mark.campaign),
    pytest.param(1440, marks=pytest.mark.campaign),
)
"""In px; the narrow one breaks first, so the wider ones wait for the campaign.

There axe looks at every journey; by default, at those of the phone, the shelf and the projects.
"""

SCRIPT: Final = (
    pytest.param(True, id="with script"),
    pytest.param(False, id="without script", marks=pytest.mark.campaign),
)
"""Long journeys without script wait for the campaign; shorter ones do not.

So do the keyboard and the size of targets at the desk, at the mat and for quilts: by default they
are tried with the phone and at the shelf.
"""
