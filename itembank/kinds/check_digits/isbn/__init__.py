"""International standard book numbers."""
