"""Libraries' remarks kept from the terminal, whatever other threads are about."""

import re
import warnings


def hush(library: str) -> None:
    """Let the warnings of a library and its parts pass unseen from now on.

    A context that sets the filters back would set back those of other threads with them.
    """
    parts = rf"{library}(\.|$)"
    if ("ignore", None, Warning, re.compile(parts), 0) not in warnings.filters:
        warnings.filterwarnings("ignore", module=parts)
