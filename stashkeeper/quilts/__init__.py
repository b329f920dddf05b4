"""The arithmetic of quilts: units, strips, settings, borders, finishing, layouts and seams.

Plain values in, plain values out. What must be cut rounds up to a ruler mark before anyone plans
with it, so that what is printed is exactly what is planned.
"""
