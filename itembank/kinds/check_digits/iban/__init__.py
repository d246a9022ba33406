"""International bank account numbers."""
