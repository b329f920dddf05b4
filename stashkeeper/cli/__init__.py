"""Words typed: each command reads its words, calls one action and shows the answer."""
