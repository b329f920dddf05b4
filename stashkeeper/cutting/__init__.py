"""Cutting: which pieces are big enough, how they are cut edge to edge, and the proof of it."""
