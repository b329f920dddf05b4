"""Exact sizes: parsed from what a quilter types, kept in whole ticks, shown at a ruler mark."""
