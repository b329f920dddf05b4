"""The pages: what a browser shows and sends, through the same actions as the command line."""
