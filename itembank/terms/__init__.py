"""A pool's terms through the bank: drawn, exported, decided, withdrawn, measured."""
