"""Words typed: one file a feature; each command reads its words, calls one action and shows the answer."""
