"""Perfect shuffles: how many of them restore a pack of cards."""
