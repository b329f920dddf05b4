"""The words the crafts share: value, reading, and what a piece really offers."""
