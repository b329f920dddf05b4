"""Stashkeeper: a fabric stash inventory for quilters, sorted by value."""
