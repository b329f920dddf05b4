"""Drawing: plain values in, a picture out. Knows no database."""
