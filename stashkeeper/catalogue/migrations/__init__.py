"""How the tables came to be, step by step; Alembic runs the steps a stash has not had yet."""
