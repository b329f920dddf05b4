"""The steps, in order; each is named for its number, and numbers sort as text."""
