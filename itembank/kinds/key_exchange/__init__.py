"""Key exchange: the shared key from the two public values."""
