"""This person's settings: where the stash is, inches or centimetres, habits, paper."""
